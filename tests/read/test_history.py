"""What Git says of a library: its commit, whether the folder differs from it, and when each file last changed."""

import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import pytest

from builder.read.history import NO_HISTORY, read_history

RunGit = Callable[..., str]
Run = Callable[..., Any]

HORN: Final = "area/horn.yaml"
HOOTER: Final = "area/hooter.yaml"


def change(library: Path, run_git: RunGit, date: str, *names: str) -> None:
    """One commit that adds an empty line to some files."""
    for name in names:
        with (library / name).open("a", encoding="utf-8") as file:
            file.write("\n")
    run_git(library, "add", "--all")
    run_git(library, "commit", "--quiet", "--message=next", date=date)


def changed(library: Path) -> dict[str, str]:
    """Dates of the playbooks in UTC."""
    dates = read_history(library, dates=True).changed
    return {name: f"{datetime.fromtimestamp(dates[name], UTC):%Y-%m-%d %H:%M}" for name in dates if "area/" in name}


# -- The commit --------------------------------------------------------------------------------------------------------


def test_the_version_is_the_beginning_of_the_commits_name(committed_library: Path, run_git: RunGit) -> None:
    history = read_history(committed_library, dates=False)
    assert history.revision == run_git(committed_library, "rev-parse", "HEAD")
    assert history.version == history.revision[:10]
    assert (history.is_dirty, history.note) == (False, "")


@pytest.mark.parametrize(
    ("name", "is_dirty"), [("playbooks/area/new.yaml", True), ("playbooks/library.yaml", True), ("README", False)]
)
def test_the_mark_is_about_the_folder_of_the_library(committed_library: Path, name: str, is_dirty: bool) -> None:
    with (committed_library.parent / name).open("a", encoding="utf-8") as file:
        file.write("\n")
    assert read_history(committed_library, dates=False).is_dirty is is_dirty


def test_a_library_outside_git_has_no_history(small_library: Path) -> None:
    assert read_history(small_library, dates=True) == NO_HISTORY


def test_a_library_that_is_in_no_commit_has_no_history(committed_library: Path, run_git: RunGit) -> None:
    """Nor has one in a repository without commits; the commit of something else says nothing of it."""
    other = shutil.copytree(committed_library, committed_library.parent / "other")
    assert read_history(other, dates=True) == NO_HISTORY
    run_git(other, "init", "--quiet")
    assert read_history(other, dates=True) == NO_HISTORY


def test_every_page_has_a_place_for_the_version_and_one_file_names_it(
    committed_library: Path, tmp_path: Path, run_builder: Run, run_git: RunGit
) -> None:
    version = run_git(committed_library, "rev-parse", "HEAD")[:10]
    for dirty in ("false", "true"):
        done = run_builder("build", "--library", committed_library, "--out", tmp_path / "site")
        assert (done.returncode, done.stderr) == (0, "")
        pages = sorted((tmp_path / "site").rglob("*.html"))
        assert len(pages) > 20
        for page in pages:
            assert '<p class="small version" hidden></p>' in page.read_text(encoding="utf-8").partition("<footer")[2], (
                page
            )
        said = (tmp_path / "site" / "version.js").read_text(encoding="utf-8")
        assert f'"commit":"{version}","dirty":{dirty}' in said
        (committed_library / "note.txt").write_text("new", encoding="utf-8")


def test_outside_git_no_page_names_a_version(small_library: Path, tmp_path: Path, run_builder: Run) -> None:
    done = run_builder("build", "--library", small_library, "--out", tmp_path / "site")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Version" not in (tmp_path / "site/index.html").read_text(encoding="utf-8")
    assert not (tmp_path / "site/feed.xml").exists()


# -- Dates -------------------------------------------------------------------------------------------------------------


def test_a_playbook_changed_when_the_last_commit_that_touched_it_was_made(
    committed_library: Path, run_git: RunGit
) -> None:
    change(committed_library, run_git, "2024-02-02T02:02:00+02:00", HORN)
    change(committed_library, run_git, "2024-03-03T00:00:00+00:00", "library.yaml")
    (committed_library / HORN).write_text("changed since", encoding="utf-8")
    (committed_library / "area/new.yaml").write_text("in no commit", encoding="utf-8")
    assert changed(committed_library) == {HORN: "2024-02-02 00:02", HOOTER: "2024-01-01 00:00"}


def test_dates_that_are_not_wanted_are_not_read(committed_library: Path) -> None:
    assert read_history(committed_library, dates=False).changed == {}


def test_a_branch_that_is_merged_keeps_the_dates_of_its_commits(committed_library: Path, run_git: RunGit) -> None:
    run_git(committed_library, "checkout", "--quiet", "-b", "branch")
    change(committed_library, run_git, "2024-02-02T00:00:00+00:00", HORN)
    run_git(committed_library, "checkout", "--quiet", "main")
    change(committed_library, run_git, "2024-03-03T00:00:00+00:00", HOOTER)
    run_git(committed_library, "merge", "--quiet", "--no-edit", "branch", date="2024-04-04T00:00:00+00:00")
    assert changed(committed_library) == {HORN: "2024-02-02 00:00", HOOTER: "2024-03-03 00:00"}


def test_a_conflict_that_a_merge_settles_is_a_change(committed_library: Path, run_git: RunGit) -> None:
    text = (committed_library / HORN).read_text(encoding="utf-8")
    run_git(committed_library, "checkout", "--quiet", "-b", "branch")
    (committed_library / HORN).write_text(text.replace("dead", "mute"), encoding="utf-8")
    change(committed_library, run_git, "2024-02-02T00:00:00+00:00", HORN)
    run_git(committed_library, "checkout", "--quiet", "main")
    (committed_library / HORN).write_text(text.replace("dead", "quiet"), encoding="utf-8")
    change(committed_library, run_git, "2024-03-03T00:00:00+00:00", HORN)
    run_git(committed_library, "merge", "--quiet", "--no-commit", "--strategy=ours", "branch")
    (committed_library / HORN).write_text(text.replace("dead", "silent"), encoding="utf-8")
    change(committed_library, run_git, "2024-04-04T00:00:00+00:00", HORN)
    assert changed(committed_library)[HORN] == "2024-04-04 00:00"


def test_names_of_folders_above_may_be_odd(committed_library: Path, run_git: RunGit) -> None:
    """Git would write such a name with quotes and escapes."""
    odd = committed_library.parent / 'Bücher "neu"\t/1'
    odd.mkdir(parents=True)
    run_git(committed_library.parent, "mv", "playbooks", str(odd))
    run_git(committed_library.parent, "commit", "--quiet", "--message=move", date="2024-05-05T00:00:00+00:00")
    assert changed(odd / "playbooks") == {HORN: "2024-05-05 00:00", HOOTER: "2024-05-05 00:00"}


def test_settings_of_a_user_change_nothing_and_run_nothing(
    committed_library: Path, run_git: RunGit, tmp_path: Path
) -> None:
    """Settings after git-config(1) that change what the commands print, or that name programs."""
    before = read_history(committed_library, dates=True)
    program = tmp_path / "program"
    program.write_text(f"#!/bin/sh\ntouch '{tmp_path / 'ran'}'\n", encoding="utf-8")
    program.chmod(0o755)
    settings = {
        "core.pager": program,
        "core.fsmonitor": program,
        "core.quotePath": "true",
        "pager.log": "true",
        "diff.external": program,
        "gpg.program": program,
        "log.showSignature": "true",
        "log.date": "relative",
        "log.decorate": "full",
        "log.follow": "true",
        "diff.renames": "copies",
        "diff.noprefix": "true",
        "color.ui": "always",
        "format.pretty": "fuller",
        "status.short": "true",
        "status.branch": "true",
        "status.showUntrackedFiles": "all",
    }
    for name, value in settings.items():
        run_git(committed_library, "config", name, str(value))
    assert read_history(committed_library, dates=True) == before
    assert not (tmp_path / "ran").exists()


def test_a_shallow_clone_gives_a_version_and_no_dates(
    committed_library: Path, tmp_path: Path, run_git: RunGit, run_builder: Run
) -> None:
    """Its oldest commit seems to have made every file."""
    change(committed_library, run_git, "2024-02-02T00:00:00+00:00", HORN)
    address = committed_library.parent.as_uri()
    run_git(tmp_path, "clone", "--quiet", "--depth=1", address, "shallow")
    history = read_history(tmp_path / "shallow/playbooks", dates=True)
    assert history.revision == run_git(committed_library, "rev-parse", "HEAD")
    assert history.changed == {}
    done = run_builder("build", "--library", tmp_path / "shallow/playbooks", "--out", tmp_path / "site")
    assert (done.returncode, done.stderr) == (0, f"{history.note}\n")
    assert "shallow" in done.stderr
    assert not (tmp_path / "site/feed.xml").exists()


@pytest.mark.parametrize("script", ["exit 1", "echo 'fatal: detected dubious ownership' >&2; exit 128"])
def test_a_git_that_fails_is_a_note_and_no_error(
    committed_library: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, script: str
) -> None:
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin/git").write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    (tmp_path / "bin/git").chmod(0o755)
    monkeypatch.setenv("PATH", f"{tmp_path / 'bin'}{os.pathsep}{os.environ['PATH']}")
    history = read_history(committed_library, dates=True)
    assert history.version == ""
    assert history.note.startswith("the site says no version and has no feed: ")
    assert "\n" not in history.note


def test_a_machine_without_git_is_told_so(committed_library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert "git is not installed" in read_history(committed_library, dates=True).note
