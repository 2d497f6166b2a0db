"""What others put into a site: found whatever it is, and carried with all that belongs to it."""

import os
import stat
from pathlib import Path

import pytest

from builder.publish.target.manifest import Manifest
from builder.publish.target.others import (
    NONE_CARRIED,
    Carried,
    carry,
    find_others,
    is_folder,
    is_regular,
    is_there,
    mark,
    read_carried,
)
from tests.publish.faults import without_links
from tests.publish.yard import read, write

MADE = Manifest(dict.fromkeys(("index.html", "path/one.html", "gone/one.html", "a"), None))


@pytest.fixture
def site(tmp_path: Path) -> Path:
    write(tmp_path / "site", dict.fromkeys(MADE.files, "made"))
    write(tmp_path / "site", {"CNAME": "1", "own/x": "2", "path/own/x": "3", "gone/own": "4"})
    (tmp_path / "site/link").symlink_to("nowhere")
    (tmp_path / "site/path/empty").mkdir()
    return tmp_path / "site"


@pytest.fixture
def new(tmp_path: Path) -> Path:
    write(tmp_path / "new", {"index.html": "new", "path/one.html": "new"})
    return tmp_path / "new"


def test_the_topmost_things_that_builds_did_not_make_are_found(site: Path, new: Path) -> None:
    found = find_others(site, new, MADE)
    assert found.tops == ["CNAME", "gone/own", "link", "own", "path/empty", "path/own"]
    assert found.shared == ["", "gone", "path"]


def test_a_link_or_a_folder_in_the_place_of_a_page_is_somebody_elses(site: Path, new: Path) -> None:
    (site / "a").unlink()
    (site / "a").symlink_to("CNAME")
    assert "a" in find_others(site, new, MADE).tops
    (site / "a").unlink()
    (site / "a").mkdir()
    assert "a" in find_others(site, new, MADE).tops


def test_where_the_new_site_has_something_the_others_thing_waits(site: Path, new: Path) -> None:
    write(new, {"CNAME": "new", "own": "a page", "link/x": "new"})
    assert find_others(site, new, MADE).tops == ["gone/own", "path/empty", "path/own"]


def test_in_a_folder_of_both_each_thing_is_found_by_itself(site: Path, new: Path) -> None:
    write(new, {"own/page.html": "new"})
    found = find_others(site, new, MADE)
    assert "own/x" in found.tops
    assert "own" in found.shared


@pytest.mark.parametrize("has_links", [True, False])
def test_what_is_carried_is_there_under_the_same_name_and_the_old_one_untouched(
    site: Path, new: Path, has_links: bool
) -> None:
    before = read(site)
    if has_links:
        carried = carry(site, new, MADE)
        assert carried.copies == ["own", "path/empty", "path/own"]
        assert (new / "CNAME").samefile(site / "CNAME")
    else:
        with without_links():
            carried = carry(site, new, MADE)
        assert set(carried.copies) == set(carried.marks)
    assert read(site) == before
    assert read(new) == {
        **{"index.html": "new", "path/one.html": "new"},
        **{"CNAME": "1", "own/x": "2", "path/own/x": "3", "gone/own": "4"},
    }
    assert (new / "link").readlink() == Path("nowhere")
    assert (new / "path/empty").is_dir()
    assert carried.tops == ("CNAME", "gone/own", "link", "own", "path/empty", "path/own")
    for name, (thing, likeness) in carried.marks.items():
        assert (mark(site / name), mark(new / name)) == (thing, likeness)


def test_folders_keep_mode_times_and_owner_and_copies_too(site: Path, new: Path) -> None:
    owner = 12345 if os.geteuid() == 0 else os.geteuid()
    for name, mode in (("own", 0o2751), ("own/x", 0o640), ("gone", 0o700), ("path", 0o711)):
        os.chown(site / name, owner, -1)
        (site / name).chmod(mode)
        os.utime(site / name, (1_000_000_000, 1_000_000_000))
    with without_links():
        carry(site, new, MADE)
    for name in ("own", "own/x", "gone", "path"):
        old, status = (site / name).stat(), (new / name).stat()
        assert (status.st_uid, stat.S_IMODE(status.st_mode)) == (owner, stat.S_IMODE(old.st_mode)), name
    for name in ("own", "own/x"):
        assert (new / name).stat().st_mtime == 1_000_000_000


def test_what_can_have_no_second_name_waits(site: Path, new: Path) -> None:
    os.mkfifo(site / "pipe")
    with without_links():
        assert "pipe" not in carry(site, new, MADE).tops
    assert not (new / "pipe").exists()


def test_what_vanishes_meanwhile_is_no_error(site: Path, new: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.link

    def link(thing: Path, likeness: Path, *, follow_symlinks: bool) -> None:
        if Path(thing).name == "CNAME":
            Path(thing).unlink()
        real(thing, likeness, follow_symlinks=follow_symlinks)

    monkeypatch.setattr(os, "link", link)
    assert "CNAME" not in carry(site, new, MADE).tops


def test_what_was_carried_comes_back_from_the_disk(site: Path, new: Path, tmp_path: Path) -> None:
    (site / "own" / os.fsdecode(b"\xff\n")).touch()
    carried = carry(site, new, MADE)
    carried.write(tmp_path / "carried")
    assert read_carried(tmp_path / "carried") == carried
    whole = (tmp_path / "carried").read_text(encoding="ascii")
    for text in ("", whole[:-1], whole[: len(whole) // 2]):
        (tmp_path / "carried").write_text(text, encoding="ascii")
        assert read_carried(tmp_path / "carried") == NONE_CARRIED
    assert read_carried(tmp_path / "missing") == NONE_CARRIED == Carried((), {})


def test_a_machine_that_does_not_say_whether_something_is_there_is_an_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "link").symlink_to("nowhere")
    (tmp_path / "file").touch()
    assert is_there(tmp_path / "link")
    assert not is_there(tmp_path / "missing")
    assert not is_there(tmp_path / "file" / "x")
    assert [is_folder(tmp_path / name) for name in (".", "link", "file", "missing")] == [True, False, False, False]
    assert [is_regular(tmp_path / name) for name in (".", "link", "file", "missing")] == [False, False, True, False]

    def stat(*arguments: object, **named: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "stat", stat)
    for look in (is_there, is_folder, is_regular):
        with pytest.raises(PermissionError):
            look(tmp_path / "file")
