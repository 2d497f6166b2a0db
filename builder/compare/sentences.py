"""The sentences in which two texts differ, each with as much around it as one needs to understand it."""

import re
from collections.abc import Iterator
from difflib import SequenceMatcher
from itertools import takewhile
from typing import Final, NamedTuple

from builder.reckon.amounts import whole_sum

AROUND: Final = 6
"""Words of a long sentence that are shown on either side of what changed."""
LONG: Final = 30
"""Words from which on a sentence is long."""

# A sentence ends with its mark, with its paragraph, and where an item, a row or a heading of Markdown begins.
_END: Final = re.compile(r"(?<=[.!?;:…])\s+|\n\s*\n|\n(?=\s*(?:[-*+>|#]|\d+[.)]))")


class Changed(NamedTuple):
    """What stood in a text and what stands there now; either may be empty."""

    before: str
    after: str


def changed_sentences(old: str, new: str) -> Iterator[Changed]:
    """The sentences that only one of two texts has; white space within them does not count.

    The longest run of sentences that both share stays, and so on before and behind it (Ratcliff and Obershelp, 1988,
    as :mod:`difflib` does it).
    """
    one, other = _sentences(old), _sentences(new)
    matcher = SequenceMatcher(None, one, other, autojunk=False)
    for how, start, end, begin, stop in matcher.get_opcodes():
        if how != "equal":
            yield in_short(Changed(" ".join(one[start:end]), " ".join(other[begin:stop])))


def in_short(changed: Changed) -> Changed:
    """A change of long sentences without the words that both share, but for a few around what differs."""
    one, other = changed.before.split(), changed.after.split()
    if min(len(one), len(other)) == 0 or max(len(one), len(other)) < LONG:
        return changed
    head = whole_sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False)))
    rest = min(len(one), len(other)) - head
    backwards = zip(one[::-1][:rest], other[::-1][:rest], strict=True)
    tail = whole_sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], backwards))
    left, right = max(0, head - AROUND), max(0, tail - AROUND)
    return Changed(_within(one, left, right), _within(other, left, right))


def _within(words: list[str], left: int, right: int) -> str:
    kept = words[left : len(words) - right]
    return " ".join([*["…"] * (left > 0), *kept, *["…"] * (right > 0)])


def _sentences(text: str) -> list[str]:
    return [" ".join(sentence.split()) for sentence in _END.split(text) if sentence.strip()]
