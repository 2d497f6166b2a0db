"""The survey of a library: which playbooks are weakest, what rests on what, and what nobody uses."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from builder.read.records import Library, Playbook
from builder.read.records.playbook import Provenance
from builder.reckon.order.orders import Effort, orders_of
from builder.reckon.totals import totals_of

QUICK: Final = Effort(300, 400)
"""For every playbook of a library: what is found then is what the best order saves at least."""

UNSAID: Final = "not said"
"""Where shares and chances come from that say nothing of it."""


@dataclass(frozen=True, slots=True)
class Weakness:
    """What an editor would look at in a playbook.

    ``settled`` is the chance that it ends with the fault put right, ``gap`` what the best order found saves in the end
    at least, in the library's currency; both are ``None`` without odds. ``unproven`` are repairs without a way to prove
    them. ``sources`` counts what its shares and chances rest on, ``seen`` the cases of the largest count, ``reviewed``
    the latest month that a source names.
    """

    slug: str
    settled: float | None
    gap: float | None
    unproven: tuple[str, ...]
    sources: Mapping[str, int]
    seen: int | None
    reviewed: str | None


@dataclass(frozen=True, slots=True)
class Survey:
    """A library at a glance: the weakest playbooks first, and entries of the catalogue that nothing uses, by kind."""

    playbooks: tuple[Weakness, ...]
    unused: Mapping[str, tuple[str, ...]]

    @property
    def without_odds(self) -> tuple[str, ...]:
        """Playbooks that give no shares or no chances."""
        return tuple(one.slug for one in self.playbooks if one.settled is None)

    @property
    def sources(self) -> Mapping[str, int]:
        """What the shares and chances of all playbooks rest on."""
        counted = Counter[str]()
        for one in self.playbooks:
            counted.update(one.sources)
        return counted


def survey_of(library: Library, effort: Effort = QUICK) -> Survey:
    """The survey; without odds come first, then those that settle least, then those with the widest gap."""
    weak = [weakness_of(book, library, effort) for book in library.playbooks.values()]
    weak.sort(key=lambda one: (one.settled is not None, one.settled or 0.0, -(one.gap or 0.0), one.slug))
    return Survey(tuple(weak), unused_entries(library))


def weakness_of(playbook: Playbook, library: Library, effort: Effort = QUICK) -> Weakness:
    """What is weak in a playbook."""
    settled = totals_of(playbook.slug, library).settled
    repairs = [name for name, ending in playbook.endings.items() if ending.settles and ending.prove is None]
    sources = [source for source in _sources(playbook) if source is not None]
    return Weakness(
        playbook.slug,
        settled,
        None if settled is None else _gap(playbook, library, effort),
        tuple(repairs),
        _counted(playbook),
        max((source.seen for source in sources if source.seen is not None), default=None),
        max((source.on for source in sources if source.on is not None), default=None),
    )


def _gap(playbook: Playbook, library: Library, effort: Effort) -> float | None:
    """What the best order found costs less in the end than the written one."""
    orders = orders_of(playbook, library.catalogue, library.settings, effort)
    if orders is None or orders.written is None:
        return None
    return max(0.0, orders.written - min(orders.best, orders.playbook_shaped))


def _sources(playbook: Playbook) -> list[Provenance | None]:
    """The sources that a playbook names: its own, then those of its causes and results."""
    results = [result for step in playbook.steps.values() for result in step.results.values()]
    return [playbook.source, *(cause.source for cause in playbook.causes.values()), *(one.source for one in results)]


def _counted(playbook: Playbook) -> Mapping[str, int]:
    """How many shares and chances rest on what; one without a source of its own rests on the playbook's."""
    whole = playbook.source.what if playbook.source else UNSAID
    given = [cause.source for cause in playbook.causes.values() if cause.share is not None]
    results = [result for step in playbook.steps.values() for result in step.results.values()]
    given += [result.source for result in results if result.chance is not None and not result.chance.rest]
    return dict(Counter(source.what if source else whole for source in given))


def unused_entries(library: Library) -> Mapping[str, tuple[str, ...]]:
    """Entries of the catalogue that no playbook, and nothing that one names, uses."""
    catalogue = library.catalogue
    works = [work for book in library.playbooks.values() for work in book.work().values()]
    checks = {step.check for book in library.playbooks.values() for step in book.steps.values() if step.check}
    used: dict[str, set[str]] = {"checks": checks}
    for kind in ("tools", "parts", "access"):
        used[kind] = {name for work in works for name in getattr(work, kind)}
    return {
        kind: tuple(name for name in getattr(catalogue, kind) if name not in names)
        for kind, names in used.items()
        if any(name not in names for name in getattr(catalogue, kind))
    }
