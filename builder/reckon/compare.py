"""A comparison: what a change to a library means for those who will follow it. Pure functions over two readings.

What warns less than before comes first, since a lost warning is the one mistake that can hurt somebody.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import nlargest
from math import isclose
from operator import attrgetter
from typing import Any, Final, Literal, NamedTuple

from pydantic import BaseModel

from builder.read.checks.hazards import hazards_of
from builder.read.findings import ERROR, Finding
from builder.read.folder import CATALOGUE, KINDS, SETTINGS
from builder.read.hazards import BANNER, SIGNALS
from builder.read.records import LOST, Catalogue, Ending, Hazard, Library, Playbook, Step
from builder.reckon.amounts import add_up
from builder.reckon.bill import path_bill
from builder.reckon.expect import Expected, expect, settled, wasted
from builder.reckon.graph import Graph, Key
from builder.reckon.paths import LISTED, listed_paths
from builder.reckon.totals import Reckoning, reckoning_of

LossKind = Literal[
    "hazard", "playbook", "job", "signal", "removed-playbook", "place", "denied", "words", "wording", "owner"
]

ORDER_OF_LOSSES: Final[tuple[LossKind, ...]] = (
    "hazard",
    "job",
    "signal",
    "playbook",
    "removed-playbook",
    "place",
    "denied",
    "words",
    "owner",
    "wording",
)

UNORDERED: Final = frozenset(
    {"tools", "access", "hazards", "settles", "codes", "vehicles", "conditions", "words", "was"}
)
"""Lists whose order says nothing."""

ALIKE: Final = 0.5
"""How much of their steps and endings, by name, a playbook that left and one that came share to count as renamed."""

SHOWN_MOVES: Final = 2
"""How many paths of a playbook are shown by each measure: chance, money, time, new and gone."""


@dataclass(frozen=True)
class Side:
    """One of the two libraries as it was read; ``shown`` is what findings call its folder."""

    library: Library | None
    findings: Sequence[Finding]
    shown: str

    @property
    def playbooks(self) -> Mapping[str, Playbook]:
        return self.library.playbooks if self.library else {}

    @property
    def catalogue(self) -> Catalogue:
        return self.library.catalogue if self.library else Catalogue()

    def inner(self, finding: Finding) -> str:
        """The file of a finding as a path within the library."""
        return finding.file.removeprefix(self.shown.rstrip("/") + "/")

    @cached_property
    def broken(self) -> frozenset[str]:
        """Files with errors, as paths within the library."""
        return frozenset(self.inner(finding) for finding in self.findings if finding.severity == ERROR)

    @cached_property
    def base_is_sound(self) -> bool:
        """Whether settings and catalogue, on which all numbers rest, have no errors."""
        return not self.broken & {SETTINGS, *(f"{CATALOGUE}/{kind}.yaml" for kind in KINDS)}

    @cached_property
    def unreadable(self) -> frozenset[str]:
        """Slugs of playbooks that are there but too broken to be read."""
        files = (path.split("/") for path in self.broken if path.endswith(".yaml"))
        slugs = {parts[1].removesuffix(".yaml") for parts in files if len(parts) == 2 and parts[0] != CATALOGUE}
        return frozenset(slugs - self.playbooks.keys())

    def is_sound(self, slug: str) -> bool:
        """Whether the numbers of a playbook can be trusted."""
        return self.base_is_sound and f"{self.playbooks[slug].area}/{slug}.yaml" not in self.broken


class Place(NamedTuple):
    """A step or an ending; ``gone`` says that the other library has none of this name."""

    kind: Literal["step", "ending"]
    name: str
    gone: bool


class Loss(NamedTuple):
    """One way in which a library warns less than another.

    ``playbook`` and ``places`` are empty for what concerns the catalogue; ``name`` is an access job, a hazard word
    or a field of the hazard; ``before`` and ``after`` are signal words or texts.
    """

    kind: LossKind
    hazard: str
    playbook: str = ""
    places: tuple[Place, ...] = ()
    name: str = ""
    before: str = ""
    after: str = ""


class Difference(NamedTuple):
    """Something of a playbook, or of the catalogue and the settings, that came, left or changed in these fields."""

    kind: str
    name: str
    how: Literal["added", "removed", "changed"]
    fields: tuple[str, ...] = ()


class Numbers(NamedTuple):
    """The numbers of a playbook; all but the count of paths are ``None`` without odds."""

    path_count: int
    expected: Expected | None
    settled: float | None
    wasted: float | None


class Glance(NamedTuple):
    """A path in short: mean money, mean minutes, chance (``None`` without odds)."""

    money: float
    minutes: float
    chance: float | None


class Move(NamedTuple):
    """A path before and after; ``None`` where a library does not have it."""

    results: tuple[str, ...]
    end: str
    before: Glance | None
    after: Glance | None


class Paths(NamedTuple):
    """Paths of a playbook: how many came and left; of the ``compared`` ones, how many changed and which did most."""

    added: int
    removed: int
    compared: int
    changed: int
    moves: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class PlaybookChange:
    """A playbook that is in both libraries, there as ``was``, and in which something changed.

    Numbers are ``None`` where errors keep them from being reckoned, paths where one of the two is.
    """

    slug: str
    was: str
    differences: tuple[Difference, ...]
    before: Numbers | None
    after: Numbers | None
    paths: Paths | None


class Comparison(NamedTuple):
    """All that a change means. ``base`` are changes of catalogue and settings, ``kept`` errors that were there before.

    ``unreadable`` are playbooks of the new library, ``unread`` of the old one, that are too broken to be compared.
    """

    old: Side
    new: Side
    losses: list[Loss]
    gains: list[Loss]
    added: list[str]
    removed: list[str]
    changed: list[PlaybookChange]
    unchanged: int
    unreadable: list[str]
    unread: list[str]
    base: list[Difference]
    new_findings: list[Finding]
    gone_findings: list[Finding]
    kept: list[Finding]

    @property
    def is_empty(self) -> bool:
        """Whether nothing changed in substance."""
        return not any((self.losses, self.gains, self.added, self.removed, self.changed, self.base)) and not any(
            (self.new_findings, self.gone_findings)
        )


def compare(old: Side, new: Side) -> Comparison:
    """Compare two libraries; what could not be read of either is named and passed over."""
    pairs = matches(old, new)
    changes = [change for was, slug in pairs if (change := _change(was, slug, old, new))]
    new_findings, gone_findings, kept = _findings(old, new)
    both = old.library and new.library
    return Comparison(
        old=old,
        new=new,
        losses=losses(old, new, pairs) if both else [],
        gains=gains(old, new, pairs) if both else [],
        added=sorted(new.playbooks.keys() - {slug for _, slug in pairs} - old.unreadable),
        removed=_left(old, new, pairs),
        changed=changes,
        unchanged=len(pairs) - len(changes),
        unreadable=sorted(new.unreadable) if new.library else sorted(old.playbooks),
        unread=sorted(old.unreadable & new.playbooks.keys()),
        base=list(_base(old, new)),
        new_findings=new_findings,
        gone_findings=gone_findings,
        kept=kept,
    )


def matches(old: Side, new: Side) -> list[tuple[str, str]]:
    """Slugs of playbooks that are in both libraries, as (before, after).

    A playbook that was renamed is known by what it says it was, else by the names of its steps and endings
    (:data:`ALIKE`), so that a warning cannot get lost on the way.
    """
    left = sorted(old.playbooks.keys() - new.playbooks.keys() - new.unreadable)
    came = sorted(new.playbooks.keys() - old.playbooks.keys() - old.unreadable)
    likely = [(_likeness(old.playbooks[a], new.playbooks[b]), a, b) for a in left for b in came]
    renamed: dict[str, str] = {}
    for likeness, was, slug in sorted(likely, key=lambda one: (-one[0], one[1:])):
        if likeness >= ALIKE and was not in renamed and slug not in renamed.values():
            renamed[was] = slug
    kept = {slug: slug for slug in old.playbooks.keys() & new.playbooks.keys()}
    return sorted({**kept, **renamed}.items(), key=lambda pair: pair[1])


def _likeness(one: Playbook, other: Playbook) -> float:
    """Names of steps and endings that both have, as a share of those that either has (Jaccard).

    2, which no share comes to, where the second says that it was the first.
    """
    if one.slug in other.was:
        return 2.0
    first, second = set(one.work()), set(other.work())
    return len(first & second) / len(first | second)


def _left(old: Side, new: Side, pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Playbooks that are gone, as far as the new library can tell."""
    if new.library is None:
        return []
    return sorted(old.playbooks.keys() - {was for was, _ in pairs} - new.unreadable)


# --- What warns less ------------------------------------------------------------------------------------------------


def losses(old: Side, new: Side, pairs: Sequence[tuple[str, str]]) -> list[Loss]:
    """Every way in which the new library warns less, gravest first. With the two exchanged: in which it warns more."""
    found = [*_catalogue_losses(old.catalogue, new.catalogue)]
    for was, slug in pairs:
        found += _hazard_losses(old.playbooks[was], old.catalogue, new.playbooks[slug], new.catalogue)
        found += _denials(new.playbooks[slug], old.playbooks[was])
        found += _owner_losses(old.playbooks[was], new.playbooks[slug])
    for slug in _left(old, new, pairs):
        found += _removed_losses(old.playbooks[slug], old.catalogue)
    paired = {slug for _, slug in pairs} | old.unreadable
    for slug in sorted(new.playbooks.keys() - paired):
        found += _denials(new.playbooks[slug], None)

    def gravity(loss: Loss) -> tuple[object, ...]:
        hazard = old.catalogue.hazards.get(loss.hazard) or new.catalogue.hazards.get(loss.hazard)
        signal = SIGNALS.index(hazard.signal) if hazard else len(SIGNALS)
        return loss.hazard not in BANNER, signal, ORDER_OF_LOSSES.index(loss.kind), loss

    return sorted(found, key=gravity)


def gains(old: Side, new: Side, pairs: Sequence[tuple[str, str]]) -> list[Loss]:
    """Every way in which the new library warns more: what it would lose if the change were taken back."""
    names = dict(pairs)
    gone = set(_left(old, new, pairs))
    back = losses(new, old, [(slug, was) for was, slug in pairs])
    told = (loss for loss in back if loss.kind != "wording" and not (loss.kind == "denied" and loss.playbook in gone))
    return [loss._replace(playbook=names.get(loss.playbook, loss.playbook)) for loss in told]


def _catalogue_losses(old: Catalogue, new: Catalogue) -> Iterator[Loss]:
    for name, hazard in old.hazards.items():
        other = new.hazards.get(name)
        if other is None:
            yield Loss("hazard", name)
        else:
            yield from _weaker(name, hazard, other)
    for job, access in old.access.items():
        if job in new.access:
            for name in set(access.hazards) - {LOST, *new.access[job].hazards}:
                yield Loss("job", name, name=job)


def _weaker(name: str, old: Hazard, new: Hazard) -> Iterator[Loss]:
    if SIGNALS.index(new.signal) > SIGNALS.index(old.signal):
        yield Loss("signal", name, before=old.signal, after=new.signal)
    kept = {_plain("", word).casefold() for word in new.words}
    for word in old.words:
        if _plain("", word).casefold() not in kept:
            yield Loss("words", name, name=word)
    for field in ("name", "harm", "avoid"):
        before, after = getattr(old, field), getattr(new, field)
        if _plain("", before) != _plain("", after):
            yield Loss("wording", name, name=field, before=before, after=after)


def _hazard_places(playbook: Playbook, catalogue: Catalogue) -> dict[str, list[tuple[str, bool]]]:
    """For every hazard, the steps and endings with it (those of access jobs included), and whether each is a step."""
    places: dict[str, list[tuple[str, bool]]] = {}
    for name, work in playbook.work().items():
        for hazard in hazards_of(work, catalogue) - {LOST}:
            places.setdefault(hazard, []).append((name, isinstance(work, Step)))
    return places


def _hazard_losses(old: Playbook, old_base: Catalogue, new: Playbook, new_base: Catalogue) -> Iterator[Loss]:
    after = _hazard_places(new, new_base)
    names = new.work().keys()
    for hazard, places in _hazard_places(old, old_base).items():
        kept = {name for name, _ in after.get(hazard, ())}
        lost = tuple(_place(name, step, name not in names) for name, step in places if name not in kept)
        if lost:
            yield Loss("place" if kept else "playbook", hazard, new.slug, lost)


def _removed_losses(playbook: Playbook, catalogue: Catalogue) -> Iterator[Loss]:
    for hazard, places in _hazard_places(playbook, catalogue).items():
        yield Loss("removed-playbook", hazard, playbook.slug, tuple(_place(*place, gone=False) for place in places))


def _place(name: str, step: bool, gone: bool) -> Place:
    return Place("step" if step else "ending", name, gone)


def _denials(new: Playbook, old: Playbook | None) -> Iterator[Loss]:
    """Every `no_hazards` of a playbook that was not there before."""
    before = old.work() if old else {}
    for name, work in new.work().items():
        for hazard, reason in work.no_hazards.items():
            if name not in before or hazard not in before[name].no_hazards:
                place = _place(name, isinstance(work, Step), gone=False)
                yield Loss("denied", hazard, new.slug, (place,), after=reason)


def _owner_losses(old: Playbook, new: Playbook) -> Iterator[Loss]:
    """Work that only a workshop might do and that is now the owner's."""
    after = new.work()
    for name, work in old.work().items():
        if work.who == "shop" and name in after and after[name].who == "owner":
            yield Loss("owner", "", new.slug, (_place(name, isinstance(work, Step), gone=False),))


# --- What changed ---------------------------------------------------------------------------------------------------


def _plain(field: str, value: Any) -> Any:
    """A value without what says nothing: white space, order of names, ways of writing the same amount."""
    if isinstance(value, BaseModel):
        return {name: _plain(name, getattr(value, name)) for name in type(value).model_fields}
    if isinstance(value, str):
        return " ".join(value.split())
    if isinstance(value, Mapping):
        return {key: _plain("", item) for key, item in value.items()}
    if type(value) is tuple:
        items = [_plain("", item) for item in value]
        return sorted(items) if field in UNORDERED else items
    return value


def _fields(old: BaseModel, new: BaseModel, *skip: str) -> Iterator[str]:
    """Fields in which two records differ, results of a step one by one (``results.open.chance``)."""
    for field in type(new).model_fields:
        before, after = getattr(old, field), getattr(new, field)
        if field in skip or _plain(field, before) == _plain(field, after):
            continue
        if field != "results":
            yield field
            continue
        for difference in _entries("", before, after):
            inner = difference.fields or (difference.how,)
            yield from (f"results.{difference.name}.{name}" for name in inner)


def _entries(kind: str, old: Mapping[str, Any], new: Mapping[str, Any], *skip: str) -> Iterator[Difference]:
    """Entries that came, left or changed, in the order of the files."""
    for name in new:
        if name not in old:
            yield Difference(kind, name, "added")
        elif fields := tuple(_fields(old[name], new[name], *skip)):
            yield Difference(kind, name, "changed", fields)
    for name in old:
        if name not in new:
            yield Difference(kind, name, "removed")


def _differences(old: Playbook, new: Playbook) -> Iterator[Difference]:
    if whole := tuple(_fields(old, new, "slug", "causes", "steps", "endings")):
        yield Difference("playbook", "", "changed", whole)
    yield from _entries("cause", old.causes, new.causes)
    yield from _entries("step", old.steps, new.steps)
    yield from _entries("ending", old.endings, new.endings)


def _base(old: Side, new: Side) -> Iterator[Difference]:
    """Changes of settings and catalogue; those of hazards are losses and gains."""
    if not old.library or not new.library:
        return
    if fields := tuple(_fields(old.library.settings, new.library.settings)):
        yield Difference("settings", "", "changed", fields)
    yield from _entries("tool", old.catalogue.tools, new.catalogue.tools)
    yield from _entries("part", old.catalogue.parts, new.catalogue.parts)
    yield from _entries("access job", old.catalogue.access, new.catalogue.access, "hazards")


def _change(was: str, slug: str, old: Side, new: Side) -> PlaybookChange | None:
    before, after = old.playbooks[was], new.playbooks[slug]
    differences = tuple(_differences(before, after))
    if was == slug and not differences and _prices(before, old) == _prices(after, new):
        return None
    reckonings = _reckoning(old, was), _reckoning(new, slug)
    numbers = [_numbers(reckoning) if reckoning else None for reckoning in reckonings]
    one, other = reckonings
    paths = _paths(one, other) if one and other else None
    return PlaybookChange(slug, was, differences, numbers[0], numbers[1], paths)


def _prices(playbook: Playbook, side: Side) -> tuple[object, ...]:
    """All that the numbers of a playbook take from catalogue and settings."""
    base = side.catalogue
    work: Iterable[Step | Ending] = playbook.work().values()
    used = [(set(one.tools), set(one.parts), set(one.access)) for one in work]
    tools, parts, jobs = (set[str]().union(*names) for names in zip(*used, strict=True))
    return (
        side.library and (side.library.settings.labour_rate, side.library.settings.currency),
        {name: (tool.price, tool.usual) for name, tool in base.tools.items() if name in tools},
        {name: part.price for name, part in base.parts.items() if name in parts},
        {name: (job.open, job.close) for name, job in base.access.items() if name in jobs},
    )


# --- Numbers --------------------------------------------------------------------------------------------------------


def reckoned(side: Side, slug: str) -> Numbers | None:
    """The numbers of a playbook; ``None`` where errors keep them from being reckoned."""
    reckoning = _reckoning(side, slug)
    return _numbers(reckoning) if reckoning else None


def _reckoning(side: Side, slug: str) -> Reckoning | None:
    if not side.library or not side.is_sound(slug):
        return None
    return reckoning_of(side.playbooks[slug], side.catalogue, side.library.settings)


def _numbers(reckoning: Reckoning) -> Numbers:
    model = reckoning.model
    if model is None:
        return Numbers(reckoning.graph.path_count, None, None, None)
    return Numbers(reckoning.graph.path_count, expect(model), settled(model), wasted(model))


def _paths(old: Reckoning, new: Reckoning) -> Paths:
    """What became of the paths; numbers are compared for the paths that either library lists."""
    common = _common_count(old.graph, new.graph)
    moves = list(_moves(old, new))
    both = [(move, move.before, move.after) for move in moves if move.before and move.after]
    changed = [(move, before, after) for move, before, after in both if not _same(before, after)]
    shown: list[Move] = []
    for measure in (_chance, attrgetter("money"), attrgetter("minutes")):
        by_size = [(abs(measure(after) - measure(before)), move) for move, before, after in changed]
        largest = nlargest(SHOWN_MOVES, by_size, key=lambda one: one[0])
        shown += [move for size, move in largest if not isclose(size, 0, abs_tol=1e-9)]
    shown += [move for move in moves if not move.before][:SHOWN_MOVES]
    shown += [move for move in moves if not move.after][:SHOWN_MOVES]
    counts = new.graph.path_count - common, old.graph.path_count - common, len(both), len(changed)
    return Paths(*counts, tuple(dict.fromkeys(shown)))


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
        counts[i] = sum(counts.get(target, 0) for target in both)
    return counts.get(0, 0) if old.nodes[0][:2] == new.nodes[0][:2] else 0


def _moves(old: Reckoning, new: Reckoning) -> Iterator[Move]:
    """Every path that one of the two lists, likeliest of the new library first."""
    listed = [
        path.results
        for reckoning in (new, old)
        for path in listed_paths(reckoning.graph, reckoning.bill, reckoning.odds, LISTED)
    ]
    for results in dict.fromkeys(listed):
        before, after = _seen(old, results), _seen(new, results)
        if before and after and before[0] == after[0]:
            yield Move(results, before[0][-1][1], before[1], after[1])
        else:
            yield from [Move(results, before[0][-1][1], before[1], None)] if before else []
            yield from [Move(results, after[0][-1][1], None, after[1])] if after else []


def _seen(reckoning: Reckoning, results: Sequence[str]) -> tuple[list[Key], Glance] | None:
    """The nodes along a path by kind and name, and the path in short; ``None`` where the playbook has no such path."""
    graph = reckoning.graph
    try:
        way = graph.follow(results)
    except KeyError:
        return None
    if graph.edges[way[-1]]:
        return None
    return [(graph.nodes[i].kind, graph.nodes[i].name) for i in way], _glance(reckoning, results, way)


def _chance(glance: Glance) -> float:
    return glance.chance or 0.0


def _glance(reckoning: Reckoning, results: Sequence[str], way: Sequence[int]) -> Glance:
    bill = path_bill(reckoning.bill, way)
    odds = reckoning.odds
    chance = None
    if odds:
        chance = sum(odds.weights(reckoning.graph, results)) / (odds.share_unit * odds.unit ** len(results))
    return Glance(add_up(bill.money).mean, add_up(bill.minutes).mean, chance)


def _same(before: Sequence[float | None], after: Sequence[float | None]) -> bool:
    """Whether figures are the same but for rounding."""
    return all(
        a == b if a is None or b is None else isclose(a, b, rel_tol=1e-9, abs_tol=1e-12)
        for a, b in zip(before, after, strict=True)
    )


def numbers_moved(before: Numbers, after: Numbers) -> bool:
    """Whether expected money or time, the chance to be put right or the waste changed."""
    figures = [
        (*(numbers.expected or (None, None, None)), numbers.settled, numbers.wasted) for numbers in (before, after)
    ]
    return not _same(*figures)


# --- Findings -------------------------------------------------------------------------------------------------------


def _findings(old: Side, new: Side) -> tuple[list[Finding], list[Finding], list[Finding]]:
    """Findings that came, findings that left, and errors that stayed; lines may have moved."""
    left = Counter(_key(old, finding) for finding in old.findings)
    came: list[Finding] = []
    kept: list[Finding] = []
    for finding in new.findings:
        key = _key(new, finding)
        if left[key]:
            left[key] -= 1
            kept += [finding] if finding.severity == ERROR else []
        else:
            came.append(finding)
    gone: list[Finding] = []
    for finding in reversed(old.findings):
        key = _key(old, finding)
        if left[key]:
            left[key] -= 1
            gone.append(finding)
    return came, gone[::-1], kept


def _key(side: Side, finding: Finding) -> tuple[str, str, str, str]:
    """What makes a finding the same one when lines above it come and go."""
    return side.inner(finding), finding.severity, finding.rule, re.sub(r"\bline \d+", "line", finding.message)
