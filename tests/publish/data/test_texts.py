"""Texts as numbers: what is written can be read again, and what is said often takes least room."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.publish.data.texts import ALPHABET, BASE, ENDS, STARTS, Texts, coded

LAST = 50 + 30 * BASE + 10 * BASE**2 + (BASE - 90) * BASE**3 - 1


def numbers(text: str) -> list[int]:
    """Reads a coded text: the inverse, written from the description."""
    found, signs = [], iter(text)
    for sign in signs:
        lead = ALPHABET.index(sign)
        more = next(place for place, end in enumerate(ENDS) if lead < end)
        number = lead - STARTS[more]
        for _ in range(more):
            number = number * BASE + ALPHABET.index(next(signs))
        found.append(number + sum((ENDS[place] - STARTS[place]) * BASE**place for place in range(more)))
    return found


@given(st.lists(st.integers(0, LAST)))
def test_numbers_can_be_read_again(given: list[int]) -> None:
    assert numbers(coded(given)) == given


@pytest.mark.parametrize(("number", "length"), [(0, 1), (49, 1), (50, 2), (2779, 2), (2780, 3), (85589, 3), (85590, 4)])
def test_small_numbers_take_little_room(number: int, length: int) -> None:
    assert len(coded([number])) == length


def test_a_number_beyond_the_last_is_refused() -> None:
    assert numbers(coded([LAST])) == [LAST]
    with pytest.raises(ValueError, match="too many"):
        coded([LAST + 1])


def test_a_coded_text_needs_no_escape() -> None:
    assert json.dumps(ALPHABET) == f'"{ALPHABET}"'


def test_the_commonest_word_comes_first_and_texts_keep_their_order() -> None:
    texts = Texts(["the pump hums", "the pump", "the"])
    assert texts.words == ["the", "pump", "hums"]
    assert numbers(texts.coded("the pump hums", "the pump")) == [1, 2, 3, 0, 1, 2]
    assert texts.coded() == ""
    assert numbers(texts.coded("the")) == [1]


def test_words_that_are_said_equally_often_stand_in_the_order_of_the_alphabet() -> None:
    assert Texts(["b a", "c"]).words == Texts(["c", "a b"]).words == ["a", "b", "c"]
