"""The orders of a playbook, compared: as written, as a playbook can be shaped, the best, and handing over at once."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Any, Final, NamedTuple

from builder.read.records import Catalogue, Playbook, Result, Settings
from builder.reckon.order.chain import chain_of
from builder.reckon.order.policy import Entry, as_json, cost_of_policy, policy_of
from builder.reckon.order.problem import Problem, Target, problem_of
from builder.reckon.order.search import TOLERANCE, Action, Node, Search
from builder.reckon.order.shape import Shape, cost_of, written_shape
from builder.reckon.order.shaping import best_shape, shape_of_policy


class Effort(NamedTuple):
    """How much may be tried: nodes of the search, and shapes of a playbook. Counted, so that no clock decides."""

    nodes: int
    shapes: int


THOROUGH: Final = Effort(200_000, 20_000)
"""For one playbook that somebody asks about."""

FOLLOWED: Final = 20_000
"""At most so many beginnings of written paths are followed into the search."""


@dataclass(frozen=True)
class Orders:
    """Costs in the end, in the library's currency; ``bound`` is proven to be below every order.

    ``written`` and ``written_then_best`` are ``None`` where the playbook leaves its order to be worked out; the second
    also where the written paths are too many to follow. ``shape`` is the playbook-shaped order, ``policy`` the best.
    """

    problem: Problem
    written: float | None
    written_then_best: float | None
    playbook_shaped: float
    best: float
    bound: float
    at_once: float
    effort: int
    shape: Shape
    policy: Sequence[Entry]

    @property
    def is_proven(self) -> bool:
        """Whether no order can cost less than the best one that was found."""
        return self.best - self.bound <= TOLERANCE * max(self.best, 1.0) * 10

    def as_json(self, slug: str, currency: str) -> dict[str, Any]:
        """The object that ``droplight order SLUG --json`` prints."""
        start, ways = self.shape.as_json(self.problem)
        names = ("written", "written_then_best", "playbook_shaped", "best", "bound", "at_once", "effort")
        figures = {name: getattr(self, name) for name in names}
        policy = as_json(self.problem, self.policy)
        return {"slug": slug, "currency": currency, **figures, "start": start, "next": ways, "policy": policy}


def orders_of(playbook: Playbook, catalogue: Catalogue, settings: Settings, effort: Effort = THOROUGH) -> Orders | None:
    """The orders of a playbook that has passed the checks; ``None`` where it gives no shares or no chances.

    A playbook whose order is worked out may be given as it was read, or arranged: then its shape is the one that it
    was arranged in, which pages are built from.
    """
    problem = problem_of(playbook, catalogue, settings)
    if problem is None:
        return None
    stands = written_shape(playbook, problem)
    written = None if playbook.order == "best" else stands
    search = Search(problem)
    search.solve(effort.nodes)
    if stands and playbook.order == "best":
        shape, shaped = stands, cost_of(problem, stands)
    else:
        first = shape_of_policy(problem, policy_of(search, search.root))
        starts = [start for start in (written, chain_of(problem), first) if start]
        shape, shaped, _ = best_shape(problem, starts, effort.shapes)
    followed = [follow(search, one) for one in (written, shape) if one is not None]
    search.solve(effort.nodes)
    policy = policy_of(search, search.root)
    best = cost_of_policy(search, policy, search.root)
    return Orders(
        problem=problem,
        written=cost_of(problem, written) if written else None,
        written_then_best=_then_best(search, written) if written and followed[0] else None,
        playbook_shaped=shaped,
        best=best,
        bound=min(search.root.low, best),
        at_once=problem.at_once,
        effort=search.effort,
        shape=shape,
        policy=policy,
    )


def follow(search: Search, shape: Shape) -> bool:
    """Widen the search along every path of a shape, so that its best policy costs no more than the shape.

    Gives whether all paths were followed; they may be too many.
    """
    met: list[Node] = []
    for node, _, _ in _walked(search, shape):
        met.append(node)
        if len(met) > FOLLOWED:
            return False
    for node in reversed(met):
        search.update(node)
    return True


def _walked(search: Search, shape: Shape) -> Iterator[tuple[Node, Target, Action | None]]:
    """The nodes on every path of a shape, widened, each with where the path stands and what it does there."""
    waiting = [(search.root, Target("step", shape.start))]
    while waiting:
        node, target = waiting.pop()
        if node.actions is None:
            search.widen(node)
        action = _action_at(search, node, target)
        yield node, target, action
        if target.kind == "step" and action is not None:
            ways = shape.ways[target.number]
            waiting += [(after, ways[result]) for result, after in zip(action.results, action.after, strict=True)]


def _action_at(search: Search, node: Node, target: Target) -> Action | None:
    """What a path does at a node; made where the search had no use for it."""
    if target.kind == "handover" or not node.whole:
        return None
    known = (action for action in node.actions or () if (action.kind, action.number) == (target.kind, target.number))
    found = next(known, None)
    if found is not None:
        return search.open(node, found)
    if target.kind == "step":
        return search.open(node, search.step(node, target.number))
    if not any(search.problem.settles[target.number]):
        return None
    return search.open(node, search.repair(node, target.number))


def _then_best(search: Search, shape: Shape) -> float:
    """The cost of a shape where, after a repair that did not help, the best order that is known goes on from there."""
    problem = search.problem
    sums = [cost_of(problem, shape)]
    for _, target, action in _walked(search, shape):
        if target.kind == "ending" and action is not None:
            for after in action.after:
                bill = fsum(weight * bill for weight, bill in zip(after.weights, problem.bills, strict=True))
                sums += [after.high, -bill, -after.whole * after.dues.due]
    return fsum(sums)


class NoOrderError(ValueError):
    """The order of a playbook cannot be worked out."""


def arranged(playbook: Playbook, catalogue: Catalogue, settings: Settings, effort: Effort) -> Playbook:
    """A playbook with `order: best` as if its playbook-shaped order had been written; any other as it is.

    Raises:
        NoOrderError: there is none.
    """
    if playbook.order != "best":
        return playbook
    orders = orders_of(playbook, catalogue, settings, effort)
    if orders is None:
        raise NoOrderError("there are no shares, or no chances, to work an order out from")
    if orders.playbook_shaped == float("inf"):
        raise NoOrderError("no order was found in which every step and ending is reached after what it needs")
    return in_shape(playbook, orders.problem, orders.shape)


def in_shape(playbook: Playbook, problem: Problem, shape: Shape) -> Playbook:
    """A playbook with the start and the ways of a shape."""
    start, ways = shape.as_json(problem)
    steps = {
        name: step.model_copy(
            update={"results": {key: _led(result, ways[name][key]) for key, result in step.results.items()}}
        )
        for name, step in playbook.steps.items()
    }
    return playbook.model_copy(update={"start": start, "steps": steps})


def _led(result: Result, target: object) -> Result:
    """A result that leads to a step or ending; one that hands over to another playbook stays as it is."""
    if not isinstance(target, str):
        return result
    return result.model_copy(update={"next": result.next.model_copy(update={"name": target})})
