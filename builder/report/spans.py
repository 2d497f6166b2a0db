"""Text of strangers in a Markdown comment: code spans of one line, in which nothing is anything but text."""

import re
from collections.abc import Sequence
from typing import Final

from builder.report.text import printable

LONGEST_TEXT: Final = 160
LONGEST_LIST: Final = 8


def code(text: str, most: int = LONGEST_TEXT) -> str:
    """Text as a code span of one line, shortened to ``most`` characters; nothing in it can be Markdown or HTML."""
    text = " ".join(printable(text).split())
    if not text:
        return "(empty)"
    if len(text) > most:
        text = text[: most - 1] + "…"
    fence = "`" * (max(map(len, re.findall("`+", text)), default=0) + 1)
    space = " " if text.startswith("`") or text.endswith("`") else ""
    return f"{fence}{space}{text}{space}{fence}"


def cell(text: str) -> str:
    """A code span in a table, where a bar would end the cell even in code."""
    return code(text.replace("|", "¦"))


def listed(items: Sequence[str]) -> str:
    """Items with commas, the first few of many."""
    shown = ", ".join(items[:LONGEST_LIST])
    return f"{shown} and {len(items) - LONGEST_LIST} more" if len(items) > LONGEST_LIST else shown


def count_of(count: int, noun: str) -> str:
    """A count with its noun."""
    return f"{_whole(count)} {noun}{'s' if count != 1 else ''}"


def _whole(count: int) -> str:
    return f"{count:,}" if count < 10**15 else f"more than 10^{len(str(count)) - 1}"
