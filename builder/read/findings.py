"""A finding: one problem that a check found, with its place, its rule and how to mend it."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

Severity = Literal["error", "warning"]

ERROR: Final[Severity] = "error"
WARNING: Final[Severity] = "warning"


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
    """Findings sorted by file, line and column, each once."""
    return sorted(set(findings))


def has_errors(findings: Iterable[Finding]) -> bool:
    return any(finding.severity == ERROR for finding in findings)


def near_miss(word: str, known: Iterable[str]) -> str:
    """A hint that names the closest known word, or lists what is known when that is short, or ``""``."""
    names = sorted(known)
    close = difflib.get_close_matches(word, names, n=1, cutoff=0.6)
    if close:
        return f"did you mean `{close[0]}`?"
    if names and len(names) <= 8:
        return "known: " + ", ".join(f"`{name}`" for name in names)
    return ""
