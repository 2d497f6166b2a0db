"""What changed of a playbook, with the old and new values of what odds rest on: shares, chances and their sources."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, Final

from builder.compare.differences import Difference
from builder.read.notation import OTHERWISE, REST, Chance
from builder.read.records import Playbook
from builder.report.spans import code, listed

MOST: Final = 12
"""Changes of a playbook that are listed; a comment on forty of them must stay readable."""

NONE: Final = "none"


def change_rows(differences: tuple[Difference, ...], old: Playbook, new: Playbook) -> Iterator[str]:
    """One row for each part of a playbook that changed, by what it is."""
    for difference in differences[:MOST]:
        yield f"  - {_difference(difference, old, new)}"
    if len(differences) > MOST:
        yield f"  - and {len(differences) - MOST} more"


def _difference(difference: Difference, old: Playbook, new: Playbook) -> str:
    what = f"{difference.kind} {code(difference.name)}" if difference.name else f"the {difference.kind} itself"
    if difference.how != "changed":
        return f"{what} {difference.how}"
    fields = [_field(one, _part(difference, old), _part(difference, new)) for one in difference.fields]
    return f"{what} ({listed(fields)})"


def _part(difference: Difference, book: Playbook) -> Any:
    """What of a playbook a difference is about."""
    parts: dict[str, Mapping[str, Any]] = {"cause": book.causes, "step": book.steps, "ending": book.endings}
    return parts[difference.kind][difference.name] if difference.kind in parts else book


def _field(name: str, old: Any, new: Any) -> str:
    said = " → ".join(dict.fromkeys((_said(name, old), _said(name, new))))
    return f"{code(name)} {code(said)}" if said else code(name)


def _said(name: str, record: Any) -> str:
    """A value that odds rest on, for people; empty for every other."""
    *way, field = name.split(".")
    for key in way:
        record = record.get(key) if isinstance(record, Mapping) else getattr(record, key, None)
    value = getattr(record, field, None)
    if field == "share":
        return NONE if value is None else percent(value)
    if field == "chance":
        return NONE if value is None else chance_said(value)
    if field == "source":
        return NONE if value is None else source_said(value)
    return ""


def chance_said(chance: Chance) -> str:
    """A chance on one line, as a playbook writes it."""
    if chance.rest:
        return REST
    by_cause = [f"{cause} {percent(share)}" for cause, share in chance.by_cause.items()]
    if not by_cause and chance.otherwise is not None:
        return percent(chance.otherwise)
    return ", ".join(by_cause + ([f"{OTHERWISE} {percent(chance.otherwise)}"] if chance.otherwise is not None else []))


def source_said(source: Any) -> str:
    """Where shares or chances come from, on one line."""
    seen = f" of {source.seen}" if source.seen is not None else ""
    return f"{source.what}{seen}" + (f", {source.on}" if source.on else "")


def percent(share: Fraction) -> str:
    """A share as a playbook writes it."""
    return f"{float(share * 100):.6f}".rstrip("0").rstrip(".") + "%"
