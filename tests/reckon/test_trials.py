from decimal import Decimal, localcontext
from fractions import Fraction
from math import ceil, exp

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.trials import clean_trials_needed, sure_after
from tests.sweep import EXAMPLES


@pytest.mark.parametrize(
    ("percent", "trials"),
    [
        # 0.4^3 = 0.064 and 0.4^4 = 0.0256: the fourth clean trial brings the doubt below 0.05.
        (60, 4),
        # 0.5^4 = 0.0625, 0.5^5 = 0.03125
        (50, 5),
        # 0.9^28 = 0.0523, 0.9^29 = 0.0471
        (10, 29),
        # 0.05 exactly after one trial, which is enough.
        (95, 1),
        # 0.06 after one trial, 0.0036 after two
        (94, 2),
        (100, 1),
    ],
)
def test_clean_trials_for_95_percent(percent, trials):
    assert clean_trials_needed(Fraction(percent, 100)) == trials


def test_a_whole_ratio_of_logarithms_is_not_rounded_up():
    # 0.1^2 = 0.01 and 0.1^3 = 0.001 exactly, although log(0.001)/log(0.1) comes to 2.9999999999999996 in floats.
    assert clean_trials_needed(Fraction(9, 10), Fraction(99, 100)) == 2
    assert clean_trials_needed(Fraction(9, 10), Fraction(999, 1000)) == 3


@pytest.mark.parametrize("shows", [Fraction(0), Fraction(-1, 2), Fraction(3, 2)])
def test_a_share_out_of_range_is_refused(shows):
    with pytest.raises(ValueError, match="shows"):
        clean_trials_needed(shows)


@pytest.mark.parametrize("sure", [Fraction(0), Fraction(1)])
def test_nobody_can_be_wholly_sure(sure):
    with pytest.raises(ValueError, match="sure"):
        clean_trials_needed(Fraction(1, 2), sure)


@settings(max_examples=150 * EXAMPLES, deadline=None)
@given(st.fractions(Fraction(1, 200), 1, max_denominator=1000), st.fractions(Fraction(1, 100), Fraction(99, 100)))
def test_the_number_is_the_least_that_is_enough(shows, sure):
    trials = clean_trials_needed(shows, sure)
    assert 1 - (1 - shows) ** trials >= sure
    assert trials == 1 or 1 - (1 - shows) ** (trials - 1) < sure


@pytest.mark.parametrize("zeros", [4, 6, 8])
def test_faults_that_hardly_ever_show_need_about_three_over_the_share(zeros):
    with localcontext(prec=60):
        exact = Decimal("0.05").ln() / (1 - Decimal(10) ** -zeros).ln()
    assert clean_trials_needed(Fraction(1, 10**zeros)) == ceil(exact)
    assert exact * Decimal(10) ** -zeros == pytest.approx(Decimal("2.9957"), abs=Decimal("0.0002"))


def test_sure_after_clean_trials():
    # 1 − 0.4^4 = 0.9744
    assert sure_after(Fraction(60, 100), 4) == pytest.approx(0.9744, abs=1e-15)
    assert sure_after(Fraction(60, 100), 0) == 0
    assert sure_after(Fraction(1), 1) == 1


def test_sure_after_very_many_clean_trials_of_a_fault_that_hardly_shows():
    # (1 − 1/n)^n tends to 1/e.
    assert sure_after(Fraction(1, 10**8), 10**8) == pytest.approx(1 - exp(-1), abs=1e-7)
