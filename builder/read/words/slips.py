"""Slips of the pen: known words that become others by one letter left out, put in, exchanged or swapped."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Final

SURE: Final = 6
"""Letters from which on any slip counts; of shorter words, only those that make nothing like another word."""
SHORT: Final = 4


class Slips:
    """Words by what is left of them when one letter is taken away (symmetric deletion, after W. Garbe, 2012)."""

    def __init__(self, words: Iterable[str]) -> None:
        self._left: dict[str, set[str]] = defaultdict(set)
        self._short: dict[str, str] = {}
        for word in sorted(words):
            if len(word) >= SURE:
                for left in {word, *_shortened(word)}:
                    self._left[left].add(word)
            elif len(word) >= SHORT:
                self._short.update(dict.fromkeys(_mild(word), word))

    def of(self, word: str) -> str | None:
        """The known word that a word is a slip of, the first by the alphabet; ``None`` if there is none."""
        if word in self._short:
            return self._short[word]
        if len(word) < SURE - 1:
            return None
        near: set[str] = set()
        for left in (word, *_shortened(word)):
            near |= self._left.get(left, set())
        return min((known for known in near if is_one_slip(word, known)), default=None)


def _shortened(word: str) -> Iterator[str]:
    return (word[:at] + word[at + 1 :] for at in range(len(word)))


def _mild(word: str) -> Iterator[str]:
    """Slips that leave a short word what it was to the eye: two letters swapped, one doubled, ``i`` for ``l``."""
    for at, letter in enumerate(word):
        yield word[:at] + letter + word[at:]
        if word[at : at + 2] != letter * 2:
            yield word[:at] + word[at + 1 : at + 2] + letter + word[at + 2 :]
        if letter in "il":
            yield word[:at] + ("l" if letter == "i" else "i") + word[at + 1 :]


def is_one_slip(word: str, known: str) -> bool:
    """Whether one letter more, less, other or swapped with its neighbour makes one word the other."""
    if abs(len(word) - len(known)) > 1:
        return False
    same = 0
    while same < min(len(word), len(known)) and word[same] == known[same]:
        same += 1
    one, other = word[same:], known[same:]
    if len(one) == len(other):
        return one[1:] == other[1:] or (one[:2] == other[1::-1] and one[2:] == other[2:])
    return one[1:] == other or one == other[1:]
