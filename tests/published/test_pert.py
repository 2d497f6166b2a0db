"""Mean and spread of amounts and of chains of them (PERT).

- D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar, "Application of a Technique for Research and Development
  Program Evaluation", Operations Research 7 (1959): mean (a + 4m + b)/6, standard deviation (b − a)/6, both of a beta
  distribution, and sums of means and variances along a chain. Formulas from memory.
- A textbook chapter on project management with a worked problem of seven activities (believed to be B. W. Taylor,
  Introduction to Management Science; edition and page not known): figures and answers from a stored page of it.
- University of North Carolina at Greensboro, SCM 304, unit 6.3.1: a table of eight activities with expected times and
  variances to two places; figures and answers from a stored page.
- F. E. Grubbs, "Attempts to Validate Certain PERT Statistics", Operations Research 10 (1962): mean and spread hold
  together only for a narrow family of beta distributions. That he says so is from a stored page that cites him.
- scipy.stats.beta: the beta distribution itself.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import beta, norm

from builder.read.notation import Amount
from builder.reckon.amounts import add_up, mean
from builder.reckon.totals import totals_of
from tests.sweep import EXAMPLES


@settings(max_examples=100 * EXAMPLES, deadline=None)
@given(st.integers(0, 500), st.integers(0, 500), st.integers(1, 500))
def test_mean_is_that_of_a_beta_distribution(low, rise, fall):
    """The PERT distribution: a beta distribution on low…high with its peak at likely and shapes that add up to 6."""
    likely, high = low + rise, low + rise + fall
    width = high - low
    shapes = 1 + 4 * (likely - low) / width, 1 + 4 * (high - likely) / width
    ours = mean(Amount(low, likely, high))
    assert ours == pytest.approx(beta(*shapes, loc=low, scale=width).mean(), rel=1e-12)


def test_mean_and_spread_together_are_those_of_one_family_of_beta_distributions():
    """Shapes 3 ± √2: they add up to 6 for the mean, and their product 7 gives the spread (b − a)/6."""
    for shapes in ((3 + 2**0.5, 3 - 2**0.5), (3 - 2**0.5, 3 + 2**0.5)):
        distribution = beta(*shapes, loc=10, scale=12)
        peak = 10 + 12 * (shapes[0] - 1) / (sum(shapes) - 2)
        total = add_up([Amount(10, peak, 22)])
        assert total.mean == pytest.approx(distribution.mean(), rel=1e-12)
        assert total.sd == pytest.approx(distribution.std(), rel=1e-12)


TEXTBOOK = {1: (5, 8, 17), 2: (7, 10, 13), 3: (3, 5, 7), 4: (1, 3, 5), 5: (4, 6, 8), 6: (3, 3, 3), 7: (3, 4, 5)}

CHAIN = """
start: first
steps:
  first: {title: First, time: {low: 5 min, likely: 8 min, high: 17 min}, results: {on: {expect: On, next: third}}}
  third: {title: Third, time: 3-7 min, results: {on: {expect: On, next: fifth}}}
  fifth: {title: Fifth, time: 4-8 min, results: {on: {expect: On, next: seventh}}}
endings:
  seventh: {title: Seventh, time: 3-5 min}
"""


def test_textbook_chain_of_activities():
    """Critical path 1, 3, 5, 7: 24 weeks, and P(at most 28 weeks) = 0.9633."""
    total = add_up([Amount(*TEXTBOOK[activity]) for activity in (1, 3, 5, 7)])
    assert total.mean == pytest.approx(24)
    # (12² + 4² + 4² + 2²)/36 = 5
    assert total.sd**2 == pytest.approx(5)
    # The table behind the printed figure has z to two places.
    assert norm.cdf(round((28 - total.mean) / total.sd, 2)) == pytest.approx(0.9633, abs=5e-5)


def test_textbook_chain_as_a_playbook(library_of):
    minutes = totals_of("chain", library_of({"chain": CHAIN})).paths[0].minutes
    assert minutes == (15, 23, 37, pytest.approx(24), pytest.approx(5**0.5))


COURSE = {
    "A": ((6, 7, 14), 8, 1.78),
    "B": ((8, 10, 12), 10, 0.44),
    "C": ((2, 3, 4), 3, 0.11),
    "D": ((6, 7, 8), 7, 0.11),
    "E": ((5, 5.5, 9), 6, 0.44),
    "F": ((5, 7, 9), 7, 0.44),
    "G": ((4, 6, 8), 6, 0.44),
    "H": ((2.5, 3, 3.5), 3, 0.03),
}


@pytest.mark.parametrize("activity", COURSE)
def test_course_table_of_activities(activity):
    three, expected, variance = COURSE[activity]
    total = add_up([Amount(*three)])
    assert total.mean == pytest.approx(expected)
    assert total.sd**2 == pytest.approx(variance, abs=0.005)


def test_course_project_takes_23_weeks():
    assert add_up([Amount(*COURSE[activity][0]) for activity in "ACEG"]).mean == pytest.approx(23)
