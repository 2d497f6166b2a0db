"""Pieces of a text: words, marks, places."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.words.pieces import CLAUSE, POSSESSIVE, SENTENCE, pieces


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Raise the car, then stop.", ["raise", "the", "car", CLAUSE, "then", "stop", SENTENCE]),
        ("(slowly)", [CLAUSE, "slowly", CLAUSE]),
        ("One; two: three!", ["one", SENTENCE, "two", CLAUSE, "three", SENTENCE]),
        ("No. 1 is at 12. It", ["no", CLAUSE, "1", "is", "at", "12", CLAUSE, "it"]),
        ("the car's wheels", ["the", "car", POSSESSIVE, "wheels"]),
        ("the car’s.", ["the", "car", POSSESSIVE, SENTENCE]),
        ("don't", ["dont"]),
        ("axle-stands/ramps_up", ["axle", "stands", "ramps", "up"]),
        ("ja**ck** *it*", ["jack", "it"]),
        ("j@ck it!", ["j@ck", "it", SENTENCE]),
        ("a $5 part", ["a", "5", "part"]),
        ("car - and", ["car", CLAUSE, "and"]),
        ("one\n\ntwo\nthree", ["one", SENTENCE, "two", "three"]),
        ("ja\u200bck", ["jack"]),
        ("车辆 举升", ["车", "辆", "举", "升"]),
        ("…", [SENTENCE]),
        ("", []),
    ],
)
def test_words_and_marks(text: str, words: list[str]) -> None:
    assert [word for word, _, _ in pieces(text)] == words


def test_places_are_those_of_the_text_as_written() -> None:
    text = "Get (the)  ja**ck**\u200b, now"
    assert [text[start:end] for _, start, end in pieces(text)] == ["Get", "", "the", "", "ja**ck", "", "now"]


@given(text=st.text(st.sampled_from("ab'’s.,-*_ \n@1é\u200b日("), max_size=80))
def test_places_lie_in_order_within_the_text(text: str) -> None:
    at = 0
    for _, start, end in pieces(text):
        assert at <= start <= end <= len(text)
        at = end


def test_a_long_text_without_spaces_takes_no_longer_than_its_length_asks_for() -> None:
    assert len(pieces("a'b-" * 50_000)) == 50_001
