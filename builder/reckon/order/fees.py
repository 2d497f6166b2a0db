"""What steps and repairs cost next, once some fees are met: tools bought, panels open, dangers taken."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from builder.reckon.order.problem import Item, Problem


@dataclass(frozen=True, slots=True)
class Next:
    """What an item adds to what is paid, the fees met after it, and what is then due at the end (see :class:`Dues`).

    ``money`` is what it adds to the money alone.
    """

    cost: float
    money: float
    own: int
    shop: int
    due: float


@dataclass(frozen=True, slots=True)
class Dues:
    """What comes next for one who has met some fees.

    A fee that only a shop has met so far may become the owner's, at another price. So what is charged at once is the
    lesser of the two prices, and ``due`` is the rest, which is paid where the path ends; nothing is ever paid back.
    ``least`` is, for each cause, the least that its cheapest repair, or a professional, can cost from here. ``own``
    and ``shop`` are the fees that are met, as bit sets.
    """

    own: int
    shop: int
    due: float
    steps: tuple[Next, ...]
    endings: tuple[Next, ...]
    least: tuple[float, ...]


class Ledger:
    """The dues of every set of fees that is met, worked out once for each."""

    def __init__(self, problem: Problem, closed: frozenset[int] = frozenset()) -> None:
        self.problem = problem
        self.open = [e for e in problem.repairs if e not in closed]
        self.dues = lru_cache(maxsize=None)(self._dues)

    def _charge(self, own: int, shop: int) -> float:
        charged = 0.0
        for number, fee in enumerate(self.problem.fees):
            if own >> number & 1:
                charged += fee.own
            elif shop >> number & 1:
                charged += min(fee.own, fee.shop)
        return charged

    def _money(self, own: int, shop: int) -> float:
        money = 0.0
        for number, fee in enumerate(self.problem.fees):
            if own >> number & 1:
                money += fee.own_money
            elif shop >> number & 1:
                money += fee.shop_money
        return money

    def _due(self, own: int, shop: int) -> float:
        due = 0.0
        for number, fee in enumerate(self.problem.fees):
            if shop >> number & 1 and not own >> number & 1 and fee.shop > fee.own:
                due += fee.shop - fee.own
        return due

    def _next(self, items: Sequence[Item], own: int, shop: int) -> tuple[Next, ...]:
        before, money_before = self._charge(own, shop), self._money(own, shop)
        found = []
        for item in items:
            own_after, shop_after = own, shop
            for fee in item.own:
                own_after |= 1 << fee
            for fee in item.shop:
                shop_after |= 1 << fee
            shop_after &= ~own_after
            cost = item.cost + self._charge(own_after, shop_after) - before
            money = item.money + self._money(own_after, shop_after) - money_before
            found.append(Next(cost, money, own_after, shop_after, self._due(own_after, shop_after)))
        return tuple(found)

    def _dues(self, own: int, shop: int) -> Dues:
        problem = self.problem
        endings = self._next(problem.endings, own, shop)
        least = list(problem.bills)
        for e in self.open:
            for c, right in enumerate(problem.settles[e]):
                if right and endings[e].cost < least[c]:
                    least[c] = endings[e].cost
        return Dues(own, shop, self._due(own, shop), self._next(problem.steps, own, shop), endings, tuple(least))
