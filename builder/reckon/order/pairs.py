"""Bounds from pairs of causes: what telling two causes apart, or trying one repair before the other, costs at least.

For a given policy, what an order costs is linear in the weights of the causes. So the least cost is concave in them and
grows with them in proportion, and what some cases cost is never less than the sum of what parts of them cost (concavity
over beliefs: Åström 1965; Smallwood and Sondik, Operations Research 21, 1973). Here the parts are pairs of causes. With
two causes a policy is a point: what it costs under the one and under the other. The least of all policies is the lower
left edge of their convex hull, a chain. The chain of a step is the sum of the chains behind its results, each scaled by
the chances of that result, so it is found by merging edges by slope (sequential tests of two hypotheses: Wald 1945;
Arrow, Blackwell and Girshick, Econometrica 17, 1949).

Relaxed, so that a bound stays below: nothing must come after anything, what is due at the end is left out, and where
many steps tell a pair apart, they may be repeated and the cause shows itself after a few of them.

Example: two causes of a half each, repairs at 100 for each, a step at 10 that tells them apart. Without it the wrong
repair comes first in half of the cases: (100, 200); with it (110, 110). At equal weights the step is worth it: 110.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from builder.reckon.order.fees import Dues, Ledger

EACH_ONCE: Final = 4
"""Where more steps than this tell a pair apart, they may be repeated, :data:`LEVELS` deep."""

LEVELS: Final = 3
CORNERS: Final = 32
"""At most so many corners has a chain; where it would have more, some are cut off below it."""

KEPT: Final = 20_000
"""At most so many sets of steps and fees are remembered."""

ROUNDING: Final = 1e-9
"""So little more than with the cause known is nothing."""

Point = tuple[float, float]
Chain = list[Point]
"""Corners from the policy that is best under the first cause to that which is best under the second; convex."""


class _Extra(NamedTuple):
    """What two causes cost more than if they were known: a chain of what is beyond :attr:`Dues.least`."""

    one: int
    other: int
    chain: Chain


class Pairs:
    """The chains of all pairs of causes; each is worked out when it is first asked for.

    ``steps`` are those that may be done at all. A bound takes time in proportion to causes² and the corners of chains.
    """

    def __init__(self, ledger: Ledger, steps: Sequence[int]) -> None:
        causes = range(len(ledger.problem.causes))
        self.pairs = [_Pair(ledger, steps, c, d) for c in causes for d in causes if c < d]
        self.extras: dict[tuple[int, int, int, int], list[_Extra]] = {}

    def gain(self, left: int, weights: Sequence[float], dues: Dues, told: int = -1) -> float:
        """What the cost in the end is more, at the least, than with the true cause known (:attr:`Dues.least`).

        ``left`` are the steps that are not done, as a bit set. With ``told``, the result of that step will be known
        before anything else is done, and is paid for.
        """
        gains = []
        for extra in self._extras(left, dues, told):
            x, y = weights[extra.one], weights[extra.other]
            if x > 0 and y > 0:
                gain = _cheapest(extra.chain, x, y)[0]
                if gain > 0:
                    gains.append((gain, extra))
        gains.sort(key=lambda one: -one[0])
        rest = list(weights)
        total = 0.0
        for _, extra in gains:
            x, y = rest[extra.one], rest[extra.other]
            if x > 0 and y > 0:
                x, y, gain = _share(extra.chain, x, y)
                if gain > 0:
                    total += gain
                    rest[extra.one] -= x
                    rest[extra.other] -= y
        return total

    def _extras(self, left: int, dues: Dues, told: int) -> list[_Extra]:
        """Those of all pairs that cost more at all."""
        key = left, dues.own, dues.shop, told
        known = self.extras.get(key)
        if known is None:
            if len(self.extras) >= KEPT:
                self.extras.clear()
            known = self.extras[key] = []
            for pair in self.pairs:
                chain = pair.beyond(left, dues, told)
                if chain:
                    known.append(_Extra(pair.one, pair.other, chain))
        return known


def _cheapest(chain: Chain, x: float, y: float) -> tuple[float, int]:
    """The least cost at some weights, and the number of the corner; along a chain, costs fall and then rise.

    Where corners are the same but for rounding, they neither fall nor rise.
    """
    best, place = chain[0][0] * x + chain[0][1] * y, 0
    for k in range(1, len(chain)):
        cost = chain[k][0] * x + chain[k][1] * y
        if cost < best:
            best, place = cost, k
        elif cost > best + ROUNDING:
            break
    return best, place


def _share(chain: Chain, x: float, y: float) -> tuple[float, float, float]:
    """How much of two weights a pair needs for its gain, and that gain; the rest is left for other pairs.

    Where the first cause is treated as if it were known, as much of it as tips the balance gains as much as all of it:
    so much that every other corner costs more. Corners that rounding alone tells apart are the same.
    """
    gain, place = _cheapest(chain, x, y)
    last = len(chain) - 1
    if last and place == 0 and chain[0][0] <= ROUNDING:
        tips = [(chain[0][1] - b) * y / (a - chain[0][0]) for a, b in chain[1:] if a - chain[0][0] > ROUNDING]
        x = min(x, max(tips, default=x))
        return x, y, chain[0][0] * x + chain[0][1] * y
    if last and place == last and chain[last][1] <= ROUNDING:
        tips = [
            (chain[last][0] - a) * x / (b - chain[last][1]) for a, b in chain[:last] if b - chain[last][1] > ROUNDING
        ]
        y = min(y, max(tips, default=y))
        return x, y, chain[last][0] * x + chain[last][1] * y
    return x, y, gain


class _Pair:
    """The chains of two causes, by the steps that are left and the fees that are met; others have no part in them."""

    def __init__(self, ledger: Ledger, steps: Sequence[int], one: int, other: int) -> None:
        problem = ledger.problem
        self.ledger, self.one, self.other = ledger, one, other
        self.steps = [s for s in steps if any(row[one] != row[other] for row in problem.chances[s])]
        self.repairs = [e for e in ledger.open if problem.settles[e][one] or problem.settles[e][other]]
        self.fees = 0
        for item in (*(problem.steps[s] for s in self.steps), *(problem.endings[e] for e in self.repairs)):
            for fee in (*item.own, *item.shop):
                self.fees |= 1 << fee
        self.known: dict[tuple[int, int, int, int], Chain] = {}
        self.extras: dict[tuple[int, int, int, int], Chain] = {}

    def beyond(self, undone: int, dues: Dues, told: int) -> Chain:
        """What the pair costs more than if it were known; no corner where that is nothing.

        ``undone`` are the steps that are left; the result of ``told`` comes first.
        """
        left, first = 0, -1
        for place, step in enumerate(self.steps):
            if step == told:
                first = told
            elif undone >> step & 1:
                left |= 1 << place
        if left.bit_count() > EACH_ONCE:
            left = -1
        key = left, dues.own & self.fees, dues.shop & self.fees, first
        known = self.extras.get(key)
        if known is None:
            known = self.extras[key] = self._beyond(*key)
        return known

    def _beyond(self, left: int, own: int, shop: int, told: int) -> Chain:
        chain = self._chain(left, own, shop, LEVELS if left < 0 else 0)
        if told >= 0:
            chain = self._told(told, chain)
        least = self.ledger.dues(own, shop).least
        x, y = least[self.one], least[self.other]
        more = [(a - x, b - y) for a, b in chain]
        return more if len(more) > 1 or more[0][0] > 0 or more[0][1] > 0 else []

    def _told(self, step: int, after: Chain) -> Chain:
        """The sums of what comes after each result of a step."""
        chain = [(0.0, 0.0)]
        for row in self.ledger.problem.chances[step]:
            p, q = row[self.one], row[self.other]
            if p or q:
                chain = _sum(chain, _scaled(after, p, q))
        return chain

    def _chain(self, left: int, own: int, shop: int, level: int) -> Chain:
        """The chain with a set of steps that are left, or with all of them so many levels deep (``left`` is -1)."""
        key = left, own, shop, level
        known = self.known.get(key)
        if known is None:
            dues = self.ledger.dues(own, shop)
            if left < 0 and not level:
                known = [(dues.least[self.one], dues.least[self.other])]
            else:
                known = _cut(_edge([*self._ends(dues), *self._looks(dues, left, level)]))
            self.known[key] = known
        return known

    def _ends(self, dues: Dues) -> list[Point]:
        """The professional; and each repair, after which a cause that it does not settle is known."""
        problem, one, other = self.ledger.problem, self.one, self.other
        points = [(problem.bills[one], problem.bills[other])]
        for ending in self.repairs:
            paid, settled = dues.endings[ending], problem.settles[ending]
            later = self.ledger.dues(paid.own & self.fees, paid.shop & self.fees).least
            x = paid.cost if settled[one] else paid.cost + later[one]
            y = paid.cost if settled[other] else paid.cost + later[other]
            points.append((x, y))
        return points

    def _looks(self, dues: Dues, left: int, level: int) -> list[Point]:
        """The corners of the chains of all steps that may come next."""
        points: list[Point] = []
        for place, step in enumerate(self.steps):
            if left >= 0 and not left >> place & 1:
                continue
            paid = dues.steps[step]
            rest, deeper = (left & ~(1 << place), 0) if left >= 0 else (-1, level - 1)
            after = self._chain(rest, paid.own & self.fees, paid.shop & self.fees, deeper)
            points += [(paid.cost + x, paid.cost + y) for x, y in self._told(step, after)]
        return points


def _edge(points: Sequence[Point]) -> Chain:
    """The lower left edge of the convex hull of some points (monotone chain; Andrew 1979)."""
    edge: Chain = []
    for x, y in sorted(points):
        if edge and y >= edge[-1][1]:
            continue
        while len(edge) > 1:
            (x1, y1), (x2, y2) = edge[-2], edge[-1]
            if (y2 - y1) * (x - x1) < (y - y1) * (x2 - x1):
                break
            edge.pop()
        edge.append((x, y))
    return edge


def _scaled(chain: Chain, p: float, q: float) -> Chain:
    """A chain where its costs come up with chances; one corner is left where a chance is nothing."""
    if p == 0:
        return [(0.0, q * chain[-1][1])]
    if q == 0:
        return [(p * chain[0][0], 0.0)]
    return [(p * x, q * y) for x, y in chain]


def _sum(one: Chain, other: Chain) -> Chain:
    """All sums of a point of one chain and a point of another: their edges in the order of their slopes."""
    i = j = 0
    (x1, y1), (x2, y2) = one[0], other[0]
    chain = [(x1 + x2, y1 + y2)]
    while i < len(one) - 1 or j < len(other) - 1:
        if j == len(other) - 1:
            i += 1
        elif i == len(one) - 1:
            j += 1
        else:
            (x1, y1), (x2, y2) = one[i], other[j]
            (x3, y3), (x4, y4) = one[i + 1], other[j + 1]
            if (y3 - y1) * (x4 - x2) <= (y4 - y2) * (x3 - x1):
                i += 1
            else:
                j += 1
        chain.append((one[i][0] + other[j][0], one[i][1] + other[j][1]))
    return chain


def _cut(chain: Chain) -> Chain:
    """A chain with few enough corners: where two are nearest, the point that is below both takes their place."""
    while len(chain) > CORNERS:
        sizes = [(x2 - x1) * (y1 - y2) for (x1, y1), (x2, y2) in pairwise(chain)]
        place = sizes.index(min(sizes))
        below = chain[place][0], chain[place + 1][1]
        chain = _edge([*chain[:place], below, *chain[place + 2 :]])
    return chain
