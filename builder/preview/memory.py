"""Memory: what reading a library and reckoning its lists gave, kept for as long as nothing that it rests on changes."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from builder.publish.build import Build
from builder.publish.pages.cards import Card, card_of
from builder.publish.site import view_of
from builder.read.findings import has_errors
from builder.read.folder import KINDS, NAMED, PlaybookFile
from builder.read.library import PlaybookRead, Surroundings
from builder.read.records import Catalogue, Playbook
from builder.read.turns import R, Run, S, T, in_turn
from builder.reckon.advice import effort_for
from builder.reckon.reckoning import reckoning_of

Stamp = tuple[int, int, int]
"""Time of the last change in nanoseconds, size in bytes, and number of a file: another stamp, another content."""

Need = tuple[str, str]
"""What a playbook rests on: a kind of the catalogue with a name, another playbook, or the files that it links to."""

PLAYBOOK: Final = "playbook"
LINKS: Final[Need] = ("links", "")


@dataclass(frozen=True, slots=True)
class Kept:
    """A read that is kept, the stamp of its file, and what it rests on."""

    stamp: Stamp
    read: PlaybookRead
    needs: frozenset[Need]


@dataclass
class Memory:
    """Reads of playbooks by file, and cards by slug.

    A playbook is read again when its file has changed, when it had errors (their hints name what is there instead), or
    when something of the library that it names has changed; all are when the settings have, or a hazard, whose words
    are looked for everywhere. While a file of the catalogue cannot be read, nobody knows what is in it: then only
    changed files are read, and not kept.
    """

    reads: dict[PlaybookFile, Kept] = field(default_factory=dict)
    cards: dict[str, tuple[Playbook, Card]] = field(default_factory=dict)
    around: Surroundings | None = None
    others: frozenset[str] = frozenset()

    def reader(self, stamps: Mapping[str, Stamp], run: Run) -> Run:
        """As ``run``, but only for what is not kept; ``stamps`` are of all files, by path in the library."""

        def read(function: Callable[[S, T], R], things: Sequence[T], shared: S) -> Iterable[R]:
            files: Any = things
            around: Any = shared
            whole = not around.unread.kinds
            if whole:
                self._forget(around, frozenset(stamps.keys() - {_path(file) for file in files}))
            due = [file for file in files if not self._is_kept(file, stamps)]
            fresh: dict[Any, Any] = dict(zip(due, run(function, due, shared), strict=True))
            for file, one in fresh.items():
                self._keep(file, one, stamps.get(_path(file)) if whole else None)
            kept: list[Any] = [fresh[file] if file in fresh else self.reads[file].read for file in files]
            return kept

        return read

    def _is_kept(self, file: PlaybookFile, stamps: Mapping[str, Stamp]) -> bool:
        return file in self.reads and self.reads[file].stamp == stamps.get(_path(file))

    def _keep(self, file: PlaybookFile, read: PlaybookRead, stamp: Stamp | None) -> None:
        self.reads.pop(file, None)
        if stamp is not None and read.playbook is not None and not has_errors(read.findings):
            self.reads[file] = Kept(stamp, read, frozenset(_needs(read.playbook)))

    def _forget(self, around: Surroundings, others: frozenset[str]) -> None:
        """Forget what rests on something that has changed since the last time; ``others`` are files but playbooks."""
        old, self.around = self.around, around
        if old is None or _shared(old) != _shared(around):
            self.reads.clear()
            old = around
        changed = set(_changed(old.catalogue, around.catalogue))
        changed |= {(PLAYBOOK, slug) for slug in old.slugs ^ around.slugs}
        if old.slugs != around.slugs or others != self.others:
            changed.add(LINKS)
        self.others = others
        self.reads = {file: kept for file, kept in self.reads.items() if changed.isdisjoint(kept.needs)}

    def cards_of(self, build: Build, run: Run = in_turn) -> dict[str, Card]:
        """The card of every playbook, by slug; made only for playbooks that were read since."""
        books = build.library.playbooks
        due = [slug for slug, book in books.items() if slug not in self.cards or self.cards[slug][0] is not book]
        made = dict(zip(due, run(make_card, due, build), strict=True))
        self.cards = {slug: (book, made[slug] if slug in made else self.cards[slug][1]) for slug, book in books.items()}
        return {slug: card for slug, (_, card) in self.cards.items()}


def make_card(build: Build, slug: str) -> Card:
    """The card of a playbook."""
    library = build.library
    reckoning = reckoning_of(library.playbooks[slug], library.catalogue, library.settings)
    return card_of(view_of(build, reckoning), reckoning)


def _path(file: PlaybookFile) -> str:
    return f"{file.area}/{file.slug}.yaml"


def _shared(around: Surroundings) -> tuple[Any, ...]:
    """What every playbook rests on."""
    return around.folder, around.settings, around.catalogue.hazards, effort_for(len(around.slugs))


def _changed(old: Catalogue, new: Catalogue) -> Iterator[Need]:
    for kind in KINDS:
        before, after = getattr(old, kind), getattr(new, kind)
        yield from ((kind, name) for name in before.keys() | after.keys() if before.get(name) != after.get(name))


def _needs(playbook: Playbook) -> Iterator[Need]:
    for work in playbook.work().values():
        for kind in NAMED:
            yield from ((kind, name) for name in getattr(work, kind))
        if "]" in (work.do or ""):
            yield LINKS
    yield from (("codes", code) for code in playbook.symptom.codes)
    for step in playbook.steps.values():
        if step.check:
            yield "checks", step.check
        for result in step.results.values():
            if result.next.playbook:
                yield PLAYBOOK, result.next.playbook
