"""The verdict on a playbook's order: what the best order that is known saves, and whether any could be cheaper."""

from dataclasses import dataclass

from builder.read.records import Playbook
from builder.reckon.order.changes import Change, changes
from builder.reckon.order.orders import Orders
from builder.reckon.order.problem import Problem, Target
from builder.reckon.order.search import TOLERANCE
from builder.reckon.order.shape import Shape, written_shape

WORTH_A_WORD = 0.01
"""What a change must save of the cost in the end to be told."""

TOLD = 2
"""At most so many changes are told."""


@dataclass(frozen=True, slots=True)
class Parting:
    """A change by names: ``after`` is a step and its result, ``written`` and ``better`` a kind and a name each.

    ``saves`` is what it saves on average over all cases, in the library's currency.
    """

    after: tuple[str, str] | None
    written: tuple[str, str]
    better: tuple[str, str]
    saves: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """``cost`` is what the playbook costs in the end, ``saves`` what the best order that is known saves of it.

    ``most`` is what no order can save more than (proven), ``going_on`` what of ``saves`` comes from going on after a
    repair that did not help; ``None`` where that is not known. All in the library's currency.
    """

    cost: float
    saves: float
    most: float
    going_on: float | None
    partings: tuple[Parting, ...]

    @property
    def is_cheapest(self) -> bool:
        """Whether it is proven that no order of the same checks is cheaper."""
        return self.most <= TOLERANCE * max(self.cost, 1.0) * 10

    @property
    def share(self) -> float:
        """What the best order that is known saves, of the cost."""
        return self.saves / self.cost if self.cost else 0.0

    @property
    def most_share(self) -> float:
        """What no order can save more than, of the cost."""
        return self.most / self.cost if self.cost else 0.0


def verdict_of(playbook: Playbook, orders: Orders) -> Verdict:
    """The verdict on a playbook as it is shown: as written, or in the order that was worked out for it."""
    cost = orders.playbook_shaped if orders.written is None else orders.written
    going_on = None
    if orders.written is not None and orders.written_then_best is not None:
        going_on = max(0.0, orders.written - orders.written_then_best)
    return Verdict(
        cost=cost,
        saves=max(0.0, cost - orders.best),
        most=max(0.0, cost - orders.bound),
        going_on=going_on,
        partings=_partings(playbook, orders) if orders.written is not None else (),
    )


def _partings(playbook: Playbook, orders: Orders) -> tuple[Parting, ...]:
    """The changes towards the playbook-shaped order that are worth a word."""
    problem, better = orders.problem, orders.shape
    written = written_shape(playbook, problem)
    if written is None or orders.written is None or written == better:
        return ()
    least = WORTH_A_WORD * orders.written
    found = [change for change in changes(problem, written, better) if change.saves > least]
    return tuple(_parting(problem, written, better, change) for change in found[:TOLD])


def _parting(problem: Problem, written: Shape, better: Shape, change: Change) -> Parting:
    step, result = change.after or (0, 0)
    after = (problem.steps[step].name, problem.results[step][result]) if change.after else None
    targets = _name(problem, written, change.written), _name(problem, better, change.better)
    return Parting(after, *targets, change.saves)


def _name(problem: Problem, shape: Shape, target: Target) -> tuple[str, str]:
    if target.kind == "handover":
        return target.kind, shape.handovers[target.number]
    return target.kind, (problem.steps if target.kind == "step" else problem.endings)[target.number].name
