"""Git, asked so that nothing of a repository is run or obeyed, and nothing of the caller's settings shows."""

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Final


class GitError(Exception):
    """Git is missing or failed."""


SETTINGS: Final = (
    "core.fsmonitor=false",
    f"core.hooksPath={os.devnull}",
    "core.sshCommand=false",
    "core.askPass=false",
    "gc.auto=0",
    "maintenance.auto=false",
    "log.showSignature=false",
)

NO_FETCHING: Final = {"GIT_ALLOW_PROTOCOL": "none", "GIT_NO_LAZY_FETCH": "1", "GIT_TERMINAL_PROMPT": "0"}
"""What keeps a clone that lacks objects from fetching them by whatever program its settings name."""


def program() -> str:
    """Where Git is.

    Raises:
        GitError: nowhere.
    """
    found = shutil.which("git")
    if found is None:
        raise GitError("git is not installed, or not on the PATH")
    return found


def command(git: str, folder: Path, arguments: Sequence[str]) -> list[str]:
    """A Git command in a folder, word by word: no pager, no replaced objects, paths taken to the letter.

    Settings of the repository that name a program count for nothing: monitors, hooks, upkeep, proofs of signatures.
    """
    safe = ["--no-pager", "--no-replace-objects", "--literal-pathspecs"]
    for setting in SETTINGS:
        safe += ["-c", setting]
    return [git, *safe, "-C", str(folder), *arguments]


def environment() -> dict[str, str]:
    """The environment without what would point Git to another repository (as in a hook), with messages in English."""
    pointing = {"GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_NAMESPACE", "GIT_COMMON_DIR"}
    kept = {name: value for name, value in os.environ.items() if name not in pointing}
    return {**kept, "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", **NO_FETCHING}


def without_filters(git: str, folder: Path) -> dict[str, str]:
    """The environment in which no filter program of a repository runs when files are looked at: each is set to none.

    Names of filters may hold any sign, so they do not go into a command line.
    """
    listed = ask(git, folder, "config", "--null", "--name-only", "--get-regexp", r"^filter\.")
    keys = sorted({key for key in os.fsdecode(listed.stdout).split("\0") if key})
    named = {f"GIT_CONFIG_KEY_{number}": key for number, key in enumerate(keys)}
    values = {f"GIT_CONFIG_VALUE_{n}": "false" if key.endswith(".required") else "" for n, key in enumerate(keys)}
    return {"GIT_CONFIG_COUNT": str(len(keys)), **named, **values}


def ask(
    git: str, folder: Path, *arguments: str, more: Mapping[str, str] = MappingProxyType({})
) -> subprocess.CompletedProcess[bytes]:
    """What Git says in a folder; its exit code is for the caller to judge. ``more`` adds to the environment."""
    asked = command(git, folder, arguments)
    try:
        return subprocess.run(
            asked, env={**environment(), **more}, stdin=subprocess.DEVNULL, capture_output=True, check=False
        )
    except OSError as error:
        raise GitError(f"git cannot be run: {error.strerror}") from error


def answer(git: str, folder: Path, *arguments: str, more: Mapping[str, str] = MappingProxyType({})) -> str:
    """What Git says where it must not fail; bytes that are no UTF-8 come back as Python keeps them in paths."""
    done = ask(git, folder, *arguments, more=more)
    if done.returncode:
        raise GitError(failure(done))
    return os.fsdecode(done.stdout)


def failure(done: subprocess.CompletedProcess[bytes]) -> str:
    """The first line of what Git said went wrong."""
    said = done.stderr.decode(errors="replace").strip().splitlines()
    return said[0] if said else f"git ended with {done.returncode}"


def repository_of(library: Path) -> Path:
    """The folder that paths are shown from: the repository around the library, else the folder that holds it."""
    place = Path(os.path.abspath(library))  # noqa: PTH100 - a link within the repository stays where it is
    return next((folder for folder in (place, *place.parents) if (folder / ".git").exists()), place.parent)
