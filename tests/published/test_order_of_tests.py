"""In which order to test, and what work that shares an opening changes.

- The test sequencing example with five tests and six states of the literature on the problem (K. R. Pattipati and
  M. G. Alexandridis, "Application of Heuristic Search and Information Theory to Sequential Fault Diagnosis", IEEE
  Transactions on Systems, Man and Cybernetics 20, 1990; again in V. Raghavan, M. Shakeri and K. R. Pattipati, "Test
  Sequencing Problems Arising in Test Planning and Design for Testability", the same, part A 29, 1999): states with
  probabilities 0.70, 0.01, 0.02, 0.10, 0.05 and 0.12, tests of cost 1, expected cost of the best sequence 2.18. The
  matrix and the optimum are from memory; that they belong together is reckoned here by another method.
- T. J. Ottosen and F. V. Jensen, "The Cost of Troubleshooting Cost Clusters with Inside Information" (UAI 2010):
  actions that need an opening, which is paid once, are best taken "P over C" from the bottom up: a cluster competes by
  the best ratio that its first few actions have together, the opening counted. The rule is from the stored abstract,
  how it is applied here from memory. Probabilities and costs are the test's own.
"""

from functools import cache
from itertools import permutations

import pytest

from builder.reckon.order.problem import Fee, Item, Problem
from builder.reckon.order.search import Search

STATES = (0.70, 0.01, 0.02, 0.10, 0.05, 0.12)
TESTS = ((0, 0, 0, 1, 1, 1), (0, 1, 0, 0, 1, 1), (0, 0, 1, 0, 0, 1), (0, 0, 1, 1, 0, 1), (0, 1, 0, 1, 0, 0))
"""For each test, the states in which it fails."""
BEST = 2.18
REPAIR = 10_000.0


@cache
def least_tests(states: tuple[int, ...]) -> float:
    """The least expected number of tests that tells these states apart, over all of them: dynamic programming."""
    if len(states) == 1:
        return 0.0
    halves = [
        (tuple(s for s in states if fails[s]), tuple(s for s in states if not fails[s])) for fails in TESTS
    ]  # fmt: skip
    here = sum(STATES[s] for s in states)
    return min(here + least_tests(yes) + least_tests(no) for yes, no in halves if yes and no)


def test_the_best_sequence_of_five_tests_for_six_states() -> None:
    """Each state has its own repair, so dear that none is tried before the state is known."""
    assert least_tests(tuple(range(6))) == pytest.approx(BEST)
    count = len(STATES)
    problem = Problem(
        causes=tuple(f"s{s}" for s in range(count)),
        weights=STATES,
        bills=(100 * REPAIR,) * count,
        fees=(),
        steps=tuple(Item(f"t{t}", 1.0, (), (), ()) for t in range(len(TESTS))),
        results=(("passes", "fails"),) * len(TESTS),
        chances=tuple((tuple(1.0 - one for one in fails), tuple(float(one) for one in fails)) for fails in TESTS),
        endings=tuple(Item(f"mend-{s}", REPAIR, (), (), ()) for s in range(count)),
        settles=tuple(tuple(c == s for c in range(count)) for s in range(count)),
    )
    root = Search(problem).solve(100_000)
    assert root.high - REPAIR == pytest.approx(BEST)
    assert root.low == pytest.approx(root.high, rel=1e-8)


OPENINGS = {"undertray": 30.0, "dashboard": 55.0}
ACTIONS = {
    "fuse": (0.06, 4.0, None),
    "relay": (0.10, 22.0, None),
    "sensor": (0.22, 12.0, "undertray"),
    "pipe": (0.14, 20.0, "undertray"),
    "bracket": (0.04, 9.0, "undertray"),
    "loom": (0.30, 15.0, "dashboard"),
    "switch": (0.14, 60.0, "dashboard"),
}  # fmt: skip
"""The chance that an action puts the fault right, its cost, and what it needs opened."""


def cost_of(order: tuple[str, ...]) -> float:
    """The expected cost of a sequence: each action, and each opening when it is first needed, if it comes to it."""
    left, total = 1.0, 0.0
    opened: set[str] = set()
    for name in order:
        chance, cost, needs = ACTIONS[name]
        if needs and needs not in opened:
            opened.add(needs)
            cost += OPENINGS[needs]
        total += left * cost
        left -= chance
    return total


def bottom_up() -> tuple[str, ...]:
    """The order by P over C, where the actions behind an opening compete as the best beginning of them does."""

    def ratio(names: tuple[str, ...], opening: float) -> float:
        return sum(ACTIONS[name][0] for name in names) / (opening + sum(ACTIONS[name][1] for name in names))

    order: list[str] = []
    while len(order) < len(ACTIONS):
        opened = {ACTIONS[name][2] for name in order}
        groups: list[tuple[float, tuple[str, ...]]] = []
        for needs in (None, *OPENINGS):
            names = [name for name, (_, _, need) in ACTIONS.items() if need == needs and name not in order]
            names.sort(key=lambda name: -ACTIONS[name][0] / ACTIONS[name][1])
            opening = 0.0 if needs is None or needs in opened else OPENINGS[needs]
            groups += [(ratio(tuple(names[:k]), opening), tuple(names[:k])) for k in range(1, len(names) + 1)]
        order += max(groups, key=lambda group: (group[0], -len(group[1])))[1]
    return tuple(order)


def test_work_that_shares_an_opening_is_done_together_where_that_is_cheapest() -> None:
    names = tuple(ACTIONS)
    fees = tuple(OPENINGS)
    problem = Problem(
        causes=names,
        weights=tuple(chance for chance, _, _ in ACTIONS.values()),
        bills=(100_000.0,) * len(names),
        fees=tuple(Fee(name, price, price) for name, price in OPENINGS.items()),
        steps=(),
        results=(),
        chances=(),
        endings=tuple(
            Item(name, cost, (fees.index(needs),) if needs else (), (), ())
            for name, (_, cost, needs) in ACTIONS.items()
        ),
        settles=tuple(tuple(cause == name for cause in names) for name in names),
    )
    root = Search(problem).solve(100_000)
    rule = bottom_up()
    cheapest = min(permutations(names), key=cost_of)
    assert cost_of(rule) == pytest.approx(cost_of(cheapest))
    assert root.high == pytest.approx(cost_of(rule))
    assert root.low == pytest.approx(root.high, rel=1e-8)
    by_ratio = tuple(sorted(names, key=lambda name: -ACTIONS[name][0] / ACTIONS[name][1]))
    assert cost_of(by_ratio) > cost_of(rule) + 1
