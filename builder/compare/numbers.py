"""The numbers of a playbook on one side of a comparison."""

from typing import NamedTuple

from builder.read.library import LibraryRead
from builder.reckon.expect import Expected, expect, settled, wasted
from builder.reckon.reckoning import Reckoning, reckoning_of


class Numbers(NamedTuple):
    """The numbers of a playbook; all but the count of paths are ``None`` without odds."""

    path_count: int
    expected: Expected | None
    settled: float | None
    wasted: float | None


def reckoned(side: LibraryRead, slug: str) -> Numbers | None:
    """The numbers of a playbook; ``None`` where errors keep them from being reckoned."""
    reckoning = sound_reckoning(side, slug)
    return numbers_of(reckoning) if reckoning else None


def sound_reckoning(side: LibraryRead, slug: str) -> Reckoning | None:
    """All that a playbook's numbers are reckoned from; ``None`` where it rests on errors."""
    if not side.library or not side.is_sound(slug):
        return None
    return reckoning_of(side.playbooks[slug], side.catalogue, side.library.settings)


def numbers_of(reckoning: Reckoning) -> Numbers:
    """The numbers of a playbook from its reckoning."""
    if reckoning.odds is None:
        return Numbers(reckoning.graph.path_count, None, None, None)
    return Numbers(reckoning.graph.path_count, expect(reckoning), settled(reckoning), wasted(reckoning))
