"""A finding: one problem that a check found, with its place, its rule and how to mend it."""

import difflib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from builder.read import limits
from builder.read.notation import as_name

COMPARABLE: Final = 1000
"""Known words among which a near miss is looked for: the search takes time in proportion."""

NEAR: Final = 0.75
PARTLY: Final = 0.5
"""How alike two words are, by the share of letters in common runs (Ratcliff and Metzener 1988), to be called near;
and where each word of one is in the other."""

Severity = Literal["error", "warning"]

ERROR: Final[Severity] = "error"
WARNING: Final[Severity] = "warning"

LONGEST: Final = 500
"""Longest message or hint, in characters: what it cites may be a whole file."""

KEPT: Final = 80
"""Characters that are kept at the end of a longer one."""


@dataclass(frozen=True, order=True, slots=True)
class Finding:
    """One problem. ``line`` and ``column`` count from 1, in characters; ``text`` is the offending line."""

    file: str
    line: int
    column: int
    rule: str
    message: str
    hint: str = ""
    severity: Severity = ERROR
    text: str = ""


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Findings sorted by file, line and column, each once; a rule speaks at most so often in a file."""
    listed: list[Finding] = []
    count: Counter[tuple[str, str]] = Counter()
    for finding in sorted(set(findings)):
        kind = finding.file, finding.rule
        count[kind] += 1
        if count[kind] < limits.FOUND.most:
            listed.append(finding)
        elif count[kind] == limits.FOUND.most:
            listed.append(replace(finding, hint="mend these first; there may be more of this kind in this file"))
    return listed


def shown(findings: Sequence[Finding]) -> list[Finding]:
    """The findings that are shown where there are very many: errors before warnings, else in their order."""
    if len(findings) <= limits.PRINTED.most:
        return list(findings)
    places = sorted(range(len(findings)), key=lambda place: findings[place].severity != ERROR)
    return [findings[place] for place in sorted(places[: limits.PRINTED.most])]


def short(text: str) -> str:
    """A sentence that can be read: of a longer one, how it begins and how it ends."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST - KEPT]} … {text[-KEPT:]}"


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether any finding is more than a warning."""
    return any(finding.severity == ERROR for finding in findings)


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is really near to another: the same but for signs, a slip or two, or a part of it."""
    names = sorted(known)
    plain = as_name(word)
    if plain in names or len(names) > COMPARABLE:
        return plain if plain in names else ""
    close = difflib.get_close_matches(word.lower(), names, n=1, cutoff=NEAR)
    if close:
        return close[0]
    parts = set(plain.split("-"))
    akin = [name for name in names if parts <= set(name.split("-")) or set(name.split("-")) <= parts]
    return akin[0] if len(akin) == 1 and difflib.get_close_matches(word, akin, cutoff=PARTLY) else ""


def near_miss(word: str, known: Iterable[str]) -> str:
    """A hint that names the closest known word, or lists what is known when that is short, or ``""``."""
    names = sorted(known)
    if close := nearest(word, names):
        return f"did you mean `{close}`?"
    if names and len(names) <= 8:
        return f"known: {in_ticks(names)}"
    return ""


def in_ticks(names: Iterable[str]) -> str:
    """Names as messages list them."""
    return ", ".join(f"`{name}`" for name in names)
