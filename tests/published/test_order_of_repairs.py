"""In which order to try repairs when one of them will do.

- J. B. Kadane and H. A. Simon, "Optimal Strategies for a Class of Constrained Sequential Problems", Annals of
  Statistics 5 (1977), and D. Heckerman, J. S. Breese and K. Rommelse, "Decision-Theoretic Troubleshooting",
  Communications of the ACM 38 (1995): with one fault at a time and repairs that cost c and put it right with
  probability p, the order of falling p/c is the cheapest, and a sequence is expected to cost
  Σ cᵢ · (1 − Σ p of those before). That the rule is theirs is from stored pages that cite it; the formula from memory.
- S. M. Ross, A First Course in Probability, chapter 4: two possible causes of a breakdown, costs C to check and R to
  repair; check the first one first if C₁(1 − p) ≤ C₂p. The problem from a stored page, the source's place from memory.

The probabilities and costs are the test's own.
"""

from fractions import Fraction
from itertools import pairwise, permutations

import pytest

from builder.reckon.totals import totals_of

REPAIRS = {"fuse": (5, 4), "relay": (15, 25), "pump": (35, 180), "filter": (12, 30), "wiring": (23, 90)}
"""Per cent of the cases that a repair puts right, and what it costs."""

CALL = 400
"""What it costs to have the rest, 10 % of the cases, repaired by a professional."""


def sequence(order):
    """The playbook that tries repairs in this order and then calls for help."""
    lines = ["causes:"]
    lines += [f"  {name}: {{name: {name}, share: {share}%}}" for name, (share, _) in REPAIRS.items()]
    lines += [f"start: try-{order[0]}", "steps:"]
    for name, after in pairwise([*order, None]):
        following = f"try-{after}" if after else "call"
        lines += [
            f"  try-{name}:",
            f"    title: Try the {name}",
            f"    cost: {REPAIRS[name][1]}",
            "    results:",
            f"      works: {{expect: It works, chance: {{{name}: 100%, otherwise: 0%}}, next: done-{name}}}",
            f"      fails: {{expect: It fails, chance: rest, next: {following}}}",
        ]
    lines += ["endings:", f"  call: {{title: Call for help, cost: {CALL}}}"]
    lines += [f"  done-{name}: {{title: Done, settles: [{name}]}}" for name in order]
    return "\n".join(lines) + "\n"


def published(order):
    """Expected cost of repair by the formula."""
    left = Fraction(1)
    cost = Fraction(0)
    for name in order:
        share, price = REPAIRS[name]
        cost += left * price
        left -= Fraction(share, 100)
    return cost + left * CALL


@pytest.fixture(scope="module")
def expected(library_of):
    """Expected money by order, for every order."""
    orders = list(permutations(REPAIRS))
    library = library_of({"-".join(order): sequence(order) for order in orders})
    return {order: totals_of("-".join(order), library).expected.money for order in orders}


def test_every_order_costs_what_the_formula_says(expected):
    assert len(expected) == 120
    for order, money in expected.items():
        assert money == pytest.approx(float(published(order)), rel=1e-12)


def test_falling_probability_over_cost_is_the_cheapest_order(expected):
    cheapest = min(expected, key=expected.get)
    # 5/4 = 1.25, 15/25 = 0.6, 12/30 = 0.4, 23/90 = 0.2555…, 35/180 = 0.1944…
    assert cheapest == ("fuse", "relay", "filter", "wiring", "pump")
    assert list(cheapest) == sorted(REPAIRS, key=lambda name: Fraction(*REPAIRS[name]), reverse=True)
    # 4 + 0.95 × 25 + 0.80 × 30 + 0.68 × 90 + 0.45 × 180 + 0.10 × 400
    assert expected[cheapest] == pytest.approx(4 + 23.75 + 24 + 61.2 + 81 + 40)


def test_swapping_two_neighbours_into_that_order_always_saves(expected):
    """The exchange argument behind the rule: the saving is c₁p₂ − c₂p₁ whatever comes before and after."""
    for order, money in expected.items():
        for i, (first, second) in enumerate(pairwise(order)):
            swapped = (*order[:i], second, first, *order[i + 2 :])
            (p1, c1), (p2, c2) = REPAIRS[first], REPAIRS[second]
            assert money - expected[swapped] == pytest.approx((c1 * p2 - c2 * p1) / 100, abs=1e-9)


def test_likeliest_first_and_cheapest_first_both_cost_more(library_of):
    library = library_of(
        {
            "by-ratio": sequence(sorted(REPAIRS, key=lambda name: -REPAIRS[name][0] / REPAIRS[name][1])),
            "by-share": sequence(sorted(REPAIRS, key=lambda name: -REPAIRS[name][0])),
        }
    )
    assert totals_of("by-ratio", library).expected.money < totals_of("by-share", library).expected.money


ROSS = """
causes: {{first: {{name: First, share: {p}%}}, second: {{name: Second, share: {q}%}}}}
start: check
steps:
  check:
    title: Check one
    cost: {check_one}
    results:
      yes: {{expect: It is, chance: {{{one}: 100%, otherwise: 0%}}, next: repair-one}}
      no: {{expect: It is not, chance: rest, next: check-other}}
  check-other:
    title: Check the other
    cost: {check_other}
    results: {{done: {{expect: It is, next: repair-other}}}}
endings:
  repair-one: {{title: Repair, cost: {repair_one}, settles: [{one}]}}
  repair-other: {{title: Repair, cost: {repair_other}, settles: [{other}]}}
"""


@pytest.mark.parametrize("p", [10, 40, 50, 75, 95])
@pytest.mark.parametrize(("c1", "c2"), [(20, 20), (60, 20), (10, 90)])
def test_two_possible_causes_of_a_breakdown(p, c1, c2, library_of):
    r1, r2 = 150, 70
    shares = {"p": p, "q": 100 - p}
    first = ROSS.format(
        **shares, one="first", other="second", check_one=c1, check_other=c2, repair_one=r1, repair_other=r2
    )
    second = ROSS.format(
        **shares, one="second", other="first", check_one=c2, check_other=c1, repair_one=r2, repair_other=r1
    )
    library = library_of({"first": first, "second": second})
    first_first, second_first = (totals_of(slug, library).expected.money for slug in ("first", "second"))
    chance = p / 100
    assert first_first == pytest.approx(chance * (c1 + r1) + (1 - chance) * (c1 + c2 + r2))
    assert second_first == pytest.approx((1 - chance) * (c2 + r2) + chance * (c2 + c1 + r1))
    assert (first_first <= second_first + 1e-9) == (c1 * (1 - chance) <= c2 * chance + 1e-9)
