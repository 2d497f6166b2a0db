"""Texts as numbers: each distinct word once, ordered by how often it is said, so that an index stays small.

A number is one to four printable characters. Which, its first character says: below ``ENDS[0]`` it stands alone, below
``ENDS[1]`` one more follows, and so on. ``theme/scripts/search/coded.js`` reads it.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

ALPHABET: Final = "".join(chr(code) for code in range(35, 127) if chr(code) != "\\")
"""Printable characters that need no escape in JSON or HTML attributes."""

BASE: Final = len(ALPHABET)
ENDS: Final = (50, 80, 90, BASE)
STARTS: Final = (0, *ENDS[:-1])


def coded(numbers: Iterable[int]) -> str:
    """Numbers as text; the smallest take one character, and none may be 754,000 or more.

    Raises:
        ValueError: a number is too large.
    """
    return "".join(map(_coded, numbers))


def _coded(number: int) -> str:
    for more, (start, end) in enumerate(zip(STARTS, ENDS, strict=True)):
        room = (end - start) * BASE**more
        if number < room:
            lead, rest = divmod(number, BASE**more)
            tail = [rest // BASE**place % BASE for place in reversed(range(more))]
            return "".join(ALPHABET[digit] for digit in (start + lead, *tail))
        number -= room
    raise ValueError("too many distinct words for an index")


class Texts:
    """The distinct words of some texts, the commonest first; 0 stands between two texts."""

    def __init__(self, texts: Iterable[str]) -> None:
        counts = Counter(word for text in texts for word in text.split())
        self.words: Sequence[str] = sorted(counts, key=lambda word: (-counts[word], word))
        self._numbers = {word: number for number, word in enumerate(self.words, 1)}

    def coded(self, *texts: str) -> str:
        """Texts in the order given."""
        numbers = [[self._numbers[word] for word in text.split()] for text in texts]
        ends = [[*ahead, 0] for ahead, _ in pairwise(numbers)]
        return coded(number for text in [*ends, *numbers[-1:]] for number in text)
