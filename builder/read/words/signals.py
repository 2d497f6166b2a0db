"""Signal words: those of ANSI Z535.6 in each language, where a text would pass for one of the theme's own panels."""

import unicodedata
from functools import lru_cache
from typing import Final, NamedTuple

from builder.read.words.language import languages, read_language
from builder.read.words.letters import folded
from builder.read.words.slips import SURE, is_one_slip

SMALL_SHARE: Final = 1 / 3
"""Letters of a signal word that may be small; of one in capitals, a few are to escape notice."""

# Signs of warning that stand for the safety alert symbol (ISO 7010, Unicode's Miscellaneous Symbols and Transport
# Symbols): chosen by eye.
_SIGNS: Final = frozenset("⚠⚡☠☢☣⛔⛛△▲🔺🚨🛑🚫🚷❗❕‼⁉🆘📛🔥💀")
_READ_AS: Final = str.maketrans("013456789@$!|€+", "oieasgtbgasilet")


class _Letter(NamedTuple):
    """A letter as it looks, whether it is a small one, and its place."""

    shape: str
    small: bool
    place: int


def signal_at_start(text: str, *, capitals: bool = False) -> str:
    """What a text begins with that passes for a signal word or its symbol; ``""`` if nothing does.

    Signal words count in capitals, also where they are spaced, slipped or written in look-alikes; ``capitals`` says
    that the page shows the whole text in capitals.
    """
    for character in text:
        if character in _SIGNS:
            return character
        if folded(character).isalnum():
            break
    letters = _first_letters(text)
    for word in _signal_words():
        for length in (len(word), len(word) + 1, len(word) - 1):
            if _passes(letters, length, word, text, capitals=capitals):
                return text[letters[0].place : letters[length - 1].place + 1]
    return ""


def _passes(letters: list[_Letter], length: int, word: str, text: str, *, capitals: bool) -> bool:
    """Whether the first letters of a text, so many of them, are a signal word, or one slip away from it as a word."""
    first = letters[:length]
    if len(first) < length:
        return False
    written = "".join(letter.shape for letter in first).translate(_READ_AS)
    shouted = capitals or sum(letter.small for letter in first) <= length * SMALL_SHARE
    if not shouted or written == word:
        return shouted and written == word
    rest = text[first[-1].place + 1 :]
    ends = not rest or not folded(rest[0]).isalnum()
    return ends and len(word) >= SURE and is_one_slip(written, word) and written not in _ordinary()


def _first_letters(text: str) -> list[_Letter]:
    """The first letters and figures of a text, whatever stands between them; more than a signal word has."""
    found: list[_Letter] = []
    most = max(map(len, _signal_words())) + 1
    for place, character in enumerate(text):
        shape = folded(character)
        if shape.isalnum() or (found and shape in "@$!|€+" and shape):
            found += [_Letter(letter, _is_small(character), place) for letter in shape]
        if len(found) >= most:
            break
    return found[:most]


def _is_small(character: str) -> bool:
    plain = unicodedata.normalize("NFKD", character)[0]
    return unicodedata.category(plain) == "Ll" and "CAPITAL" not in unicodedata.name(plain, "")


@lru_cache(maxsize=1)
def _signal_words() -> tuple[str, ...]:
    """Signal words of all languages in plain small letters, the longest first."""
    listed = {word for name in languages() for word in read_language(name).words(read_language(name).signals)}
    return tuple(sorted(listed, key=lambda word: (-len(word), word)))


@lru_cache(maxsize=1)
def _ordinary() -> frozenset[str]:
    each = (read_language(name) for name in languages())
    return frozenset(word for language in each for word in language.words(language.ordinary))
