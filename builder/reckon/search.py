"""Best-first search for the best ways through a graph: the likeliest, or the cheapest where there are no odds.

A scale ranks partial ways by the best that they can still come to (smaller is better). As long as that is never
rated too badly, ways come to their end in the right order.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import heappop, heappush, nsmallest
from math import fsum
from operator import mul
from typing import Any, Final, NamedTuple, Protocol

from builder.reckon.amounts import mean, whole_sum
from builder.reckon.bill import Bill, way_money
from builder.reckon.graph import Graph
from builder.reckon.odds import Odds

EFFORT: Final = 60_000
"""How many partial ways the search looks at before it gives up."""

ROOM: Final = 40_000_000
"""Bytes that the states of partial ways may take together, about; where each takes much, fewer are looked at."""


class Twig(NamedTuple):
    """A partial way as its last result and the twig before it, so that it stays small however long the way is.

    ``edge`` is the number of the result at the step before, ``node`` where it leads, ``order`` sorts ways by the
    names of their results, ``state`` is what the scale has to know of the way.
    """

    before: "Twig | None"
    edge: int
    node: int
    depth: int
    order: int
    state: Any

    @property
    def route(self) -> tuple[int, ...]:
        """The number of the result taken at every step."""
        edges = []
        twig = self
        while twig.before:
            edges.append(twig.edge)
            twig = twig.before
        return tuple(reversed(edges))

    @property
    def nodes(self) -> list[int]:
        """The nodes on the way, the start first."""
        nodes = [self.node]
        twig = self.before
        while twig:
            nodes.append(twig.node)
            twig = twig.before
        return nodes[::-1]


class Scale(Protocol):
    """What ranks ways. ``start`` is the state of the empty way, ``further`` the state after one more result."""

    start: Any
    size: int
    """Bytes of a state, about."""

    def further(self, state: Any, node: int, edge: int) -> Any:
        """The state of a way after one more result, taken at a node."""
        ...

    def rank(self, twig: Twig) -> float:
        """The best that a partial way can still come to, or better; smaller is better."""
        ...

    def way_on(self, twig: Twig) -> list[int]:
        """A good way from a twig to an end, as numbers of results; not always the best."""
        ...


@dataclass(frozen=True)
class Search:
    """The search for the best ways through a graph by a scale: best-first, as A* (Hart, Nilsson, Raphael 1968).

    Since no way is rated worse than it can still become, ways end in the order of their ranks; ties go by the names
    of their results.
    """

    graph: Graph
    scale: Scale

    @cached_property
    def _digits(self) -> list[list[int]]:
        """For every node, the place of each result's name among all names, counted from 1."""
        names = sorted({edge.result for edges in self.graph.edges for edge in edges})
        place = {name: n for n, name in enumerate(names, 1)}
        return [[place[edge.result] for edge in edges] for edges in self.graph.edges]

    @cached_property
    def _bits(self) -> int:
        return max(map(max, filter(None, self._digits)), default=1).bit_length()

    def grown(self, twig: Twig, edge: int) -> Twig:
        """A twig with one more result."""
        depth = twig.depth + 1
        order = twig.order | self._digits[twig.node][edge] << self._bits * (self.graph.heights[0] - depth)
        state = self.scale.further(twig.state, twig.node, edge)
        return Twig(twig, edge, self.graph.edges[twig.node][edge].target, depth, order, state)

    def best(self, most: int) -> tuple[list[Twig], list[Twig]]:
        """The best ways in order, and where they are fewer than ``most``, the most promising partial ways."""
        first = Twig(None, 0, 0, 0, 0, self.scale.start)
        waiting = [(self.scale.rank(first), first.order, first)]
        found: list[Twig] = []
        effort, bearable = 0, min(EFFORT, ROOM // self.scale.size)
        while waiting and len(found) < most and effort < bearable:
            twig = heappop(waiting)[2]
            edges = self.graph.edges[twig.node]
            if not edges:
                found.append(twig)
            for edge in range(len(edges)):
                longer = self.grown(twig, edge)
                heappush(waiting, (self.scale.rank(longer), longer.order, longer))
                effort += 1
        return found, [twig for *_, twig in nsmallest(most - len(found), waiting)]


class Likeliest:
    """Ranks by chance, as a whole number over one denominator; every cause may take the likeliest way on for it."""

    def __init__(self, graph: Graph, odds: Odds) -> None:
        self.graph, self.odds = graph, odds
        self.start = odds.shares
        digits = odds.share_unit.bit_length() + odds.unit.bit_length() * graph.heights[0]
        self.size = len(odds.causes) * (40 + digits // 8)
        self.best: list[tuple[int, ...]] = [(1,) * len(odds.causes)] * len(graph.nodes)
        self.ahead: list[list[tuple[float, ...]]] = [[] for _ in graph.nodes]
        """For every result and cause, its likeliest way on as a share of the likeliest one from the step."""
        for i in reversed(range(len(graph.nodes))):
            if graph.edges[i]:
                ways = [self._way(i, edge.target, odds.chances[i][e]) for e, edge in enumerate(graph.edges[i])]
                self.best[i] = tuple(map(max, zip(*ways, strict=True)))
                self.ahead[i] = [
                    tuple(a / b if b else 0.0 for a, b in zip(way, self.best[i], strict=True)) for way in ways
                ]

    def _way(self, i: int, target: int, chance: Sequence[int]) -> tuple[int, ...]:
        scale = self.odds.unit ** (self.graph.heights[i] - 1 - self.graph.heights[target])
        return tuple(a * b * scale for a, b in zip(chance, self.best[target], strict=True))

    def further(self, state: tuple[int, ...], node: int, edge: int) -> tuple[int, ...]:
        """The weight of every cause on the way: its share times the chances of its results, as whole numbers."""
        return tuple(map(mul, state, self.odds.chances[node][edge]))

    def rank(self, twig: Twig) -> int:
        """The chance of the way, each cause taking its likeliest way on, over the denominator of whole paths."""
        heights = self.graph.heights
        scale: int = self.odds.unit ** (heights[0] - twig.depth - heights[twig.node])
        hope: int = whole_sum(map(mul, twig.state, self.best[twig.node]))
        return -scale * hope

    def way_on(self, twig: Twig) -> list[int]:
        """The results that are likeliest one after the other, the causes weighted by how they stand by then."""
        hopes = list(map(mul, twig.state, self.best[twig.node]))
        total = whole_sum(hopes) or 1
        shares = [hope / total for hope in hopes]
        route: list[int] = []
        node = twig.node
        while edges := self.graph.edges[node]:
            ways = [list(map(mul, shares, ahead)) for ahead in self.ahead[node]]
            e = min(range(len(ways)), key=lambda e: (-fsum(ways[e]), edges[e].result))
            whole = fsum(ways[e]) or 1.0
            shares = [way / whole for way in ways[e]]
            route.append(e)
            node = edges[e].target
        return route


def blended(odds: Odds) -> Odds:
    """One cause for all of them, whose chances are theirs weighted by their shares."""
    chances = [[(whole_sum(map(mul, odds.shares, edge)),) for edge in edges] for edges in odds.chances]
    return replace(odds, causes=("any",), shares=(1,), share_unit=1, chances=chances, unit=odds.unit * odds.share_unit)


class Cheapest:
    """Ranks by the least mean money that a way can still come to."""

    def __init__(self, graph: Graph, bill: Bill) -> None:
        self.graph, self.bill = graph, bill
        self.start: tuple[float, frozenset[str]] = (0.0, frozenset())
        self.size = 500
        self.prices = {tool: mean(price) for tool, price in bill.tools.items()}
        self.least = [0.0] * len(graph.nodes)
        self.needed: list[frozenset[str]] = [frozenset()] * len(graph.nodes)
        for i in reversed(range(len(graph.nodes))):
            targets = [edge.target for edge in graph.edges[i]]
            after = min((self.least[target] for target in targets), default=0.0)
            needed_after = [self.needed[target] for target in targets] or [frozenset[str]()]
            self.least[i] = bill.money[i] + after
            self.needed[i] = frozenset(bill.items[i].tools).union(frozenset.intersection(*needed_after))

    def further(self, state: tuple[float, frozenset[str]], node: int, edge: int) -> tuple[float, frozenset[str]]:
        """What was spent on the way, tools apart, and the tools that it needed."""
        spent, tools = state
        return spent + self.bill.money[node], tools.union(self.bill.items[node].tools)

    def rank(self, twig: Twig) -> float:
        """The mean money of a way that has ended, else the least that it can come to."""
        if self.graph.edges[twig.node]:
            return self._bound(twig.state, twig.node)
        return round(way_money(self.bill, twig.nodes), 6)

    def _bound(self, state: tuple[float, frozenset[str]], node: int) -> float:
        spent, tools = state
        prices = (self.prices[tool] for tool in tools | self.needed[node])
        # Rounded, so that ways that cost the same are not told apart by the last digit of their sums.
        return round(fsum([spent, self.least[node], *prices]), 6)

    def way_on(self, twig: Twig) -> list[int]:
        """The results that look cheapest one after the other."""
        state, node = twig.state, twig.node
        route: list[int] = []
        while edges := self.graph.edges[node]:
            state = self.further(state, node, 0)
            e = min(range(len(edges)), key=lambda e: (self._bound(state, edges[e].target), edges[e].result))
            route.append(e)
            node = edges[e].target
        return route
