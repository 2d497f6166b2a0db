"""What changed in words, as rows of a Markdown comment: each thing before and after."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from builder.compare.harm import Change, What
from builder.report.spans import code

LONGEST: Final = 1000
"""Characters of one text; what changed in it stands at its beginning, whatever is cut."""

CALLED: Final[Mapping[What, str]] = {
    "hazards": "hazards",
    "no_hazards": "hazards denied",
    "who": "who may do it",
    "after": "only after",
    "preconditions": "what must hold first",
    "mishap": "what may go wrong",
    "prove": "proof of the repair",
    "implies": "hazards that its work implies",
    "language": "language in which hazard words are looked for",
    "notice": "notice on every page",
    "pictures": "pictures",
    "links": "links",
    "file": "what it holds",
    "text": "text",
}


def word_rows(changes: Sequence[Change], *, grave: bool) -> Iterator[str]:
    """A row for each change that can hurt, or for each of the others."""
    for change in changes:
        if change.grave == grave:
            field = f" ({code(change.field)})" if change.what == "text" else ""
            told = f"**before:** {_told(change.before)} **now:** {_told(change.after)}"
            yield f"- {_place(change)}{CALLED[change.what]}{field}: {told}"


def _place(change: Change) -> str:
    kind = change.kind or ("file" if change.what == "file" else "")
    places = [code(change.playbook)] if change.playbook else []
    places += [f"the {kind} {code(change.name)}"] if change.name else []
    return f"{', '.join(places)}: " if places else ""


def _told(items: Sequence[str]) -> str:
    return ", ".join(code(item, LONGEST) for item in items) or "nothing"
