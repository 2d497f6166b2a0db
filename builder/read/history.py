"""History: which commit a library stands in, and when each of its playbooks last changed, as Git knows it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from builder.read.git import GitError, answer, ask, program, repository_of, without_filters

SHORT: Final = 10
"""Characters of a commit's name that a page shows; Git's own short names grow with the clone they are made in."""

LAST_SECOND: Final = 253_402_300_799
"""The end of the year 9999, after which RFC 3339 has no dates."""


@dataclass(frozen=True, slots=True)
class History:
    """What Git says of a library; nothing where it is in no commit.

    ``changed`` gives the commit date of the last commit that touched a file, in seconds since 1970 UTC, by its path
    within the library. ``is_dirty`` says that the folder differs from the commit. ``note`` says what could not be read.
    """

    revision: str = ""
    is_dirty: bool = False
    changed: Mapping[str, int] = field(default_factory=dict)
    note: str = ""

    @property
    def version(self) -> str:
        """The commit in short, as pages show it; empty where there is none."""
        return self.revision[:SHORT]


NO_HISTORY: Final = History()


def read_history(library: Path, *, dates: bool) -> History:
    """The history of a library, ``changed`` only if ``dates`` are wanted; what Git refuses becomes the note."""
    if not (repository_of(library.resolve()) / ".git").exists():
        return NO_HISTORY
    try:
        return _read(program(), library, dates=dates)
    except GitError as error:
        return History(note=f"the site says no version and has no feed: {error}")


def _read(git: str, library: Path, *, dates: bool) -> History:
    shallow, _, prefix = answer(git, library, "rev-parse", "--is-shallow-repository", "--show-prefix").partition("\n")
    if ask(git, library, "rev-parse", "--verify", "--quiet", "HEAD").returncode:
        return NO_HISTORY
    if not answer(git, library, "ls-tree", "-z", "--name-only", "HEAD"):
        return NO_HISTORY
    revision = answer(git, library, "rev-parse", "HEAD").strip()
    dirty = bool(_status(git, library))
    if not dates:
        return History(revision, dirty)
    if shallow == "true":
        note = "the site has no feed: in a shallow clone every file looks new; `git fetch --unshallow` mends that"
        return History(revision, dirty, note=note)
    return History(revision, dirty, _changed(git, library, prefix.removesuffix("\n")))


def _status(git: str, library: Path) -> str:
    """What differs from the commit, whatever filters and submodules say of it: those of a stranger would run."""
    how = ("--porcelain", "-z", "--no-renames", "--ignore-submodules=all", "--", ".")
    return answer(git, library, "status", *how, more=without_filters(git, library))


def _changed(git: str, library: Path, prefix: str) -> dict[str, int]:
    """Commit dates by path within the library.

    Of a merge only what it made itself counts, such as a conflict that it settled (``-c``). With ``-z`` Git writes a
    line feed before the first name of a commit. No name that it writes starts with a slash; that marks the dates.
    """
    form = ("-z", "--format=tformat:/%ct", "--name-only", "--no-renames", "-c", "--no-show-signature", "--no-color")
    changed: dict[str, int] = {}
    date = 0
    for piece in answer(git, library, "log", *form, "--", ".").split("\0"):
        if piece.startswith("/"):
            date = int(piece[1:]) if piece[1:].isdecimal() else 0
            continue
        path = piece.removeprefix("\n")
        if path.startswith(prefix) and 0 < date <= LAST_SECOND:
            changed[path.removeprefix(prefix)] = max(date, changed.get(path.removeprefix(prefix), 0))
    return changed
