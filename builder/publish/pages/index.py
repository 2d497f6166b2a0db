"""The index: what is used where, and which playbooks are related."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from builder.read.records import Catalogue, Library, Playbook

UseKind = Literal["tool", "part", "access", "hazard"]

# How much something shared says; what many playbooks share says less.
WEIGHTS: Final = {"code": 6.0, "handover": 6.0, "cause": 4.0}
COMMON: Final = 100
"""What more playbooks than this share relates none of them."""

RELATED: Final = 6


@dataclass(frozen=True, slots=True)
class Use:
    """A playbook and the steps and endings of it, as ``(kind, name, title)``, that use something."""

    slug: str
    work: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class Related:
    """A related playbook and what it shares: kinds and names, as in ``("code", "P0335")``."""

    slug: str
    shared: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Index:
    """``uses[kind][name]`` where something is used; ``codes`` and ``causes`` by slugs; ``related`` by slug."""

    uses: Mapping[UseKind, Mapping[str, Sequence[Use]]]
    codes: Mapping[str, Sequence[str]]
    causes: Mapping[str, Sequence[str]]
    related: Mapping[str, Sequence[Related]]

    @property
    def shared_causes(self) -> frozenset[str]:
        """Causes that several playbooks name; these have a page, all others stand on that of their playbook."""
        return frozenset(cause for cause, slugs in self.causes.items() if len(slugs) > 1)


def index_of(library: Library) -> Index:
    """Where everything of a library is used, by kind and name."""
    playbooks = library.playbooks.values()
    uses: dict[UseKind, dict[str, list[Use]]] = {"tool": {}, "part": {}, "access": {}, "hazard": {}}
    codes: dict[str, list[str]] = defaultdict(list)
    causes: dict[str, list[str]] = defaultdict(list)
    for playbook in playbooks:
        for kind, name, work in _uses(playbook, library.catalogue):
            uses[kind].setdefault(name, []).append(Use(playbook.slug, work))
        for code in dict.fromkeys(playbook.symptom.codes):
            codes[code].append(playbook.slug)
        for cause in playbook.causes:
            causes[cause].append(playbook.slug)
    return Index(uses, dict(sorted(codes.items())), dict(causes), _related(library))


def hand_overs(playbook: Playbook) -> list[str]:
    """Slugs of the playbooks that a playbook hands over to, each once."""
    results = (result for step in playbook.steps.values() for result in step.results.values())
    return list(dict.fromkeys(result.next.playbook for result in results if result.next.playbook))


def _uses(playbook: Playbook, catalogue: Catalogue) -> Iterator[tuple[UseKind, str, tuple[tuple[str, str, str], ...]]]:
    found: dict[tuple[UseKind, str], list[tuple[str, str, str]]] = {}
    for kind, section in (("step", playbook.steps), ("ending", playbook.endings)):
        for name, work in section.items():
            place = (kind, name, work.title)
            needs: list[tuple[UseKind, Iterable[str]]] = [
                ("tool", work.tools),
                ("part", work.parts),
                ("access", work.access),
                ("hazard", sorted(catalogue.hazards_of(work))),
            ]
            for use, names in needs:
                for one in dict.fromkeys(names):
                    found.setdefault((use, one), []).append(place)
    for (use, one), places in found.items():
        yield use, one, tuple(places)


def _traits(playbook: Playbook) -> Iterator[tuple[str, str]]:
    """What may relate a playbook to others; a tool or a part that both need says nothing about the fault."""
    yield from (("code", code) for code in playbook.symptom.codes)
    yield from (("cause", cause) for cause in playbook.causes)


def _related(library: Library) -> dict[str, list[Related]]:
    owners: dict[tuple[str, str], list[str]] = defaultdict(list)
    traits = {slug: list(dict.fromkeys(_traits(book))) for slug, book in library.playbooks.items()}
    for slug, own in traits.items():
        for trait in own:
            owners[trait].append(slug)
    linked: dict[str, set[str]] = defaultdict(set)
    for slug, playbook in library.playbooks.items():
        for other in hand_overs(playbook):
            linked[slug].add(other)
            linked[other].add(slug)
    related: dict[str, list[Related]] = {}
    for slug, own in traits.items():
        scores: dict[str, float] = dict.fromkeys(linked[slug], WEIGHTS["handover"])
        shared: dict[str, list[tuple[str, str]]] = {other: [("handover", "")] for other in linked[slug]}
        for trait in own:
            others = owners[trait]
            if len(others) > COMMON:
                continue
            for other in others:
                scores[other] = scores.get(other, 0.0) + WEIGHTS[trait[0]] / (len(others) - 1 or 1)
                shared.setdefault(other, []).append(trait)
        scores.pop(slug, None)
        best = sorted(scores, key=lambda other: (-round(scores[other], 9), other))[:RELATED]
        related[slug] = [Related(other, tuple(shared[other])) for other in best]
    return related
