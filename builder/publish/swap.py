"""Swapping a finished site in for the old one, in one step, so that a kill leaves one of the two whole.

What is promised, where the file system keeps the promises of POSIX.1 and of the manual pages of Linux and macOS:

- Whoever opens the target sees the old site or the new one, each whole. Where two folders cannot be exchanged in one
  step (some network file systems), the target is missing for the moment between two renames; if the second fails, the
  old site is put back, and if the build is killed there, the next one puts it back.
- When a build has ended well, its site is on the disk. After a loss of power at any moment the target is the old site
  or the new one.
- Nothing that no build made is lost, in the target or beside it: files and folders of others, pages that somebody has
  edited since (their hash is not the recorded one), what is written into the target during a build. Where the new site
  has something of the same name, the other's stands beside it as ``NAME.kept``. Sites without recorded hashes, which
  older versions made, count as unedited.
- Folders of others keep their mode, owner and times; files of others stay the very same files.
- What a killed build leaves beside the target is cleared away by the next one, and nothing else ever is.

Not promised: that a program is not disturbed which works in a folder of the old site, or has one of its files open,
while the build removes them. It may get an error, and what it writes into a page of ours just then may be lost.
"""

import errno
import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from builder.publish.target.disk import flush, sync, sync_all
from builder.publish.target.former import Former
from builder.publish.target.lock import Lock, LockError, Tell, locked
from builder.publish.target.manifest import MANIFEST, NOTHING, ManifestError, read_manifest, write_manifest
from builder.publish.target.others import NONE_CARRIED, Carried, carry, is_folder, is_regular, is_there, read_carried
from builder.publish.target.renames import exchange, mounts
from builder.publish.target.repository import hold_still, let_go

OURS_WITHOUT_MANIFEST: Final = frozenset({".git", ".gitignore", ".gitkeep"})
"""What a folder may hold that was never built into; with ``.git`` it is the checkout of an empty branch."""

UNFINISHED: Final = ".droplight.unfinished"
"""A file in a new site until that is ready to take its place: while it is there, all around it is a build's own."""

SHOWN: Final = 10
"""The most names of kept files that are told."""


class ForeignFolderError(Exception):
    """The target is a folder, or a file, that no build made or that cannot be exchanged."""


def silent(note: str) -> None:
    """Tells nobody."""


@contextmanager
def fresh_folder(target: Path, tell: Tell = silent) -> Iterator[Path]:
    """A new folder to write a site into; it takes the place of ``target`` when the block ends well.

    ``tell`` hears of another build that is waited for, and of files that were kept beside pages.

    Raises:
        ForeignFolderError: the target holds files but was not made by a build, or cannot be exchanged.
        LockError: another build does not let go of the target.
        OSError: the machine refuses.
    """
    check_target(target)
    target = _resolved(target)
    with _folders_above(target), locked(target, tell) as lock:
        _clear(lock, tell)
        check_target(target)
        lock.renew()
        try:
            new = _begin(lock)
            yield new
            _finish(lock, new)
        except BaseException:
            with suppress(OSError):  # what cannot be cleared now is left for the next build
                _clear(lock, tell)
            raise
        _clear(lock, tell)


@contextmanager
def _folders_above(target: Path) -> Iterator[None]:
    """Makes the folders that the target shall stand in; they go again if nothing comes of it."""
    missing = [folder for folder in target.parents if not is_there(folder)]
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        yield
    except BaseException:
        for folder in missing:
            with suppress(OSError):  # somebody has put something into it
                folder.rmdir()
        raise


def check_target(target: Path) -> None:
    """Look whether a site may be put there, without touching anything.

    Raises:
        ForeignFolderError: it must not, or cannot.
        OSError: the machine refuses.
    """
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise ForeignFolderError(f"{target} is not a folder")
    if Path.cwd().is_relative_to(os.path.realpath(target)):
        raise ForeignFolderError(f"{target} is the folder you are in, which cannot be exchanged; go to another one")
    if not target.is_dir():
        return
    try:
        made = read_manifest(target)
    except ManifestError as error:
        raise ForeignFolderError(f"{error}; choose another folder") from error
    if made is None:
        foreign = sorted(path.name for path in target.iterdir() if path.name not in OURS_WITHOUT_MANIFEST)
        if foreign:
            raise ForeignFolderError(
                f"{target} holds files that no build made (such as {foreign[0]}); choose another folder"
            )
    _check_movable(target)


def _check_movable(target: Path) -> None:
    """What is mounted stays where it is, and a folder that may not be written to cannot be put elsewhere."""
    device = target.lstat().st_dev
    for mount in mounts():
        if mount.is_relative_to(os.path.realpath(target)):
            raise _mounted(mount, target)
    for place, folders, _ in os.walk(target):
        for path in (Path(place, name) for name in folders):
            with suppress(FileNotFoundError):
                status = path.lstat()
                if stat.S_ISDIR(status.st_mode) and status.st_dev != device:
                    raise _mounted(path, target)
                if stat.S_ISDIR(status.st_mode) and not os.access(path, os.R_OK | os.W_OK | os.X_OK):
                    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))


def _mounted(path: Path, target: Path) -> ForeignFolderError:
    return ForeignFolderError(
        f"{path} is a mount point, which cannot be exchanged; build into a folder within it, such as {target / 'site'}"
    )


def _resolved(target: Path) -> Path:
    """The target by a path that stays right wherever one goes; only its own name may not be a link."""
    if target.name in ("", ".."):
        return Path(os.path.realpath(target))
    return Path(os.path.realpath(target.parent), target.name)


def _begin(lock: Lock) -> Path:
    """The new folder, after a try whether the target can be moved to make room for it."""
    if is_folder(lock.target):
        _try_to_move(lock.target, lock.beside("old"))
    return _unfinished(lock.beside("new"))


def _unfinished(folder: Path) -> Path:
    folder.mkdir()
    (folder / UNFINISHED).touch()
    return folder


def _try_to_move(target: Path, old: Path) -> None:
    """Find out whether a folder can be given another name, without doing so.

    A folder cannot be renamed to one that is not empty (POSIX.1, ``rename``). Any other error than the one for that
    says what else is in the way: a mount point, a layer of a container's image, a missing right.
    """
    _unfinished(old)
    try:
        target.rename(old)
    except OSError as error:
        if error.errno == errno.EBUSY:
            raise _mounted(target, target) from error
        if error.errno == errno.EXDEV:
            message = f"{target} cannot be exchanged: it belongs to another layer or disk; choose another folder"
            raise ForeignFolderError(message) from error
        if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):
            raise
    else:
        old.rename(target)
        raise ForeignFolderError(f"{target} is on a file system that overwrites folders; choose another one")
    _remove_unfinished(old)


def _finish(lock: Lock, new: Path) -> None:
    """Make the new site complete and durable, and put it in place."""
    target = lock.target
    made = write_manifest(new, UNFINISHED)
    carried = NONE_CARRIED
    check_target(target)
    if is_folder(target):
        carried = carry(target, new, read_manifest(target) or NOTHING)
    carried.write(lock.beside("carried"))
    copies = [new / name for name in carried.copies if is_regular(new / name)]
    sync_all([new / MANIFEST, *(new / name for name in made.files), *copies])
    sync_all([lock.beside("carried"), *_folders_below(new)])
    if not lock.is_held():
        raise LockError(f"another build has taken over {target}; this one leaves the site as it is")
    (new / UNFINISHED).unlink()
    sync(new)
    hold_still(target, lock.beside("git"))
    old = _put_in_place(new, target, lock.beside("old"))
    if is_folder(old):
        Former(old, target, lock.token, carried, NOTHING).put_back(at_once=True)
    let_go(target, lock.beside("git"))
    sync(target.parent)
    sync(lock.folder)
    flush(target)


def _folders_below(folder: Path) -> list[Path]:
    return [Path(place) for place, _, _ in os.walk(folder)]


def _put_in_place(new: Path, target: Path, old: Path) -> Path:
    """Where the former site is then, if there was one."""
    if not is_there(target):
        new.rename(target)
        return old
    if exchange(new, target):
        return new
    # No exchange on this system: the target is missing for the moment between two renames.
    target.rename(old)
    try:
        new.rename(target)
    except OSError:
        old.rename(target)
        raise
    return old


def _clear(lock: Lock, tell: Tell) -> None:
    """Clear away what the token of a lock names: a site that was not finished, and a former one.

    Raises:
        OSError: the machine refuses; the rest is left for the next build.
    """
    if not lock.token:
        return
    old, new, carried = (lock.beside(kind) for kind in ("old", "new", "carried"))
    if is_folder(old) and not is_there(old / UNFINISHED) and not is_there(lock.target):
        old.rename(lock.target)
    for left in (old, new):
        if is_there(left / UNFINISHED):
            _remove_unfinished(left)
        elif is_folder(left):
            _put_away(left, lock, read_carried(carried), tell)
    let_go(lock.target, lock.beside("git"))
    carried.unlink(missing_ok=True)


def _remove_unfinished(folder: Path) -> None:
    """Remove what a build alone wrote; the file that says so goes last."""
    for entry in list(os.scandir(folder)):
        if entry.is_dir(follow_symlinks=False):
            shutil.rmtree(entry.path)
        elif entry.name != UNFINISHED:
            Path(entry.path).unlink()
    (folder / UNFINISHED).unlink()
    folder.rmdir()


def _put_away(folder: Path, lock: Lock, carried: Carried, tell: Tell) -> None:
    try:
        made = read_manifest(folder) or NOTHING
    except ManifestError:
        made = NOTHING
    former = Former(folder, lock.target, lock.token, carried, made)
    try:
        former.put_back(at_once=False)
        former.put_away()
    finally:
        for name in former.kept[:SHOWN]:
            tell(f"{name}: kept, since no build made it so and the new site has something else in its place")
        if len(former.kept) > SHOWN:
            tell(f"{len(former.kept) - SHOWN} more files were kept in the same way")
