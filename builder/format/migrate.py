"""Migration: playbooks of an old format as the newest one writes them.

A step takes the text of a playbook from one format to the next, and keeps comments and layout. There is one format so
far, so there are no steps; what a new one changes is also told in the upgrade notes of `DEVELOPERS.md`.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from builder.read.records.playbook import FORMAT

Step = Callable[[str], str]

STEPS: Final[Mapping[int, Step]] = {}
"""By the format that they start from: what takes a playbook's text to the next format."""

_SAID: Final = re.compile(r"^format: *([0-9]{1,9}) *(?:#.*)?$", re.MULTILINE)


class MigrationError(ValueError):
    """A playbook cannot be brought to the newest format; the message says why."""


@dataclass(frozen=True, slots=True)
class Migrated:
    """A playbook's text before and after, and the format that it was in."""

    before: str
    after: str
    was: int

    @property
    def is_changed(self) -> bool:
        """Whether there is anything to write."""
        return self.before != self.after


def migrated(text: str, steps: Mapping[int, Step] = STEPS, newest: int = FORMAT) -> Migrated:
    """The text of a playbook in the newest format.

    Raises:
        MigrationError: the text does not say its format, or in one that no step starts from.
    """
    said = _SAID.search(text)
    if said is None:
        message = "no line says its format, such as `format: 1`"
        raise MigrationError(message)
    was = int(said[1])
    if was > newest:
        message = f"`format: {was}` is newer than this Droplight, which writes format {newest}"
        raise MigrationError(message)
    after = text
    for number in range(was, newest):
        if number not in steps:
            message = f"nothing leads from format {number} to format {number + 1}"
            raise MigrationError(message)
        after = _SAID.sub(f"format: {number + 1}", steps[number](after), count=1)
    return Migrated(text, after, was)
