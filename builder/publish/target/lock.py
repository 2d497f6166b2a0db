"""The lock: one build at a time puts a site into a target, and knows what a build that was killed left there.

It is a file in a work folder beside the target, which the system locks for as long as a process of the build lives
(``flock``): no number of a process has a say, so that builds in containers that share a volume, or on machines that
share a file system with locks, keep each other out. Beside it stands a random token. Whatever a build makes in the
work folder has the token in its name, and only that is ever cleared away by the next one.

On a file system without locks the file itself is the lock: a build that is killed leaves it behind, and the next one
says what to remove. Where locks do not reach another machine, two builds can both go on: what they make has names of
its own and is put in place in one step, so that the site is one of the two, and a build that finds another token than
its own beside the target stops.
"""

import errno
import json
import os
import re
import secrets
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, sleep
from typing import Any, Final

from builder.publish.target.disk import sync

if sys.platform != "win32":
    import fcntl

Tell = Callable[[str], None]
"""Takes a line that whoever builds should read."""

LOCK: Final = "lock"
TOKEN: Final = "token"  # noqa: S105 - the name of a file

PATIENCE: Final = 600.0
"""Seconds after which a build that waits for another one gives up."""

PAUSE: Final = 0.05

TOKEN_BYTES: Final = 16
HEXADECIMAL: Final = re.compile("[0-9a-f]{32}")

NO_LOCKS: Final = frozenset({errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOLCK, errno.EINVAL})
"""What a file system says that has no locks."""


class LockError(Exception):
    """Another build is at work on the target, or what beside it is needed for the lock is somebody else's."""


@dataclass
class Lock:
    """A lock that is held. ``token`` is that of the build that had it before, until :meth:`renew`; empty if none."""

    target: Path
    file: int
    token: str

    @property
    def folder(self) -> Path:
        """The folder that builds into this target work in."""
        return work_folder(self.target)

    def beside(self, kind: str) -> Path:
        """What a build of this token calls a thing that it makes in the work folder."""
        return self.folder / f"{self.token}.{kind}"

    def renew(self) -> None:
        """Take a token of one's own; what the old one names must be gone."""
        token = secrets.token_hex(TOKEN_BYTES)
        _write_token(self.folder / TOKEN, self.target, token)
        sync(self.folder)
        self.token = token

    def is_held(self) -> bool:
        """Whether the lock beside the target is still this one: nobody removed it, or took it over."""
        return _is_at(self.file, self.folder / LOCK) and _read_token(self.folder / TOKEN, self.target) == self.token

    def release(self) -> None:
        """Let the lock go; the token stays only where something is left that it names."""
        if not _is_at(self.file, self.folder / LOCK):
            return
        left = [entry.name for entry in os.scandir(self.folder) if self.token and entry.name.startswith(self.token)]
        if not left:
            (self.folder / TOKEN).unlink(missing_ok=True)
        (self.folder / LOCK).unlink()


def work_folder(target: Path) -> Path:
    """The folder beside a target for what is not the site yet, or no more."""
    return target.parent / f".{target.name}.droplight"


@contextmanager
def locked(target: Path, tell: Tell) -> Iterator[Lock]:
    """Holds the lock of a target, whose parent must exist; waits for another build, which it tells of.

    Raises:
        LockError: the other build does not end, or something else is in the place of the lock.
        OSError: the machine refuses.
    """
    folder = work_folder(target)
    try:
        file = _taken(folder, target, tell)
        try:
            lock = Lock(target, file, _read_token(folder / TOKEN, target))
            try:
                yield lock
            finally:
                lock.release()
        finally:
            os.close(file)
    finally:
        with suppress(OSError):  # another build is in it already, or something is left there
            folder.rmdir()


def _taken(folder: Path, target: Path, tell: Tell) -> int:
    """The file of the lock, open and held."""
    deadline, told = monotonic() + PATIENCE, False
    while True:
        with suppress(FileExistsError):
            folder.mkdir()
        if not stat.S_ISDIR(folder.lstat().st_mode):
            raise LockError(f"{folder} is in the way: it is not the folder of a build")
        try:
            file = _try(folder / LOCK, target)
        except BlockingIOError:
            if not told:
                tell(f"another build is at work on {target}; waiting for it to end")
            told = True
        else:
            if file is not None:
                return file
        if monotonic() > deadline:
            raise LockError(f"another build has been at work on {target} for {PATIENCE / 60:.0f} minutes")
        sleep(PAUSE)


def _try(path: Path, target: Path) -> int | None:
    """The file of the lock, open and held; ``None`` if the build before removed it meanwhile.

    Raises:
        BlockingIOError: another build holds it.
    """
    try:
        file, is_new = _opened(path)
    except FileNotFoundError:
        return None
    try:
        if os.fstat(file).st_size:
            raise LockError(f"{path} is in the way: it is not the lock of a build")
        if not _flock(file) and not is_new:
            raise LockError(
                f"another build is at work on {target}, or was killed; this file system has no locks to tell which. "
                f"If none is, remove {path}"
            )
        if _is_at(file, path):
            return file
    except BaseException:
        os.close(file)
        raise
    os.close(file)
    return None


def _opened(path: Path) -> tuple[int, bool]:
    """The file, open, and whether it was not there before."""
    flags = os.O_RDWR | os.O_CLOEXEC | os.O_NOFOLLOW
    try:
        return os.open(path, flags | os.O_CREAT | os.O_EXCL, 0o666), True
    except FileExistsError:
        return os.open(path, flags), False


def _flock(file: int) -> bool:
    """Lock an open file for this process and those that it starts; ``False`` where the file system has no locks.

    Raises:
        BlockingIOError: another has it.
    """
    if sys.platform == "win32":
        return False
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in NO_LOCKS:
            return False
        raise
    return True


def _is_at(file: int, path: Path) -> bool:
    """Whether an open file is the one of a name."""
    try:
        return os.path.samestat(os.fstat(file), path.lstat())
    except FileNotFoundError:
        return False


def _content(target: Path, token: str) -> bytes:
    """What stands in the file of the token."""
    return (json.dumps({"droplight": "token", "target": target.name, "token": token}) + "\n").encode("ascii")


def _write_token(path: Path, target: Path, token: str) -> None:
    file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_CLOEXEC | os.O_NOFOLLOW, 0o666)
    try:
        os.pwrite(file, _content(target, token), 0)
        os.fsync(file)
    finally:
        os.close(file)


def _read_token(path: Path, target: Path) -> str:
    """The token beside a target; empty where none was written yet.

    Raises:
        LockError: the file is somebody else's.
    """
    try:
        file = os.open(path, os.O_RDONLY | os.O_CLOEXEC | os.O_NOFOLLOW)
    except FileNotFoundError:
        return ""
    try:
        written = os.pread(file, 100_000, 0)
    finally:
        os.close(file)
    if not written.strip(b"\0"):  # a machine that lost its power may have kept the name alone
        return ""
    with suppress(ValueError, TypeError, KeyError, RecursionError):
        data: Any = json.loads(written)
        token = str(data["token"])
        if HEXADECIMAL.fullmatch(token) and written == _content(target, token):
            return token
    raise LockError(f"{path} is in the way: it is not the token of a build")
