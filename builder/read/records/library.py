"""A library: everything that was read."""

from pydantic import Field

from builder.read.records.catalogue import Catalogue
from builder.read.records.playbook import Playbook
from builder.read.records.settings import Settings
from builder.read.records.values import Record


class Library(Record):
    """Everything that was read: settings, catalogue and playbooks by slug, in the order of areas and slugs.

    ``lines`` says on which line of its file each step and ending begins, by slug and name.
    """

    settings: Settings
    catalogue: Catalogue
    playbooks: dict[str, Playbook]
    lines: dict[str, dict[str, int]] = Field({})
