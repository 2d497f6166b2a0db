"""Swapping a finished site in for the old one, in one step, so that a kill leaves one of the two whole.

The new site is written to a folder beside the target. Files in the target that no build made are kept.
"""

import ctypes
import errno
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import Any, Final

MANIFEST: Final = ".droplight"
"""Names every file of the site that a build made, one a line."""

OURS_WITHOUT_MANIFEST: Final = frozenset({".git", ".gitignore", ".gitkeep"})
"""What a folder may hold that was never built into; with ``.git`` it is the checkout of an empty branch."""

_EXCHANGE: Final = 2
"""RENAME_EXCHANGE of Linux and RENAME_SWAP of macOS have the same value."""


class ForeignFolderError(Exception):
    """The target is a folder, or a file, that no build made or that cannot be exchanged."""


@contextmanager
def fresh_folder(target: Path) -> Iterator[Path]:
    """A new folder to write a site into; it takes the place of ``target`` when the block ends well.

    Raises:
        ForeignFolderError: the target holds files but was not made by a build.
        OSError: the machine refuses.
    """
    check_target(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    _clear_left_over(target)
    new = target.parent / f".{target.name}.{os.getpid()}.new"
    new.mkdir()
    try:
        yield new
        made = sorted(path.relative_to(new).as_posix() for path in new.rglob("*") if not path.is_dir())
        (new / MANIFEST).write_text("\n".join([*made, MANIFEST]) + "\n", encoding="utf-8")
        _keep_others(target, new)
        _put_in_place(new, target)
    finally:
        shutil.rmtree(new, ignore_errors=True)


def check_target(target: Path) -> None:
    """Raises :class:`ForeignFolderError` if a site must not be put there."""
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise ForeignFolderError(f"{target} is not a folder")
    if Path.cwd().is_relative_to(target.resolve()):
        raise ForeignFolderError(f"{target} is the folder you are in, which cannot be exchanged; go to another one")
    if target.is_dir() and not (target / MANIFEST).is_file():
        foreign = sorted(path.name for path in target.iterdir() if path.name not in OURS_WITHOUT_MANIFEST)
        if foreign:
            raise ForeignFolderError(
                f"{target} holds files that no build made (such as {foreign[0]}); choose another folder"
            )


def _keep_others(target: Path, new: Path) -> None:
    """Carry files and folders that no build made over to the new site; a page of the new site wins."""
    if not target.is_dir():
        return
    manifest = target / MANIFEST
    made = set(manifest.read_text(encoding="utf-8").splitlines()) if manifest.is_file() else set()
    made |= {folder.as_posix() for name in made for folder in PurePosixPath(name).parents}
    for path in sorted(target.rglob("*")):
        name = path.relative_to(target).as_posix()
        copy = new / name
        if name in made or copy.exists():
            continue
        if path.is_dir() and not path.is_symlink():
            copy.mkdir(parents=True)  # Git takes a repository without its empty folders for none
            continue
        copy.parent.mkdir(parents=True, exist_ok=True)
        try:
            os.link(path, copy, follow_symlinks=False)
        except OSError:
            shutil.copy2(path, copy, follow_symlinks=False)


def _put_in_place(new: Path, target: Path) -> None:
    if not target.exists():
        new.rename(target)
        return
    shutil.copymode(target, new)
    if _exchange(new, target):
        return
    # No exchange on this system: the target is missing for the moment between two renames.
    old = target.parent / f".{target.name}.{os.getpid()}.old"
    target.rename(old)
    new.rename(target)
    shutil.rmtree(old, ignore_errors=True)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; ``False`` where the system cannot."""
    libc: Any = ctypes.CDLL(None, use_errno=True) if os.name == "posix" else None
    first, second = os.fsencode(one), os.fsencode(other)
    if sys.platform == "darwin" and hasattr(libc, "renamex_np"):
        failed = libc.renamex_np(first, second, _EXCHANGE)
    elif sys.platform == "linux" and hasattr(libc, "renameat2"):
        here = -100  # AT_FDCWD
        failed = libc.renameat2(here, first, here, second, _EXCHANGE)
    else:
        return False
    if failed and ctypes.get_errno() not in (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP):
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number), str(other))
    return not failed


def _clear_left_over(target: Path) -> None:
    """Remove what builds that were killed left beside the target, and put back a site that one moved away."""
    for left in sorted(target.parent.glob(f".{target.name}.*.old")):
        if not target.exists():
            left.rename(target)
        elif not _runs(left):
            shutil.rmtree(left)
    for left in sorted(target.parent.glob(f".{target.name}.*.new")):
        if not _runs(left):
            shutil.rmtree(left)


def _runs(left: Path) -> bool:
    """Whether the build that made a folder still runs; its process number stands in the name."""
    number = left.name.split(".")[-2]
    if os.name != "posix" or not number.isdigit() or int(number) == os.getpid():
        return False
    try:
        os.kill(int(number), 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
