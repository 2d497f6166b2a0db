"""Paths listed: all of them where they are few, else the best by best-first search.

The best are the likeliest, and without odds the cheapest.
"""

from collections.abc import Iterator, Sequence
from operator import mul
from typing import Final, NamedTuple

from builder.reckon.amounts import whole_sum
from builder.reckon.bill import Bill, way_money
from builder.reckon.graph import Graph
from builder.reckon.odds import Odds
from builder.reckon.search import Cheapest, Likeliest, Search, blended

LISTED: Final = 200
"""At most so many paths are listed."""

ENUMERABLE: Final = 10_000
"""Up to so many paths are gone through one by one where a figure needs every path."""


class Path(NamedTuple):
    """``nodes`` from the start to where the path stops; ``weights`` as in :meth:`Odds.weights`, if there are odds."""

    results: tuple[str, ...]
    nodes: tuple[int, ...]
    weights: tuple[int, ...]


class _Stretch(NamedTuple):
    """A result and all that follows until the way branches or ends; ``chances`` are products by cause, with odds."""

    results: tuple[str, ...]
    nodes: tuple[int, ...]
    chances: tuple[int, ...]


def every_path(graph: Graph, odds: Odds | None) -> Iterator[Path]:
    """All paths, depth first in the order of the file.

    What lies between two branchings is gone over once, so that long rows of steps cost no more than short ones.
    """
    stretches: dict[int, list[_Stretch]] = {}
    waiting = [Path((), (0,), odds.shares if odds else ())]
    while waiting:
        path = waiting.pop()
        i = path.nodes[-1]
        if not graph.edges[i]:
            yield path
            continue
        if i not in stretches:
            stretches[i] = [_stretch(graph, odds, i, e) for e in reversed(range(len(graph.edges[i])))]
        waiting += [
            Path(path.results + way.results, path.nodes + way.nodes, tuple(map(mul, path.weights, way.chances)))
            for way in stretches[i]
        ]


def _stretch(graph: Graph, odds: Odds | None, i: int, e: int) -> _Stretch:
    results: list[str] = []
    nodes: list[int] = []
    chances = (1,) * len(odds.causes) if odds else ()
    while not nodes or len(graph.edges[i]) == 1:
        if odds:
            chances = tuple(map(mul, chances, odds.chances[i][e]))
        results.append(graph.edges[i][e].result)
        i, e = graph.edges[i][e].target, 0
        nodes.append(i)
    return _Stretch(tuple(results), tuple(nodes), chances)


def listed_paths(graph: Graph, bill: Bill, odds: Odds | None, most: int = LISTED) -> list[Path]:
    """The likeliest paths, likeliest first; without odds the cheapest by mean money; ties by their results' names.

    The order is exact (chances are compared as whole numbers). Where paths are beyond counting and so alike that
    the search gives up, the last ones are good ones, but not proven to be the best.
    """

    def rank(path: Path) -> tuple[float, tuple[str, ...]]:
        if odds is None:
            # Rounded, so that paths that cost the same are not told apart by the last digit of their sums.
            return round(way_money(bill, path.nodes), 6), path.results
        scale: int = odds.unit ** (graph.heights[0] - len(path.results))
        return -scale * whole_sum(path.weights), path.results

    if graph.path_count <= most:
        return sorted(every_path(graph, odds), key=rank)
    search = Search(graph, Likeliest(graph, odds) if odds else Cheapest(graph, bill))
    best, partial = search.best(most)
    proven = [twig.route for twig in best]
    guesses = {(*twig.route, *search.scale.way_on(twig)) for twig in partial}
    if guesses and odds:
        alike, _ = Search(graph, Likeliest(graph, blended(odds))).best(most)
        guesses |= {twig.route for twig in alike}
    further = sorted((_path(graph, odds, route) for route in guesses.difference(proven)), key=rank)
    return [_path(graph, odds, route) for route in proven] + further[: most - len(proven)]


def _path(graph: Graph, odds: Odds | None, route: Sequence[int]) -> Path:
    results: list[str] = []
    nodes = [0]
    weights = odds.shares if odds else ()
    for e in route:
        if odds:
            weights = tuple(map(mul, weights, odds.chances[nodes[-1]][e]))
        edge = graph.edges[nodes[-1]][e]
        results.append(edge.result)
        nodes.append(edge.target)
    return Path(tuple(results), tuple(nodes), weights)
