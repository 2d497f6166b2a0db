"""Phrases: rows of terms as patterns over the signs of a lexicon."""

import re
from collections.abc import Callable, Mapping
from typing import Final

from builder.read.words.pieces import CLAUSE, SENTENCE

_GAP: Final = re.compile(r"(\.{2,3})(\d+)((?:-[A-Z]+)*)\Z")
_TERM: Final = re.compile(r"(&|!|<!|<|=)?(.+?)([?*+])?\Z")
_TIMES: Final = {None: "", "?": "?", "*": "{0,4}", "+": "{1,4}"}

Signs = Callable[[str], str]
"""The signs of a class, or of the words that a term lists with ``|`` between."""


def terms(phrase: str) -> list[str]:
    """The classes and words that the terms of a phrase name."""
    named: list[str] = []
    for term in phrase.split():
        match = None if term == ",?" or term[0] in ".$" else _TERM.match(term)
        if match:
            named += match[2].split("|")
        gap = _GAP.match(term)
        if gap:
            named += gap[3].split("-")[1:]
    return named


def pattern_of(phrase: str, signs: Signs, parts: Mapping[str, tuple[str, ...]]) -> str:
    """A regular expression that finds a phrase in a row of signs."""
    return "".join(_part(term, signs, parts) for term in phrase.split())


def _part(term: str, signs: Signs, parts: Mapping[str, tuple[str, ...]]) -> str:
    if term == ",?":
        return f"{CLAUSE}?"
    if term.startswith("$"):
        return f"(?:{'|'.join(pattern_of(phrase, signs, parts) for phrase in parts[term[1:]])})"
    gap = _GAP.match(term)
    if gap:
        without = "".join(signs(name) for name in gap[3].split("-")[1:])
        return f"[^{SENTENCE}{CLAUSE if gap[1] == '..' else ''}{without}]{{0,{gap[2]}}}?"
    match = _TERM.match(term)
    if not match:
        raise ValueError(term)
    if term == "&END":
        return f"(?=[{SENTENCE}{CLAUSE}]|\\Z)"
    one = f"[{''.join(signs(name) for name in match[2].split('|'))}]"
    if match[1] == "&":
        return f"(?={one}|[{SENTENCE}{CLAUSE}]|\\Z)"
    if match[1] == "!":
        return f"(?!{one})"
    if match[1] == "=":
        return f"({one}{_TIMES[match[3]]})"
    if match[1]:
        return f"(?<={one})" if match[1] == "<" else f"(?<!{one})"
    return one + _TIMES[match[3]]
