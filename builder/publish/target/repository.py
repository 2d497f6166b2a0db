"""A Git repository in the target: asked to stand still for the moment in which the folders are exchanged.

Git keeps its own processes from one another with files of these names (gitrepository-layout(5), api-lockfile). A commit
that held one of them while its folder changes places could not remove it any more, and nobody could commit after it.
While a build holds them, such a commit waits or ends with a message; nothing of it is lost.
"""

from contextlib import suppress
from pathlib import Path
from time import monotonic, sleep
from typing import Final

from builder.publish.target.others import is_regular
from builder.publish.target.renames import move

LOCKS: Final = (".git/index.lock", ".git/HEAD.lock")

PATIENCE: Final = 5.0
"""Seconds after which a lock is taken for one that a process left behind, and the build goes on without."""

PAUSE: Final = 0.01


def hold_still(target: Path, draft: Path) -> None:
    """Take Git's locks of a repository in the target, if there is one; ``draft`` is a file for a moment.

    Raises:
        OSError: the machine refuses.
    """
    deadline = monotonic() + PATIENCE
    while (target / ".git/HEAD").is_file() and not _all_taken(target, draft) and monotonic() < deadline:
        sleep(PAUSE)


def _all_taken(target: Path, draft: Path) -> bool:
    try:
        for name in LOCKS:
            draft.write_text(draft.name, encoding="ascii")
            move(draft, target / name)
    except FileExistsError:
        let_go(target, draft)
        return False
    return True


def let_go(target: Path, draft: Path) -> None:
    """Remove the locks that were taken with a draft of this name, and no others.

    Raises:
        OSError: the machine refuses.
    """
    draft.unlink(missing_ok=True)
    for path in (target / name for name in LOCKS):
        with suppress(FileNotFoundError, NotADirectoryError):
            if is_regular(path) and path.read_bytes() == draft.name.encode("ascii"):
                path.unlink()
