"""Revisions: the library as it stands in a commit, written to a folder without touching the working tree.

Blobs are read one by one as they are stored. A checkout or an archive would obey the attributes of the revision,
which can hide files and start filter programs; here nothing of a revision is ever run or obeyed.
"""

import os
import posixpath
import subprocess
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Final, NamedTuple, cast

from builder.read.git import GitError, ask, command, environment, failure, program

MOST_BYTES: Final = 500_000_000
"""The most that the files of one revision's library may hold together."""

FILE: Final = ("100644", "100755", "100664")
LINK: Final = "120000"


class RevisionError(Exception):
    """There is no such revision, or what it holds cannot be a library."""


class Blob(NamedTuple):
    """One file of a tree; ``path`` is relative to the library, with ``/``."""

    mode: str
    object_id: str
    path: str


@contextmanager
def revision_folder(library: Path, revision: str) -> Iterator[Path]:
    """A temporary folder with the library as it stands in a revision of the repository around it.

    Symbolic links are never made: one to a file of the library is written as a copy of it, any other as a file
    that holds the link's target. A revision without the library gives an empty folder.

    Raises:
        RevisionError: no repository, no such revision, or names or sizes that no library has.
        GitError: Git is missing or failed.
        OSError: the folder cannot be written.
    """
    git = program()
    prefix = _prefix(git, library)
    commit = _commit(git, library, revision)
    blobs = _blobs(git, library, commit, prefix)
    with TemporaryDirectory(prefix="droplight-", ignore_cleanup_errors=True) as folder:
        root = Path(folder, library.resolve().name or "library")
        root.mkdir()
        _write(git, library, blobs, root)
        yield root


def _prefix(git: str, library: Path) -> str:
    """The folder of the library within its repository; ends in ``/`` or is empty."""
    done = ask(git, library, "rev-parse", "--show-prefix")
    if done.returncode == 0:
        return os.fsdecode(done.stdout).removesuffix("\n")
    if b"not a git repository" in done.stderr:
        raise RevisionError(f"{library} is in no Git repository")
    raise GitError(failure(done))


def _commit(git: str, library: Path, revision: str) -> str:
    """The full name of a commit. What starts with a hyphen is refused: Git might take it for an option."""
    if not revision or revision.startswith("-") or not revision.isprintable():
        raise RevisionError(f"{revision!r} is not the name of a revision")
    done = ask(git, library, "rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}")
    name = done.stdout.decode("ascii").strip()
    if done.returncode == 0 and name.isalnum():
        return name
    if done.stderr:
        raise GitError(failure(done))
    raise RevisionError(f"no revision {revision!r} in the repository of {library}")


def _blobs(git: str, library: Path, commit: str, prefix: str) -> list[Blob]:
    """Files and links of the library in a commit, in the order of the tree."""
    paths = ["--", prefix] if prefix else []
    done = ask(git, library, "ls-tree", "-r", "-z", "--full-tree", commit, *paths)
    if done.returncode:
        raise GitError(failure(done))
    blobs: list[Blob] = []
    for entry in done.stdout.split(b"\0")[:-1]:
        about, _, name = entry.partition(b"\t")
        mode, kind, object_id = about.decode("ascii").split()
        if kind == "blob":
            blobs.append(Blob(mode, object_id, _safe(os.fsdecode(name).removeprefix(prefix))))
    return blobs


def _safe(path: str) -> str:
    """The path, if it stays below the folder it is written to, on any system."""
    parts = path.split("/")
    odd = os.sep != "/" and any(sign in path for sign in "\\:")
    if odd or any(part in ("", ".", "..") or part.lower() == ".git" for part in parts):
        raise RevisionError(f"the revision holds a file of the name {path!r}")
    return path


def _write(git: str, library: Path, blobs: Sequence[Blob], root: Path) -> None:
    files = {blob.path: blob for blob in blobs if blob.mode in FILE}
    room = MOST_BYTES
    try:
        with _batch(git, library) as batch:
            for blob in blobs:
                data = _data(batch, blob, room)
                target = files.get(_target(blob.path, data)) if blob.mode == LINK else None
                if target:
                    data = _data(batch, target, room)
                room -= len(data)
                path = root / blob.path
                path.parent.mkdir(parents=True, exist_ok=True)
                with path.open("xb") as file:
                    file.write(data)
    except BrokenPipeError as error:
        raise GitError("git ended too early") from error


def _batch(git: str, library: Path) -> subprocess.Popen[bytes]:
    """A process that answers the id of an object with its contents."""
    pipe = subprocess.PIPE
    asked = command(git, library, ["cat-file", "--batch"])
    return subprocess.Popen(asked, env=environment(), stdin=pipe, stdout=pipe, stderr=subprocess.DEVNULL)


def _target(path: str, link: bytes) -> str:
    """Where a link leads, seen from the library; what leaves it starts with ``..`` or ``/``."""
    target = os.fsdecode(link)
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), target))


def _data(batch: subprocess.Popen[bytes], blob: Blob, room: int) -> bytes:
    """What a blob holds. The answer is ``<id> blob <size>``, the bytes and a line feed (git-cat-file, batch output)."""
    asking, answers = cast("IO[bytes]", batch.stdin), cast("IO[bytes]", batch.stdout)
    asking.write(blob.object_id.encode("ascii") + b"\n")
    asking.flush()
    head = answers.readline().split()
    if head[1:2] != [b"blob"]:
        raise GitError(f"git has no contents for {blob.path}")
    size = int(head[2])
    if size > room:
        raise RevisionError(f"the library of this revision has more than {MOST_BYTES:,} bytes")
    data = answers.read(size)
    if len(data) < size or not answers.read(1):
        raise GitError("git ended too early")
    return data
