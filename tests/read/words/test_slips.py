"""Slips of the pen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.words.slips import Slips, is_one_slip


def distance(one: str, other: str) -> int:
    """Optimal string alignment distance by its recurrence (Boytsov 2011, section 2.2: restricted transpositions)."""
    rows = [[max(i, j) if min(i, j) == 0 else 0 for j in range(len(other) + 1)] for i in range(len(one) + 1)]
    for i in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            cost = one[i - 1] != other[j - 1]
            rows[i][j] = min(rows[i - 1][j] + 1, rows[i][j - 1] + 1, rows[i - 1][j - 1] + cost)
            if i > 1 and j > 1 and one[i - 1] == other[j - 2] and one[i - 2] == other[j - 1]:
                rows[i][j] = min(rows[i][j], rows[i - 2][j - 2] + 1)
    return rows[-1][-1]


words = st.text("abc", min_size=1, max_size=7)


@given(one=words, other=words)
def test_one_slip_is_a_distance_of_one_at_most(one: str, other: str) -> None:
    assert is_one_slip(one, other) is (distance(one, other) <= 1)


@given(known=st.sets(st.text("abc", min_size=6, max_size=8), max_size=5), word=st.text("abc", min_size=5, max_size=9))
def test_the_nearest_known_word_is_found(known: set[str], word: str) -> None:
    near = {one for one in known if distance(one, word) <= 1}
    assert Slips(known).of(word) == min(near, default=None)


@pytest.mark.parametrize(
    ("word", "meant"),
    [("hydrualic", "hydraulic"), ("hydralic", "hydraulic"), ("hydraulicc", "hydraulic"), ("hydrarulc", None)],
)
def test_long_words_count_with_any_one_slip(word: str, meant: str | None) -> None:
    assert Slips(["hydraulic"]).of(word) == meant


@pytest.mark.parametrize(
    ("word", "meant"),
    [("jcak", "jack"), ("jackk", "jack"), ("Iift".lower(), "lift"), ("back", None), ("jac", None), ("jacks", None)],
)
def test_short_words_count_with_mild_slips_only(word: str, meant: str | None) -> None:
    assert Slips(["jack", "lift"]).of(word) == meant
