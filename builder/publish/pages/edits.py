"""Edits: where a reader can mend a playbook, a step or an ending, on the host that keeps the library."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final
from urllib.parse import quote

from builder.read.records import Library, Playbook

FIRST_LINE: Final = 1


@dataclass(frozen=True, slots=True)
class Edits:
    """Addresses: of the playbook's file, and of the line of each step and ending by name."""

    page: str
    work: Mapping[str, str]


def edits_of(library: Library, playbook: Playbook) -> Edits | None:
    """Where a playbook can be edited; ``None`` where the library does not say."""
    pattern = library.settings.edit_url
    if not pattern:
        return None
    lines = library.lines.get(playbook.slug, {})
    work = {
        name: _address(pattern, playbook.path, lines.get(name, FIRST_LINE), to_line=True) for name in playbook.work()
    }
    return Edits(_address(pattern, playbook.path, FIRST_LINE, to_line=False), work)


def _address(pattern: str, path: str, line: int, *, to_line: bool) -> str:
    """``{path}`` and ``{line}`` filled in; the line comes behind ``#`` where the pattern has no place for it."""
    anchor = f"#L{line}" if to_line and "{line}" not in pattern and "#" not in pattern else ""
    return pattern.replace("{line}", str(line)).replace("{path}", quote(path)) + anchor
