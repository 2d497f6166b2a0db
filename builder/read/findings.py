"""A finding: one problem that a check found, with its place, its rule and how to mend it."""

import difflib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal

COMPARABLE: Final = 1000
"""Known words among which a near miss is looked for: the search takes time in proportion."""

Severity = Literal["error", "warning"]

ERROR: Final[Severity] = "error"
WARNING: Final[Severity] = "warning"

MANY: Final = 100
"""More findings of one rule in one file help nobody, and a file made for it could give a million."""


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
    """Findings sorted by file, line and column, each once; a rule speaks at most :data:`MANY` times in a file."""
    listed: list[Finding] = []
    count: Counter[tuple[str, str]] = Counter()
    for finding in sorted(set(findings)):
        kind = finding.file, finding.rule
        count[kind] += 1
        if count[kind] < MANY:
            listed.append(finding)
        elif count[kind] == MANY:
            listed.append(replace(finding, hint="mend these first; there may be more of this kind in this file"))
    return listed


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether any finding is more than a warning."""
    return any(finding.severity == ERROR for finding in findings)


def near_miss(word: str, known: Iterable[str]) -> str:
    """A hint that names the closest known word, or lists what is known when that is short, or ``""``."""
    names = sorted(known)
    close = difflib.get_close_matches(word, names, n=1, cutoff=0.6) if len(names) <= COMPARABLE else []
    if close:
        return f"did you mean `{close[0]}`?"
    if names and len(names) <= 8:
        return "known: " + ", ".join(f"`{name}`" for name in names)
    return ""
