"""The paths of a playbook before and after a change."""

from collections.abc import Iterator, Sequence
from heapq import nlargest
from math import isclose
from operator import attrgetter
from typing import Final, NamedTuple

from builder.reckon.amounts import add_up, whole_sum
from builder.reckon.bill import path_bill
from builder.reckon.graph import Graph, Key
from builder.reckon.paths import LISTED, listed_paths
from builder.reckon.reckoning import Reckoning

SHOWN: Final = 2
"""How many paths of a playbook are shown by each measure: chance, money, time, new and gone."""


class PathNumbers(NamedTuple):
    """A path in short: mean money, mean minutes, chance (``None`` without odds)."""

    money: float
    minutes: float
    chance: float | None


class PathChange(NamedTuple):
    """A path before and after; ``None`` where a library does not have it."""

    results: tuple[str, ...]
    end: str
    before: PathNumbers | None
    after: PathNumbers | None


class Paths(NamedTuple):
    """Paths of a playbook: how many came and left; of the ``compared`` ones, how many changed and which did most."""

    added: int
    removed: int
    compared: int
    changed: int
    shown: tuple[PathChange, ...]


def paths_of(old: Reckoning, new: Reckoning) -> Paths:
    """What became of the paths; numbers are compared for the paths that either library lists."""
    common = _common_count(old.graph, new.graph)
    changes = list(_path_changes(old, new))
    both = [(change, change.before, change.after) for change in changes if change.before and change.after]
    changed = [(change, before, after) for change, before, after in both if not _same(before, after)]
    shown: list[PathChange] = []
    for measure in (_chance, attrgetter("money"), attrgetter("minutes")):
        by_size = [(abs(measure(after) - measure(before)), change) for change, before, after in changed]
        largest = nlargest(SHOWN, by_size, key=lambda one: one[0])
        shown += [change for size, change in largest if not isclose(size, 0, abs_tol=1e-9)]
    shown += [change for change in changes if not change.before][:SHOWN]
    shown += [change for change in changes if not change.after][:SHOWN]
    counts = new.graph.path_count - common, old.graph.path_count - common, len(both), len(changed)
    return Paths(*counts, tuple(dict.fromkeys(shown)))


def _path_changes(old: Reckoning, new: Reckoning) -> Iterator[PathChange]:
    """Every path that one of the two lists, likeliest of the new library first."""
    listed = [
        path.results
        for reckoning in (new, old)
        for path in listed_paths(reckoning.graph, reckoning.bill, reckoning.odds, LISTED)
    ]
    for results in dict.fromkeys(listed):
        before, after = _seen(old, results), _seen(new, results)
        if before and after and before[0] == after[0]:
            yield PathChange(results, before[0][-1][1], before[1], after[1])
        else:
            yield from [PathChange(results, before[0][-1][1], before[1], None)] if before else []
            yield from [PathChange(results, after[0][-1][1], None, after[1])] if after else []


def _seen(reckoning: Reckoning, results: Sequence[str]) -> tuple[list[Key], PathNumbers] | None:
    """The nodes along a path by kind and name, and the path in short; ``None`` where the playbook has no such path."""
    graph = reckoning.graph
    try:
        way = graph.follow(results)
    except KeyError:
        return None
    if graph.edges[way[-1]]:
        return None
    return [(graph.nodes[i].kind, graph.nodes[i].name) for i in way], _path_numbers(reckoning, results, way)


def _path_numbers(reckoning: Reckoning, results: Sequence[str], way: Sequence[int]) -> PathNumbers:
    bill = path_bill(reckoning.bill, way)
    odds = reckoning.odds
    chance = None
    if odds:
        chance = whole_sum(odds.weights(reckoning.graph, results)) / (odds.share_unit * odds.unit ** len(results))
    return PathNumbers(add_up(bill.money).mean, add_up(bill.minutes).mean, chance)


def _chance(numbers: PathNumbers) -> float:
    return numbers.chance or 0.0


def _same(before: Sequence[float | None], after: Sequence[float | None]) -> bool:
    """Whether figures are the same but for rounding."""
    return all(
        a == b if a is None or b is None else isclose(a, b, rel_tol=1e-9, abs_tol=1e-12)
        for a, b in zip(before, after, strict=True)
    )


def _common_count(old: Graph, new: Graph) -> int:
    """How many paths are in both: through steps of the same names, with the same results, to the same end."""
    counts: dict[int, int] = {}
    for i in reversed(range(len(new.nodes))):
        node = new.nodes[i]
        j = old.number.get((node.kind, node.name))
        if j is None:
            continue
        if not new.edges[i]:
            counts[i] = int(not old.edges[j])
            continue
        ways = {edge.result: old.nodes[edge.target][:2] for edge in old.edges[j]}
        both = [edge.target for edge in new.edges[i] if ways.get(edge.result) == new.nodes[edge.target][:2]]
        counts[i] = whole_sum(counts.get(target, 0) for target in both)
    return counts.get(0, 0) if old.nodes[0][:2] == new.nodes[0][:2] else 0
