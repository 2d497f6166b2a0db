"""What YAML or Markdown would lose without a word: text behind a ``#``, lines that quotes swallow, hidden Markdown."""

import re
from collections.abc import Iterator
from typing import Final

from builder.read.findings import WARNING, Finding
from builder.read.nodes import Node
from builder.read.prose import unread_pieces
from builder.read.source import Source
from builder.read.texts import Prose

SHOWN: Final = 80
"""Characters of what would be lost that a finding shows."""

_COMMENT: Final = re.compile(r"( +)#(.*)")
_ENTRY: Final = re.compile(r" *(?:- +)?([a-z][a-z0-9-]*):(?: |\Z)")
_ITEM: Final = re.compile(r" *- ")
_BLOCKS: Final = ("|", ">")
_QUOTES: Final = ('"', "'")


def lost_text(prose: Prose, source: Source, fields: frozenset[str]) -> Iterator[Finding]:
    """Findings for what a text would lose; ``fields`` are the names that the format knows."""
    style = source.text[prose.node.start]
    if style not in _BLOCKS:
        yield from _cut(prose.node, source, quoted=style in _QUOTES)
    if style in (*_BLOCKS, *_QUOTES):
        yield from _swallowed(prose.node, source, fields, quoted=style in _QUOTES)
    if prose.markdown:
        yield from _unread(prose.node, source)


def _cut(node: Node, source: Source, *, quoted: bool) -> Iterator[Finding]:
    """A ``#`` behind a text: what follows is a comment for YAML, and perhaps a part of the text for its author."""
    comment = _COMMENT.match(source.text, node.end)
    if not comment:
        return
    line, column = source.place(comment.end(1))
    lost = _shown(f"#{comment[2]}")
    # Two spaces before the sign and one behind it are how comments are written on purpose.
    if quoted or (len(comment[1]) > 1 and comment[2][:1] in ("", " ")):
        message = f"the comment `{lost}` behind a text is on no page"
        hint = "put it on a line of its own, or into the text"
        yield source.finding(line, column, "comment-behind", message, hint, WARNING)
    else:
        message = f"the text ends before ` #`: `{lost}` would be lost"
        yield source.finding(line, column, "cut-text", message, "put the whole text into quotes")


def _swallowed(node: Node, source: Source, fields: frozenset[str], *, quoted: bool) -> Iterator[Finding]:
    """A line within a text that looks like an entry of its own: a quote is missing, or it is indented too far."""
    first, _ = source.place(node.start)
    last, _ = source.place(max(node.start, node.end - 1))
    for number in range(first + 1, last + 1):
        line = source.lines[number - 1]
        entry = _ENTRY.match(line)
        if (entry and (quoted or entry[1] in fields)) or (quoted and _ITEM.match(line)):
            message = f"the line `{_shown(line)}` would be part of the text that begins on line {first}"
            hint = (
                "close the quotes where the text ends, or write the text as a block that starts with `|`"
                if quoted
                else "indent it less if it is an entry of its own; if it is text, begin it with another word"
            )
            yield source.finding(number, len(line) - len(line.lstrip()) + 1, "swallowed-line", message, hint)


def _unread(node: Node, source: Source) -> Iterator[Finding]:
    """What Markdown takes for its own use, so that no page shows it."""
    for piece in unread_pieces(node.text):
        line, column = source.near(node.start, node.end, piece)
        message = f"no page shows `{_shown(piece)}` in its text"
        yield source.finding(line, column, "hidden-text", message, "write it as text, or delete it")


def _shown(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= SHOWN else f"{text[: SHOWN - 1]}…"
