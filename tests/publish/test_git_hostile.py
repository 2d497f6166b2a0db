"""Git, asked within a repository of a stranger: no program that its settings name ever runs."""

import os
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builder.read.git import GitError
from builder.read.history import read_history
from builder.read.revisions import RevisionError, revision_folder
from tests.hostile.large import row

Write = Callable[..., Path]


@pytest.fixture
def hostile(tmp_path: Path, write_library: Write, run_git: Callable[..., Any]) -> Path:
    """A library in a repository whose settings name a program wherever Git knows one; each leaves a mark."""
    root = tmp_path / "repository"
    library = write_library(root / "playbooks", {"area/horn": row(), "area/other": row()})
    run_git(root, "init", "--quiet")
    run_git(root, "add", "--all")
    run_git(root, "commit", "--quiet", "--message", "first")
    script = tmp_path / "evil"
    script.write_text(f'#!/bin/sh\necho "$0 $@" >> "{tmp_path}/marks"\nexit 1\n')
    script.chmod(0o755)
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    for hook in ("post-index-change", "fsmonitor-watchman", "reference-transaction", "pre-auto-gc"):
        (hooks / hook).symlink_to(script)
    settings = {
        "core.fsmonitor": str(script),
        "core.hooksPath": str(hooks),
        "core.sshCommand": str(script),
        "core.pager": str(script),
        "core.editor": str(script),
        "core.askPass": str(script),
        "pager.log": str(script),
        "diff.external": str(script),
        "diff.evil.textconv": str(script),
        "gpg.program": str(script),
        "log.showSignature": "true",
        "filter.evil.clean": str(script),
        "filter.evil.smudge": str(script),
        "filter.evil.process": str(script),
        "filter.evil.required": "true",
        "filter.odd=na me.clean": str(script),
        "alias.status": f"!{script}",
        "credential.helper": f"!{script}",
        "remote.origin.url": f"ext::{script} %S",
        "remote.origin.promisor": "true",
        "remote.origin.uploadpack": str(script),
        "extensions.partialClone": "origin",
        "protocol.ext.allow": "always",
        "include.path": str(tmp_path / "more"),
    }
    (tmp_path / "more").write_text(f'[filter "included"]\n\tclean = {script}\n')
    for key, value in settings.items():
        run_git(root, "config", key, value)
    attributes = "* filter=evil diff=evil\nother.yaml filter=included\n"
    (root / ".git" / "info" / "attributes").write_text(attributes)
    (library / ".gitattributes").write_text('*.yaml filter=evil\n"area/other.yaml" filter=included\n')
    for book in (library / "area").iterdir():
        os.utime(book, (1, 1))  # Git then has to look into it
    return library


def marks(library: Path) -> str:
    file = library.parents[1] / "marks"
    return file.read_text() if file.exists() else ""


def test_its_settings_do_run_programs_when_git_is_asked_without_care(hostile: Path) -> None:
    """The repository is as hostile as it claims: otherwise nothing here would show anything."""
    subprocess.run(["git", "-C", hostile, "status"], capture_output=True, check=False)
    assert "evil" in marks(hostile)


def test_history_runs_none_of_them(hostile: Path) -> None:
    history = read_history(hostile, dates=True)
    assert marks(hostile) == ""
    assert history.revision
    assert history.is_dirty  # the attributes of the library are new
    assert set(history.changed) >= {"area/horn.yaml", "area/other.yaml"}


def test_a_revision_is_read_without_them(hostile: Path) -> None:
    with revision_folder(hostile, "HEAD") as folder:
        assert (folder / "area" / "horn.yaml").read_bytes() == (hostile / "area" / "horn.yaml").read_bytes()
    assert marks(hostile) == ""


def test_an_object_that_is_not_there_is_not_fetched(hostile: Path) -> None:
    listed = subprocess.run(
        ["git", "-C", hostile, "rev-parse", "HEAD:./area/horn.yaml"], capture_output=True, check=True
    )
    name = listed.stdout.decode().strip()
    lost = hostile.parent / ".git" / "objects" / name[:2] / name[2:]
    lost.chmod(0o644)
    lost.unlink()
    with pytest.raises((GitError, RevisionError)), revision_folder(hostile, "HEAD"):
        pass
    assert marks(hostile) == ""
