"""The disk: what is written is kept, before anything else is done, even if the machine then loses its power."""

import errno
import os
import sys
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Final

if sys.platform == "darwin":
    import fcntl

AT_ONCE: Final = 16
"""How many files are handed to the disk at once: file systems write what comes together in one go."""

NO_FOLDERS: Final = (errno.EINVAL, errno.ENOTSUP, errno.EBADF)
"""What a file system says that has nothing to do for a folder."""


def sync(path: Path) -> None:
    """Have the disk keep a file, or the names in a folder.

    Raises:
        OSError: the disk refuses.
    """
    file = os.open(path, os.O_RDONLY | os.O_CLOEXEC)
    try:
        os.fsync(file)
    except OSError as error:
        if error.errno not in NO_FOLDERS or not path.is_dir():
            raise
    finally:
        os.close(file)


def sync_all(paths: Iterable[Path]) -> None:
    """Have the disk keep files and folders.

    Raises:
        OSError: the disk refuses.
    """
    files = list(paths)
    try:
        with ThreadPoolExecutor(AT_ONCE) as pool:
            for _ in pool.map(sync, files):
                pass
    except RuntimeError:  # the system gives no more threads
        for path in files:
            sync(path)


def flush(folder: Path) -> None:
    """Have the disk empty its own memory, where ``fsync`` alone does not ask for that (macOS)."""
    if sys.platform == "darwin":
        file = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
        try:
            fcntl.fcntl(file, fcntl.F_FULLFSYNC)
        except OSError:
            os.fsync(file)
        finally:
            os.close(file)
