"""Totals: the numbers of one playbook, path by path and as a whole."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any, Final

from builder.read.records import Library
from builder.reckon.amounts import Sum, add_up, exact_sum, whole_sum
from builder.reckon.bill import path_bill, way_money
from builder.reckon.expect import Expected, makeup, priced, settled, wasted
from builder.reckon.odds import Odds
from builder.reckon.paths import ENUMERABLE, LISTED, Path, every_path, listed_paths
from builder.reckon.reckoning import Reckoning, reckoning_of

WITHIN: Final = (50, 80, 95)
"""Percentages for which `spend_within` is given."""


@dataclass(frozen=True, slots=True)
class PathTotals:
    """One path. Money in the library's currency, minutes, hours of waiting, shares of 1; the last three are ``None``
    without odds.
    """

    steps: tuple[str, ...]
    results: tuple[str, ...]
    ending: str | None
    handover: str | None
    money: Sum
    shop_money: Sum
    minutes: Sum
    wait: Sum
    tools: Sequence[str]
    parts: Mapping[str, int]
    hazards: Sequence[str]
    chance: float | None
    settled: float | None
    causes: Mapping[str, float] | None


@dataclass(frozen=True)
class Totals:
    """One playbook; what needs odds is ``None`` where there are none.

    ``in_the_end`` is what following it costs until the car is right, ``at_once`` a professional's mean bill from the
    start, in the library's currency; ``curve`` is its :func:`spending_curve`.
    """

    slug: str
    currency: str
    path_count: int
    paths: Sequence[PathTotals]
    hazards: Sequence[str]
    listed_chance: float | None
    expected: Expected | None
    settled: float | None
    wasted: float | None
    spend_within: Mapping[str, float] | None
    in_the_end: float | None
    at_once: float | None
    causes: Mapping[str, float] | None
    curve: Sequence[tuple[float, Fraction]] | None

    def as_json(self) -> dict[str, Any]:
        """The object that ``droplight totals SLUG --json`` prints."""
        whole = {key: getattr(self, key) for key in ("slug", "currency", "path_count", "listed_chance")}
        names = ("settled", "wasted", "spend_within", "in_the_end", "at_once", "hazards", "causes")
        rest = {key: getattr(self, key) for key in names}
        expected = self.expected._asdict() if self.expected else None
        return {**whole, "paths": [_path_json(path) for path in self.paths], "expected": expected, **rest}


def _path_json(path: PathTotals) -> dict[str, Any]:
    sums = {name: getattr(path, name)._asdict() for name in ("money", "shop_money", "minutes", "wait")}
    return {**asdict(path), **sums}


def totals_of(slug: str, library: Library, most: int = LISTED) -> Totals:
    """The totals of one playbook of a library, with at most ``most`` paths listed.

    Raises:
        KeyError: there is no such playbook.
    """
    reckoning = reckoning_of(library.playbooks[slug], library.catalogue, library.settings)
    return totals(reckoning, library.settings.currency, most)


def totals(reckoning: Reckoning, currency: str, most: int = LISTED) -> Totals:
    """All numbers of a playbook; ``most`` is how many paths are listed at most."""
    graph, odds = reckoning.graph, reckoning.odds
    listed = listed_paths(graph, reckoning.bill, odds, most)
    curve = spending_curve(reckoning)
    return Totals(
        slug=reckoning.playbook.slug,
        currency=currency,
        path_count=graph.path_count,
        paths=[path_totals(reckoning, path) for path in listed],
        hazards=sorted({hazard for item in reckoning.bill.items for hazard in item.hazards}),
        listed_chance=float(exact_sum(_chances(odds, listed))) if odds else None,
        expected=priced(makeup(reckoning), reckoning.bill) if odds else None,
        settled=settled(reckoning) if odds else None,
        wasted=wasted(reckoning) if odds else None,
        spend_within=spend_within(curve),
        in_the_end=reckoning.in_the_end,
        at_once=reckoning.problem.at_once if reckoning.problem else None,
        causes=dict(zip(odds.causes, odds.prior, strict=True)) if odds else None,
        curve=curve,
    )


def path_totals(reckoning: Reckoning, path: Path) -> PathTotals:
    """The numbers of one path; those of odds are ``None`` where there are none."""
    *steps, last = (reckoning.graph.nodes[i] for i in path.nodes)
    bill = path_bill(reckoning.bill, path.nodes)
    odds = reckoning.odds
    causes = odds.normal(path.weights) if odds else None
    return PathTotals(
        steps=tuple(step.name for step in steps),
        results=path.results,
        ending=last.name if last.kind == "ending" else None,
        handover=last.name if last.kind == "handover" else None,
        money=add_up(bill.money),
        shop_money=add_up(bill.shop_money),
        minutes=add_up(bill.minutes),
        wait=add_up(bill.wait),
        tools=bill.tools,
        parts=bill.parts,
        hazards=bill.hazards,
        chance=float(next(_chances(odds, [path]))) if odds else None,
        settled=_settled(path, odds.rights[path.nodes[-1]]) if odds else None,
        causes=causes,
    )


def _settled(path: Path, rights: Sequence[bool]) -> float | None:
    """The chance that the end of a path puts the true cause right; ``None`` where the path cannot be."""
    right = whole_sum(weight for weight, puts_right in zip(path.weights, rights, strict=True) if puts_right)
    whole = whole_sum(path.weights)
    return right / whole if whole else None


def _chances(odds: Odds, paths: Sequence[Path]) -> Iterator[Fraction]:
    for path in paths:
        yield Fraction(whole_sum(path.weights), odds.share_unit * odds.unit ** len(path.results))


def spend_within(curve: Sequence[tuple[float, Fraction]] | None) -> dict[str, float] | None:
    """For 50, 80 and 95 %: the smallest path mean m such that paths with mean ≤ m have at least that chance.

    Exact; ``None`` without odds and where the paths are too many to go through, so that there is no curve.
    """
    if curve is None:
        return None
    return {
        str(percent): next((money for money, chance in curve if chance >= Fraction(percent, 100)), curve[-1][0])
        for percent in WITHIN
    }


def spending_curve(reckoning: Reckoning) -> list[tuple[float, Fraction]] | None:
    """Path means in ascending order, each with the exact chance of spending no more than that."""
    odds = reckoning.odds
    if odds is None or reckoning.graph.path_count > ENUMERABLE:
        return None
    longest = reckoning.graph.heights[0]
    chances: dict[float, int] = {}
    for path in every_path(reckoning.graph, odds):
        money = way_money(reckoning.bill, path.nodes)
        weight = whole_sum(path.weights) * odds.unit ** (longest - len(path.results))
        chances[money] = chances.get(money, 0) + weight
    whole = odds.share_unit * odds.unit**longest
    curve: list[tuple[float, Fraction]] = []
    total = 0
    for money in sorted(chances):
        total += chances[money]
        curve.append((money, Fraction(total, whole)))
    return curve
