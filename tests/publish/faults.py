"""Faults: what the machine may say or do at each call that touches files, one after the other.

Every function of the standard library by which the swap reaches the disk is replaced by one that counts. At the call
of a number it fails with an error, or the process is killed as ``kill -9`` would, before the call or after it.
"""

import contextlib
import errno
import io
import os
import signal
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Final
from unittest import mock

from builder.publish import swap
from builder.publish.target import lock, renames

CALLS: Final[dict[str, tuple[Any, str]]] = {
    **{
        name: (os, name)
        for name in (
            *("mkdir", "rmdir", "rename", "replace", "link", "unlink", "symlink", "readlink"),
            *("open", "close", "pread", "pwrite", "fsync", "stat", "lstat", "fstat", "scandir", "access"),
            *("chmod", "chown", "utime", "listxattr"),
        )
    },
    "io.open": (io, "open"),
    "flock": (lock.fcntl, "flock"),
    "renameat2": (renames, "flagged_rename"),
}
"""The calls, by name, each with where it is looked up."""

ABILITIES: Final = (os.supports_follow_symlinks, os.supports_dir_fd, os.supports_fd, os.supports_effective_ids)

ERRORS: Final = (
    *(errno.EIO, errno.ENOSPC, errno.EACCES, errno.EPERM, errno.EXDEV, errno.EINTR, errno.EROFS),
    *(errno.ESTALE, errno.EMFILE, errno.EBUSY, errno.EDQUOT, errno.ELOOP, errno.ENOLCK, errno.ENOTEMPTY),
)
"""What POSIX.1, Linux or an NFS client may answer to one or another of them.

None says that something is not there that is: so false an answer nobody could tell from the truth.
"""


@dataclass
class Fault:
    """``at`` counts calls from 1. ``error`` is a number of errno, or 0 for a kill; ``lasts`` goes on failing.

    ``after``: the call is done all the same, as when the answer of a server is lost.
    """

    at: int
    error: int = 0
    lasts: bool = False
    after: bool = False
    count: int = 0
    name: str = ""

    def meets(self, name: str) -> bool:
        self.count += 1
        hit = self.count == self.at or (self.lasts and self.count > self.at)
        if self.count == self.at:
            self.name = name
        return hit


@contextlib.contextmanager
def injected(fault: Fault) -> Iterator[Fault]:
    """Every call counts, and the fault is met when its turn comes."""

    def counting(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*arguments: Any, **named: Any) -> Any:
            if not fault.meets(name):
                return real(*arguments, **named)
            if fault.after:
                real(*arguments, **named)
            if fault.error:
                raise OSError(fault.error, os.strerror(fault.error), str(arguments[0]) if arguments else "")
            return os.kill(os.getpid(), signal.SIGKILL)

        return call

    with contextlib.ExitStack() as stack:
        for name, (place, attribute) in CALLS.items():
            real = getattr(place, attribute)
            stack.enter_context(replaced(place, attribute, counting(name, real)))
        yield fault


@contextlib.contextmanager
def replaced(place: Any, attribute: str, call: Callable[..., Any]) -> Iterator[None]:
    """Another function in the place of one, which counts as able to do what that is."""
    real = getattr(place, attribute)
    abilities = [known for known in ABILITIES if real in known]
    for known in abilities:
        known.add(call)
    with mock.patch.object(place, attribute, call):
        yield
    for known in abilities:
        known.discard(call)


@contextlib.contextmanager
def without_exchange() -> Iterator[None]:
    """As on a file system that cannot exchange two names, nor refuse to write over one."""
    with mock.patch.object(renames, "flagged_rename", return_value=False):
        yield


@contextlib.contextmanager
def without_links() -> Iterator[None]:
    """As on a file system where no file has two names."""

    def link(*arguments: Any, **named: Any) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    with replaced(os, "link", link):
        yield


def in_child(work: Callable[[], object]) -> int:
    """Does work in a process of its own; gives its exit code, negative for a signal as in :mod:`subprocess`.

    0: done; 2: the target was refused; 3: the machine failed; 1: anything else, which no fault may cause.
    """
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    code = 1
    try:
        work()
        code = 0
    except swap.ForeignFolderError:
        code = 2
    except (OSError, lock.LockError):
        code = 3
    finally:
        os._exit(code)
