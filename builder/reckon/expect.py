"""Expectations over all paths of a playbook, by one pass over the graph per cause and never by listing paths.

For a cause, the chance that a path goes through node ``i`` and ends in a certain way is ``reach[i] · worth[i]``:
how likely it is to get there, times how likely it is to end that way from there. Costs of nodes add up over that.
What a path pays once (a tool, an access job) counts by the chance that the path meets at least one of its users.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from typing import NamedTuple

from builder.reckon.amounts import mean, share_sum
from builder.reckon.bill import Bill, Item
from builder.reckon.reckoning import Reckoning, Row


class Expected(NamedTuple):
    """Means over all paths: money and workshop price in the library's currency, time in minutes."""

    money: float
    shop_money: float
    minutes: float


def carried_back(
    reckoning: Reckoning, stop: Callable[[int], Row], known: Callable[[int], Row | None] = lambda i: None
) -> list[Row]:
    """For every node and cause, a figure carried back from where paths stop, weighted by the chances on the way.

    ``stop`` gives the figures of endings and hand-overs; ``known`` those of nodes that do not depend on what follows.
    """
    causes = range(len(reckoning.given_odds.causes))
    rows: list[Row] = [()] * len(reckoning.graph.nodes)
    for i in reversed(range(len(rows))):
        edges = reckoning.graph.edges[i]
        row = known(i)
        if row is None and not edges:
            row = stop(i)
        elif row is None:
            following = [(rows[edge.target], reckoning.given_odds.likelihoods[i][e]) for e, edge in enumerate(edges)]
            row = tuple(fsum([after[c] * chance[c] for after, chance in following]) for c in causes)
        rows[i] = row
    return rows


def ends_anyhow(reckoning: Reckoning) -> Callable[[int], Row]:
    """1 for every cause: wherever paths stop, they count."""
    ones = (1.0,) * len(reckoning.given_odds.causes)
    return lambda i: ones


def ends_wrong(reckoning: Reckoning) -> Callable[[int], Row]:
    """1 for the causes that a repair does not put right; 0 for hand-overs and "leave it", which repair nothing."""
    odds = reckoning.given_odds
    return lambda i: tuple(float(odds.repairs[i] and not right) for right in odds.rights[i])


@dataclass(frozen=True, slots=True)
class Makeup:
    """What expected figures are made up of, each a mean over all paths: money in the library's currency.

    ``material`` is cost and parts, ``tools`` the chance of needing each tool, ``minutes`` all time, ``shop_minutes``
    the part of it that only a workshop may do. So money = material + Σ chance · price + shop_minutes · rate.
    """

    material: float
    tools: Mapping[str, float]
    minutes: float
    shop_minutes: float


def makeup(reckoning: Reckoning, stop: Callable[[int], Row] | None = None) -> Makeup:
    """Each path counted by its chance and as far as its end counts by ``stop`` (by default in full)."""
    bill = reckoning.bill
    worth = carried_back(reckoning, stop or ends_anyhow(reckoning))
    passed = [fsum(a * b for a, b in zip(*rows, strict=True)) for rows in zip(reckoning.reach, worth, strict=True)]

    def added(figures: Sequence[float]) -> float:
        return fsum(chance * figure for chance, figure in zip(passed, figures, strict=True))

    def opening(users: Mapping[str, frozenset[int]]) -> float:
        return fsum(bill.access_minutes(job) * _meets(reckoning, nodes, worth) for job, nodes in users.items())

    opened = opening(_users(bill, lambda item: item.access))
    by_owner = opening(_users(bill, lambda item: () if item.shop else item.access))
    priced = {tool: users for tool, users in _users(bill, lambda item: item.tools).items() if any(bill.tools[tool])}
    shop = [minutes if item.shop else 0.0 for minutes, item in zip(bill.minutes, bill.items, strict=True)]
    return Makeup(
        material=added(bill.material),
        tools={tool: _meets(reckoning, users, worth) for tool, users in priced.items()},
        minutes=added(bill.minutes) + opened,
        shop_minutes=added(shop) + opened - by_owner,
    )


def expect(reckoning: Reckoning, stop: Callable[[int], Row] | None = None) -> Expected:
    """Σ over paths of chance × mean, each path counted as far as its end counts by ``stop`` (by default in full)."""
    return priced(makeup(reckoning, stop), reckoning.bill)


def priced(made: Makeup, bill: Bill) -> Expected:
    """What a makeup comes to at the prices of a bill."""
    tools = fsum(chance * mean(bill.tools[tool]) for tool, chance in made.tools.items())
    return Expected(
        made.material + tools + made.shop_minutes * bill.rate, made.material + made.minutes * bill.rate, made.minutes
    )


def _meets(reckoning: Reckoning, users: frozenset[int], worth: Sequence[Row]) -> float:
    """The chance that a path meets at least one of these nodes (and that its end counts)."""
    nothing = (0.0,) * len(reckoning.given_odds.causes)
    rows = carried_back(reckoning, lambda i: nothing, lambda i: worth[i] if i in users else None)
    return fsum(a * b for a, b in zip(reckoning.given_odds.prior, rows[0], strict=True))


def _users(bill: Bill, names: Callable[[Item], Iterable[str]]) -> dict[str, frozenset[int]]:
    """Which nodes need what, by name."""
    users: dict[str, set[int]] = {}
    for i, item in enumerate(bill.items):
        for name in names(item):
            users.setdefault(name, set()).add(i)
    return {name: frozenset(nodes) for name, nodes in sorted(users.items())}


def settled(reckoning: Reckoning) -> float:
    """The chance that a path ends in an ending that puts the true cause right."""
    rows = reckoning.reach
    return share_sum(
        chance
        for row, rights in zip(rows, reckoning.given_odds.rights, strict=True)
        for chance, right in zip(row, rights, strict=True)
        if right
    )


def wasted(reckoning: Reckoning) -> float:
    """Expected money of paths that end in a repair that does not put the true cause right."""
    return expect(reckoning, ends_wrong(reckoning)).money
