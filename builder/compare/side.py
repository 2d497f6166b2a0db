"""The two sides of a comparison: a library as it was read, and which playbooks of one are which of the other."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from builder.read.findings import ERROR, Finding
from builder.read.folder import CATALOGUE, KINDS, SETTINGS
from builder.read.records import Catalogue, Library, Playbook

ALIKE: Final = 0.5
"""How much of their steps and endings, by name, a playbook that left and one that came share to count as renamed."""


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


def departed(old: Side, new: Side, pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Playbooks that are gone, as far as the new library can tell."""
    if new.library is None:
        return []
    return sorted(old.playbooks.keys() - {was for was, _ in pairs} - new.unreadable)
