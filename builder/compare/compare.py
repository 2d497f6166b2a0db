"""A comparison: what a change to a library means for those who will follow it. Pure functions over two readings.

What warns less than before comes first, since a lost warning is the one mistake that can hurt somebody.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from builder.compare.differences import Difference, base_differences, differences_of
from builder.compare.harm import Change, changes
from builder.compare.losses import CARRIERS, Loss, gains, losses
from builder.compare.matching import departed, matches
from builder.compare.numbers import Numbers, numbers_of, sound_reckoning
from builder.compare.path_changes import Paths, paths_of
from builder.compare.renames import unsaid_renames
from builder.read.findings import ERROR, Finding
from builder.read.library import LibraryRead
from builder.read.records import Ending, Playbook, Step


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
    ``unclear`` are entries of the old catalogue (kind and id) whose warnings cannot be told in the new one. ``words``
    is what changed in words, whatever can hurt first of all.
    """

    old: LibraryRead
    new: LibraryRead
    losses: list[Loss]
    gains: list[Loss]
    words: list[Change]
    added: list[str]
    removed: list[str]
    changed: list[PlaybookChange]
    unchanged: int
    unreadable: list[str]
    unread: list[str]
    unclear: list[tuple[str, str]]
    base: list[Difference]
    new_findings: list[Finding]
    gone_findings: list[Finding]
    kept: list[Finding]

    @property
    def is_empty(self) -> bool:
        """Whether nothing changed in substance."""
        playbooks = self.added, self.removed, self.changed
        return not any((*playbooks, self.losses, self.gains, self.words, self.unclear, self.base)) and not any(
            (self.new_findings, self.gone_findings)
        )


def compare(old: LibraryRead, new: LibraryRead) -> Comparison:
    """Compare two libraries; what could not be read of either is named and passed over."""
    pairs = matches(old, new)
    changed = [change for was, slug in pairs if (change := _change(was, slug, old, new))]
    new_findings, gone_findings, kept = _findings(old, new)
    both = old.library and new.library
    return Comparison(
        old=old,
        new=new,
        losses=losses(old, new, pairs) if both else [],
        gains=gains(old, new, pairs) if both else [],
        words=changes(old, new, pairs) if both else [],
        added=sorted(new.playbooks.keys() - {slug for _, slug in pairs} - old.unreadable),
        removed=departed(old, new, pairs),
        changed=changed,
        unchanged=len(pairs) - len(changed),
        unreadable=sorted(new.unreadable) if new.library else sorted(old.playbooks),
        unread=sorted(old.unreadable & new.playbooks.keys()),
        unclear=list(_unclear(old, new)) if both else [],
        base=list(base_differences(old, new)),
        new_findings=[*new_findings, *unsaid_renames(old, new, pairs)],
        gone_findings=gone_findings,
        kept=kept,
    )


def _change(was: str, slug: str, old: LibraryRead, new: LibraryRead) -> PlaybookChange | None:
    before, after = old.playbooks[was], new.playbooks[slug]
    differences = tuple(differences_of(before, after))
    if was == slug and not differences and _prices(before, old) == _prices(after, new):
        return None
    reckonings = sound_reckoning(old, was), sound_reckoning(new, slug)
    numbers = [numbers_of(reckoning) if reckoning else None for reckoning in reckonings]
    one, other = reckonings
    paths = paths_of(one, other) if one and other else None
    return PlaybookChange(slug, was, differences, numbers[0], numbers[1], paths)


def _prices(playbook: Playbook, side: LibraryRead) -> tuple[object, ...]:
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


def _unclear(old: LibraryRead, new: LibraryRead) -> Iterator[tuple[str, str]]:
    for kind in ("hazards", *CARRIERS):
        for name in getattr(old.catalogue, kind):
            if new.unread.may_hold(kind, name) and not old.unread.may_hold(kind, name):
                yield kind, name


def _findings(old: LibraryRead, new: LibraryRead) -> tuple[list[Finding], list[Finding], list[Finding]]:
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


def _key(side: LibraryRead, finding: Finding) -> tuple[str, str, str, str]:
    """What makes a finding the same one when lines above it come and go."""
    path = finding.file.removeprefix(f"{side.shown.rstrip('/')}/")
    return path, finding.severity, finding.rule, re.sub(r"\bline \d+", "line", finding.message)
