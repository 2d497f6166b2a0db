"""A Git repository in the target: its locks are taken and given back as Git's own processes do it."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.publish.target import repository
from builder.publish.target.repository import LOCKS, hold_still, let_go
from tests.publish.yard import put

RunGit = Callable[..., str]


@pytest.fixture
def site(tmp_path: Path, run_git: RunGit) -> Path:
    site = tmp_path / "site"
    site.mkdir()
    run_git(site, "init", "--quiet", "--initial-branch=pages")
    run_git(site, "commit", "--quiet", "--allow-empty", "--message=first")
    return site


def locks(site: Path) -> list[str]:
    return [name for name in LOCKS if (site / name).exists()]


def test_git_itself_waits_or_refuses_while_they_are_held(site: Path, tmp_path: Path, run_git: RunGit) -> None:
    hold_still(site, tmp_path / "token.git")
    assert locks(site) == list(LOCKS)
    command = ["git", "-C", str(site), "commit", "--quiet", "--allow-empty", "--message=second"]
    assert b".lock" in subprocess.run(command, capture_output=True, check=False).stderr
    let_go(site, tmp_path / "token.git")
    assert locks(site) == []
    run_git(site, "commit", "--quiet", "--allow-empty", "--message=third")
    assert list(tmp_path.iterdir()) == [site]


def test_a_folder_without_a_repository_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "worktree").mkdir()
    (tmp_path / "worktree/.git").write_text("gitdir: elsewhere", encoding="utf-8")
    (tmp_path / "half/.git").mkdir(parents=True)
    for name in ("worktree", "half", "missing"):
        hold_still(tmp_path / name, tmp_path / "token.git")
        let_go(tmp_path / name, tmp_path / "token.git")
    assert [path.name for path in (tmp_path / "half/.git").iterdir()] == []


@pytest.mark.parametrize("taken", LOCKS)
def test_a_lock_of_git_is_waited_for_and_never_removed(
    site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, taken: str
) -> None:
    monkeypatch.setattr(repository, "PATIENCE", 0.1)
    for text in ("", "0000"):
        (site / taken).write_text(text, encoding="ascii")
        hold_still(site, tmp_path / "token.git")
        assert locks(site) == [taken]
        let_go(site, tmp_path / "token.git")
        assert (site / taken).read_text(encoding="ascii") == text


def test_a_build_leaves_a_repository_that_works(site: Path, run_git: RunGit) -> None:
    """Git takes a repository without its empty folders for none."""
    for text in ("one", "two"):
        put(site, {"index.html": text})
        run_git(site, "add", "--all")
        run_git(site, "commit", "--quiet", f"--message={text}")
    assert run_git(site, "log", "--format=%s").split() == ["two", "one", "first"]
    assert run_git(site, "status", "--porcelain") == ""
    assert run_git(site, "fsck", "--no-progress") == ""
    assert locks(site) == []
