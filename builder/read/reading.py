"""A reading: one playbook as far as it could be read, with all that is needed to judge it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from builder.read.findings import ERROR, Finding, Severity
from builder.read.nodes import Location, Node
from builder.read.notation import as_name
from builder.read.records import Catalogue, Playbook, Settings
from builder.read.source import Source


@dataclass(frozen=True, slots=True)
class Unread:
    """What stands in the catalogue but could not be read, or not whole.

    ``kinds`` are those whose file is there and cannot be read, ``entries`` kind and name of what had a finding.
    """

    kinds: frozenset[str] = frozenset()
    entries: frozenset[tuple[str, str]] = frozenset()

    def may_hold(self, kind: str, name: str) -> bool:
        """Whether there may be such an entry, though the catalogue has none, or another than it seems."""
        return kind in self.kinds or (kind, name) in self.entries


ALL_READ: Final = Unread()


@dataclass(frozen=True, slots=True)
class Reading:
    """One playbook as it was read, in the library around it.

    The record is partial where the file had findings: checks ask :meth:`is_lost` before they miss something, and
    take names that the file gives from :meth:`names`. ``whole`` says that there were none; ``slugs`` are those of the
    whole library.
    """

    playbook: Playbook
    node: Node
    source: Source
    settings: Settings
    catalogue: Catalogue
    unread: Unread
    slugs: frozenset[str]
    root: Path
    whole: bool

    def is_lost(self, *locations: Location) -> bool:
        """Whether what is at one of these locations had a finding of its own, or something that it stands in."""
        return any(self.node.is_lost(location) for location in locations)

    def has_lost(self, location: Location) -> bool:
        """Whether an entry of what is at a location had a finding of its own, or all of it."""
        return self.node.has_lost(location)

    def names(self, location: Location) -> Iterator[tuple[Location, str]]:
        """What the file names at a location, each with its own, without what had a finding."""
        return self.node.names(location)

    def keys(self, location: Location) -> dict[str, None]:
        """Keys that stand in the file at a location, also those that had a finding, as they are probably meant."""
        return dict.fromkeys(as_name(key) for key in self.node.at(location).entries) if self.has(location) else {}

    def has(self, location: Location) -> bool:
        """Whether the file itself says something at a location; what a common check says stands elsewhere."""
        return self.node.exactly(location) is not None

    @property
    def path(self) -> str:
        """Where the file is in the library, with ``/``."""
        return self.playbook.path

    @property
    def lines(self) -> dict[str, int]:
        """The line on which each step and ending begins, by name."""
        book = self.playbook
        kinds = {**dict.fromkeys(book.steps, "steps"), **dict.fromkeys(book.endings, "endings")}
        return {name: self.node.key_at((kind, name)).line for name, kind in kinds.items()}

    def finding(
        self,
        location: Location,
        rule: str,
        message: str,
        hint: str = "",
        severity: Severity = ERROR,
        *,
        key: bool = False,
    ) -> Finding:
        """A finding at a value of the playbook, or at its ``key``."""
        place = self.node.key_at(location) if key else self.node.at(location)
        return self.source.finding(place.line, place.column, rule, message, hint, severity)


Check = Callable[[Reading], Iterator[Finding]]


@dataclass(frozen=True, slots=True)
class Appraisal:
    """What the numbers of a playbook say: warnings, the playbook with its order worked out, and what was ``found``.

    What that is, is the matter of who appraises; a library hands it on by slug. ``whole`` says that every warning was
    looked for, so that an answer to none is idle.
    """

    playbook: Playbook
    findings: tuple[Finding, ...] = ()
    found: object = None
    whole: bool = False


Appraise = Callable[[Reading], Appraisal]
"""Asked for a playbook without errors in a library whose settings, catalogue and folders have none."""
