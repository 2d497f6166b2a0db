"""Slips between two words, against the definition: the least number of single changes, found by trying them all."""

import random
from typing import Final

LETTERS: Final = "abc"
WORDS: Final = 400


def one_slip_away(word: str) -> set[str]:
    """Every word that one slip makes: a letter too many, too few, another, or two neighbours swapped."""
    cuts = [(word[:k], word[k:]) for k in range(len(word) + 1)]
    return (
        {a + letter + b for a, b in cuts for letter in LETTERS}
        | {a + b[1:] for a, b in cuts if b}
        | {a + letter + b[1:] for a, b in cuts if b for letter in LETTERS}
        | {a + b[1] + b[0] + b[2:] for a, b in cuts if len(b) > 1}
    )


def test_slips_are_the_least_number_of_changes(modules) -> None:
    choose = random.Random(2)
    pairs = [["".join(choose.choices(LETTERS, k=choose.randrange(7))) for _ in range(2)] for _ in range(WORDS)]
    found = modules.evaluate(
        "(pairs) => pairs.map(([a, b]) => Math.min(droplight.spelling.slips(a, b, 1), 9))",
        pairs,
    )
    told = [0 if a == b else 1 if b in one_slip_away(a) else 9 for a, b in pairs]
    assert found == told
    assert {0, 1, 9} == set(told)


def test_more_slips_than_asked_for_are_as_good_as_any(modules) -> None:
    slips = "([a, b, most]) => droplight.spelling.slips(a, b, most)"
    assert modules.evaluate(slips, ["thermostat", "termosdat", 2]) == 2
    assert modules.evaluate(slips, ["thermostat", "termosdad", 2]) == float("inf")
    assert modules.evaluate(slips, ["ab", "abcd", 1]) == float("inf")


def test_no_word_that_is_near_is_passed_over_for_its_letters(modules) -> None:
    choose = random.Random(3)
    words = ["".join(choose.choices("abcdefghijkl", k=choose.randrange(4, 9))) for _ in range(80)]
    passed = modules.evaluate(
        """(words) => words.flatMap((a) => words.filter((b) => [1, 2, 4].some((most) =>
            droplight.spelling.slips(a, b, most) <= most
            && !droplight.spelling.mayBeNear(droplight.spelling.letters(a), droplight.spelling.letters(b), most))))""",
        [*words, *(word[1:] for word in words), *(word[:2] + "z" + word[3:] for word in words)],
    )
    assert passed == []
