"""What makes a text look other than it is, or like a warning of the theme."""

import re
import unicodedata
from collections.abc import Iterator
from typing import Final

from builder.read.findings import Finding
from builder.read.prose import beginnings, plain_text
from builder.read.source import Source, unwanted_in
from builder.read.texts import Prose
from builder.read.words.signals import signal_at_start

# Enclosing marks draw circles and triangles around what stands before them; many marks on one letter pile up over the
# lines above and below. Three are the most that a language is known to need (Hebrew with cantillation, Vietnamese two).
_PILED: Final = re.compile(r"[\u0488\u0489\u1abe\u20dd-\u20e0\u20e2\u20e4\ua670-\ua672]")
_MOST_MARKS: Final = 3


def imitations(prose: Prose, source: Source) -> Iterator[Finding]:
    """Findings for what a text only seems to be."""
    node = prose.node
    text = plain_text(node.text) if prose.markdown else node.text
    place = node.line, node.column
    if prose.markdown:
        for _, rule, message, hint in unwanted_in(text):
            yield source.finding(*place, rule, f"{message}, written as an entity", hint)
    yield from _signals(prose, source)
    if piled := _piled(text):
        message = f"marks pile up on `{piled}` and would cover what stands above or below"
        yield source.finding(*source.near(node.start, node.end, piled), "piled-marks", message, "leave them out")


def _signals(prose: Prose, source: Source) -> Iterator[Finding]:
    node = prose.node
    lines = beginnings(node.text) if prose.markdown else ((node.text, False),)
    for line, capitals in lines:
        if signal := signal_at_start(line, capitals=capitals):
            message = f"`{signal}` at the beginning passes for a warning of the site itself"
            hint = "name a hazard (`hazards: […]`), whose panel the site draws; or begin with another word"
            yield source.finding(*source.near(node.start, node.end, signal), "signal-word", message, hint)


def _piled(text: str) -> str:
    """The first letter with marks that pile up, with them; ``""`` if there is none."""
    if text.isascii():
        return ""
    if enclosed := _PILED.search(text):
        return text[max(0, enclosed.start() - 1) : enclosed.end()]
    count = 0
    for place, character in enumerate(text):
        count = count + 1 if unicodedata.category(character) == "Mn" else 0
        if count > _MOST_MARKS:
            return text[place - count : place + 1]
    return ""
