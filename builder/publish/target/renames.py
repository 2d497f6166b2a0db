"""Renames that need more than ``os.rename``: two names exchanged in one step, or a name that must be free."""

import ctypes
import errno
import os
import re
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

HERE: Final = -100
"""``AT_FDCWD``: relative paths start at the working folder."""

FREE: Final = 4 if sys.platform == "darwin" else 1
"""``RENAME_EXCL`` of macOS and ``RENAME_NOREPLACE`` of Linux."""

EXCHANGE: Final = 2
"""``RENAME_SWAP`` of macOS and ``RENAME_EXCHANGE`` of Linux."""

MOUNTS: Final = Path("/proc/self/mountinfo")
OCTAL: Final = re.compile(rb"\\([0-3][0-7]{2})")
"""How that file writes spaces and line feeds."""

UNKNOWN: Final = frozenset({errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP})
"""What a system or a file system says that has no such rename."""


def exchange(one: Path, other: Path) -> bool:
    """Exchange what two names stand for in one step; ``False`` where the system cannot.

    Raises:
        OSError: the machine refuses; both are as they were.
    """
    return flagged_rename(one, other, EXCHANGE)


def move(one: Path, other: Path) -> None:
    """Give something another name, which must be free.

    Where the system has no such rename, the look and the renaming are two steps.

    Raises:
        FileExistsError: it is not.
        OSError: the machine refuses; all is as it was.
    """
    try:
        if flagged_rename(one, other, FREE):
            return
    except FileExistsError:
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(other)) from None
    with suppress(FileNotFoundError):
        other.lstat()
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(other))
    one.rename(other)


def flagged_rename(one: Path, other: Path, flag: int) -> bool:
    """``renameat2`` of Linux, ``renamex_np`` of macOS; ``False`` where there is none, or not with this flag."""
    libc: Any = ctypes.CDLL(None, use_errno=True) if os.name == "posix" else None
    first, second = os.fsencode(one), os.fsencode(other)
    while True:
        if sys.platform == "darwin" and hasattr(libc, "renamex_np"):
            failed = libc.renamex_np(first, second, flag)
        elif sys.platform == "linux" and hasattr(libc, "renameat2"):
            failed = libc.renameat2(HERE, first, HERE, second, flag)
        else:
            return False
        if not failed:
            return True
        number = ctypes.get_errno()
        if number in UNKNOWN:
            return False
        if number != errno.EINTR:
            raise OSError(number, os.strerror(number), str(one), None, str(other))


def mounts() -> list[Path]:
    """Where something is mounted and cannot be renamed (proc(5), fifth field); nothing where the system does not say.

    The number of the disk does not tell: a folder may be mounted on another one of the same disk.
    """
    with suppress(OSError):
        lines = MOUNTS.read_bytes().splitlines()
        return [Path(os.fsdecode(OCTAL.sub(_character, line.split()[4]))) for line in lines]
    return []


def _character(escape: re.Match[bytes]) -> bytes:
    return bytes([int(escape[1], 8)])
