"""Which playbooks of one library are which of the other."""

from collections.abc import Sequence
from typing import Final

from builder.read.library import LibraryRead
from builder.read.records import Playbook

ALIKE: Final = 0.5
"""How much of their steps and endings, by name, a playbook that left and one that came share to count as renamed."""


def matches(old: LibraryRead, new: LibraryRead) -> list[tuple[str, str]]:
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


def departed(old: LibraryRead, new: LibraryRead, pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Playbooks that are gone, as far as the new library can tell."""
    if new.library is None:
        return []
    return sorted(old.playbooks.keys() - {was for was, _ in pairs} - new.unreadable)
