"""Phrases: rows of terms as patterns over the signs of a lexicon."""

import re
from collections.abc import Callable, Mapping
from typing import Final

from builder.read.words.pieces import CLAUSE, SENTENCE

Signs = Callable[[str], str]
"""Gives the signs of a class or word."""

_GAP: Final = re.compile(r"(\.{2,3})(\d+)((?:-[^\W\d_]+)*)\Z")
_TERM: Final = re.compile(r"(&|!|<!|<|=)?([^&!<=?*+]+)([?*+])?\Z")
_TIMES: Final = {None: "", "?": "?", "*": "{0,4}", "+": "{1,4}"}
_STOP: Final = f"[{SENTENCE}{CLAUSE}]|\\Z"
_AROUND: Final = {"!": "(?!{})", "<": "(?<={})", "<!": "(?<!{})", "&": f"(?={{}}|{_STOP})"}
_COMMA: Final = ",?"
_END: Final = "&END"


def terms(phrase: str) -> list[str]:
    """The classes and words that the terms of a phrase name."""
    named: list[str] = []
    for term in phrase.split():
        gap, match = _GAP.match(term), _TERM.match(term)
        if gap:
            named += gap[3].split("-")[1:]
        elif match and term not in (_COMMA, _END) and not term.startswith("$"):
            named += match[2].split("|")
    return named


def pattern_of(phrase: str, signs: Signs, parts: Mapping[str, tuple[str, ...]]) -> str:
    """A regular expression that finds a phrase in a row of signs.

    Raises:
        KeyError: it names a part, class or word that there is not.
        ValueError: a term is none.
    """
    return "".join(_part(term, signs, parts) for term in phrase.split())


def _part(term: str, signs: Signs, parts: Mapping[str, tuple[str, ...]]) -> str:
    if term == _COMMA:
        return f"{CLAUSE}?"
    if term == _END:
        return f"(?={_STOP})"
    if term.startswith("$"):
        return f"(?:{'|'.join(pattern_of(phrase, signs, parts) for phrase in parts[term[1:]])})"
    gap = _GAP.match(term)
    if gap:
        barred = "".join(signs(name) for name in gap[3].split("-")[1:])
        return f"[^{SENTENCE}{CLAUSE if gap[1] == '..' else ''}{barred}]{{0,{gap[2]}}}?"
    return _term(term, signs)


def _term(term: str, signs: Signs) -> str:
    match = _TERM.match(term)
    if not match:
        raise ValueError(f"`{term}` is no term of a phrase")
    one = f"[{''.join(signs(name) for name in match[2].split('|'))}]"
    if match[1] in _AROUND:
        return _AROUND[match[1]].format(one)
    return f"({one}{_TIMES[match[3]]})" if match[1] else one + _TIMES[match[3]]
