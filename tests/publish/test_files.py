"""Single files: whole or not at all, and never over what must not be there."""

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.publish.files import write_new, write_over
from tests.publish.faults import ERRORS, Fault, in_child, injected, without_exchange
from tests.publish.yard import read, write

Write = Callable[[Path, str], None]


def test_a_file_is_replaced_or_made(tmp_path: Path) -> None:
    for text in ("old\n", "new\n"):
        write_over(tmp_path / "a" / "file", text)
    write_new(tmp_path / "b" / "file", "new\n")
    assert read(tmp_path) == {"a/file": "new\n", "b/file": "new\n"}


def test_a_file_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    write(tmp_path, {"file": "mine"})
    (tmp_path / "link").symlink_to("nowhere")
    for name in ("file", "link"):
        with pytest.raises(FileExistsError) as caught:
            write_new(tmp_path / name, "new")
        assert caught.value.filename == str(tmp_path / name)
    with without_exchange(), pytest.raises(FileExistsError):
        write_new(tmp_path / "file", "new")
    assert read(tmp_path) == {"file": "mine"}


def test_a_strangers_file_beside_it_is_left_alone(tmp_path: Path) -> None:
    strangers = {f".file.{number}.new": "a stranger's" for number in (1, os.getpid())}
    write(tmp_path, strangers)
    write_over(tmp_path / "file", "new")
    assert read(tmp_path) == {"file": "new", **strangers}


@pytest.mark.parametrize("way", [write_new, write_over])
def test_a_fault_at_any_moment_leaves_the_old_file_or_the_new_one(tmp_path: Path, way: Write) -> None:
    with injected(Fault(0)) as calls:
        way(tmp_path / "first" / "file", "new")
    assert calls.count > 8
    for error in (0, *ERRORS):
        for moment in range(1, calls.count + 1):
            path = tmp_path / f"{error}-{moment}" / "file"
            if way is write_over:
                write(path.parent, {"file": "old"})

            def work(path: Path = path, moment: int = moment, error: int = error) -> None:
                with injected(Fault(moment, error)):
                    way(path, "new")

            code = in_child(work)
            found = read(path.parent) if path.parent.exists() else {}
            assert found.get("file", "old") in ("old", "new")
            assert found.get("file") == "new" or code


def test_a_full_disk_says_which_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fsync(file: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(OSError, match="No space left"):
        write_over(tmp_path / "file", "new")
    assert list(tmp_path.iterdir()) == []
