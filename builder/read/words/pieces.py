"""Pieces of a text: its words as a reader takes them, with their places, and the marks that end a clause or sentence."""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from builder.read.words.letters import folded

SENTENCE: Final = "\n"
CLAUSE: Final = ","
POSSESSIVE: Final = "'s"

_CHUNK: Final = re.compile(r"\S+")
_FULL_STOPS: Final = frozenset(".?!;…。")
_COMMAS: Final = frozenset(",:()[]{}–—")
_APOSTROPHES: Final = frozenset("'’‘ʼ`´")
_THROUGH: Final = _APOSTROPHES | frozenset("*~\\")
"""Signs that hide within a word: apostrophes, and Markdown's marks where they are shown as they are."""
_AS_LETTERS: Final = frozenset("@$!|€+")
"""Signs that stand for letters between letters: ``j@ck``."""
_ONE_BY_ONE: Final = re.compile("[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]")
"""Scripts that put no spaces between words, or hang endings on them: each sign counts as a word."""


Piece = tuple[str, int, int]
"""A word in small plain letters, or a mark, with the offsets of its start and end in the text as written."""


def pieces(text: str) -> list[Piece]:
    """The words and marks of a text, in order."""
    found: list[Piece] = []
    end = 0
    for chunk in _CHUNK.finditer(text):
        start = chunk.start()
        if start - end > 1 and text.count("\n", end, start) > 1:
            found.append((SENTENCE, start, start))
        for word, first, last in _of_chunk(chunk[0]):
            found.append((word, start + first, start + last))
        end = chunk.end()
    return found


@lru_cache(maxsize=1 << 16)
def _of_chunk(chunk: str) -> tuple[tuple[str, int, int], ...]:
    """Words and marks of a text without white space."""
    if chunk.isascii() and chunk.isalnum():
        return ((chunk.lower(), 0, len(chunk)),)
    return tuple(_words(chunk))


def _words(chunk: str) -> Iterator[tuple[str, int, int]]:
    shown = [folded(character) for character in chunk]
    last = max((at for at, letters in enumerate(shown) if letters.isalnum()), default=-1)
    start, word = 0, ""
    for at, letters in enumerate(shown):
        if not letters:
            continue
        sign = chunk[at]
        if sign in _APOSTROPHES and word and at + 1 == last and shown[last] == "s":
            yield word, start, at
            yield POSSESSIVE, at, last + 1
            yield from _marks(chunk[last + 1 :], last + 1, POSSESSIVE)
            return
        if letters.isalnum() and not _ONE_BY_ONE.match(letters):
            start = start if word else at
            word += letters
        elif word and at < last and letters in _AS_LETTERS and chunk[at + 1].isalnum():
            word += letters
        elif sign not in _THROUGH:
            if word:
                yield word, start, at
            if letters.isalnum():
                yield letters, at, at + 1
            elif at > last:
                yield from _marks(chunk[at:], at, word)
                return
            elif letters in _COMMAS:
                yield CLAUSE, at, at
            word = ""
    if word:
        yield word, start, last + 1


def _marks(signs: str, at: int, word: str) -> Iterator[tuple[str, int, int]]:
    """The mark that the signs behind a word make; the full stop of a short word may be an abbreviation's."""
    stops = _FULL_STOPS.intersection(signs)
    if stops:
        abbreviated = stops == {"."} and (len(word) <= 2 or word.isdigit())
        yield (CLAUSE if abbreviated else SENTENCE), at, at
    elif _COMMAS.intersection(signs) or signs in ("-", "--"):
        yield CLAUSE, at, at
