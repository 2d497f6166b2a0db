"""A reading: one playbook as it was read, with all that is needed to judge it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.read.findings import ERROR, Finding, Severity
from builder.read.nodes import Location, Node
from builder.read.records import Catalogue, Playbook, Settings
from builder.read.source import Source


@dataclass(frozen=True, slots=True)
class Reading:
    """``whole`` says that nothing had to be taken out of the record; ``slugs`` are those of the whole library."""

    playbook: Playbook
    node: Node
    source: Source
    settings: Settings
    catalogue: Catalogue
    slugs: frozenset[str]
    root: Path
    whole: bool

    def has(self, location: Location) -> bool:
        """Whether the file itself says something at a location; what a common check says stands elsewhere."""
        node: Node | None = self.node
        for name in location:
            node = node.child(name) if node else None
        return node is not None

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
