"""Bayes' rule on worked examples from print.

- J. A. Rice, Mathematical Statistics and Data Analysis, 3rd edition (2007), chapter 1: a radiologist's diagnosis
  (after D. M. Eddy, 1982). Figures and the answer, 7.5 %, from a stored page that quotes the example.
- G. Gigerenzer and U. Hoffrage, "How to Improve Bayesian Reasoning Without Instruction: Frequency Formats",
  Psychological Review 102 (1995): the mammography problem. Figures and the answer, 7.8 %, from memory.
- W. Casscells, A. Schoenberger and T. B. Graboys, "Interpretation by Physicians of Clinical Laboratory Results",
  New England Journal of Medicine 299 (1978). Figures and the answer, about 2 %, from memory.

A cause stands for the illness, a step for the test.
"""

import pytest

from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import totals_of

EXAMPLE = """
causes: {{ill: {{name: Ill, share: {share}}}}}
start: examine
steps:
  examine:
    title: Examine
    results:
      positive: {{expect: Positive, chance: {{ill: {hit}, otherwise: {false_alarm}}}, next: treat}}
      negative: {{expect: Negative, chance: rest, next: leave}}
endings:
  treat: {{title: Treat, settles: [ill]}}
  leave: {{title: Leave it}}
"""


@pytest.mark.parametrize(
    ("share", "hit", "false_alarm", "printed"),
    [
        pytest.param("1%", "80%", "10%", 0.075, id="Rice"),
        pytest.param("1%", "80%", "9.6%", 0.078, id="Gigerenzer and Hoffrage"),
        pytest.param("0.1%", "100%", "5%", 0.02, id="Casscells and others"),
    ],
)
def test_chance_of_illness_after_a_positive_test(share, hit, false_alarm, printed, library_of):
    example = EXAMPLE.format(share=share, hit=hit, false_alarm=false_alarm)
    library = library_of({"test": example})
    reckoning = reckoning_of(library.playbooks["test"], library.catalogue, library.settings)
    posterior = reckoning.odds.posterior(reckoning.graph, ["positive"])
    assert round(posterior["ill"], 3) == pytest.approx(printed, abs=0.0005)


def test_ten_women_in_a_thousand(library_of):
    """Gigerenzer and Hoffrage's frequency format, from memory: 8 of 10 ill and 95 of 990 others test positive."""
    library = library_of({"test": EXAMPLE.format(share="1%", hit="80%", false_alarm="9.6%")})
    made = totals_of("test", library)
    positive = next(path for path in made.paths if path.results == ("positive",))
    assert positive.chance * 1000 == pytest.approx(8 + 95, abs=0.05)
    assert positive.settled == pytest.approx(8 / 103, abs=0.0005)
    assert made.settled * 1000 == pytest.approx(8)
