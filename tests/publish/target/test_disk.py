"""The disk: everything of a new site is on it before the site is put in place."""

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from builder.publish.swap import fresh_folder
from builder.publish.target.disk import sync, sync_all
from tests.publish.faults import without_links


def fails_with(error: int) -> Any:
    def fsync(file: int) -> None:
        raise OSError(error, os.strerror(error))

    return fsync


@pytest.mark.parametrize("error", [errno.EINVAL, errno.ENOTSUP])
def test_a_file_system_that_cannot_do_so_for_folders_is_no_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: int
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setattr(os, "fsync", fails_with(error))
    sync(tmp_path)
    with pytest.raises(OSError, match=os.strerror(error)):
        sync(tmp_path / "file")


def test_a_disk_that_refuses_is_an_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setattr(os, "fsync", fails_with(errno.EIO))
    for paths in ([tmp_path], [tmp_path / "file"]):
        with pytest.raises(OSError, match=os.strerror(errno.EIO)):
            sync_all(paths)


def test_without_threads_every_file_is_synced_in_turn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    paths = [tmp_path / f"file-{number}" for number in range(20)]
    for path in paths:
        path.touch()
    synced: list[Path] = []
    monkeypatch.setattr("builder.publish.target.disk.sync", synced.append)

    def refused(thread: Thread) -> None:
        raise RuntimeError("can't start new thread")

    monkeypatch.setattr(Thread, "start", refused)
    sync_all(iter(paths))
    assert synced == paths


def test_all_is_on_the_disk_before_it_is_put_in_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files before the folders that name them, those before the exchange, and then the folder that names the site.

    Written down as one sees it from outside: what was synced, by its number, and when the site was another one.
    """
    site = tmp_path / "site"
    with fresh_folder(site) as folder:
        (folder / "index.html").write_text("old", encoding="utf-8")
    (site / "CNAME").write_text("example.org", encoding="utf-8")
    synced: list[tuple[int, bool]] = []
    texts: list[str] = []
    old = site.stat().st_ino
    real = os.fsync

    def fsync(file: int) -> None:
        synced.append((os.fstat(file).st_ino, site.stat().st_ino != old))
        if stat.S_ISREG(os.fstat(file).st_mode) and not synced[-1][1]:
            with suppress(OSError):  # some are open to be written alone
                texts.append(os.pread(file, 100, 0).decode())
        real(file)

    monkeypatch.setattr(os, "fsync", fsync)
    with without_links(), fresh_folder(site) as folder:
        (folder / "path").mkdir()
        for name in ("index.html", "path/one.html"):
            (folder / name).write_text("new", encoding="utf-8")
    before = [number for number, is_new in synced if not is_new]
    files = [before.index((site / name).stat().st_ino) for name in ("index.html", "path/one.html")]
    folders = [before.index((site / name).stat().st_ino) for name in ("path", ".")]
    assert max(files) < min(folders)
    assert (site / ".droplight").stat().st_ino in before
    assert "example.org" in texts, "a copy of what is not ours, where it cannot have two names"
    assert (tmp_path.stat().st_ino, True) in synced
