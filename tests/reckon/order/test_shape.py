"""Shapes: their cost against a sum over every path, and what is found between the best order and the written one."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.order.policy import policy_of
from builder.reckon.order.problem import Problem, Target
from builder.reckon.order.search import Search
from builder.reckon.order.shape import Shape, cost_of, is_sound
from builder.reckon.order.shaping import best_shape, shape_of_policy


def paths(problem: Problem, shape: Shape) -> Iterator[tuple[list[int], Target, list[float]]]:
    """Every path: its steps, where it stops, and the weights of the causes there."""

    def go(step: int, steps: list[int], weights: list[float]) -> Iterator[tuple[list[int], Target, list[float]]]:
        for target, chances in zip(shape.ways[step], problem.chances[step], strict=True):
            after = [w * chance for w, chance in zip(weights, chances, strict=True)]
            if target.kind == "step":
                yield from go(target.number, [*steps, target.number], after)
            else:
                yield steps, target, after

    yield from go(shape.start, [shape.start], list(problem.weights))


def naive(problem: Problem, shape: Shape) -> float:
    """Σ over paths of chance × (work + fees) + what a professional takes for the causes that are left."""
    total = 0.0
    for steps, target, weights in paths(problem, shape):
        items = [problem.steps[s] for s in steps] + (
            [problem.endings[target.number]] if target.kind == "ending" else []
        )
        own = {fee for item in items for fee in item.own}
        shop = {fee for item in items for fee in item.shop} - own
        cost = sum(item.cost for item in items)
        cost += sum(problem.fees[k].own for k in own) + sum(problem.fees[k].shop for k in shop)
        settled = problem.settles[target.number] if target.kind == "ending" else (False,) * len(weights)
        left = sum(w * bill for w, bill, right in zip(weights, problem.bills, settled, strict=True) if not right)
        total += sum(weights) * cost + left
    return total


@st.composite
def shapes(draw: st.DrawFn, problem: Problem) -> Shape:
    """A shape in which results lead to later steps, to endings or to another playbook."""
    ways = []
    for step in range(len(problem.steps)):
        later = [Target("step", s) for s in range(step + 1, len(problem.steps))]
        ends = [*(Target("ending", e) for e in range(len(problem.endings))), Target("handover", 0)]
        ways.append(tuple(draw(st.sampled_from([*later, *ends])) for _ in problem.results[step]))
    return Shape(0, tuple(ways), ("other",))


@given(st.data())
@settings(max_examples=200)
def test_the_cost_is_the_sum_over_every_path(random_problems: Callable[..., Any], data: st.DataObject) -> None:
    problem = data.draw(random_problems(steps=5).filter(lambda one: one.steps))
    shape = data.draw(shapes(problem))
    assert cost_of(problem, shape) == pytest.approx(naive(problem, shape), rel=1e-9, abs=1e-9)


@given(st.data())
@settings(max_examples=100)
def test_what_is_found_is_sound_and_between_the_best_and_where_it_began(
    random_problems: Callable[..., Any], data: st.DataObject
) -> None:
    problem = data.draw(random_problems(steps=4).filter(lambda one: one.steps))
    begun = data.draw(shapes(problem))
    search = Search(problem)
    best = search.solve(100_000).high
    first = shape_of_policy(problem, policy_of(search, search.root))
    shape, cost, _ = best_shape(problem, [begun, first], 2_000)
    if is_sound(problem, begun):
        assert cost <= cost_of(problem, begun) * (1 + 1e-12)
    if cost != float("inf"):
        assert is_sound(problem, shape)
        assert cost == cost_of(problem, shape)
        assert best <= cost + 1e-9 * max(1, cost)
