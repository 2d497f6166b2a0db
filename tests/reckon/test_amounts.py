from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.read.notation import ZERO, Amount
from builder.reckon.amounts import add_up, mean, times
from tests.sweep import EXAMPLES

figures = st.floats(0, 1e6)
amounts = st.lists(figures, min_size=3, max_size=3).map(lambda three: Amount(*sorted(three)))


def test_mean_weighs_the_likely_value_four_times():
    # (10 + 4 × 13 + 22) / 6 = 84 / 6 = 14
    assert mean(Amount(10, 13, 22)) == 14


def test_mean_of_a_plain_value_is_the_value():
    assert mean(Amount(7, 7, 7)) == 7


def test_sum_of_two_activities():
    # Means 14 and 6; spreads (22 − 10)/6 = 2 and (9 − 0)/6 = 1.5, together √(4 + 2.25) = 2.5.
    total = add_up([Amount(10, 13, 22), Amount(0, 6.75, 9)])
    assert total == (10, 19.75, 31, 20, 2.5)


def test_sum_of_nothing_is_nothing():
    assert add_up([]) == (0, 0, 0, 0, 0)


def test_one_amount_three_times_spreads_more_than_three_amounts():
    # One: 3 × 1 = 3. Three independent ones: √3 × 1.
    one = Amount(2, 5, 8)
    assert add_up([times(one, 3)]).sd == 3
    assert add_up([one] * 3).sd == pytest.approx(sqrt(3))
    assert add_up([times(one, 3)])[:4] == add_up([one] * 3)[:4]


def test_zero_adds_nothing():
    one = Amount(1, 2, 6)
    assert add_up([one, ZERO, ZERO]) == add_up([one])


@settings(max_examples=100 * EXAMPLES, deadline=None)
@given(st.lists(amounts, max_size=12), st.randoms(use_true_random=False))
def test_sum_is_the_same_in_any_order(terms, random):
    shuffled = random.sample(terms, len(terms))
    assert add_up(shuffled) == add_up(terms)


@settings(max_examples=100 * EXAMPLES, deadline=None)
@given(st.lists(amounts, max_size=12))
def test_sum_keeps_low_likely_mean_and_high_in_order(terms):
    total = add_up(terms)
    slack = 1e-9 * (1 + total.high)
    assert total.low <= total.likely <= total.high
    assert total.low - slack <= total.mean <= total.high + slack
    assert 0 <= total.sd <= (total.high - total.low) / 6 + slack
