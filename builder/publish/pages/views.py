"""Views: what the pages of one playbook show, made from its records and numbers."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Final, TypeVar

from builder.draw.marks import letter, marks
from builder.publish.pages.address import made_sheet, page, path_key
from builder.publish.pages.worth import Either, Outcome, VerdictView, bill_after, either_of, outcome_of, verdict_view
from builder.read.hazards import BANNER, SIGNALS
from builder.read.records import AccessJob, Catalogue, Ending, Hazard, Part, Playbook, Step, Tool
from builder.reckon.amounts import Sum, add_up
from builder.reckon.bill import path_bill, way_means
from builder.reckon.order.verdict import Verdict
from builder.reckon.paths import ENUMERABLE, LISTED, every_path
from builder.reckon.reckoning import Reckoning
from builder.reckon.standing import Standing, standings
from builder.reckon.totals import PathTotals, Totals, path_totals

P = TypeVar("P")

READY: Final = 1
"""How many paths, the likeliest, have a sheet that the build makes; those of all others are made in the browser.

Each more weighs 10 KiB a playbook in what owners take along, and the sheet of the whole playbook needs no JavaScript.
"""


@dataclass(frozen=True, slots=True)
class HazardView:
    """A hazard, and the steps and endings that name it, as numbers of nodes."""

    name: str
    record: Hazard
    nodes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """A result of a step and where it leads: ``kind`` and ``name`` of the target, its number if a step, its mark."""

    name: str
    expect: str
    kind: str
    target: str
    number: int | None
    mark: str
    title: str


@dataclass(frozen=True, slots=True)
class WorkView:
    """A step or an ending with all that an owner must know before starting it; ``mark`` tells it apart in pictures."""

    kind: str
    name: str
    number: int
    mark: str
    work: Step | Ending
    money: Sum
    minutes: Sum
    tools: Sequence[tuple[str, Tool]]
    parts: Sequence[tuple[str, Part, int]]
    access: Sequence[tuple[str, AccessJob]]
    hazards: Sequence[HazardView]
    choices: Sequence[Choice]
    standing: Standing | None
    either: Either | None = None
    bill_after: float | None = None


@dataclass(frozen=True, slots=True)
class PathView:
    """A path of the table; ``rank`` counts from 1, ``sheet`` is the address of its sheet.

    ``nodes`` are the numbers of its nodes. ``code`` says its results by the numbers of steps and the letters of
    results, as in ``1a 2c``. ``added`` is the likely money and the likely minutes that each of its steps, and its
    ending, adds to those before; it is there for paths that are ``ready``, whose sheets the build makes.
    """

    rank: int
    ready: bool
    sheet: str
    totals: PathTotals
    title: str
    nodes: Sequence[int]
    code: str
    added: Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Extremes:
    """The cheapest, dearest, quickest and longest path; ``of_all`` says whether every path was looked at."""

    cheapest: PathTotals
    dearest: PathTotals
    quickest: PathTotals
    longest: PathTotals
    of_all: bool


@dataclass(frozen=True)
class PlaybookView:
    """What the pages of one playbook show: its record, its totals, and views of its nodes by number."""

    playbook: Playbook
    totals: Totals
    nodes: Mapping[int, WorkView]
    paths: Sequence[PathView]
    extremes: Extremes
    hazards: Sequence[HazardView]
    tools: Sequence[tuple[str, Tool]]
    parts: Sequence[tuple[str, Part]]
    access: Sequence[tuple[str, AccessJob]]
    curve: Sequence[tuple[float, Fraction]] | None
    outcome: Outcome | None = None
    verdict: VerdictView | None = None

    @cached_property
    def steps(self) -> list[WorkView]:
        """The views of its steps, in the order of the graph."""
        return [view for view in self.nodes.values() if view.kind == "step"]

    @cached_property
    def endings(self) -> list[WorkView]:
        """The views of its endings, in the order of the graph."""
        return [view for view in self.nodes.values() if view.kind == "ending"]

    @property
    def banner(self) -> list[HazardView]:
        """The hazards that put the banner on the page."""
        return [hazard for hazard in self.hazards if hazard.name in BANNER]


def playbook_view(
    reckoning: Reckoning,
    totals: Totals,
    catalogue: Catalogue,
    titles: Mapping[str, str],
    verdict: Verdict | None = None,
) -> PlaybookView:
    """Everything on the pages of one playbook; ``titles`` are those of all playbooks, by slug.

    ``verdict`` is the one on its order, where that was looked into.
    """
    standing = standings(reckoning) if reckoning.odds else None
    mark = marks(reckoning.graph)
    works = {
        i: _work_view(reckoning, catalogue, titles, i, node.work, mark[i], standing[i] if standing else None)
        for i, node in enumerate(reckoning.graph.nodes)
        if node.work is not None
    }
    items = reckoning.bill.items
    hazards = {name: tuple(i for i, item in enumerate(items) if name in item.hazards) for name in totals.hazards}
    needed = {kind: sorted({name for item in items for name in getattr(item, kind)}) for kind in ("tools", "access")}
    return PlaybookView(
        playbook=reckoning.playbook,
        totals=totals,
        nodes=works,
        paths=list(_path_views(reckoning, totals, titles)),
        extremes=_extremes(reckoning, totals),
        hazards=severest_first(HazardView(name, catalogue.hazards[name], nodes) for name, nodes in hazards.items()),
        tools=[(name, catalogue.tools[name]) for name in needed["tools"]],
        parts=[(name, catalogue.parts[name]) for name in sorted({part for item in items for part in item.parts})],
        access=[(name, catalogue.access[name]) for name in needed["access"]],
        curve=totals.curve,
        outcome=outcome_of(reckoning, totals),
        verdict=verdict_view(reckoning.playbook, verdict, titles) if verdict else None,
    )


def severest_first(hazards: Iterable[HazardView]) -> list[HazardView]:
    """Hazards by their signal words (ANSI Z535.6), then by name."""
    return sorted(hazards, key=lambda hazard: (SIGNALS.index(hazard.record.signal), hazard.name))


def _work_view(
    reckoning: Reckoning,
    catalogue: Catalogue,
    titles: Mapping[str, str],
    i: int,
    work: Step | Ending,
    mark: str,
    standing: Standing | None,
) -> WorkView:
    node, item = reckoning.graph.nodes[i], reckoning.bill.items[i]
    bill = path_bill(reckoning.bill, [i])
    tools = [(name, catalogue.tools[name]) for name in item.tools]
    return WorkView(
        kind=node.kind,
        name=node.name,
        number=step_number(reckoning, i),
        mark=mark,
        work=work,
        money=add_up(bill.money),
        minutes=add_up(bill.minutes),
        tools=tools,
        parts=[(name, catalogue.parts[name], count) for name, count in item.parts.items()],
        access=[(name, catalogue.access[name]) for name in item.access],
        hazards=severest_first(HazardView(name, catalogue.hazards[name], (i,)) for name in item.hazards),
        choices=_choices(reckoning, titles, i),
        standing=standing,
        either=either_of(work, bill, tools) if isinstance(work, Ending) else None,
        bill_after=bill_after(reckoning, work, standing) if standing and isinstance(work, Ending) else None,
    )


def step_number(reckoning: Reckoning, i: int) -> int:
    """The number of a step or ending on the page, from 1, each kind counted by itself."""
    kind = reckoning.graph.nodes[i].kind
    return sum(node.kind == kind for node in reckoning.graph.nodes[: i + 1])


def _choices(reckoning: Reckoning, titles: Mapping[str, str], i: int) -> list[Choice]:
    work = reckoning.graph.nodes[i].work
    if not isinstance(work, Step):
        return []
    choices = []
    mark = marks(reckoning.graph)
    for edge in reckoning.graph.edges[i]:
        target = reckoning.graph.nodes[edge.target]
        title = target.work.title if target.work else titles.get(target.name, target.name)
        number = step_number(reckoning, edge.target) if target.kind == "step" else None
        expect = work.results[edge.result].expect
        choices.append(Choice(edge.result, expect, target.kind, target.name, number, mark[edge.target], title))
    return choices


def _path_views(reckoning: Reckoning, totals: Totals, titles: Mapping[str, str]) -> Iterator[PathView]:
    book = reckoning.playbook
    sums: dict[tuple[int, ...], tuple[float, float]] = {(): (0.0, 0.0)}
    for rank, path in enumerate(totals.paths, start=1):
        name = str(path.handover)
        title = book.endings[path.ending].title if path.ending else titles.get(name, name)
        way, ready = reckoning.graph.follow(path.results), rank <= READY
        key = path_key(book.slug, path.steps, path.results)
        sheet = page("path", key) if ready else made_sheet(book.slug, path.results)
        added = _added(reckoning, way, sums) if ready else ()
        yield PathView(rank, ready, sheet, path, title, way, _code(reckoning, path, way), added)


def _code(reckoning: Reckoning, path: PathTotals, way: Sequence[int]) -> str:
    """Results as an owner may find them on the page: the number of each step and the letter of the result."""
    edges = reckoning.graph.edges
    places = [[edge.result for edge in edges[i]].index(name) for i, name in zip(way, path.results, strict=False)]
    return " ".join(f"{step_number(reckoning, i)}{letter(n)}" for i, n in zip(way, places, strict=False))


def _added(
    reckoning: Reckoning, way: Sequence[int], sums: dict[tuple[int, ...], tuple[float, float]]
) -> list[tuple[float, float]]:
    """Likely money and minutes that each node of a way adds; ``sums`` keeps those of beginnings that paths share."""
    parts = [tuple(way[:count]) for count in range(len(way) + 1)]
    for part in parts:
        if part not in sums:
            bill = path_bill(reckoning.bill, part)
            sums[part] = add_up(bill.money).likely, add_up(bill.minutes).likely
    return [(sums[after][0] - sums[before][0], sums[after][1] - sums[before][1]) for before, after in pairwise(parts)]


def _extremes(reckoning: Reckoning, totals: Totals) -> Extremes:
    """Of every path where they can be gone through, else of those listed."""
    whole = totals.path_count <= ENUMERABLE
    if not LISTED < totals.path_count <= ENUMERABLE:
        return Extremes(*_ends([(path.money.mean, path.minutes.mean, path) for path in totals.paths]), whole)
    every = every_path(reckoning.graph, reckoning.odds)
    ends = _ends([(*way_means(reckoning.bill, path.nodes), path) for path in every])
    cheapest, dearest, quickest, longest = (path_totals(reckoning, path) for path in ends)
    return Extremes(cheapest, dearest, quickest, longest, whole)


def _ends(paths: Sequence[tuple[float, float, P]]) -> tuple[P, P, P, P]:
    """The cheapest, dearest, quickest and longest of paths, each with its mean money and minutes before it."""
    return (
        min(paths, key=lambda path: path[0])[2],
        max(paths, key=lambda path: path[0])[2],
        min(paths, key=lambda path: path[1])[2],
        max(paths, key=lambda path: path[1])[2],
    )
