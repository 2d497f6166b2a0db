"""The site folder: taken over only if a build made it, and whole at every moment, whatever kills the build."""

import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import psutil
import pytest

from builder.publish.swap import MANIFEST, ForeignFolderError, fresh_folder

ROOT: Final = Path(__file__).resolve().parents[2]
DYING_SWAP: Final = Path(__file__).with_name("dying_swap.py")

Run = Callable[..., "subprocess.CompletedProcess[str]"]
Tree = Callable[[Path], dict[str, bytes]]


def put(target: Path, files: dict[str, str]) -> None:
    """A build that writes some files."""
    with fresh_folder(target) as folder:
        for name, text in files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")


def read(target: Path) -> dict[str, str]:
    """What a site holds, without the manifest."""
    files = (path for path in target.rglob("*") if path.is_file() and path.name != MANIFEST)
    return {path.relative_to(target).as_posix(): path.read_text(encoding="utf-8") for path in files}


def test_the_new_site_takes_the_place_of_the_old_one(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "old", "gone.html": "old", "folder/gone.html": "old"})
    put(tmp_path / "site", {"index.html": "new", "more/page.html": "new"})
    assert read(tmp_path / "site") == {"index.html": "new", "more/page.html": "new"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_the_manifest_names_every_file_that_was_made(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "", "path/a.html": "", ".nojekyll": ""})
    named = (tmp_path / "site" / MANIFEST).read_text(encoding="utf-8").split()
    assert sorted(named) == sorted([MANIFEST, ".nojekyll", "index.html", "path/a.html"])


def test_folders_above_the_site_are_made(tmp_path: Path) -> None:
    put(tmp_path / "a" / "b" / "site", {"index.html": "new"})
    assert read(tmp_path / "a" / "b" / "site") == {"index.html": "new"}


@pytest.mark.parametrize("kept", [[], [".gitignore"], [".gitkeep"]])
def test_an_empty_folder_may_become_a_site(tmp_path: Path, kept: list[str]) -> None:
    (tmp_path / "site").mkdir()
    for name in kept:
        (tmp_path / "site" / name).write_text("*", encoding="utf-8")
    put(tmp_path / "site", {"index.html": "new"})
    assert read(tmp_path / "site") == {"index.html": "new", **dict.fromkeys(kept, "*")}


def test_a_folder_with_files_of_others_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "car.jpg").write_text("picture", encoding="utf-8")
    with pytest.raises(ForeignFolderError, match=r"car\.jpg"):
        put(tmp_path / "photos", {"index.html": "new"})
    assert read(tmp_path / "photos") == {"car.jpg": "picture"}
    assert [path.name for path in tmp_path.iterdir()] == ["photos"]


def test_a_file_and_a_link_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("text", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "folder")
    for name in ("file", "link"):
        with pytest.raises(ForeignFolderError, match=f"{name} is not a folder"):
            put(tmp_path / name, {"index.html": "new"})


def test_files_that_no_build_made_are_kept(tmp_path: Path) -> None:
    site = tmp_path / "site"
    put(site, {"index.html": "old"})
    (site / "CNAME").write_text("example.org", encoding="utf-8")
    (site / "own").mkdir()
    (site / "own" / "note.txt").write_text("mine", encoding="utf-8")
    (site / "link").symlink_to("own/note.txt")
    put(site, {"index.html": "new"})
    put(site, {"index.html": "newer"})
    assert read(site) == {"index.html": "newer", "CNAME": "example.org", "own/note.txt": "mine", "link": "mine"}
    assert (site / "link").is_symlink()


def test_a_block_that_fails_leaves_the_old_site_and_nothing_else(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "old"})
    names = {"index.html": "new", "a/b": "new", "a": "a folder of that name is there"}
    with pytest.raises(IsADirectoryError):
        put(tmp_path / "site", names)
    assert read(tmp_path / "site") == {"index.html": "old"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_without_an_exchange_of_folders_the_swap_takes_two_renames(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builder.publish.swap._exchange", lambda one, other: False)
    put(tmp_path / "site", {"index.html": "old"})
    put(tmp_path / "site", {"index.html": "new"})
    assert read(tmp_path / "site") == {"index.html": "new"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def dead_process() -> int:
    """The number of a process that is over."""
    with subprocess.Popen([sys.executable, "-c", ""]) as process:
        process.wait()
    return process.pid


def test_what_killed_builds_left_is_cleared(tmp_path: Path) -> None:
    left = tmp_path / f".site.{dead_process()}.new"
    left.mkdir()
    (left / "half.html").write_text("<ht", encoding="utf-8")
    put(tmp_path / "site", {"index.html": "new"})
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_site_that_a_killed_build_moved_away_is_put_back(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "old"})
    (tmp_path / "site" / "CNAME").write_text("example.org", encoding="utf-8")
    (tmp_path / "site").rename(tmp_path / f".site.{dead_process()}.old")
    put(tmp_path / "site", {"index.html": "new"})
    assert read(tmp_path / "site") == {"index.html": "new", "CNAME": "example.org"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_the_work_of_a_build_that_still_runs_is_left_alone(tmp_path: Path) -> None:
    at_work = tmp_path / f".site.{os.getppid()}.new"
    at_work.mkdir()
    put(tmp_path / "site", {"index.html": "new"})
    assert at_work.is_dir()


@pytest.mark.parametrize("out", [".", ".."])
def test_the_folder_that_one_is_in_is_refused(small_library: Path, tmp_path: Path, run_builder: Run, out: str) -> None:
    """It would be exchanged for another one under the feet of the shell."""
    here = tmp_path / "site" / "here"
    here.mkdir(parents=True)
    done = run_builder("build", "--library", small_library, "--out", out, cwd=here)
    assert done.returncode == 2
    assert f"{out} is the folder you are in" in done.stderr
    assert here.is_dir()


# -- Killed ------------------------------------------------------------------------------------------------------------


def kill_at(moment: int, site: Path, text: str) -> int:
    """Runs ``dying_swap.py``; gives its exit code."""
    command = [sys.executable, str(DYING_SWAP), str(moment), str(site), text]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.run(command, env=environment, capture_output=True, check=False).returncode


def whole(site: Path) -> bool:
    """Whether every file that the manifest names is there."""
    return all((site / name).is_file() for name in (site / MANIFEST).read_text(encoding="utf-8").splitlines())


def test_a_kill_at_any_moment_leaves_the_old_or_the_new_site_whole(tmp_path: Path) -> None:
    """At every single moment, from the first to the last; what a kill leaves is cleared by the next build."""
    site = tmp_path / "out" / "site"
    names = ("index.html", "path/one.html", "path/two.html")
    old, new = ({**dict.fromkeys(names, text), "CNAME": "example.org"} for text in ("old", "new"))
    put(site, dict.fromkeys(names, "old"))
    (site / "CNAME").write_text("example.org", encoding="utf-8")
    left = []
    while kill_at(len(left) + 1, site, "new") == -signal.SIGKILL:
        assert read(site) in (old, new), f"killed at moment {len(left) + 1}"
        assert whole(site)
        left.append(read(site) == new)
        put(site, dict.fromkeys(names, "old"))
        assert read(site) == old
        assert [path.name for path in site.parent.iterdir()] == ["site"]
    assert read(site) == new
    assert sorted(left) == left
    assert set(left) == {False, True}


def test_a_kill_of_the_first_build_leaves_no_half_site(tmp_path: Path) -> None:
    moment = 1
    while kill_at(moment, tmp_path / "site", "new") == -signal.SIGKILL:
        assert not (tmp_path / "site").exists() or whole(tmp_path / "site")
        shutil.rmtree(tmp_path / "site", ignore_errors=True)
        moment += 1
    assert moment > 5
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.fixture
def two_libraries(tmp_path: Path, write_library: Callable[..., Path], horn: dict[str, Any]) -> tuple[Path, Path]:
    """An old and a new state of a library."""
    more = {"area/horn": {**horn, "title": "The horn croaks"}, "area/second": horn}
    return write_library(tmp_path / "old", {"area/horn": horn}), write_library(tmp_path / "new", more)


def test_a_kill_of_a_build_with_workers_leaves_a_whole_site_and_no_process(
    two_libraries: tuple[Path, Path], tmp_path: Path, run_builder: Run, tree: Tree
) -> None:
    """By the clock, since workers write the pages; the orphans end by themselves."""
    old_library, new_library = two_libraries
    site = tmp_path / "out" / "site"
    sites = []
    for library in (new_library, old_library):
        run_builder("build", "--library", library, "--out", site)
        sites.append(tree(site))
    for tenths in (4, 6, 8, 10):
        command = [sys.executable, "-m", "builder", "build", "--workers", "2"]
        command += ["--library", str(new_library), "--out", str(site)]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as build:
            time.sleep(tenths / 10)
            family = psutil.Process(build.pid).children(recursive=True) if build.poll() is None else []
            build.kill()
        assert tree(site) in sites
        assert whole(site)
        assert psutil.wait_procs(family, timeout=30)[1] == []
    run_builder("build", "--library", new_library, "--out", site)
    assert tree(site) == sites[0]
    assert [path.name for path in site.parent.iterdir()] == ["site"]


# -- A machine that refuses --------------------------------------------------------------------------------------------


def test_a_full_disk_leaves_the_old_site_and_nothing_else(
    two_libraries: tuple[Path, Path], tmp_path: Path, run_builder: Run, tree: Tree
) -> None:
    """Stands for a full disk: no file may grow beyond 2 kB (`setrlimit`, POSIX.1)."""
    old_library, new_library = two_libraries
    site = tmp_path / "out" / "site"
    run_builder("build", "--library", old_library, "--out", site)
    before = tree(site)
    command = [sys.executable, "-m", "builder", "build", "--library", str(new_library), "--out", str(site)]
    done = subprocess.run(
        command,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000)),
    )
    assert done.returncode == 3
    assert "File too large" in done.stderr
    assert "Traceback" not in done.stderr
    assert tree(site) == before
    assert [path.name for path in site.parent.iterdir()] == ["site"]


def test_a_place_that_cannot_be_written_to_is_named(small_library: Path, tmp_path: Path, run_builder: Run) -> None:
    (tmp_path / "file").write_text("text", encoding="utf-8")
    done = run_builder("build", "--library", small_library, "--out", tmp_path / "file" / "site")
    assert done.returncode == 3
    assert str(tmp_path / "file") in done.stderr
    assert "Traceback" not in done.stderr
