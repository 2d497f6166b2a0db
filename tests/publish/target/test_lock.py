"""The lock: one build at a time, whoever it is and wherever it runs, and nothing left when it lets go."""

import errno
import os
import signal
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from builder.publish.swap import fresh_folder
from builder.publish.target import lock
from builder.publish.target.lock import LockError, locked, work_folder
from tests.publish.faults import in_child
from tests.publish.yard import read, write


def silent(note: str) -> None:
    """Tells nobody."""


def put(site: Path, text: str, tell: Callable[[str], None] = silent) -> None:
    with fresh_folder(site, tell) as folder:
        write(folder, {"index.html": text})


def holder(site: Path, then: Callable[[], object], *, has_worker: bool = False) -> int:
    """A process that holds the lock of a site; gives its number as soon as it does, and has a worker if it shall."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        try:
            with locked(site, silent) as held:
                held.renew()
                if has_worker and not os.fork():
                    time.sleep(1)
                    os._exit(0)
                os.write(writing, b"held")
                then()
        finally:
            os._exit(0)
    os.read(reading, 4)
    os.close(reading)
    os.close(writing)
    return child


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lock, "PATIENCE", 0.2)


def without_locks(file: int, operation: int) -> None:
    raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))


# -- Held --------------------------------------------------------------------------------------------------------------


def test_a_build_waits_for_another_one_and_says_so_once(tmp_path: Path) -> None:
    child = holder(tmp_path / "site", lambda: time.sleep(0.5))
    told: list[str] = []
    put(tmp_path / "site", "new", told.append)
    os.waitpid(child, 0)
    assert told == [f"another build is at work on {tmp_path / 'site'}; waiting for it to end"]
    assert (tmp_path / "site/index.html").read_text(encoding="utf-8") == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.usefixtures("impatient")
def test_a_build_that_does_not_end_is_not_waited_for_for_ever(tmp_path: Path) -> None:
    child = holder(tmp_path / "site", signal.pause)
    with pytest.raises(LockError, match="another build has been at work"):
        put(tmp_path / "site", "new")
    assert not (tmp_path / "site").exists()
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


@pytest.mark.usefixtures("impatient")
def test_a_build_that_is_killed_lets_go(tmp_path: Path) -> None:
    child = holder(tmp_path / "site", signal.pause)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    assert work_folder(tmp_path / "site").is_dir()
    put(tmp_path / "site", "new")
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.usefixtures("impatient")
def test_a_worker_that_outlives_its_build_holds_on(tmp_path: Path) -> None:
    """It may still be writing into the folder that the next build clears away."""
    child = holder(tmp_path / "site", signal.pause, has_worker=True)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with pytest.raises(LockError):
        put(tmp_path / "site", "new")


def test_targets_side_by_side_do_not_wait_for_each_other(tmp_path: Path) -> None:
    with locked(tmp_path / "one", silent):
        put(tmp_path / "other", "new")
    assert [path.name for path in tmp_path.iterdir()] == ["other"]


@pytest.mark.usefixtures("impatient")
def test_a_target_by_another_way_is_the_same(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    child = holder(tmp_path / "real" / "site", signal.pause)
    with pytest.raises(LockError):
        put(tmp_path / "link" / "site", "new")
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def test_a_lock_that_the_build_before_removes_while_one_opens_it_is_not_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = lock.fcntl.flock
    tries: list[int] = []

    def flock(file: int, operation: int) -> None:
        tries.append(file)
        if len(tries) == 1:
            (work_folder(tmp_path / "site") / "lock").unlink()
        real(file, operation)

    monkeypatch.setattr(lock.fcntl, "flock", flock)
    with locked(tmp_path / "site", silent) as held:
        held.renew()
        assert held.is_held()
    assert len(tries) == 2
    assert list(tmp_path.iterdir()) == []


# -- Lost --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("loss", ["another file", "another token", "removed"])
def test_a_build_that_lost_its_lock_leaves_the_site_as_it_is(tmp_path: Path, loss: str) -> None:
    """As where locks do not reach another machine, which thinks that it has the target for itself."""
    site, folder = tmp_path / "site", work_folder(tmp_path / "site")
    put(site, "old")

    def build() -> None:
        with fresh_folder(site) as new:
            write(new, {"index.html": "new"})
            token = folder / "token"
            if loss == "another token":
                own = token.read_text(encoding="ascii")
                token.write_text(own.replace(own[-35:-3], "0" * 32), encoding="ascii")
            else:
                (folder / "lock").unlink()
            if loss == "another file":
                (folder / "lock").touch()

    with pytest.raises(LockError, match="leaves the site as it is"):
        build()
    assert read(site)["index.html"] == "old"


# -- Somebody else's ---------------------------------------------------------------------------------------------------

TOKEN: Final = '{"droplight": "token", "target": "%s", "token": "%s"}\n'  # noqa: S105 - no password


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("lock", "a stranger's"),
        ("token", "a stranger's"),
        ("token", TOKEN % ("cars", "0" * 32)),
        ("token", TOKEN % ("site", "../../../photos/holiday" + "0" * 9)),
        ("token", TOKEN % ("site", "0" * 32) + "more"),
        ("token", "{" * 100_000),
    ],
)
def test_a_strangers_file_in_the_way_is_refused_and_left_alone(tmp_path: Path, name: str, text: str) -> None:
    write(work_folder(tmp_path / "site"), {name: text})
    with pytest.raises(LockError, match="is in the way"):
        put(tmp_path / "site", "new")
    assert (work_folder(tmp_path / "site") / name).read_text(encoding="utf-8") == text
    assert not (tmp_path / "site").exists()


@pytest.mark.parametrize("kind", ["file", "link", "link to a file"])
def test_a_strangers_thing_of_the_folders_name_is_refused_and_left_alone(tmp_path: Path, kind: str) -> None:
    folder = work_folder(tmp_path / "site")
    (tmp_path / "own").mkdir()
    if kind == "file":
        folder.write_text("a stranger's", encoding="utf-8")
    elif kind == "link":
        folder.symlink_to("own")
    else:
        folder.mkdir()
        (tmp_path / "own/file").write_text("", encoding="utf-8")
        (folder / "lock").symlink_to("../own/file")
    with pytest.raises((LockError, OSError)):
        put(tmp_path / "site", "new")
    assert folder.exists()
    assert not (tmp_path / "site").exists()


def test_strangers_things_in_the_folder_stay(tmp_path: Path) -> None:
    strangers = {"notes.txt": "mine", f"{'0' * 32}.new/index.html": "mine", "x.old/y": "mine"}
    write(work_folder(tmp_path / "site"), strangers)
    for text in ("old", "new"):
        put(tmp_path / "site", text)
    assert read(work_folder(tmp_path / "site")) == strangers


def test_a_token_of_which_only_the_name_reached_the_disk_is_none(tmp_path: Path) -> None:
    """As after a loss of power."""
    for text in ("", "\0" * 90):
        write(work_folder(tmp_path / "site"), {"lock": "", "token": text})
        put(tmp_path / "site", "new")
        assert [path.name for path in tmp_path.iterdir()] == ["site"]


# -- A file system without locks ---------------------------------------------------------------------------------------


def test_without_locks_the_file_is_the_lock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    site, folder = tmp_path / "site", work_folder(tmp_path / "site")
    monkeypatch.setattr(lock.fcntl, "flock", without_locks)
    for text in ("old", "new"):
        put(site, text)
    assert [path.name for path in tmp_path.iterdir()] == ["site"]

    def killed() -> None:
        with fresh_folder(site) as new:
            write(new, {"index.html": "newer"})
            os.kill(os.getpid(), signal.SIGKILL)

    assert in_child(killed) == -signal.SIGKILL
    with pytest.raises(LockError, match=f"remove {folder / 'lock'}"):
        put(site, "newest")
    (folder / "lock").unlink()
    put(site, "newest")
    assert read(site)["index.html"] == "newest"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.parametrize("error", [errno.EIO, errno.EACCES])
def test_a_lock_that_fails_otherwise_is_an_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: int) -> None:
    def flock(file: int, operation: int) -> None:
        raise OSError(error, os.strerror(error))

    monkeypatch.setattr(lock.fcntl, "flock", flock)
    with pytest.raises(OSError, match=os.strerror(error)):
        put(tmp_path / "site", "new")
    monkeypatch.undo()
    put(tmp_path / "site", "new")
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
