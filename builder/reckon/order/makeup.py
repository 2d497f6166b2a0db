"""What an order's cost in the end is made up of: own hours, parts, tools, a workshop's work, a professional's, risks.

For a given order the cost is linear in every price: how often each step, ending and fee is met does not depend on what
it costs. So each kind of cost is what the same order would cost if all else were free, and the kinds add up to it.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from builder.reckon.order.problem import Fee, Item, Pieces, Problem
from builder.reckon.order.shape import Shape, cost_of

SPENT, PARTS, LABOUR, HOURS, MISHAP = (Pieces._fields.index(name) for name in Pieces._fields)
"""Places of the pieces of an item's cost."""


class Makeup(NamedTuple):
    """Means over all cases, in the library's currency; they add up to what the order costs in the end.

    ``hours`` are the owner's own at what they are worth, ``spent`` is money that is neither for parts nor tools,
    ``workshop`` labour that only a shop may do, ``professional`` what one takes who finishes what is left, ``danger``
    what it would be worth not to meet the dangers on the way.
    """

    hours: float
    spent: float
    parts: float
    tools: float
    workshop: float
    professional: float
    mishap: float
    danger: float


def makeup_of(problem: Problem, shape: Shape) -> Makeup:
    """What the cost of a shape is made up of.

    Raises:
        ValueError: its steps go round.
    """

    def kind(piece: int | None, fee: str = "", *, own: bool = True, shop: bool = True, bills: bool = False) -> float:
        alone = replace(
            problem,
            steps=_only(problem.steps, piece),
            endings=_only(problem.endings, piece),
            fees=tuple(_fee(one, own and one.kind == fee, shop and one.kind == fee) for one in problem.fees),
            bills=problem.bills if bills else (0.0,) * len(problem.bills),
        )
        return cost_of(alone, shape)

    return Makeup(
        hours=kind(HOURS, "access", shop=False),
        spent=kind(SPENT),
        parts=kind(PARTS),
        tools=kind(None, "tool"),
        workshop=kind(LABOUR, "access", own=False),
        professional=kind(None, bills=True),
        mishap=kind(MISHAP),
        danger=kind(None, "hazard"),
    )


def _only(items: Sequence[Item], piece: int | None) -> tuple[Item, ...]:
    """Items that cost only one of their pieces, or nothing."""
    return tuple(replace(item, cost=0.0 if piece is None else item.pieces[piece]) for item in items)


def _fee(fee: Fee, own: bool, shop: bool) -> Fee:
    """A fee of which only some is charged."""
    return fee._replace(own=fee.own if own else 0.0, shop=fee.shop if shop else 0.0)
