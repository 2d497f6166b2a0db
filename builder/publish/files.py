"""Single files written whole: a kill or a full disk leaves the old file, or none, and never half a one."""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from builder.publish.target.disk import sync
from builder.publish.target.renames import move


def write_over(path: Path, text: str) -> None:
    """Write a text file; one that is there is replaced in one step.

    Raises:
        OSError: the machine refuses.
    """
    with _beside(path, text) as new:
        new.replace(path)


def write_new(path: Path, text: str) -> None:
    """Write a text file that must not be there yet.

    Raises:
        FileExistsError: it is there, and is left as it is.
        OSError: the machine refuses.
    """
    with _beside(path, text) as new:
        move(new, path)


@contextmanager
def _beside(path: Path, text: str) -> Iterator[Path]:
    """A hidden file beside ``path`` with the text, under a name that nobody else has; gone afterwards."""
    path.parent.mkdir(parents=True, exist_ok=True)
    new = path.parent / f".{path.name}.{secrets.token_hex(8)}.new"
    try:
        with new.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
        sync(new)
        yield new
        sync(path.parent)
    finally:
        new.unlink(missing_ok=True)
