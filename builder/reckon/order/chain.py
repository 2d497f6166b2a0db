"""A chain of steps to start shaping from: each step's results end in a repair or go on, together, to the next step.

Greedy: the next step is the one after which ending at once, or after one more step, costs least; a result goes on where
one more step costs less than the best ending. What went on is merged, as in a playbook whose results lead to the same
step. One choice takes time in proportion to steps² × results² × endings × causes.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import fsum

from builder.reckon.order.fees import Dues, Ledger
from builder.reckon.order.problem import Problem, Target
from builder.reckon.order.shape import Shape

Row = tuple[float, ...]


def chain_of(problem: Problem) -> Shape | None:
    """The shape of a greedy chain; steps that it has no use for lead to each other at its end, and may be unreached.

    ``None`` where no step can come first.
    """
    chain = _Chain(problem)
    placed: list[int] = []
    ways: dict[int, list[Target | None]] = {}
    weights, own, shop = problem.weights, 0, 0
    while True:
        dues = chain.ledger.dues(own, shop)
        choice = min(chain.choices(placed, ways, weights, dues), default=None)
        if choice is None:
            break
        step = choice[1]
        seen = [_after(weights, chances) for chances in problem.chances[step]]
        paid = dues.steps[step]
        own, shop = paid.own, paid.shop
        dues = chain.ledger.dues(own, shop)
        rest = [s for s in range(len(problem.steps)) if s != step and s not in placed]
        ways[step] = [chain.way(row, dues, rest, [*placed, step]) for row in seen]
        placed.append(step)
        on = [row for row, way in zip(seen, ways[step], strict=True) if way is None]
        if not on:
            break
        weights = tuple(fsum(parts) for parts in zip(*on, strict=True))
    return _shape(problem, placed, ways, weights, chain) if placed else None


class _Chain:
    """What ending, or one more step, costs from some weights."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.ledger = Ledger(problem)

    def ending(self, weights: Sequence[float], dues: Dues, done: Sequence[int]) -> tuple[float, int]:
        """The least that ending at once costs, and the number of that ending."""
        problem = self.problem
        whole = fsum(weights)
        best = float("inf"), 0
        for e, item in enumerate(problem.endings):
            if any(step not in done for step, _ in item.after):
                continue
            cost = whole * dues.endings[e].cost
            for weight, bill, right in zip(weights, problem.bills, problem.settles[e], strict=True):
                cost += 0.0 if right else weight * bill
            best = min(best, (cost, e))
        return best

    def step(self, step: int, weights: Row, dues: Dues, done: Sequence[int]) -> float:
        """What a step costs after which every result ends."""
        paid = dues.steps[step]
        later = self.ledger.dues(paid.own, paid.shop)
        rows = (_after(weights, chances) for chances in self.problem.chances[step])
        return fsum([fsum(weights) * paid.cost, *(self.ending(row, later, [*done, step])[0] for row in rows)])

    def choices(
        self, placed: Sequence[int], ways: dict[int, list[Target | None]], weights: Row, dues: Dues
    ) -> Iterator[tuple[float, int]]:
        """What each step costs that may come next, where each result ends or goes on to one more step."""
        problem = self.problem
        for step in range(len(problem.steps)):
            if step in placed or not _allowed(problem, step, ways):
                continue
            rest = [s for s in range(len(problem.steps)) if s != step and s not in placed]
            paid = dues.steps[step]
            later, done = self.ledger.dues(paid.own, paid.shop), [*placed, step]
            rows = [_after(weights, chances) for chances in problem.chances[step]]
            costs = [min(self.ending(row, later, done)[0], self._onwards(row, later, rest, done)) for row in rows]
            yield fsum([fsum(weights) * paid.cost, *costs]), step

    def way(self, weights: Row, dues: Dues, rest: Sequence[int], done: Sequence[int]) -> Target | None:
        """The ending where a result ends; ``None`` where it goes on."""
        cost, ending = self.ending(weights, dues, done)
        return None if self._onwards(weights, dues, rest, done) < cost else Target("ending", ending)

    def _onwards(self, weights: Row, dues: Dues, rest: Sequence[int], done: Sequence[int]) -> float:
        allowed = (s for s in rest if all(step in done for step, _ in self.problem.steps[s].after))
        return min((self.step(s, weights, dues, done) for s in allowed), default=float("inf"))


def _allowed(problem: Problem, step: int, ways: dict[int, list[Target | None]]) -> bool:
    """Whether the chain so far has done what a step needs: all that went on had a result that allows it."""
    for needed, results in problem.steps[step].after:
        if needed not in ways or any(way is None and r not in results for r, way in enumerate(ways[needed])):
            return False
    return True


def _after(weights: Sequence[float], chances: Sequence[float]) -> Row:
    return tuple([weight * chance for weight, chance in zip(weights, chances, strict=True)])


def _shape(
    problem: Problem, placed: Sequence[int], ways: dict[int, list[Target | None]], weights: Row, chain: _Chain
) -> Shape:
    """The chain as a shape; where nothing comes after the last step, what goes on ends."""
    last = Target("ending", chain.ending(weights, chain.ledger.dues(0, 0), placed)[1])
    nexts = {step: Target("step", after) for step, after in pairwise(placed)}
    shape = []
    for step, results in enumerate(problem.results):
        way = ways.get(step, [None] * len(results))
        shape.append(tuple(nexts.get(step, last) if target is None else target for target in way))
    return Shape(placed[0], tuple(shape))
