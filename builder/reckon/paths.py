"""Paths listed: all of them where they are few, else the best by best-first search.

The best are the likeliest, and without odds the cheapest.
"""

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from operator import mul
from typing import Final, NamedTuple

from builder.reckon.amounts import add_up, mean
from builder.reckon.bill import Bill, path_bill
from builder.reckon.graph import Graph
from builder.reckon.odds import Odds

LISTED: Final = 200
"""At most so many paths are listed."""

ENUMERABLE: Final = 10_000
"""Up to so many paths are gone through one by one where a figure needs every path."""

EFFORT: Final = 60_000
"""How many partial paths the search looks at before it goes straight to the end from the best of them."""


class Path(NamedTuple):
    """``nodes`` from the start to where the path stops; ``weights`` as in :meth:`Odds.weights`, if there are odds."""

    results: tuple[str, ...]
    nodes: tuple[int, ...]
    weights: tuple[int, ...]


def every_path(graph: Graph, odds: Odds | None) -> Iterator[Path]:
    """All paths, depth first in the order of the file."""
    waiting = [Path((), (0,), odds.shares if odds else ())]
    while waiting:
        path = waiting.pop()
        edges = graph.edges[path.nodes[-1]]
        if not edges:
            yield path
        waiting += [_longer(graph, odds, path, e) for e in reversed(range(len(edges)))]


def _longer(graph: Graph, odds: Odds | None, path: Path, e: int) -> Path:
    i = path.nodes[-1]
    edge = graph.edges[i][e]
    weights = path.weights
    if odds:
        weights = tuple(map(mul, weights, odds.chances[i][e]))
    return Path((*path.results, edge.result), (*path.nodes, edge.target), weights)


def listed_paths(graph: Graph, bill: Bill, odds: Odds | None, most: int = LISTED) -> list[Path]:
    """The likeliest paths, likeliest first; without odds the cheapest by mean money; ties by their results' names.

    The order is exact (chances are compared as whole numbers). Where paths are beyond counting and so alike that
    the search would not end, the last ones are good ones, but not proven to be the best.
    """
    scale = _Likeliest(graph, odds) if odds else _Cheapest(graph, bill)
    if graph.path_count <= most:
        paths = list(every_path(graph, odds))
        return sorted(paths, key=lambda path: (scale.rank(path), path.results))
    return _best_first(graph, odds, scale, most)


class _Likeliest:
    """Ranks partial paths by the most likely way on, as a whole number over one denominator (smaller is better)."""

    def __init__(self, graph: Graph, odds: Odds) -> None:
        self.unit = odds.unit
        self.height = graph.heights
        self.best: list[tuple[int, ...]] = [(1,) * len(odds.causes)] * len(graph.nodes)
        for i in reversed(range(len(graph.nodes))):
            edges = graph.edges[i]
            if edges:
                ways = [self._way(i, edge.target, odds.chances[i][e]) for e, edge in enumerate(edges)]
                self.best[i] = tuple(map(max, zip(*ways, strict=True)))

    def _way(self, i: int, target: int, chance: Sequence[int]) -> tuple[int, ...]:
        scale = self.unit ** (self.height[i] - 1 - self.height[target])
        return tuple(a * b * scale for a, b in zip(chance, self.best[target], strict=True))

    def rank(self, path: Path) -> int:
        i = path.nodes[-1]
        scale: int = self.unit ** (self.height[0] - len(path.results) - self.height[i])
        return -scale * sum(map(mul, path.weights, self.best[i]))


class _Cheapest:
    """Ranks partial paths by the least mean money they can still come to."""

    def __init__(self, graph: Graph, bill: Bill) -> None:
        self.graph, self.bill = graph, bill
        self.prices = {tool: mean(price) for tool, price in bill.tools.items()}
        self.least = [0.0] * len(graph.nodes)
        self.needed: list[frozenset[str]] = [frozenset()] * len(graph.nodes)
        for i in reversed(range(len(graph.nodes))):
            targets = [edge.target for edge in graph.edges[i]]
            after = min((self.least[target] for target in targets), default=0.0)
            needed_after = [self.needed[target] for target in targets] or [frozenset[str]()]
            self.least[i] = bill.money[i] + after
            self.needed[i] = frozenset(bill.items[i].tools).union(frozenset.intersection(*needed_after))

    def rank(self, path: Path) -> float:
        # Rounded, so that ways that cost the same are not told apart by the last digit of their sums.
        *before, last = path.nodes
        if not self.graph.edges[last]:
            return round(path_money(self.bill, path), 6)
        tools = self.needed[last].union(*(self.bill.items[i].tools for i in before))
        spent = sum(self.bill.money[i] for i in before) + sum(self.prices[tool] for tool in tools)
        return round(spent + self.least[last], 6)


def path_money(bill: Bill, path: Path) -> float:
    """Mean money of a path."""
    return add_up(path_bill(bill, path.nodes).money).mean


def _best_first(graph: Graph, odds: Odds | None, scale: "_Likeliest | _Cheapest", most: int) -> list[Path]:
    first = Path((), (0,), odds.shares if odds else ())
    waiting: list[tuple[float, tuple[str, ...], Path]] = [(scale.rank(first), (), first)]
    found: list[Path] = []
    effort = 0
    while waiting and len(found) < most and effort < EFFORT:
        path = heappop(waiting)[2]
        edges = graph.edges[path.nodes[-1]]
        if not edges:
            found.append(path)
        for e in range(len(edges)):
            longer = _longer(graph, odds, path, e)
            heappush(waiting, (scale.rank(longer), longer.results, longer))
            effort += 1
    straight: list[Path] = []
    while waiting and len(found) + len(straight) < most:
        straight.append(_straight_on(graph, odds, scale, heappop(waiting)[2]))
    return found + sorted(straight, key=lambda path: (scale.rank(path), path.results))


def _straight_on(graph: Graph, odds: Odds | None, scale: "_Likeliest | _Cheapest", path: Path) -> Path:
    while edges := graph.edges[path.nodes[-1]]:
        ways = [_longer(graph, odds, path, e) for e in range(len(edges))]
        path = min(ways, key=lambda way: (scale.rank(way), way.results))
    return path
