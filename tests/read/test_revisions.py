"""Two revisions as folders: what was committed, byte for byte, and nothing of a revision is run, obeyed or followed."""

import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.read.revisions import GitError, RevisionError, revision_folder

Git = Callable[..., str]

SETTINGS = "title: T\nlanguage: en\ncurrency: EUR\nlabour_rate: 60\nareas: {y: Why}\n"
PLAYBOOK = """\
format: 1
title: It squeaks
symptom: {summary: It squeaks}
start: look
steps:
  look: {title: Look, time: 10 min, hazards: [lifting], results: {any: {expect: A squeak, next: leave}}}
endings:
  leave: {title: Hand over}
"""


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with a library; Git sees the settings of this repository and no others."""
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    root = tmp_path / "repository"
    (root / "playbooks/y").mkdir(parents=True)
    (root / "playbooks/library.yaml").write_text(SETTINGS)
    (root / "playbooks/y/x.yaml").write_text(PLAYBOOK)
    return root


@pytest.fixture
def git(repository: Path) -> Git:
    def git(*arguments: str, data: bytes | None = None) -> str:
        command = ["git", "-C", str(repository), *arguments]
        return subprocess.run(command, input=data, capture_output=True, check=True).stdout.decode().strip()

    git("init", "--quiet", "--initial-branch=main")
    git("config", "user.name", "A Tester")
    git("config", "user.email", "tester@example.org")
    git("add", ".")
    git("commit", "--quiet", "--message=first")
    return git


def commit(git: Git) -> str:
    git("add", "--all")
    git("commit", "--quiet", "--message=next")
    return git("rev-parse", "HEAD")


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if not path.is_dir()}


def test_a_revision_is_what_was_committed(repository: Path, git: Git) -> None:
    (repository / "playbooks/y/x.yaml").write_text("changed but not committed")
    (repository / "playbooks/y/new.yaml").write_text("new")
    (repository / "elsewhere.txt").write_text("not of the library")
    with revision_folder(repository / "playbooks", "main") as folder:
        assert files(folder) == {"library.yaml": SETTINGS.encode(), "y/x.yaml": PLAYBOOK.encode()}
    assert not folder.exists()


def test_the_working_tree_and_the_repository_are_left_alone(repository: Path, git: Git) -> None:
    (repository / "playbooks/y/x.yaml").write_text("changed")
    before = files(repository)
    with revision_folder(repository / "playbooks", "HEAD"):
        pass
    assert files(repository) == before


def test_a_library_can_be_the_whole_repository(repository: Path, git: Git) -> None:
    with revision_folder(repository, "HEAD") as folder:
        assert set(files(folder)) == {"playbooks/library.yaml", "playbooks/y/x.yaml"}


def test_a_revision_without_the_library_is_an_empty_folder(repository: Path, git: Git) -> None:
    git("rm", "-r", "--quiet", "playbooks")
    git("commit", "--quiet", "--message=none")
    (repository / "playbooks").mkdir()
    with revision_folder(repository / "playbooks", "HEAD") as folder:
        assert files(folder) == {}


def test_bytes_are_not_converted(repository: Path, git: Git) -> None:
    """Neither line ends nor anything else: settings of checkouts have no say."""
    every_byte = bytes(range(256)) + b"\r\n\n\r"
    git("config", "core.autocrlf", "true")
    (repository / ".gitattributes").write_text("*.bin -text\n")
    (repository / "playbooks/y/a.bin").write_bytes(every_byte)
    commit(git)
    (repository / ".gitattributes").write_text("*.bin text eol=crlf working-tree-encoding=UTF-16\n")
    with revision_folder(repository / "playbooks", "HEAD") as folder:
        assert (folder / "y/a.bin").read_bytes() == every_byte
        assert (folder / "y/x.yaml").read_bytes() == PLAYBOOK.encode()


def test_attributes_hide_nothing_and_start_no_filter(repository: Path, git: Git, tmp_path: Path) -> None:
    marker = tmp_path / "ran"
    for name in ("smudge", "clean", "process"):
        git("config", f"filter.evil.{name}", f"touch {marker}; cat")
    (repository / "playbooks/.gitattributes").write_text("* filter=evil export-ignore export-subst ident\n")
    tree = git("rev-parse", "HEAD:playbooks")
    attributes = git("hash-object", "-w", "--no-filters", "playbooks/.gitattributes")
    listing = f"{git('ls-tree', tree)}\n100644 blob {attributes}\t.gitattributes\n"
    inner = git("mktree", data=listing.encode())
    outer = git("mktree", data=f"040000 tree {inner}\tplaybooks\n".encode())
    revision = git("commit-tree", outer, "-m", "attributes")
    marker.unlink(missing_ok=True)
    with revision_folder(repository / "playbooks", revision) as folder:
        assert {"library.yaml", "y/x.yaml"} <= set(files(folder))
    assert not marker.exists()


def test_hooks_are_not_run(repository: Path, git: Git, tmp_path: Path) -> None:
    marker = tmp_path / "ran"
    for name in ("post-checkout", "post-index-change", "fsmonitor-watchman", "reference-transaction"):
        hook = repository / ".git/hooks" / name
        hook.write_text(f"#!/bin/sh\ntouch '{marker}'\n")
        hook.chmod(0o755)
    git("config", "core.fsmonitor", ".git/hooks/fsmonitor-watchman")
    with revision_folder(repository / "playbooks", "HEAD"):
        pass
    assert not marker.exists()


OPTIONS = ("--output=written", "-h", "--help", "--git-dir=/", "-", "--", "--upload-pack=touch written", "")


@pytest.mark.parametrize(
    "revision", [*OPTIONS, "none", "HEAD~9", "HEAD:playbooks/library.yaml", "^HEAD", "a b", "a\nb"]
)
def test_what_names_no_revision_is_wrong_usage(repository: Path, git: Git, revision: str) -> None:
    before = files(repository)
    command = ["compare", "--git", "--library", str(repository / "playbooks"), "--", "HEAD", revision]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 2, result.stderr
    assert files(repository) == before


def test_a_folder_outside_of_a_repository_is_wrong_usage(tmp_path: Path) -> None:
    with pytest.raises(RevisionError, match="in no Git repository"), revision_folder(tmp_path, "HEAD"):
        pass


def test_the_machine_fails_where_git_is_missing(
    repository: Path, git: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    result = CliRunner().invoke(main, ["compare", "--git", "--library", str(repository / "playbooks"), "HEAD", "HEAD"])
    assert result.exit_code == 3
    assert "git is not installed" in result.stderr


@pytest.mark.parametrize("fails_at", ["rev-parse", "ls-tree", "cat-file"])
def test_the_machine_fails_where_git_fails(
    repository: Path, git: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails_at: str
) -> None:
    real = subprocess.run(["which", "git"], capture_output=True, text=True, check=True).stdout.strip()
    fake = tmp_path / "bin/git"
    fake.parent.mkdir()
    fake.write_text(f'#!/bin/sh\ncase "$*" in *{fails_at}*) echo "fatal: no" >&2; exit 128;; esac\nexec {real} "$@"\n')
    fake.chmod(0o755)
    monkeypatch.setenv("PATH", f"{fake.parent}{os.pathsep}{os.environ['PATH']}")
    result = CliRunner().invoke(main, ["compare", "--git", "--library", str(repository / "playbooks"), "HEAD", "HEAD"])
    assert result.exit_code == 3, result.output


def test_a_blob_that_is_missing_is_an_error(repository: Path, git: Git) -> None:
    blob = git("rev-parse", "HEAD:playbooks/y/x.yaml")
    (repository / ".git/objects" / blob[:2] / blob[2:]).unlink()
    with pytest.raises(GitError), revision_folder(repository / "playbooks", "HEAD"):
        pass


def test_links_lead_nowhere(repository: Path, git: Git, tmp_path: Path) -> None:
    """A link to a file of the library is a copy of it; every other is the text of its target, as without links."""
    (tmp_path / "secret.yaml").write_text("secret")
    (repository / "outside.yaml").write_text("outside")
    links = {
        "y/inside.yaml": "x.yaml",
        "y/up.yaml": "../library.yaml",
        "y/absolute.yaml": str(tmp_path / "secret.yaml"),
        "y/outside.yaml": "../../outside.yaml",
        "y/clamped.yaml": "../../library.yaml",
        "y/self.yaml": "self.yaml",
        "y/again.yaml": "inside.yaml",
        "z": "/",
        "w": "y",
    }
    for name, target in links.items():
        (repository / "playbooks" / name).symlink_to(target)
    commit(git)
    with revision_folder(repository / "playbooks", "HEAD") as folder:
        assert not any(path.is_symlink() for path in folder.rglob("*"))
        found = files(folder)
    assert found.pop("y/inside.yaml") == found.pop("y/x.yaml") == PLAYBOOK.encode()
    assert found.pop("y/up.yaml") == found.pop("library.yaml") == SETTINGS.encode()
    assert found == {
        name: target.encode() for name, target in links.items() if name not in ("y/inside.yaml", "y/up.yaml")
    }


@pytest.mark.parametrize("name", ["..", ".", ".git", ".GIT"])
def test_names_that_leave_the_folder_are_refused(repository: Path, git: Git, name: str) -> None:
    """Git itself would not make such trees; a repository that somebody sends may hold them."""
    blob = git("rev-parse", "HEAD:playbooks/y/x.yaml")
    inner = raw_tree(git, b"100644", b"evil.yaml", blob)
    middle = raw_tree(git, b"40000", name.encode(), inner)
    outer = raw_tree(git, b"40000", b"playbooks", middle)
    revision = git("commit-tree", outer, "-m", "evil")
    with pytest.raises(RevisionError, match="holds a file of the name"):  # noqa: SIM117 - the folder must not open
        with revision_folder(repository / "playbooks", revision):
            pass


def raw_tree(git: Git, mode: bytes, name: bytes, object_id: str) -> str:
    """A tree of one entry, in Git's own form: mode, space, name, NUL and the bytes of the id."""
    entry = mode + b" " + name + b"\0" + bytes.fromhex(object_id)
    return git("hash-object", "-t", "tree", "-w", "--stdin", "--literally", data=entry)


def test_a_submodule_is_passed_over(repository: Path, git: Git) -> None:
    git("update-index", "--add", "--cacheinfo", f"160000,{git('rev-parse', 'HEAD')},playbooks/y/module")
    git("commit", "--quiet", "--message=module")
    with revision_folder(repository / "playbooks", "HEAD") as folder:
        assert set(files(folder)) == {"library.yaml", "y/x.yaml"}


def test_a_hook_that_points_git_elsewhere_is_not_believed(
    repository: Path, git: Git, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE"):
        monkeypatch.setenv(name, str(tmp_path / "elsewhere"))
    with revision_folder(repository / "playbooks", "HEAD") as folder:
        assert "y/x.yaml" in files(folder)


def test_too_much_is_refused(repository: Path, git: Git, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("builder.read.revisions.MOST_BYTES", len(PLAYBOOK))
    with pytest.raises(RevisionError, match="bytes"), revision_folder(repository / "playbooks", "HEAD"):
        pass


def test_two_revisions_are_compared(repository: Path, git: Git, monkeypatch: pytest.MonkeyPatch) -> None:
    """Findings are told as in the working tree, with paths that anybody with the repository knows."""
    (repository / "playbooks/y/x.yaml").write_text(
        PLAYBOOK.replace("hazards: [lifting], ", "").replace("leave}", "left}")
    )
    commit(git)
    monkeypatch.chdir(repository)
    result = CliRunner().invoke(main, ["compare", "--git", "main~1", "main"])
    assert result.exit_code == 1
    assert result.stdout.splitlines()[2] == (
        "- `x` **no longer names `lifting` anywhere**; it was named by the step `look`."
    )
    assert "- error `unknown-next` at `playbooks/y/x.yaml:6:" in result.stdout
    assert CliRunner().invoke(main, ["compare", "--git", "main", "main~1"]).exit_code == 0


@pytest.mark.usefixtures("git")
def test_uncommitted_work_is_compared_with_a_revision(repository: Path) -> None:
    path = repository / "playbooks/y/x.yaml"
    words = ["compare", "--git", "--library", str(repository / "playbooks"), "HEAD"]
    assert "Nothing changed in substance" in CliRunner().invoke(main, words).stdout
    path.write_text(path.read_text(encoding="utf-8").replace("title:", "title: Not", 1), encoding="utf-8")
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.stderr
    assert "1 changed" in result.stdout


def test_without_git_there_is_no_new_side_to_guess() -> None:
    result = CliRunner().invoke(main, ["compare", "playbooks"])
    assert result.exit_code == 2
    assert "compare --git HEAD" in result.stderr
