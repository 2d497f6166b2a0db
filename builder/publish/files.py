"""Single files written whole: a kill or a full disk leaves the old file, or none, and never half a one."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


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
        try:
            os.link(new, path)
        except FileExistsError:
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from None
        except OSError:
            # A file system without links: the look and the renaming are two steps.
            if os.path.lexists(path):
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from None
            new.replace(path)


@contextmanager
def _beside(path: Path, text: str) -> Iterator[Path]:
    """A hidden file beside ``path`` with the text; gone afterwards."""
    path.parent.mkdir(parents=True, exist_ok=True)
    new = path.parent / f".{path.name}.{os.getpid()}.new"
    try:
        with new.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        yield new
    finally:
        new.unlink(missing_ok=True)
