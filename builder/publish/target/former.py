"""A former site: what is left when a new one has taken its place, put away without losing what no build made.

It is also what is left of a new site that never got its place. Nothing is removed unseen: a file first gets a name that
nobody else knows, then it is looked at, and it goes only if it is what a build made (by its hash), or has its likeness
in the site and has not changed since. Folders go when they are empty. Everything else goes into the site.
"""

import errno
import filecmp
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path, PurePosixPath
from typing import Final

from builder.publish.target.disk import sync
from builder.publish.target.manifest import MANIFEST, NOTHING, Manifest
from builder.publish.target.others import Carried, Mark, is_folder, is_regular, is_there, mark, same_rights
from builder.publish.target.renames import exchange, move

ROUNDS: Final = 100
"""How often a folder that somebody still writes into is gone through again, before it is left for the next build."""

KEPT: Final = ".kept"
"""The end of the name of what others made where the new site has something of its own."""


class BusyFolderError(OSError):
    """Somebody goes on writing into the former site."""


@dataclass
class Former:
    """``folder`` is the former site, ``site`` the one in its place; ``token`` ends the names that a build gave.

    ``kept`` are the names within the site under which things of others stand beside pages of the new one.
    """

    folder: Path
    site: Path
    token: str
    carried: Carried
    made: Manifest
    kept: list[str] = field(default_factory=list)
    touched: set[Path] = field(default_factory=set)

    def put_away(self) -> None:
        """Empty the folder and remove it.

        Raises:
            BusyFolderError: somebody goes on writing into it; it stays.
            OSError: the machine refuses; what is left stays.
        """
        for _ in range(ROUNDS):
            self._empty(self.folder, "", "")
            for folder in self.touched:
                sync(folder)
            if self._is_empty():
                (self.folder / MANIFEST).unlink(missing_ok=True)
                if _removed(self.folder):
                    return
        raise BusyFolderError(errno.EBUSY, "somebody goes on writing into this folder", str(self.folder))

    def _is_empty(self) -> bool:
        return all(entry.name == MANIFEST for entry in os.scandir(self.folder))

    def put_back(self, *, at_once: bool) -> None:
        """Put things themselves in the place of their likenesses, and take away those whose thing is gone meanwhile.

        Not ``at_once`` after the likenesses were made and the sites exchanged, others may have worked with them: then
        only those are replaced that are all as they were made. Where two names cannot be exchanged, a folder would be
        missing for a moment; there its likeness stays.

        Raises:
            OSError: the machine refuses; likenesses that are still in place stay.
        """
        back = {top for top in self.carried.tops if self._is_put_back(top, at_once)}
        if at_once:
            for name in self.carried.marks:
                if not back.intersection((name, *map(str, PurePosixPath(name).parents))):
                    self._follow_removal(name)

    def _is_put_back(self, top: str, at_once: bool) -> bool:
        thing, likeness = self.folder / top, self.site / top
        with suppress(FileNotFoundError, NotADirectoryError):
            is_itself = mark(thing).number == self.carried.marks[top][0].number != mark(likeness).number
            if not is_itself or not (at_once or self._is_untouched(top)):
                return False
            if exchange(thing, likeness):
                if is_folder(thing):  # whoever still works in the former site shall not go on in the likeness
                    move(thing, _own_name(thing, self.token))
                return True
            if not is_folder(thing):
                thing.replace(likeness)
                return True
        return False

    def _follow_removal(self, name: str) -> None:
        """Remove the likeness of a file that others have removed or renamed since, if they left the likeness alone."""
        if is_there(self.folder / name) or is_folder(self.site / name) or not is_there(self.site / name):
            return
        taken = _taken(self.site / name, self.token)
        if taken is not None and self._is_carried(name, taken):
            taken.unlink()
        elif taken is not None:
            move(taken, self.site / name)

    def _is_untouched(self, top: str) -> bool:
        """Whether a likeness is all as it was made."""
        marks = self.carried.marks
        if not is_folder(self.site / top):
            return mark(self.site / top) == marks[top][1]
        made = {name: likeness for name, (_, likeness) in marks.items() if f"{name}/".startswith(f"{top}/")}
        return made == dict(_marks_below(self.site, top))

    def _empty(self, folder: Path, name: str, to: str) -> None:
        """Remove what may go from a folder of the former site and move the rest into ``to``, a folder of the site."""
        with suppress(FileNotFoundError):
            for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
                own = entry.name.removesuffix(f".{self.token}")
                inner, place = (str(PurePosixPath(part, own)) for part in (name, to))
                if inner == MANIFEST and self.made is not NOTHING:
                    continue
                # What somebody else is faster with is looked at again in the next round.
                with suppress(FileNotFoundError, FileExistsError):
                    if is_folder(Path(entry.path)):
                        self._folder(Path(entry.path), inner, place)
                    else:
                        self._file(Path(entry.path), inner, place)

    def _folder(self, folder: Path, name: str, to: str) -> None:
        there = self.site / to
        is_whole = name not in self.made.folders and (name in self.carried.tops or name not in self.carried.marks)
        if is_folder(there) or not (is_whole or is_there(there)):
            self._empty(folder, name, to)
        elif not is_whole:
            self._empty(folder, name, self._kept_folder(to))
        elif is_there(there):
            self._keep(folder, to)
        else:
            self._make_room(to)
            move(folder, there)
        _removed(folder)

    def _kept_folder(self, to: str) -> str:
        """The name for what others have in a folder of builds, where the new site has a file."""
        return next(name for name in _kept_names(to) if is_folder(self.site / name) or not is_there(self.site / name))

    def _file(self, path: Path, name: str, to: str) -> None:
        taken = _taken(path, self.token)
        if taken is None:
            return
        is_safe = name not in self.carried.tops or is_there(self.site / name) or taken.lstat().st_nlink > 1
        if (is_safe and self._is_carried(name, taken)) or self.made.made(name, taken):
            taken.unlink()
            return
        there = self.site / to
        self._make_room(to)
        try:
            move(taken, there)
        except FileExistsError:
            if _are_alike(taken, there):
                taken.unlink()
            elif mark(there) in self.carried.marks.get(name, ()) and not is_folder(there):
                taken.replace(there)
            else:
                self._keep(taken, to)

    def _is_carried(self, name: str, path: Path) -> bool:
        """Whether a file is as it was when its likeness was made, or lives on under another name."""
        known = self.carried.marks.get(name, ())
        has_more_names = path.lstat().st_nlink > 1
        return mark(path) in known or (has_more_names and mark(path).number in {one.number for one in known})

    def _keep(self, path: Path, to: str) -> None:
        """Give a thing of others a name beside what the new site has in its place."""
        for name in _kept_names(to):
            try:
                move(path, self.site / name)
            except FileExistsError:
                if _are_alike(path, self.site / name):
                    path.unlink()
                    return
            else:
                self.kept.append(name)
                return

    def _make_room(self, to: str) -> None:
        """Make the folders that a thing shall stand in, with the rights that they have in the former site."""
        for parent in reversed(PurePosixPath(to).parents):
            folder = self.site / parent
            if not is_there(folder):
                folder.mkdir()
                if is_folder(self.folder / parent):
                    same_rights(self.folder / parent, folder)
        self.touched.add((self.site / to).parent)


def _marks_below(site: Path, name: str) -> Iterator[tuple[str, Mark]]:
    """The marks of a thing and of all that is in it, by name."""
    yield name, mark(site / name)
    if is_folder(site / name):
        for entry in os.scandir(site / name):
            yield from _marks_below(site, f"{name}/{entry.name}")


def _own_name(path: Path, token: str) -> Path:
    return path.with_name(f"{path.name}.{token}")


def _taken(path: Path, token: str) -> Path | None:
    """A file under a name that nobody else knows; ``None`` if one of that name waits to be looked at first."""
    if path.name.endswith(f".{token}"):
        return path
    try:
        move(path, _own_name(path, token))
    except FileExistsError:
        return None
    except OSError as error:
        if error.errno != errno.ENAMETOOLONG:
            raise
        return path
    return _own_name(path, token)


def _removed(folder: Path) -> bool:
    """Remove a folder; ``False`` if something is in it."""
    try:
        folder.rmdir()
    except OSError as error:
        if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):
            raise
        return False
    return True


def _are_alike(one: Path, other: Path) -> bool:
    """Whether nothing is lost if one of two things goes: they are one file, or hold the same."""
    if os.path.samestat(one.lstat(), other.lstat()):
        return True
    if one.is_symlink() and other.is_symlink():
        return one.readlink() == other.readlink()
    return is_regular(one) and is_regular(other) and filecmp.cmp(one, other, shallow=False)


def _kept_names(name: str) -> Iterator[str]:
    yield f"{name}{KEPT}"
    yield from (f"{name}{KEPT}-{number}" for number in count(2))
