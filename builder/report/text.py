"""Findings as text for people: place, what, why and how to mend it, with the offending line and a caret."""

from collections.abc import Iterable
from typing import Final

from rich.text import Text

from builder.read.findings import ERROR, Finding

WIDTH: Final = 100
"""Longest piece of an offending line that is shown, in characters."""

LONGEST: Final = 500
"""Longest message or hint that is shown whole, in characters."""


def as_text(finding: Finding) -> Text:
    """One finding on two to four lines; styles show only where the terminal has colours."""
    colour = "red" if finding.severity == ERROR else "yellow"
    text = Text()
    text.append(f"{printable(finding.file)}:{finding.line}:{finding.column}: ", "bold")
    text.append(finding.severity, f"bold {colour}")
    text.append(f" [{finding.rule}] {_short(finding.message)}\n")
    if finding.text.strip():
        line, caret = _excerpt(finding.text, finding.column - 1)
        number = str(finding.line)
        text.append(f"  {number} | {line}\n", "dim")
        text.append(f"  {' ' * len(number)} | {' ' * caret}")
        text.append("^\n", f"bold {colour}")
    if finding.hint:
        text.append(f"  = {_short(finding.hint)}\n", "cyan")
    return text


def _excerpt(line: str, column: int) -> tuple[str, int]:
    """A piece of the line around a column (from 0), and where the column is in it."""
    line = printable(line)
    start = max(0, min(column - WIDTH // 2, len(line) - WIDTH))
    return line[start : start + WIDTH], min(column - start, WIDTH)


def _short(text: str) -> str:
    """A sentence as a line that can be read: what it cites may be a whole file."""
    return printable(text) if len(text) <= LONGEST else printable(text[:LONGEST]) + " …"


def printable(text: str) -> str:
    """Text of strangers without characters that would steer a terminal."""
    return "".join(char if char.isprintable() else " " for char in text)


def summary(findings: Iterable[Finding]) -> str:
    """``3 errors, 1 warning`` or ``no findings``."""
    severities = [finding.severity for finding in findings]
    counts = [(severities.count("error"), "error"), (severities.count("warning"), "warning")]
    said = [f"{count} {word}{'s' if count != 1 else ''}" for count, word in counts if count]
    return ", ".join(said) or "no findings"
