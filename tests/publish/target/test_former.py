"""A former site: what builds made goes, everything else is found again in the site that took its place."""

import os
from pathlib import Path

import pytest

from builder.publish.target import former
from builder.publish.target.former import BusyFolderError, Former
from builder.publish.target.manifest import NOTHING, Manifest, digest
from builder.publish.target.others import NONE_CARRIED, Carried, carry
from tests.publish.faults import without_links
from tests.publish.yard import read, write

TOKEN = "0123456789abcdef0123456789abcdef"  # noqa: S105 - no password


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "former").mkdir()
    return tmp_path / "former"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    write(tmp_path / "site", {"index.html": "new"})
    return tmp_path / "site"


def made(folder: Path, files: dict[str, str]) -> Manifest:
    """Files that a build made."""
    write(folder, {**files, ".droplight": "the manifest"})
    return Manifest({name: digest(folder / name) for name in files})


def put_away(folder: Path, site: Path, made: Manifest, carried: Carried = NONE_CARRIED) -> Former:
    gone = Former(folder, site, TOKEN, carried, made)
    gone.put_back(at_once=False)
    gone.put_away()
    assert not folder.exists()
    return gone


def test_what_builds_made_goes_by_its_hash(folder: Path, site: Path) -> None:
    manifest = made(folder, {"index.html": "old", "path/one.html": "old", "path/two.html": "old"})
    write(folder, {"path/two.html": "edited"})
    assert put_away(folder, site, manifest).kept == []
    assert read(site) == {"index.html": "new", "path/two.html": "edited"}


def test_what_others_made_comes_into_the_site_with_its_folder(folder: Path, site: Path) -> None:
    manifest = made(folder, {"path/one.html": "old"})
    write(folder, {"a/b/c.txt": "mine", "path/own.txt": "mine"})
    (folder / "link").symlink_to("a")
    (folder / "empty").mkdir()
    (folder / "path").chmod(0o750)
    number = (folder / "a").stat().st_ino
    put_away(folder, site, manifest)
    assert read(site) == {"index.html": "new", "a/b/c.txt": "mine", "path/own.txt": "mine"}
    assert (site / "link").readlink() == Path("a")
    assert (site / "empty").is_dir()
    assert (site / "path").stat().st_mode & 0o777 == 0o750
    assert (site / "a").stat().st_ino == number, "the folder itself"


def test_where_the_site_has_something_else_both_stay(folder: Path, site: Path) -> None:
    write(site, {"file": "new", "folder/page": "new", "made/x": "new", "page": "new", "index.html.kept": "earlier"})
    manifest = made(folder, {"page/one.html": "old", "index.html": "old"})
    write(folder, {"file/x": "mine", "folder": "mine", "page/own.txt": "mine", "index.html": "mine", "made/x": "mine"})
    kept = put_away(folder, site, manifest).kept
    assert read(site) == {
        **{"file": "new", "folder/page": "new", "made/x": "new", "page": "new", "index.html": "new"},
        **{"file.kept/x": "mine", "folder.kept": "mine", "page.kept/own.txt": "mine", "made/x.kept": "mine"},
        **{"index.html.kept": "earlier", "index.html.kept-2": "mine"},
    }
    assert sorted(kept) == ["file.kept", "folder.kept", "index.html.kept-2", "made/x.kept"]


def test_the_same_once_more_is_not_kept_twice(folder: Path, site: Path) -> None:
    write(site, {"a": "same", "b": "other", "b.kept": "same"})
    (site / "link").symlink_to("a")
    write(folder, {"a": "same", "b": "same"})
    (folder / "link").symlink_to("a")
    assert put_away(folder, site, NOTHING).kept == []
    assert read(site) == {"index.html": "new", "a": "same", "b": "other", "b.kept": "same"}


def test_without_a_manifest_nothing_counts_as_made(folder: Path, site: Path) -> None:
    write(folder, {".droplight": "a stranger's", "index.html": "a stranger's"})
    write(site, {".droplight": "ours"})
    put_away(folder, site, NOTHING)
    assert read(site) == {
        **{".droplight": "ours", ".droplight.kept": "a stranger's"},
        **{"index.html": "new", "index.html.kept": "a stranger's"},
    }


def test_a_name_that_is_as_long_as_names_can_be_is_no_trouble(folder: Path, site: Path) -> None:
    manifest = made(folder, {"a" * 255: "old"})
    write(folder, {"b" * 255: "mine"})
    put_away(folder, site, manifest)
    assert read(site) == {"index.html": "new", "b" * 255: "mine"}


def test_what_a_killed_build_had_taken_is_known_by_its_first_name(folder: Path, site: Path) -> None:
    manifest = made(folder, {"one.html": "old", "two.html": "old"})
    for name in ("one.html", "two.html"):
        (folder / name).rename(folder / f"{name}.{TOKEN}")
    write(folder, {f"two.html.{TOKEN}": "edited", f"own.{TOKEN}": "mine", "own": "mine again"})
    put_away(folder, site, manifest)
    assert read(site) == {"index.html": "new", "two.html": "edited", "own": "mine again", "own.kept": "mine"} or read(
        site
    ) == {"index.html": "new", "two.html": "edited", "own": "mine", "own.kept": "mine again"}


def test_who_goes_on_writing_gets_as_many_rounds(folder: Path, site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stay = os.open(folder, os.O_RDONLY)
    real = former._removed
    rounds = 0

    def removed(path: Path) -> bool:
        nonlocal rounds
        rounds += path == folder
        if rounds < 5 and path == folder:
            os.close(os.open(f"late-{rounds}", os.O_WRONLY | os.O_CREAT, dir_fd=stay))
        return real(path)

    monkeypatch.setattr(former, "_removed", removed)
    put_away(folder, site, NOTHING)
    os.close(stay)
    assert read(site) == {"index.html": "new", **{f"late-{number}": "" for number in range(1, 5)}}

    monkeypatch.setattr(former, "ROUNDS", 3)
    folder.mkdir()
    stay, rounds = os.open(folder, os.O_RDONLY), 0
    with pytest.raises(BusyFolderError):
        put_away(folder, site, NOTHING)
    os.close(stay)
    assert folder.is_dir()


# -- What was carried --------------------------------------------------------------------------------------------------


@pytest.fixture(params=[True, False], ids=["links", "copies"])
def carried(folder: Path, site: Path, request: pytest.FixtureRequest) -> Carried:
    write(folder, {"CNAME": "1", "own/a": "2", "own/b": "3"})
    if request.param:
        return carry(folder, site, NOTHING)
    with without_links():
        return carry(folder, site, NOTHING)


def test_the_things_themselves_come_back(folder: Path, site: Path, carried: Carried) -> None:
    numbers = {name: (folder / name).stat().st_ino for name in ("CNAME", "own", "own/a")}
    put_away(folder, site, NOTHING, carried)
    assert {name: (site / name).stat().st_ino for name in numbers} == numbers
    assert read(site) == {"index.html": "new", "CNAME": "1", "own/a": "2", "own/b": "3"}


def test_likenesses_that_others_worked_with_since_stay(folder: Path, site: Path, carried: Carried) -> None:
    """As between a kill and the next build; what has gone from them stays gone."""
    (site / "own/a").unlink()
    replace(site / "own/b", "changed since")
    write(site, {"own/c": "new since"})
    put_away(folder, site, NOTHING, carried)
    assert read(site) == {"index.html": "new", "CNAME": "1", "own/b": "changed since", "own/c": "new since"}


def test_what_was_saved_in_the_former_site_since_wins_over_its_likeness(
    folder: Path, site: Path, carried: Carried
) -> None:
    write(site, {"own/c": "so that the folder stays"})
    for name in ("CNAME", "own/b"):
        replace(folder / name, "saved late")
    put_away(folder, site, NOTHING, carried)
    assert read(site) == {
        **{"index.html": "new", "CNAME": "saved late", "own/a": "2", "own/b": "saved late"},
        "own/c": "so that the folder stays",
    }


def test_what_was_saved_on_both_sides_is_there_twice(folder: Path, site: Path, carried: Carried) -> None:
    for name in ("CNAME", "own/b"):
        replace(folder / name, "here")
        replace(site / name, "there")
    put_away(folder, site, NOTHING, carried)
    assert read(site) == {
        **{"index.html": "new", "CNAME": "there", "own/a": "2", "own/b": "there"},
        **{"CNAME.kept": "here", "own/b.kept": "here"},
    }


def test_a_thing_whose_likeness_is_gone_altogether_comes_back(folder: Path, site: Path, carried: Carried) -> None:
    (site / "CNAME").unlink()
    for name in ("a", "b"):
        (site / "own" / name).unlink()
    (site / "own").rmdir()
    put_away(folder, site, NOTHING, carried)
    assert read(site) == {"index.html": "new", "CNAME": "1", "own/a": "2", "own/b": "3"}


def test_at_once_removals_and_new_names_are_followed(folder: Path, site: Path, carried: Carried) -> None:
    """Between the likeness and the exchange: nothing that went comes back, and nothing has two names."""
    (folder / "CNAME").rename(folder / "CNAME2")
    (folder / "own/a").unlink()
    gone = Former(folder, site, TOKEN, carried, NOTHING)
    gone.put_back(at_once=True)
    gone.put_away()
    assert read(site) == {"index.html": "new", "CNAME2": "1", "own/b": "3"}
    assert (site / "CNAME2").stat().st_nlink == 1


def replace(path: Path, text: str) -> None:
    """Save as editors do: a new file takes the name of the old one."""
    new = path.with_name(f"{path.name}~")
    new.write_text(text, encoding="utf-8")
    new.replace(path)
