"""What a change takes from the warnings of a library: every hazard, word or place that warns less than before."""

from collections.abc import Iterator, Sequence
from typing import Final, Literal, NamedTuple

from builder.compare.differences import plain
from builder.compare.matching import departed
from builder.read.hazards import BANNER, SIGNALS
from builder.read.library import LibraryRead
from builder.read.reading import Unread
from builder.read.records import Catalogue, Hazard, Playbook, Step, Work

LossKind = Literal[
    "hazard",
    "playbook",
    "job",
    "tool",
    "signal",
    "removed-playbook",
    "place",
    "denied",
    "denied-playbook",
    "denied-entry",
    "words",
    "wording",
    "owner",
]

ORDER_OF_LOSSES: Final[tuple[LossKind, ...]] = (
    "hazard",
    "job",
    "tool",
    "signal",
    "playbook",
    "removed-playbook",
    "place",
    "denied",
    "denied-playbook",
    "denied-entry",
    "words",
    "owner",
    "wording",
)


DENIED: Final = frozenset({"denied", "denied-playbook"})

CARRIERS: Final = ("access", "tools")
"""Kinds of the catalogue that carry hazards to whoever needs them."""


class Place(NamedTuple):
    """A step or an ending; ``gone`` says that the other library has none of this name."""

    kind: Literal["step", "ending"]
    name: str
    gone: bool


class Loss(NamedTuple):
    """One way in which a library warns less than another.

    ``playbook`` and ``places`` are empty for what concerns the catalogue; ``name`` is an entry, a hazard word or a
    field of the hazard; ``before`` and ``after`` are signal words or texts.
    """

    kind: LossKind
    hazard: str
    playbook: str = ""
    places: tuple[Place, ...] = ()
    name: str = ""
    before: str = ""
    after: str = ""


def losses(old: LibraryRead, new: LibraryRead, pairs: Sequence[tuple[str, str]]) -> list[Loss]:
    """Every way in which the new library warns less, gravest first. With the two exchanged: in which it warns more."""
    found = [*_catalogue_losses(old.catalogue, new.catalogue, new.unread)]
    for was, slug in pairs:
        found += _hazard_losses(old.playbooks[was], old.catalogue, new.playbooks[slug], new)
        found += _denials(new.playbooks[slug], old.playbooks[was])
        found += _owner_losses(old.playbooks[was], new.playbooks[slug])
    for slug in departed(old, new, pairs):
        found += _removed_losses(old.playbooks[slug], old.catalogue)
    paired = {slug for _, slug in pairs} | old.unreadable
    for slug in sorted(new.playbooks.keys() - paired):
        found += _denials(new.playbooks[slug], None)

    def gravity(loss: Loss) -> tuple[object, ...]:
        hazard = old.catalogue.hazards.get(loss.hazard) or new.catalogue.hazards.get(loss.hazard)
        signal = SIGNALS.index(hazard.signal) if hazard else len(SIGNALS)
        return loss.hazard not in BANNER, signal, ORDER_OF_LOSSES.index(loss.kind), loss

    return sorted(found, key=gravity)


def gains(old: LibraryRead, new: LibraryRead, pairs: Sequence[tuple[str, str]]) -> list[Loss]:
    """Every way in which the new library warns more: what it would lose if the change were taken back."""
    names = dict(pairs)
    gone = set(departed(old, new, pairs))
    back = losses(new, old, [(slug, was) for was, slug in pairs])
    told = (loss for loss in back if loss.kind != "wording" and not (loss.kind in DENIED and loss.playbook in gone))
    return [loss._replace(playbook=names.get(loss.playbook, loss.playbook)) for loss in told]


def _catalogue_losses(old: Catalogue, new: Catalogue, unread: Unread) -> Iterator[Loss]:
    """What the catalogue itself loses; nothing is said of what could not be read."""
    for name, hazard in old.hazards.items():
        other = new.hazards.get(name)
        if unread.may_hold("hazards", name):
            continue
        if other is None:
            yield Loss("hazard", name)
        else:
            yield from _weaker(name, hazard, other)
    for job, access in old.access.items():
        if job in new.access and not unread.may_hold("access", job):
            for name in set(access.hazards) - set(new.access[job].hazards):
                yield Loss("job", name, name=job)
    for owned, tool in old.tools.items():
        if owned in new.tools and not unread.may_hold("tools", owned):
            for name in set(tool.hazards) - set(new.tools[owned].hazards):
                yield Loss("tool", name, name=owned)
    yield from _entry_denials(old, new)


def _entry_denials(old: Catalogue, new: Catalogue) -> Iterator[Loss]:
    """Every `no_hazards` of the catalogue that was not there before."""
    for kind in ("tools", "parts", "access", "checks"):
        before = getattr(old, kind)
        for name, entry in getattr(new, kind).items():
            answered = before[name].no_hazards if name in before else {}
            for hazard, reason in entry.no_hazards.items():
                if hazard not in answered:
                    yield Loss("denied-entry", hazard, name=name, after=reason)


def _weaker(name: str, old: Hazard, new: Hazard) -> Iterator[Loss]:
    if SIGNALS.index(new.signal) > SIGNALS.index(old.signal):
        yield Loss("signal", name, before=old.signal, after=new.signal)
    kept = {plain("", word).casefold() for word in new.words}
    for word in old.words:
        if plain("", word).casefold() not in kept:
            yield Loss("words", name, name=word)
    for field in ("name", "harm", "avoid"):
        before, after = getattr(old, field), getattr(new, field)
        if plain("", before) != plain("", after):
            yield Loss("wording", name, name=field, before=before, after=after)


def _hazard_places(playbook: Playbook, catalogue: Catalogue) -> dict[str, list[tuple[str, bool]]]:
    """For every hazard, the steps and endings with it (those of access jobs included), and whether each is a step."""
    places: dict[str, list[tuple[str, bool]]] = {}
    for name, work in playbook.work().items():
        for hazard in catalogue.hazards_of(work):
            places.setdefault(hazard, []).append((name, isinstance(work, Step)))
    return places


def _hazard_losses(old: Playbook, old_base: Catalogue, new: Playbook, side: LibraryRead) -> Iterator[Loss]:
    after = _hazard_places(new, side.catalogue)
    names = new.work().keys()
    unclear = {name for name, work in new.work().items() if _may_carry(work, side.unread)}
    for hazard, places in _hazard_places(old, old_base).items():
        kept = unclear.union(name for name, _ in after.get(hazard, ()))
        lost = tuple(_place(name, step, name not in names) for name, step in places if name not in kept)
        if lost:
            yield Loss("place" if kept else "playbook", hazard, new.slug, lost)


def _may_carry(work: Work, unread: Unread) -> bool:
    """Whether something that a step or an ending needs could not be read, so that nobody knows its hazards."""
    return any(unread.may_hold(kind, name) for kind in CARRIERS for name in getattr(work, kind))


def _removed_losses(playbook: Playbook, catalogue: Catalogue) -> Iterator[Loss]:
    for hazard, places in _hazard_places(playbook, catalogue).items():
        yield Loss("removed-playbook", hazard, playbook.slug, tuple(_place(*place, gone=False) for place in places))


def _place(name: str, step: bool, gone: bool) -> Place:
    return Place("step" if step else "ending", name, gone)


def _denials(new: Playbook, old: Playbook | None) -> Iterator[Loss]:
    """Every `no_hazards` of a playbook that was not there before."""
    for hazard, reason in new.no_hazards.items():
        if not old or hazard not in old.no_hazards:
            yield Loss("denied-playbook", hazard, new.slug, after=reason)
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
