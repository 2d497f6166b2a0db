"""100,000 owners who follow each order pay on average what it is said to cost, within three standard errors.

Each owner has one cause, sees results as they come up under it, and pays for what was done where the path ends: fees
once, then a professional's bill where the fault is left. Nothing of the reckoning is used but the problem's figures.
"""

import random
from collections.abc import Callable
from math import sqrt
from typing import Any, Final

import pytest

from builder.reckon.order.policy import policy_of
from builder.reckon.order.problem import Item, Problem, problem_of
from builder.reckon.order.search import Search
from builder.reckon.order.shape import Shape, cost_of, written_shape
from builder.reckon.order.shaping import best_shape, shape_of_policy
from tests.demo import demo_library
from tests.sweep import SWEEP

OWNERS: Final = 100_000
LIBRARY: Final = demo_library()
SEED: Final = 2026
SOME: Final = ("fan-on-top-speed-only", "clonk-over-bumps")

Follow = Callable[[int, random.Random], tuple[list[Item], bool]]
"""What an owner does under a cause, and whether that puts it right."""


def drawn(chances: list[float], chance: random.Random) -> int:
    at = chance.random() * sum(chances)
    for place, share in enumerate(chances):
        at -= share
        if at < 0:
            return place
    return max(place for place, share in enumerate(chances) if share)


def paid(problem: Problem, done: list[Item], bill: float) -> float:
    own = {fee for item in done for fee in item.own}
    shop = {fee for item in done for fee in item.shop} - own
    fees = sum(problem.fees[k].own for k in own) + sum(problem.fees[k].shop for k in shop)
    return sum(item.cost for item in done) + fees + bill


def simulated(problem: Problem, follow: Follow) -> tuple[float, float]:
    """The mean over all owners, and its standard error."""
    chance = random.Random(SEED)
    total = squares = 0.0
    for _ in range(OWNERS):
        cause = drawn(list(problem.weights), chance)
        done, right = follow(cause, chance)
        cost = paid(problem, done, 0.0 if right else problem.bills[cause])
        total += cost
        squares += cost * cost
    mean = total / OWNERS
    return mean, sqrt(max(0.0, squares / OWNERS - mean * mean) / OWNERS)


def along_shape(problem: Problem, shape: Shape) -> Follow:
    def follow(cause: int, chance: random.Random) -> tuple[list[Item], bool]:
        done: list[Item] = []
        step = shape.start
        while True:
            done.append(problem.steps[step])
            result = drawn([row[cause] for row in problem.chances[step]], chance)
            target = shape.ways[step][result]
            if target.kind == "handover":
                return done, False
            if target.kind == "ending":
                return [*done, problem.endings[target.number]], problem.settles[target.number][cause]
            step = target.number

    return follow


def along_policy(problem: Problem, entries: Any) -> Follow:
    def follow(cause: int, chance: random.Random) -> tuple[list[Item], bool]:
        done: list[Item] = []
        place = 0
        while True:
            entry = entries[place]
            if entry.kind == "professional":
                return done, False
            if entry.kind == "ending":
                done.append(problem.endings[entry.number])
                if problem.settles[entry.number][cause]:
                    return done, True
                place = entry.to[-1]
            else:
                done.append(problem.steps[entry.number])
                place = entry.to[drawn([row[cause] for row in problem.chances[entry.number]], chance)]

    return follow


def assert_agrees(problem: Problem, follow: Follow, cost: float) -> None:
    mean, error = simulated(problem, follow)
    assert abs(mean - cost) <= 3 * error + 1e-9 * cost, (mean, cost, error)


@pytest.mark.soak
@pytest.mark.parametrize("slug", sorted(LIBRARY.playbooks) if LIBRARY and SWEEP else SOME)
def test_owners_pay_what_the_order_says(slug: str) -> None:
    assert LIBRARY
    playbook = LIBRARY.playbooks[slug]
    problem = problem_of(playbook, LIBRARY.catalogue, LIBRARY.settings)
    assert problem
    search = Search(problem)
    root = search.solve(2_000)
    policy = policy_of(search, root)
    assert_agrees(problem, along_policy(problem, policy), root.high)
    written = written_shape(playbook, problem)
    first = shape_of_policy(problem, policy)
    shape, cost, _ = best_shape(problem, [one for one in (written, first) if one], 500)
    assert_agrees(problem, along_shape(problem, shape), cost)
    if written:
        assert_agrees(problem, along_shape(problem, written), cost_of(problem, written))
