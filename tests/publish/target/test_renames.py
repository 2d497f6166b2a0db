"""Renames: in one step or not at all, and never over something."""

import errno
import os
from pathlib import Path
from typing import Any

import pytest

from builder.publish.target import renames
from builder.publish.target.renames import exchange, flagged_rename, mounts, move


def test_two_folders_or_files_change_places(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "one" / "x").write_text("1", encoding="ascii")
    (tmp_path / "other").write_text("2", encoding="ascii")
    assert exchange(tmp_path / "one", tmp_path / "other")
    assert (tmp_path / "other" / "x").read_text(encoding="ascii") == "1"
    assert (tmp_path / "one").read_text(encoding="ascii") == "2"


def test_an_exchange_with_nothing_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    with pytest.raises(FileNotFoundError):
        exchange(tmp_path / "one", tmp_path / "other")
    assert (tmp_path / "one").is_dir()


@pytest.mark.parametrize("can", [True, False])
def test_nothing_is_moved_over_something(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, can: bool) -> None:
    if not can:
        monkeypatch.setattr(renames, "flagged_rename", lambda one, other, flag: False)
    (tmp_path / "one").write_text("1", encoding="ascii")
    (tmp_path / "link").symlink_to("nowhere")
    for name in ("link", "other"):
        if name == "other":
            (tmp_path / name).mkdir()
        with pytest.raises(FileExistsError):
            move(tmp_path / "one", tmp_path / name)
    move(tmp_path / "one", tmp_path / "free")
    assert (tmp_path / "free").read_text(encoding="ascii") == "1"
    assert (tmp_path / "link").readlink() == Path("nowhere")


@pytest.mark.parametrize("error", [errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP])
def test_a_system_that_cannot_is_no_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: int) -> None:
    """What Linux, older kernels, file systems of the network and macOS say (renameat2(2), rename(2))."""
    monkeypatch.setattr(renames.ctypes, "CDLL", lambda *_, **__: Library([error]))
    monkeypatch.setattr(renames.ctypes, "get_errno", lambda: error)
    assert flagged_rename(tmp_path / "one", tmp_path / "other", 2) is False


def test_a_call_that_a_signal_interrupts_is_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    library = Library([errno.EINTR, 0])
    monkeypatch.setattr(renames.ctypes, "CDLL", lambda *_, **__: library)
    monkeypatch.setattr(renames.ctypes, "get_errno", lambda: errno.EINTR)
    assert flagged_rename(tmp_path / "one", tmp_path / "other", 2)
    assert library.answers == []


@pytest.mark.parametrize(("system", "call", "free"), [("darwin", "renamex_np", 4), ("linux", "renameat2", 1)])
def test_each_system_is_asked_in_its_own_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, system: str, call: str, free: int
) -> None:
    """``RENAME_EXCL`` is 4 and ``RENAME_SWAP`` 2 in <sys/stdio.h> of macOS; linux/fs.h has 1 and 2."""
    library = Library([0, 0])
    monkeypatch.setattr(renames.sys, "platform", system)
    monkeypatch.setattr(renames.ctypes, "CDLL", lambda *_, **__: library)
    assert flagged_rename(Path("one"), Path("other"), 2)
    here = (-100, b"one", -100, b"other", 2) if system == "linux" else (b"one", b"other", 2)
    assert library.asked == [(call, here)]
    assert {"darwin": 4, "linux": 1}.get(os.uname().sysname.lower(), free) == renames.FREE


class Library:
    """A C library that gives some answers, one after the other."""

    def __init__(self, answers: list[int]) -> None:
        self.answers = answers
        self.asked: list[tuple[str, tuple[Any, ...]]] = []

    def __getattr__(self, name: str) -> Any:
        def call(*arguments: Any) -> int:
            self.asked.append((name, arguments))
            return self.answers.pop(0)

        return call


def test_mount_points_are_read_with_their_escapes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The example of proc(5), and a path with a space, a line feed and a backslash, written as that page says."""
    lines = (
        "36 35 98:0 /mnt1 /mnt2 rw,noatime master:1 - ext3 /dev/root rw,errors=continue\n"
        "37 35 98:0 / /srv/a\\040b\\012c\\134d rw - ext4 /dev/x rw\n"
    )
    (tmp_path / "mountinfo").write_text(lines, encoding="ascii")
    monkeypatch.setattr(renames, "MOUNTS", tmp_path / "mountinfo")
    assert mounts() == [Path("/mnt2"), Path("/srv/a b\nc\\d")]
    monkeypatch.setattr(renames, "MOUNTS", tmp_path / "missing")
    assert mounts() == []
