"""Totals: the numbers of one playbook, path by path and as a whole."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any, Final

from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.reckon.amounts import Sum, add_up
from builder.reckon.bill import Bill, bill_of, path_bill, way_money
from builder.reckon.expect import Expected, Makeup, Model, makeup, priced, settled, wasted
from builder.reckon.graph import Graph, graph_of
from builder.reckon.odds import Odds, odds_of
from builder.reckon.paths import ENUMERABLE, LISTED, Path, every_path, listed_paths

WITHIN: Final = (50, 80, 95)
"""Percentages for which `spend_within` is given."""


@dataclass(frozen=True, slots=True)
class PathTotals:
    """One path. Money in the library's currency, minutes, shares of 1; the last three are ``None`` without odds."""

    steps: tuple[str, ...]
    results: tuple[str, ...]
    ending: str | None
    handover: str | None
    money: Sum
    shop_money: Sum
    minutes: Sum
    tools: Sequence[str]
    parts: Mapping[str, int]
    hazards: Sequence[str]
    chance: float | None
    settled: float | None
    causes: Mapping[str, float] | None


@dataclass(frozen=True)
class Totals:
    """One playbook; what needs odds is ``None`` where there are none."""

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
    causes: Mapping[str, float] | None

    def as_json(self) -> dict[str, Any]:
        """The object that ``droplight totals SLUG --json`` prints."""
        whole = {key: getattr(self, key) for key in ("slug", "currency", "path_count", "listed_chance")}
        rest = {key: getattr(self, key) for key in ("settled", "wasted", "spend_within", "hazards", "causes")}
        expected = self.expected._asdict() if self.expected else None
        return {**whole, "paths": [_path_json(path) for path in self.paths], "expected": expected, **rest}


def _path_json(path: PathTotals) -> dict[str, Any]:
    sums = {name: getattr(path, name)._asdict() for name in ("money", "shop_money", "minutes")}
    return {**asdict(path), **sums}


@dataclass(frozen=True)
class Reckoning:
    """A playbook made ready for reckoning: its graph, its bill and, if it has them, its odds."""

    playbook: Playbook
    graph: Graph
    bill: Bill
    odds: Odds | None

    @cached_property
    def model(self) -> Model | None:
        return Model(self.graph, self.bill, self.odds) if self.odds else None

    @cached_property
    def makeup(self) -> Makeup | None:
        """What the expected figures are made up of."""
        return makeup(self.model) if self.model else None

    @cached_property
    def curve(self) -> "list[tuple[float, Fraction]] | None":
        """The :func:`spending_curve`."""
        return spending_curve(self)


def reckoning_of(playbook: Playbook, catalogue: Catalogue, settings: Settings) -> Reckoning:
    """Get a playbook that has passed the checks ready for reckoning."""
    graph = graph_of(playbook)
    return Reckoning(playbook, graph, bill_of(graph, catalogue, settings), odds_of(playbook, graph))


def totals_of(slug: str, library: Library, most: int = LISTED) -> Totals:
    """The totals of one playbook of a library, with at most ``most`` paths listed.

    Raises:
        KeyError: there is no such playbook.
    """
    reckoning = reckoning_of(library.playbooks[slug], library.catalogue, library.settings)
    return totals(reckoning, library.settings.currency, most)


def totals(reckoning: Reckoning, currency: str, most: int = LISTED) -> Totals:
    graph, odds, model = reckoning.graph, reckoning.odds, reckoning.model
    listed = listed_paths(graph, reckoning.bill, odds, most)
    return Totals(
        slug=reckoning.playbook.slug,
        currency=currency,
        path_count=graph.path_count,
        paths=[path_totals(reckoning, path) for path in listed],
        hazards=sorted({hazard for item in reckoning.bill.items for hazard in item.hazards}),
        listed_chance=float(sum(_chances(odds, listed), Fraction(0))) if odds else None,
        expected=priced(reckoning.makeup, reckoning.bill) if reckoning.makeup else None,
        settled=settled(model) if model else None,
        wasted=wasted(model) if model else None,
        spend_within=spend_within(reckoning),
        causes=dict(zip(odds.causes, odds.prior, strict=True)) if odds else None,
    )


def path_totals(reckoning: Reckoning, path: Path) -> PathTotals:
    *steps, last = (reckoning.graph.nodes[i] for i in path.nodes)
    bill = path_bill(reckoning.bill, path.nodes)
    odds = reckoning.odds
    causes = odds.normal(path.weights) if odds else None
    right = odds.rights[path.nodes[-1]] if odds else ()
    return PathTotals(
        steps=tuple(step.name for step in steps),
        results=path.results,
        ending=last.name if last.kind == "ending" else None,
        handover=last.name if last.kind == "handover" else None,
        money=add_up(bill.money),
        shop_money=add_up(bill.shop_money),
        minutes=add_up(bill.minutes),
        tools=bill.tools,
        parts=bill.parts,
        hazards=bill.hazards,
        chance=float(next(_chances(odds, [path]))) if odds else None,
        settled=sum(share for share, puts_right in zip(causes.values(), right, strict=True) if puts_right)
        if causes is not None
        else None,
        causes=causes,
    )


def _chances(odds: Odds, paths: Sequence[Path]) -> Iterator[Fraction]:
    for path in paths:
        yield Fraction(sum(path.weights), odds.share_unit * odds.unit ** len(path.results))


def spend_within(reckoning: Reckoning) -> dict[str, float] | None:
    """For 50, 80 and 95 %: the smallest path mean m such that paths with mean ≤ m have at least that chance.

    Exact; ``None`` without odds and where the paths are too many to go through.
    """
    curve = reckoning.curve
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
        weight = sum(path.weights) * odds.unit ** (longest - len(path.results))
        chances[money] = chances.get(money, 0) + weight
    whole = odds.share_unit * odds.unit**longest
    curve: list[tuple[float, Fraction]] = []
    total = 0
    for money in sorted(chances):
        total += chances[money]
        curve.append((money, Fraction(total, whole)))
    return curve
