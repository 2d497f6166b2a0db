"""Findings as text for people: place, what and why; the line itself with the place marked; the very text to write.

The first line has the form of the GNU Coding Standards, Formatting Error Messages, which editors parse.
"""

import re
from collections.abc import Iterable
from typing import Final

from rich.text import Text

from builder.read.findings import ERROR, Finding, short

WIDTH: Final = 100
"""Longest piece of an offending line that is shown, in characters."""


MARK: Final = "»"
"""Stands in the line before the place of a finding."""


STEERING: Final = re.compile(r"##(?=\w*\[)|^\s*::")


def as_text(finding: Finding) -> Text:
    """One finding on one to three lines; styles show only where the terminal has colours."""
    colour = "red" if finding.severity == ERROR else "yellow"
    text = Text()
    text.append(f"{inert(finding.file)}:{finding.line}:{finding.column}: ", "bold")
    text.append(finding.severity, f"bold {colour}")
    text.append(f": {_short(finding.message)} ")
    text.append(f"[{finding.rule}]\n", "dim")
    if finding.text.strip():
        before, after = _excerpt(finding.text, finding.column - 1)
        text.append("    here:  ", "dim")
        text.append(before)
        text.append(MARK, f"bold {colour}")
        text.append(f"{after}\n", "bold")
    if finding.hint:
        label, words = advice_of(finding)
        text.append(f"    {label + ':':<7}", "dim")
        text.append(f"{_short(words)}\n", "cyan")
    return text


def advice_of(finding: Finding) -> tuple[str, str]:
    """A hint as its label and what follows: ``write`` and the text to write, or ``mend`` and what to do."""
    verb, _, text = finding.hint.partition(" ")
    return (verb, text) if verb == "write" and text else ("mend", finding.hint)


def _excerpt(line: str, column: int) -> tuple[str, str]:
    """A piece of the line around a column (from 0): what stands before it, and what begins there."""
    indent = len(line) - len(line.lstrip())
    line, column = inert(line.rstrip()), min(column, len(line))
    start = max(min(indent, column), min(column - WIDTH // 2, len(line) - WIDTH))
    return line[start:column], line[column : start + WIDTH]


def _short(text: str) -> str:
    """A sentence as a line that can be read: what it cites may be a whole file."""
    return inert(short(text))


def printable(text: str) -> str:
    """Text of strangers without characters that would steer a terminal."""
    return "".join(char if char.isprintable() else " " for char in text)


def inert(text: str) -> str:
    """Printable text that is no command to what runs a workflow; as many characters as before.

    Runners take ``##[…]`` and ``##name[…]`` anywhere in a line for a command, ``::…`` at its beginning (from memory).
    """
    return STEERING.sub(lambda found: found[0][:-1] + " ", printable(text))


def summary(findings: Iterable[Finding]) -> str:
    """``3 errors, 1 warning`` or ``no findings``."""
    severities = [finding.severity for finding in findings]
    counts = [(severities.count("error"), "error"), (severities.count("warning"), "warning")]
    said = [f"{count} {word}{'s' if count != 1 else ''}" for count, word in counts if count]
    return ", ".join(said) or "no findings"
