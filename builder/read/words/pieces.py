"""Pieces of a text: its words as a reader takes them, and the marks that end a clause or sentence."""

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Final

from builder.read.words.letters import folded

Piece = tuple[str, int, int]
"""A word in small plain letters, or a mark, with the offsets of its start and end in the text as written."""

SENTENCE: Final = "\n"
CLAUSE: Final = ","
POSSESSIVE: Final = "'s"

_CHUNK: Final = re.compile(r"\S+")
_REMEMBERED: Final = 64
"""Characters of the longest text without white space of which the words are remembered."""

_FULL_STOPS: Final = frozenset(".?!;…。")
_COMMAS: Final = frozenset(",:()[]{}–—")
_APOSTROPHES: Final = frozenset("'’‘ʼ`´")
_THROUGH: Final = frozenset("*~\\")
"""Markdown's signs where they are shown as they are: they hide within a word, as apostrophes do."""
_AS_LETTERS: Final = frozenset("@$!|€+")
"""Signs that stand for letters between letters: ``j@ck``."""
# Scripts that put no spaces between words, or hang endings on them: each sign counts as a word.
_ONE_BY_ONE: Final = re.compile("[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]")

# Kinds of characters: letter, sign that is a word, apostrophe, through, as a letter, comma, anything else.
_LETTER, _ONE, _APOSTROPHE, _SKIPPED, _SIGN, _COMMA, _OTHER = "woatscx"
_WORD: Final = re.compile(f"{_ONE}|{_LETTER}(?:[{_LETTER}ta]*(?:{_SIGN}+[ta]*)?{_LETTER})*|{_COMMA}")
_OWNED: Final = re.compile(f"(?<={_LETTER}){_APOSTROPHE}{_LETTER}\\Z")


def pieces(text: str) -> list[Piece]:
    """The words and marks of a text, in order."""
    found: list[Piece] = []
    end = 0
    for chunk in _CHUNK.finditer(text):
        start, written = chunk.start(), chunk[0]
        if start - end > 1 and text.count("\n", end, start) > 1:
            found.append((SENTENCE, start, start))
        end = chunk.end()
        of = _remembered if end - start <= _REMEMBERED else _of_chunk
        for word, first, last in of(written):
            found.append((word, start + first, start + last))
    return found


def _of_chunk(chunk: str) -> tuple[Piece, ...]:
    """Words and marks of a text without white space."""
    if chunk.isascii() and chunk.isalnum():
        return ((chunk.lower(), 0, len(chunk)),)
    shown = [folded(character) for character in chunk]
    kinds = "".join(map(_kind, chunk, shown))
    within = kinds.rstrip("atscx")
    return (*_words(shown, within), *_mark(chunk[len(within) :], len(within), "".join(shown[: len(within)])))


_remembered = lru_cache(maxsize=1 << 16)(_of_chunk)


def _kind(character: str, shown: str) -> str:
    if shown.isalnum():
        return _ONE if _ONE_BY_ONE.match(shown) else _LETTER
    if character in _APOSTROPHES:
        return _APOSTROPHE
    if not shown or character in _THROUGH:
        return _SKIPPED
    return _SIGN if shown in _AS_LETTERS else _COMMA if shown in _COMMAS else _OTHER


def _words(shown: list[str], kinds: str) -> Iterator[Piece]:
    """The words of a text by the kinds of its characters; a possessive stands apart."""
    owned = _OWNED.search(kinds)
    end = owned.start() if owned and shown[len(kinds) - 1] == "s" else len(kinds)
    for match in _WORD.finditer(kinds, 0, end):
        first, last = match.span()
        if match[0] == _COMMA:
            yield CLAUSE, first, first
        else:
            letters = (letter for letter, kind in zip(shown[first:last], match[0], strict=True) if kind not in "at")
            yield "".join(letters), first, last
    if end < len(kinds):
        yield POSSESSIVE, end, len(kinds)


def _mark(signs: str, at: int, before: str) -> Iterator[Piece]:
    """The mark that the signs behind a word make; the full stop of a short word may be an abbreviation's."""
    stops = _FULL_STOPS.intersection(signs)
    if stops:
        abbreviated = stops == {"."} and (len(before) <= 2 or before.isdigit())
        yield (CLAUSE if abbreviated else SENTENCE), at, at
    elif _COMMAS.intersection(signs) or signs in ("-", "--"):
        yield CLAUSE, at, at
