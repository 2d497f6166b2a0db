"""A lexicon: the classes of a word, also where it is bent, compounded, joined, split, disguised or slipped."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from typing import Final

from builder.read.words.pieces import CLAUSE, POSSESSIVE, SENTENCE, Piece
from builder.read.words.slips import Slips

UNKNOWN: Final = " "
NUMBER: Final = "0"
"""Stands for every number in a list of words."""
_FIRST_SIGN: Final = 0x4E00
_MARKS: Final = {SENTENCE: SENTENCE, CLAUSE: CLAUSE}

_LONGEST: Final = 48
"""Letters of the longest word that is looked at for more than what it is to the letter."""
_LEAST: Final = 5
"""Letters of the shortest word that is put together from pieces which are not single letters."""
_HEAD: Final = 8
"""Letters of the shortest beginning of a compound in which a slip is looked for."""
_READ_AS: Final = (
    str.maketrans("013456789@$!|€+", "oieasgtbgasilet"),
    str.maketrans("013456789@$!|€+", "oleasbtbgasllet"),
)
_TAKEN_FOR: Final = (("rn", "m"), ("vv", "w"))
_RUN: Final = re.compile(r"(.)\1\1+")

Classes = Mapping[str, set[str]]


class Lexicon:
    """Gives each word a sign: one character for the set of classes that it is of.

    ``classes`` and ``small`` are words in plain letters by the name of their class, with a star at either end for the
    rest of a compound. Disguises are looked for of the words of ``classes`` only.
    """

    def __init__(self, classes: Classes, small: Classes, ordinary: set[str], *, joined: bool = True) -> None:
        self._ordinary, self._joined_up = ordinary, joined
        both = [(name, word) for kind in (small, classes) for name, words in kind.items() for word in sorted(words)]
        self._whole = _by_word((name, word.strip("*")) for name, word in both)
        self._heads = _by_word((name, word[:-1]) for name, word in both if word[-1] == "*" != word[0])
        self._tails = _by_word((name, word[1:]) for name, word in both if word[0] == "*" != word[-1])
        self._within = _by_word((name, word[1:-1]) for name, word in both if word[0] == "*" == word[-1])
        self._inner = _any_of(self._within)
        self._large = {word.strip("*") for words in classes.values() for word in words}
        self._beginnings = {word[:length] for word in self._large for length in range(1, len(word) + 1)}
        self._slips = Slips(self._large)
        begun = {*self._heads, *self._within} & self._large
        self._head_slips = Slips(word for word in begun if len(word) >= _HEAD)
        self._signs: dict[frozenset[str], str] = {}
        for names in (*self._whole.values(), *self._within.values(), *self._heads.values(), *self._tails.values()):
            self._sign(names)
        for head, tail in product(self._heads.values(), self._tails.values()):
            self._sign(head | tail)
        self._known = dict(_MARKS)

    def _sign(self, names: frozenset[str]) -> str:
        return self._signs.setdefault(names, chr(_FIRST_SIGN + len(self._signs)))

    def table(self) -> dict[str, dict[str, list[str]]]:
        """The words by their sign, for others that read plain spelling: whole words, and pieces of compounds."""
        parts = {"whole": self._whole, "heads": self._heads, "tails": self._tails, "within": self._within}
        found: dict[str, dict[str, list[str]]] = {name: defaultdict(list) for name in parts}
        for name, words in parts.items():
            for word, classes in sorted(words.items()):
                found[name][self._signs[classes]].append(word)
        return {name: dict(words) for name, words in found.items()}

    def signs(self, name: str) -> str:
        """The signs of all words of a class.

        Raises:
            KeyError: there is no such class.
        """
        found = "".join(sign for names, sign in self._signs.items() if name in names)
        if not found:
            raise KeyError(name)
        return found

    def encoded(self, pieces: list[Piece]) -> tuple[str, list[tuple[int, int]]]:
        """A text as signs, with the place of each in the text; marks stand for themselves."""
        signs: list[str] = []
        places: list[tuple[int, int]] = []
        at = 0
        last = len(pieces) - 1
        beginnings = self._beginnings
        while at <= last:
            word, start, end = pieces[at]
            if word in beginnings and at < last and word + pieces[at + 1][0] in beginnings:
                count, word = self._joined(pieces, at)
                at += count - 1
                end = pieces[at][2]
            sign = self._known.get(word) or self.of(word)
            signs.append(sign)
            places += [(start, end)] * len(sign)
            at += 1
        return "".join(signs), places

    def _joined(self, pieces: list[Piece], at: int) -> tuple[int, str]:
        """How many pieces from here make one large word, the most that do, and the word."""
        word = found = pieces[at][0]
        count, single, strange = 1, len(word) == 1, word not in self._whole
        for following in range(at + 1, len(pieces)):
            part = pieces[following][0]
            word += part
            single = single and len(part) == 1
            if word not in self._beginnings:
                break
            strange = strange and part not in self._whole
            if word in self._large and len(word) >= (3 if single else 4 if strange else _LEAST):
                count, found = following + 1 - at, word
        return count, found

    def of(self, word: str) -> str:
        """The sign of a word, several for one that is put together from known words."""
        known = self._known.get(word)
        if known is None:
            if len(self._known) > 1 << 16:
                self._known = dict(_MARKS)
            known = self._known[word] = self._found(word)
        return known

    def _found(self, word: str) -> str:
        if word in self._whole:
            return self._sign(self._whole[word])
        if word.isdigit() and NUMBER in self._whole:
            return self._sign(self._whole[NUMBER])
        if not 3 <= len(word) <= _LONGEST or word == POSSESSIVE or word in self._ordinary:
            return UNKNOWN
        meant = next((reading for reading in _readings(word) if reading in self._whole), None)
        return self.of(meant) if meant else self._compound(word) or self._parts(word) or UNKNOWN

    def _compound(self, word: str) -> str:
        """The sign of a compound, by its beginning or end, or of the word that it is a slip of."""
        within = self._inner.search(word)
        if within:
            return self._sign(self._within[within[0]])
        none: frozenset[str] = frozenset()
        heads = (self._heads[word[:end]] for end in range(len(word) - 1, 2, -1) if word[:end] in self._heads)
        tails = (self._tails[word[at:]] for at in range(2, len(word) - 2) if word[at:] in self._tails)
        head, tail = next(heads, none), next(tails, none)
        if head:
            return self._sign(head | tail)
        return self._slip(word) or (self._sign(tail) if tail else "")

    def _slip(self, word: str) -> str:
        meant = self._slips.of(word)
        ends = range(len(word) - 2, _HEAD - 1, -1)
        heads = (self._head_slips.of(word[:end]) for end in ends) if meant is None else ()
        meant = meant or next(filter(None, heads), None)
        return self._sign(self._whole[meant]) if meant else ""

    def _parts(self, word: str) -> str:
        """The signs of the known words that a word is made of when it is written without spaces."""
        if not self._joined_up:
            return ""
        ways: list[list[str] | None] = [[], *[None] * len(word)]
        for end in range(2, len(word) + 1):
            for start in range(max(0, end - 16), end - 1):
                way, part = ways[start], word[start:end]
                if way is not None and part in self._whole and (len(part) > 2 or start):
                    ways[end] = [*way, part]
                    break
        found = ways[-1] or []
        large = [part for part in found if part in self._large and len(part) > 3]
        return "".join(map(self.of, found)) if len(found) > 1 and large and len(word) > 6 else ""


def _by_word(named: Iterable[tuple[str, str]]) -> dict[str, frozenset[str]]:
    """The names of their classes by words."""
    found: dict[str, set[str]] = defaultdict(set)
    for name, word in named:
        found[word].add(name)
    return {word: frozenset(names) for word, names in found.items()}


def _any_of(words: Iterable[str]) -> re.Pattern[str]:
    """Finds any of some words, the longest first; of none, nothing."""
    return re.compile("|".join(sorted(words, key=lambda word: (-len(word), word))) or "(?!)")


def _readings(word: str) -> Iterator[str]:
    """What a disguised word may be read as: figures and signs for letters, ``rn`` for ``m``, letters drawn out."""
    if not word.isalpha():
        for table in _READ_AS:
            yield word.translate(table)
        return
    for written, meant in _TAKEN_FOR:
        if written in word:
            yield word.replace(written, meant)
    if _RUN.search(word):
        yield _RUN.sub(r"\1", word)
        yield _RUN.sub(r"\1\1", word)
