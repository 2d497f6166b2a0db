"""Linked files: pictures and papers of a library that its playbooks lead to, by what they hold."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from builder.read.prose import links_and_html
from builder.read.records import Library, Playbook
from builder.read.source import leads_out


class Linked(NamedTuple):
    """A file that playbooks lead to: how many bytes it has, and their SHA-256."""

    size: int
    digest: str


def linked_files(library: Library, root: Path) -> dict[str, Linked]:
    """Every file that a playbook leads to, by its path within the library; what is not there is left out.

    Raises:
        OSError: a file cannot be read.
    """
    names = {name for playbook in library.playbooks.values() for name in _named(playbook)}
    return {name: linked for name in sorted(names) if (linked := _seen(root, name))}


def _named(playbook: Playbook) -> Iterator[str]:
    """The files that steps and endings lead to, as paths within the library."""
    for work in playbook.work().values():
        for link in links_and_html(work.do or "")[0]:
            if link.is_relative and not link.target.startswith("#"):
                yield link.path_from(playbook.area)


def _seen(root: Path, name: str) -> Linked | None:
    path = root / name
    try:
        if leads_out(path, root) or not path.is_file():
            return None
    except ValueError:  # no file system takes such a path
        return None
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256")
    return Linked(path.stat().st_size, digest.hexdigest())
