"""The search against brute force: every policy of small problems, by a recursion that knows no bound and no memory."""

from collections.abc import Callable
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.order.evidence import Evidence, paid_by
from builder.reckon.order.policy import cost_of_policy, policy_of
from builder.reckon.order.problem import Item, Problem
from builder.reckon.order.search import Search


def fees(problem: Problem, done: frozenset[tuple[str, int]]) -> float:
    """What the fees of a set of work come to: the owner's where any owner's work needs them."""
    items = [problem.steps[n] if kind == "step" else problem.endings[n] for kind, n in done]
    own = {fee for item in items for fee in item.own}
    shop = {fee for item in items for fee in item.shop} - own
    return sum(problem.fees[k].own for k in own) + sum(problem.fees[k].shop for k in shop)


def least(problem: Problem) -> float:
    """The least that any policy costs in the end: fees are reckoned where a path ends, of all that was done on it."""

    def may(item: Item, seen: dict[int, int]) -> bool:
        return all(seen.get(step, -1) in results for step, results in item.after)

    @cache
    def go(seen: tuple[tuple[int, int], ...], failed: frozenset[int]) -> float:
        weights = list(problem.weights)
        for step, result in seen:
            weights = [w * chance for w, chance in zip(weights, problem.chances[step][result], strict=True)]
        for e in failed:
            weights = [0 if right else w for w, right in zip(weights, problem.settles[e], strict=True)]
        whole = sum(weights)
        if whole == 0:
            return 0.0
        known = dict(seen)
        done = frozenset([*(("step", s) for s in known), *(("ending", e) for e in failed)])
        found = [sum(w * bill for w, bill in zip(weights, problem.bills, strict=True)) + whole * fees(problem, done)]
        for s, item in enumerate(problem.steps):
            if s not in known and may(item, known):
                after = [go(tuple(sorted([*seen, (s, r)])), failed) for r in range(len(problem.results[s]))]
                found.append(whole * item.cost + sum(after))
        for e in problem.repairs:
            if e not in failed and may(problem.endings[e], known):
                gone = sum(w for w, right in zip(weights, problem.settles[e], strict=True) if right)
                paid = gone * fees(problem, done | {("ending", e)})
                found.append(whole * problem.endings[e].cost + paid + go(seen, failed | {e}))
        return min(found)

    return go((), frozenset())


@given(st.data())
@settings(max_examples=150)
def test_the_best_is_that_of_brute_force(random_problems: Callable[..., Any], data: st.DataObject) -> None:
    problem = data.draw(random_problems())
    search = Search(problem)
    root = search.solve(100_000)
    assert root.high == pytest.approx(least(problem), rel=1e-9, abs=1e-9)
    assert root.low == pytest.approx(root.high, rel=1e-8, abs=1e-9)


@given(st.data(), st.integers(1, 40))
@settings(max_examples=150)
def test_a_search_that_is_cut_short_has_an_honest_gap(
    random_problems: Callable[..., Any], data: st.DataObject, effort: int
) -> None:
    problem = data.draw(random_problems())
    root = Search(problem).solve(effort)
    best = least(problem)
    assert root.low <= best + 1e-9 * max(1, best)
    assert root.high >= best - 1e-9 * max(1, best)


@given(st.data())
@settings(max_examples=250)
def test_no_bound_is_above_the_best(random_problems: Callable[..., Any], data: st.DataObject) -> None:
    """Neither that of a new node, nor those of actions whose nodes are not made yet."""
    problem = data.draw(random_problems(steps=4, repairs=3, causes=4))
    search = Search(problem)
    best = least(problem)
    assert search.root.low <= best + 1e-9 * max(1, best)
    search.widen(search.root)
    assert search.root.low <= best + 1e-9 * max(1, best)
    for action in search.root.actions or ():
        bound = action.low
        for node in search.open(search.root, action).after:
            search.solve(100_000, node)
        assert bound <= action.high + 1e-9 * max(1, best)


@given(st.data(), st.integers(1, 200))
@settings(max_examples=150)
def test_a_policy_costs_what_the_search_says(
    random_problems: Callable[..., Any], data: st.DataObject, effort: int
) -> None:
    search = Search(data.draw(random_problems()))
    root = search.solve(effort)
    entries = policy_of(search, root)
    assert cost_of_policy(search, entries, root) == pytest.approx(root.high, rel=1e-9, abs=1e-9)
    assert all(place > number for number, entry in enumerate(entries) for place in entry.to.values())
    assert entries[0].chance == pytest.approx(1)


@given(st.data())
@settings(max_examples=60)
def test_what_is_left_to_do_is_the_same_whatever_came_first(
    random_problems: Callable[..., Any], data: st.DataObject
) -> None:
    """The evidence of the root's best step, given as evidence, is worth what the search found behind it."""
    problem = data.draw(random_problems())
    search = Search(problem)
    root = search.solve(100_000)
    steps = [action for action in root.actions or () if action.kind == "step" and action.after]
    if not steps:
        return
    action = steps[0]
    for result, node in zip(action.results, action.after, strict=True):
        own, shop = paid_by(problem, [action.number], [])
        alone = Search(problem, Evidence(seen=((action.number, result),), own=own, shop=shop)).solve(100_000)
        assert alone.high == pytest.approx(search.solve(200_000, node).high, rel=1e-9, abs=1e-9)
