"""Files of a library's own: what links and pictures may take to the site, and nothing else, whatever they say.

With a library at the top of a repository, a link could otherwise fetch ``.git/config``, or a neighbour's secrets.
"""

from collections.abc import Collection
from pathlib import Path
from typing import Final

from builder.read import limits

HIDDEN: Final = "."
"""What the names of hidden files and folders begin with."""


class NotOwnError(OSError):
    """A file is none that a playbook may lead to, or no longer."""


def is_hidden(path: Path, root: Path) -> bool:
    """Whether a real path within a folder is hidden, or lies in something hidden; outside of it, nothing is."""
    try:
        inner = path.resolve().relative_to(root.resolve())
    except (ValueError, RuntimeError):  # a loop of links, up to Python 3.12
        return False
    return any(part.startswith(HIDDEN) for part in inner.parts)


def own_file(root: Path, areas: Collection[str], path: str) -> Path:
    """The real path of a file, given by its path in the library: below the folder of an area, hidden nowhere.

    Raises:
        NotOwnError: it is no such file; the message says why, without the path.
        OSError: the machine refuses.
    """
    try:
        real, top = (root / path).resolve(), root.resolve()
    except (ValueError, RuntimeError) as error:
        raise NotOwnError("leads to no file") from error
    if not real.is_relative_to(top):
        raise NotOwnError("leaves the library")
    parts = real.relative_to(top).parts
    if any(part.startswith(HIDDEN) for part in parts):
        raise NotOwnError("leads to a hidden file")
    if not real.is_file():
        raise NotOwnError("leads to no file")
    if parts[0] not in areas:
        raise NotOwnError("leads to a file that is in the folder of no area")
    return real


def file_bytes(root: Path, areas: Collection[str], path: str) -> bytes:
    """What a file of a library's own holds.

    Raises:
        NotOwnError: it is none, or has more bytes than it may.
        OSError: the machine refuses.
    """
    with own_file(root, areas, path).open("rb") as file:
        data = file.read(limits.FILE_BYTES.most + 1)
    if len(data) > limits.FILE_BYTES.most:
        raise NotOwnError(f"{path} has more than {limits.FILE_BYTES.most} bytes")
    return data
