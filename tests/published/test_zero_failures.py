"""How much zero failures in n trials prove.

- J. A. Hanley and A. Lippman-Hand, "If Nothing Goes Wrong, Is Everything All Right? Interpreting Zero Numerators",
  JAMA 249 (1983): with none in n, the 95 % upper limit of the share is about 3/n. The rule and the cases 0 of 14 and
  0 of 167 from stored pages that quote the paper, 0 in 1500 from a stored encyclopedia page on the rule.
- C. J. Clopper and E. S. Pearson, Biometrika 26 (1934): the exact binomial limit, here from scipy.stats.
- The success-run numbers of reliability testing (59, 29, 22, 45, 299 …): from memory.
"""

from fractions import Fraction

import pytest
from scipy.stats import binom, binomtest

from builder.reckon.trials import SURE, clean_trials_needed, sure_after


def upper_limit(trials, sure=0.95):
    """Exact one-sided upper limit of a share that showed in none of so many trials."""
    return binomtest(0, trials, alternative="less").proportion_ci(sure, method="exact").high


@pytest.mark.parametrize("percent", [0.2, 0.5, 1, 2.5, 5, 10, 15, 20, 30, 45, 60, 75, 90, 94, 96, 99])
def test_clean_trials_push_the_exact_limit_below_the_share(percent):
    shows = Fraction(str(percent)) / 100
    trials = clean_trials_needed(shows)
    assert upper_limit(trials) <= float(shows)
    assert trials == 1 or upper_limit(trials - 1) > float(shows)


@pytest.mark.parametrize("trials", [14, 30, 50, 100, 167, 300, 1000, 1500])
def test_rule_of_three(trials):
    """A fault that shows in 3/n of the trials is gone, 95 % sure, after n clean ones and hardly fewer."""
    needed = clean_trials_needed(Fraction(3, trials))
    assert needed <= trials
    assert needed >= trials - max(2, trials / 100)
    assert upper_limit(trials) <= 3 / trials


@pytest.mark.parametrize(("none_in", "limit"), [(14, 0.193), (167, 0.018)])
def test_cases_of_hanley_and_lippman_hand(none_in, limit):
    """Exact limits of 0 in 14 and 0 in 167 (1 − 0.05^(1/n), three places): the share that they rule out."""
    assert upper_limit(none_in) == pytest.approx(limit, abs=0.0005)
    assert sure_after(Fraction(limit + 0.001).limit_denominator(10_000), none_in) >= SURE
    assert sure_after(Fraction(limit - 0.001).limit_denominator(10_000), none_in) < SURE


@pytest.mark.parametrize(
    ("works", "sure", "trials"),
    [(95, 95, 59), (90, 95, 29), (90, 90, 22), (95, 90, 45), (99, 95, 299), (99, 90, 230), (80, 95, 14), (50, 95, 5)],
)
def test_success_run_numbers(works, sure, trials):
    """So many trials without failure show, so sure, that at least so many per cent work."""
    assert clean_trials_needed(1 - Fraction(works, 100), Fraction(sure, 100)) == trials


@pytest.mark.parametrize("shows", [0.02, 0.3, 0.6, 0.95])
@pytest.mark.parametrize("clean", [0, 1, 4, 59])
def test_sure_after_clean_trials_is_the_binomial_chance_of_having_seen_it(shows, clean):
    assert sure_after(Fraction(str(shows)), clean) == pytest.approx(1 - binom.pmf(0, clean, shows), abs=1e-14)
