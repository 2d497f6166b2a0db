"""What others put into a site: found, and carried into the new one so that it is there at every moment.

Files get a second name there (a hard link; a copy where the file system has none), folders are made anew. Once the new
site is in place, :mod:`builder.publish.target.former` puts the things themselves back in the place of their likenesses.
"""

import json
import os
import shutil
import stat
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NamedTuple

from builder.publish.target.manifest import MANIFEST, Manifest


class Mark(NamedTuple):
    """By what one knows that a file is still the one that was seen; of a folder only its number counts."""

    number: int
    size: int
    changed: int


@dataclass(frozen=True)
class Carried:
    """``tops`` are the topmost names that were carried, ``marks`` those of each thing and of its likeness, by name."""

    tops: tuple[str, ...]
    marks: Mapping[str, tuple[Mark, Mark]]

    @property
    def copies(self) -> list[str]:
        """The names of likenesses that are files or folders of their own."""
        return [name for name, (thing, likeness) in self.marks.items() if thing.number != likeness.number]

    def write(self, path: Path) -> None:
        """Write it down, for a build that finds this one broken off."""
        path.write_text(json.dumps({"tops": self.tops, "marks": self.marks}), encoding="ascii")


NONE_CARRIED: Final = Carried((), {})


def read_carried(path: Path) -> Carried:
    """What was carried; nothing if that was not written to its end: no such site was put in place."""
    try:
        data: Any = json.loads(path.read_text(encoding="ascii"))
    except (FileNotFoundError, ValueError):
        return NONE_CARRIED
    marks = {name: (Mark(*thing), Mark(*likeness)) for name, (thing, likeness) in data["marks"].items()}
    return Carried(tuple(data["tops"]), marks)


def mark(path: Path) -> Mark:
    """The mark of what stands at a path; a link is marked itself, not where it leads."""
    status = path.lstat()
    if stat.S_ISDIR(status.st_mode):
        return Mark(status.st_ino, 0, 0)
    return Mark(status.st_ino, status.st_size, status.st_mtime_ns)


def is_there(path: Path) -> bool:
    """Whether something has a name, be it a link that leads nowhere.

    Raises:
        OSError: the machine does not say; ``os.path.lexists`` would take that for a no.
    """
    return _mode(path) is not None


def is_folder(path: Path) -> bool:
    """Whether there is a folder, and no link to one."""
    return stat.S_ISDIR(_mode(path) or 0)


def is_regular(path: Path) -> bool:
    """Whether there is a file, and no link to one."""
    return stat.S_ISREG(_mode(path) or 0)


def _mode(path: Path) -> int | None:
    try:
        return path.lstat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        return None


class Found(NamedTuple):
    """``tops`` are the topmost things of others that have a free name in the new site, ``shared`` folders of both."""

    tops: list[str]
    shared: list[str]


def find_others(site: Path, new: Path, made: Manifest, within: str = "") -> Found:
    """What others put into a site, by name, below the folder ``within``; links are not followed.

    Where the new site has a file of a name, the other's thing waits until the new one is in place.

    Raises:
        OSError: a folder cannot be read.
    """
    found = Found([], [within])
    for entry in sorted(os.scandir(site / within), key=lambda entry: entry.name):
        name = f"{within}/{entry.name}" if within else entry.name
        is_made = name == MANIFEST or (name in made.files and entry.is_file(follow_symlinks=False))
        if entry.is_dir(follow_symlinks=False) and (name in made.folders or is_folder(new / name)):
            if is_folder(new / name) or not is_there(new / name):
                deeper = find_others(site, new, made, name)
                found.tops.extend(deeper.tops)
                found.shared.extend(deeper.shared)
        elif not is_made and not is_there(new / name):
            found.tops.append(name)
    return found


def carry(site: Path, new: Path, made: Manifest) -> Carried:
    """Put likenesses of what others put into a site into the new one; folders of both keep their mode and owner.

    Raises:
        OSError: the machine refuses.
    """
    marks: dict[str, tuple[Mark, Mark]] = {}
    tops, shared = find_others(site, new, made)
    for name in tops:
        make_folder_like(site, new, Path(name).parent)
        _make_likeness(site, new, name, marks)
    for name in shared:
        if is_folder(new / name):
            same_rights(site / name, new / name)
            os.utime(new / name)
    return Carried(tuple(name for name in tops if name in marks), marks)


def make_folder_like(site: Path, new: Path, folder: Path) -> None:
    """Make a folder that is missing in the new site, and those above it, with the rights that they have in the old."""
    for name in (*reversed(folder.parents), folder):
        if not is_there(new / name):
            (new / name).mkdir()
            same_rights(site / name, new / name)


def _make_likeness(site: Path, new: Path, name: str, marks: dict[str, tuple[Mark, Mark]]) -> None:
    """Fill in the marks of what was made; what vanishes meanwhile, and what can only be moved, has none."""
    thing, likeness = site / name, new / name
    with suppress(FileNotFoundError):
        seen = mark(thing)
        if is_folder(thing):
            likeness.mkdir()
            marks[name] = seen, mark(likeness)
            for entry in sorted(os.scandir(thing), key=lambda entry: entry.name):
                _make_likeness(site, new, f"{name}/{entry.name}", marks)
            same_rights(thing, likeness)
        elif _second_name(thing, likeness):
            marks[name] = seen, mark(likeness)


def _second_name(thing: Path, likeness: Path) -> bool:
    """Give a file or a link another name, or make a copy; ``False`` for what is neither and cannot have two."""
    try:
        os.link(thing, likeness, follow_symlinks=False)
    except FileNotFoundError:
        raise
    except OSError:
        kind = thing.lstat().st_mode
        if stat.S_ISLNK(kind):
            likeness.symlink_to(thing.readlink())
        elif stat.S_ISREG(kind):
            shutil.copy2(thing, likeness)
        else:
            return False
        _same_owner(thing, likeness)
    return True


def same_rights(folder: Path, likeness: Path) -> None:
    """Give a folder the mode, the times and, as far as this user may, the owner of another one."""
    _same_owner(folder, likeness)
    shutil.copystat(folder, likeness)


def _same_owner(thing: Path, likeness: Path) -> None:
    status = thing.lstat()
    for user in (status.st_uid, -1):
        with suppress(PermissionError):
            os.chown(likeness, user, status.st_gid, follow_symlinks=False)
            return
