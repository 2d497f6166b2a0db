"""The site folder: taken over only if a build made it, and whole at every moment, whatever kills the build."""

import errno
import os
import resource
import shutil
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import nullcontext, suppress
from pathlib import Path
from typing import Any, Final

import psutil
import pytest

from builder.publish import swap
from builder.publish.swap import ForeignFolderError, fresh_folder
from builder.publish.target import former
from builder.publish.target.manifest import MANIFEST, read_manifest
from tests.publish.faults import without_exchange, without_links
from tests.publish.yard import NEW_PAGES, Yard, put, read, write

ROOT: Final = Path(__file__).resolve().parents[2]
MAY_MOUNT: Final = os.geteuid() == 0 and sys.platform == "linux"

Run = Callable[..., "subprocess.CompletedProcess[str]"]
Tree = Callable[[Path], dict[str, bytes]]


def pages(target: Path) -> dict[str, str]:
    """What a site holds, without the manifest."""
    return {name: text for name, text in read(target).items() if name != MANIFEST}


def test_the_new_site_takes_the_place_of_the_old_one(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "old", "gone.html": "old", "folder/gone.html": "old"})
    put(tmp_path / "site", {"index.html": "new", "more/page.html": "new"})
    assert pages(tmp_path / "site") == {"index.html": "new", "more/page.html": "new"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
    assert not (tmp_path / "site" / "folder").exists()


def test_the_manifest_names_every_file_that_was_made(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "", "path/a.html": "", ".nojekyll": ""})
    made = read_manifest(tmp_path / "site")
    assert made is not None
    assert set(made.files) == {".nojekyll", "index.html", "path/a.html"}


def test_folders_above_the_site_are_made(tmp_path: Path) -> None:
    put(tmp_path / "a" / "b" / "site", {"index.html": "new"})
    assert pages(tmp_path / "a" / "b" / "site") == {"index.html": "new"}


@pytest.mark.parametrize("kept", [[], [".gitignore"], [".gitkeep"]])
def test_an_empty_folder_may_become_a_site(tmp_path: Path, kept: list[str]) -> None:
    (tmp_path / "site").mkdir()
    write(tmp_path / "site", dict.fromkeys(kept, "*"))
    put(tmp_path / "site", {"index.html": "new"})
    assert pages(tmp_path / "site") == {"index.html": "new", **dict.fromkeys(kept, "*")}


def test_a_folder_with_files_of_others_is_refused_and_left_alone(tmp_path: Path) -> None:
    write(tmp_path / "photos", {"car.jpg": "picture"})
    with pytest.raises(ForeignFolderError, match=r"car\.jpg"):
        put(tmp_path / "photos", {"index.html": "new"})
    assert read(tmp_path) == {"photos/car.jpg": "picture"}
    assert [path.name for path in tmp_path.iterdir()] == ["photos"]


@pytest.mark.parametrize("text", ["", "a list of lamps", "{}", '{"format": 2}', '{"format": 3, "files": {}}', "../x\n"])
def test_a_folder_whose_record_no_build_wrote_is_refused_and_left_alone(tmp_path: Path, text: str) -> None:
    write(tmp_path / "lamps", {".droplight": text, "index.html": "mine"})
    with pytest.raises(ForeignFolderError, match="choose another folder"):
        put(tmp_path / "lamps", {"index.html": "new"})
    assert read(tmp_path) == {"lamps/.droplight": text, "lamps/index.html": "mine"}


def test_a_file_and_a_link_are_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("text", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "folder")
    (tmp_path / "nowhere").symlink_to(tmp_path / "nothing")
    for name in ("file", "link", "nowhere"):
        with pytest.raises(ForeignFolderError, match=f"{name} is not a folder"):
            put(tmp_path / name, {"index.html": "new"})
    assert {path.name for path in tmp_path.iterdir()} == {"file", "folder", "link", "nowhere"}


def test_a_link_on_the_way_to_the_target_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    for text in ("old", "new"):
        put(tmp_path / "link" / "site", {"index.html": text})
    assert pages(tmp_path / "real" / "site") == {"index.html": "new"}
    assert [path.name for path in (tmp_path / "real").iterdir()] == ["site"]


def test_a_block_that_fails_leaves_the_old_site_and_nothing_else(tmp_path: Path) -> None:
    put(tmp_path / "site", {"index.html": "old"})
    names = {"index.html": "new", "a/b": "new", "a": "a folder of that name is there"}
    with pytest.raises(IsADirectoryError):
        put(tmp_path / "site", names)
    assert pages(tmp_path / "site") == {"index.html": "old"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.parametrize("out", [".", ".."])
def test_the_folder_that_one_is_in_is_refused(small_library: Path, tmp_path: Path, run_builder: Run, out: str) -> None:
    """It would be exchanged for another one under the feet of the shell."""
    here = tmp_path / "site" / "here"
    here.mkdir(parents=True)
    done = run_builder("build", "--library", small_library, "--out", out, cwd=here)
    assert done.returncode == 2
    assert f"{out} is the folder you are in" in done.stderr
    assert here.is_dir()


# -- What no build made ------------------------------------------------------------------------------------------------


@pytest.fixture(params=[nullcontext, without_exchange, without_links])
def file_system(request: pytest.FixtureRequest) -> Iterator[str]:
    """One that can all, one that cannot exchange two names, and one where no file has two names."""
    with request.param():
        yield request.param.__name__


def test_nothing_of_others_is_lost_in_the_site_or_beside_it(tmp_path: Path, file_system: str) -> None:
    yard = Yard(tmp_path).lay_out()
    before = (yard.site / "CNAME").stat().st_ino, (yard.site / "own").stat().st_ino
    yard.build("new")
    yard.look()
    yard.look_when_all_is_over("new", times=file_system != "without_exchange")
    yard.build("newer")
    yard.look_when_all_is_over("newer", times=file_system != "without_exchange")
    after = (yard.site / "CNAME").stat().st_ino, (yard.site / "own").stat().st_ino
    if file_system != "without_exchange":
        assert after == before, "not a copy, but the very thing"


def test_what_was_kept_beside_a_page_is_told(tmp_path: Path) -> None:
    yard = Yard(tmp_path).lay_out()
    told: list[str] = []
    with fresh_folder(yard.site, told.append) as folder:
        write(folder, dict.fromkeys(NEW_PAGES, "new"))
    assert {line.partition(":")[0] for line in told} == {"own-folder.kept", "path/two.html.kept", "taken.html.kept"}


def test_a_page_that_is_edited_again_and_again_is_kept_each_time_once(tmp_path: Path) -> None:
    site = tmp_path / "site"
    for edited in ("one", "two", "two", "new"):
        put(site, {"index.html": "new"})
        write(site, {"index.html": edited})
    put(site, {"index.html": "new"})
    assert pages(site) == {"index.html": "new", "index.html.kept": "one", "index.html.kept-2": "two"}


def test_a_page_with_its_hash_goes_even_if_it_looks_newer(tmp_path: Path) -> None:
    """As in a fresh clone of a branch that holds the site."""
    put(tmp_path / "site", {"index.html": "old", "gone.html": "old"})
    for name in ("index.html", "gone.html"):
        os.utime(tmp_path / "site" / name, (4_000_000_000, 4_000_000_000))
    put(tmp_path / "site", {"index.html": "new"})
    assert pages(tmp_path / "site") == {"index.html": "new"}


def test_a_site_of_an_older_version_without_hashes_is_replaced(tmp_path: Path) -> None:
    write(tmp_path / "site", {"index.html": "old", "path/gone.html": "old", "CNAME": "example.org"})
    write(tmp_path / "site", {".droplight": "index.html\npath/gone.html\n.droplight\n"})
    put(tmp_path / "site", {"index.html": "new"})
    assert pages(tmp_path / "site") == {"index.html": "new", "CNAME": "example.org"}


def test_a_name_with_a_line_feed_forges_no_entry_of_an_old_manifest(tmp_path: Path) -> None:
    """A picture of that name once had the file of the host removed."""
    picture = "files/a\nCNAME\nz.png"
    write(tmp_path / "site", {"index.html": "new", picture: "picture", "CNAME": "example.org"})
    write(tmp_path / "site", {".droplight": f"{picture}\nindex.html\n.droplight\n"})
    put(tmp_path / "site", {"index.html": "new"})
    assert pages(tmp_path / "site")["CNAME"] == "example.org"


@pytest.mark.parametrize("name", ["a\nCNAME\nb", "\n", "\udcff.png", '"}', "b\\n", "\u2028"])
def test_no_name_forges_an_entry_of_the_manifest(tmp_path: Path, name: str) -> None:
    put(tmp_path / "site", {f"files/{name}": "made", "index.html": "old"})
    write(tmp_path / "site", {"CNAME": "example.org", "b": "mine"})
    put(tmp_path / "site", {"index.html": "new"})
    assert pages(tmp_path / "site") == {"index.html": "new", "CNAME": "example.org", "b": "mine"}


def test_a_site_whose_owner_and_rights_were_set_keeps_them(tmp_path: Path) -> None:
    """The site itself, a folder of pages, and a folder of others; the owner only where one may give things away."""
    put(tmp_path / "site", {"index.html": "old", "path/one.html": "old"})
    write(tmp_path / "site", {"own/note.txt": "mine"})
    owner = 12345 if os.geteuid() == 0 else os.geteuid()
    for name, mode in (("", 0o750), ("path", 0o2775), ("own", 0o1777)):
        os.chown(tmp_path / "site" / name, owner, -1)
        (tmp_path / "site" / name).chmod(mode)
    put(tmp_path / "site", {"index.html": "new", "path/one.html": "new"})
    for name, mode in (("", 0o750), ("path", 0o2775), ("own", 0o1777)):
        status = (tmp_path / "site" / name).stat()
        assert (status.st_uid, stat.S_IMODE(status.st_mode)) == (owner, mode), name


# -- While a build is at work ------------------------------------------------------------------------------------------


def test_what_is_written_into_the_target_during_a_build_is_carried_over(tmp_path: Path, file_system: str) -> None:
    yard = Yard(tmp_path).lay_out()
    with fresh_folder(yard.site) as folder:
        write(folder, dict.fromkeys(NEW_PAGES, "new"))
        write(yard.site, {"meanwhile.txt": "mine", "fresh/deep/er.txt": "mine", "CNAME": "other.example"})
        (yard.site / "own/note.txt").unlink()
    found = read(yard.site)
    assert found["meanwhile.txt"] == found["fresh/deep/er.txt"] == "mine"
    assert found["CNAME"] == "other.example"
    assert "own/note.txt" not in found


def test_what_is_written_in_the_last_moment_is_carried_over(
    tmp_path: Path, file_system: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the last look at the old site and its leaving, and by somebody who still has it open after that."""
    yard = Yard(tmp_path).lay_out()
    stay = os.open(yard.site, os.O_RDONLY)
    real = swap._put_in_place

    def put_in_place(new: Path, target: Path, old: Path) -> Path:
        write(yard.site, {"late.txt": "late", "own/late.txt": "late", "path/late.txt": "late", "late/x": "late"})
        replace(yard.site / "CNAME", "replaced late")
        (yard.site / "own/deep/er.txt").unlink()
        former_site = real(new, target, old)
        for name in ("later.txt", "path/later.txt", "own/later.txt"):
            file = os.open(name, os.O_WRONLY | os.O_CREAT, dir_fd=stay)
            os.write(file, b"later")
            os.close(file)
        file = os.open("index.html.tmp", os.O_WRONLY | os.O_CREAT, dir_fd=stay)
        os.write(file, b"saved over a page")
        os.close(file)
        os.rename("index.html.tmp", "index.html", src_dir_fd=stay, dst_dir_fd=stay)
        return former_site

    monkeypatch.setattr(swap, "_put_in_place", put_in_place)
    yard.build("new")
    os.close(stay)
    found = read(yard.site)
    assert {name for name, text in found.items() if text == "late"} == {
        *("late.txt", "own/late.txt", "path/late.txt", "late/x")
    }
    assert {name for name, text in found.items() if text == "later"} == {"later.txt", "path/later.txt", "own/later.txt"}
    assert found["CNAME"] == "replaced late"
    assert found["index.html"] == "new"
    assert found["index.html.kept"] == "saved over a page"
    if file_system != "without_exchange":
        assert "own/deep/er.txt" not in found
    yard.look_beside()


def replace(path: Path, text: str) -> None:
    """Save as editors do: a new file takes the name of the old one."""
    new = path.with_name(f"{path.name}~")
    new.write_text(text, encoding="utf-8")
    new.replace(path)


def test_a_folder_that_comes_into_being_during_a_build_is_no_site(tmp_path: Path) -> None:
    def build() -> None:
        with fresh_folder(tmp_path / "site") as folder:
            write(folder, {"index.html": "new"})
            write(tmp_path / "site", {"car.jpg": "picture"})

    with pytest.raises(ForeignFolderError, match=r"car\.jpg"):
        build()
    assert read(tmp_path) == {"site/car.jpg": "picture"}
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_somebody_who_never_stops_writing_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The new site is in place; the old folder goes with the next build."""
    yard = Yard(tmp_path).lay_out()
    stay = os.open(yard.site, os.O_RDONLY)
    real = former.Former._empty

    def empty(self: former.Former, folder: Path, name: str, to: str) -> None:
        real(self, folder, name, to)
        if not name:
            os.close(os.open("again.txt", os.O_WRONLY | os.O_CREAT, dir_fd=stay))

    monkeypatch.setattr(former.Former, "_empty", empty)
    with pytest.raises(former.BusyFolderError):
        yard.build("new")
    monkeypatch.undo()
    os.close(stay)
    assert yard.pages() == {"new"}
    yard.build("newer")
    assert (yard.site / "again.txt").read_text(encoding="utf-8") == ""
    (yard.site / "again.txt").unlink()
    for path in yard.site.glob("again.txt.kept*"):
        path.unlink()
    yard.look_when_all_is_over("newer")


# -- A target that cannot be exchanged ---------------------------------------------------------------------------------


def refusal(target: Path) -> str:
    """What is said of a target before anything is built for it."""
    begun = False
    with pytest.raises((ForeignFolderError, OSError)) as caught, fresh_folder(target):
        begun = True
    assert not begun
    return str(caught.value)


@pytest.mark.skipif(not MAY_MOUNT, reason="only root may mount")
@pytest.mark.parametrize("place", ["", "path", "own/deep"])
@pytest.mark.parametrize("kind", ["tmpfs", "bind"])
def test_a_mount_point_is_refused_before_the_build_starts(tmp_path: Path, place: str, kind: str) -> None:
    """Also one of the same disk, which has the same number."""
    yard = Yard(tmp_path).lay_out()
    (tmp_path / "elsewhere").mkdir()
    command = ["mount", *(["--bind", tmp_path / "elsewhere"] if kind == "bind" else ["-t", "tmpfs", "none"])]
    subprocess.run([*map(str, command), str(yard.site / place)], check=True)
    try:
        assert "is a mount point" in refusal(yard.site)
    finally:
        subprocess.run(["umount", str(yard.site / place)], check=True)
    yard.look()
    assert not (tmp_path / ".site.droplight").exists()


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (errno.EBUSY, "is a mount point"),
        (errno.EXDEV, "belongs to another layer or disk"),
        (errno.EPERM, "not permitted"),
        (errno.EACCES, "denied"),
    ],
)
def test_a_target_that_cannot_be_moved_is_refused_before_the_build_starts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: int, says: str
) -> None:
    """A folder of a container's image answers EXDEV, one in a folder such as ``/tmp`` of somebody else's EPERM."""
    yard = Yard(tmp_path).lay_out()

    def rename(one: str, other: str) -> None:
        raise OSError(error, os.strerror(error), one)

    monkeypatch.setattr(os, "rename", rename)
    assert says in refusal(yard.site)
    monkeypatch.undo()
    yard.look()
    assert not (tmp_path / ".site.droplight").exists()


def test_a_file_system_that_renames_over_a_full_folder_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    yard = Yard(tmp_path).lay_out()
    real = os.rename

    def rename(one: str, other: str) -> None:
        if Path(other).is_dir():
            shutil.rmtree(other)
        real(one, other)

    monkeypatch.setattr(os, "rename", rename)
    assert "overwrites folders" in refusal(yard.site)
    monkeypatch.undo()
    yard.look()


def test_a_second_rename_that_fails_leaves_the_old_site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    yard = Yard(tmp_path).lay_out()
    real = os.rename

    def rename(one: Path, other: Path) -> None:
        if Path(other) == yard.site and Path(one).name.endswith(".new"):
            raise OSError(errno.EIO, os.strerror(errno.EIO), str(other))
        real(one, other)

    with without_exchange():
        monkeypatch.setattr(os, "rename", rename)
        with pytest.raises(OSError, match="Input/output error"):
            yard.build("new")
        monkeypatch.undo()
        assert yard.pages() == {"old"}
        yard.look()
        yard.build("newer")
        yard.look_when_all_is_over("newer", times=False)


def test_an_error_is_raised_where_an_exchange_fails_and_the_old_site_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    yard = Yard(tmp_path).lay_out()

    def exchange(one: Path, other: Path) -> bool:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(swap, "exchange", exchange)
    with pytest.raises(OSError, match="Input/output error"):
        yard.build("new")
    monkeypatch.undo()
    assert yard.pages() == {"old"}
    yard.build("newer")
    yard.look_when_all_is_over("newer")


# -- What killed builds left -------------------------------------------------------------------------------------------


def test_strangers_folders_beside_the_target_are_never_touched(tmp_path: Path) -> None:
    """With names that an older version made and cleared away; without a site one of them once became it."""
    names = (".site.1.old", ".site.1.new", ".site.99999999.new", ".site.x.old")
    strangers = {f"{name}/index.html": "a stranger's" for name in names}
    write(tmp_path, strangers)
    put(tmp_path / "site", {"index.html": "new"})
    found = read(tmp_path)
    assert found.pop("site/index.html") == "new"
    assert found.pop("site/.droplight")
    assert found == strangers


# -- Killed ------------------------------------------------------------------------------------------------------------


MANY: Final = 24
"""More playbooks than a worker takes at a time, so that there are workers."""


@pytest.fixture
def two_libraries(tmp_path: Path, write_library: Callable[..., Path], horn: dict[str, Any]) -> tuple[Path, Path]:
    """An old and a new state of a library."""
    books = {f"area/horn-{number}": horn for number in range(MANY)}
    more = {**books, "area/horn-0": {**horn, "title": "The horn croaks"}, "area/second": horn}
    return write_library(tmp_path / "old", books), write_library(tmp_path / "new", more)


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where processes of the test put what they need for a moment."""
    (tmp_path / "temporary").mkdir()
    monkeypatch.setenv("TMPDIR", str(tmp_path / "temporary"))
    return tmp_path / "temporary"


def start_build(library: Path, site: Path, *options: str) -> "subprocess.Popen[str]":
    command = [sys.executable, "-m", "builder", "build", "--workers", "2", *options]
    command += ["--library", str(library), "--out", str(site)]
    pipes = {"stdout": subprocess.DEVNULL, "stderr": subprocess.PIPE}
    return subprocess.Popen(command, cwd=ROOT, text=True, **pipes)  # type: ignore[call-overload,no-any-return]


def until(holds: Callable[[], object]) -> None:
    """Wait until something holds that a minute is enough for, however busy the machine is."""
    deadline = time.monotonic() + 60
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.02)


def test_a_killed_build_takes_its_workers_along(
    two_libraries: tuple[Path, Path],
    tmp_path: Path,
    temporary: Path,
    run_builder: Run,
    tree: Tree,
    write_program: Callable[..., Path],
) -> None:
    """Both workers are waiting for a layout program that does not end before they should."""
    site = tmp_path / "out" / "site"
    run_builder("build", "--library", two_libraries[0], "--out", site)
    before = tree(site)
    waits = f"import os, time; open(f'{tmp_path}/waits-{{os.getppid()}}', 'w').close(); time.sleep(600)"
    program = write_program(tmp_path, waits)
    with start_build(two_libraries[1], site, "--dot", str(program)) as build:
        until(lambda: len(list(tmp_path.glob("waits-*"))) >= 2)
        workers = psutil.Process(build.pid).children()
        programs = [program for worker in workers for program in worker.children()]
        build.kill()
    assert len(workers) >= 2
    try:
        assert psutil.wait_procs(workers, timeout=60)[1] == []
    finally:
        for process in (*programs, *workers):
            with suppress(psutil.NoSuchProcess):
                process.kill()
    assert tree(site) == before
    assert list(temporary.iterdir()) == []
    run_builder("build", "--library", two_libraries[1], "--out", site)
    assert [path.name for path in site.parent.iterdir()] == ["site"]


def test_a_kill_of_a_build_with_workers_leaves_a_whole_site(
    two_libraries: tuple[Path, Path], tmp_path: Path, run_builder: Run, tree: Tree
) -> None:
    """By the clock, since workers write the pages."""
    old_library, new_library = two_libraries
    site = tmp_path / "out" / "site"
    sites = []
    for library in (new_library, old_library):
        run_builder("build", "--library", library, "--out", site)
        sites.append(tree(site))
    for tenths in (4, 6, 8, 10, 12):
        with start_build(new_library, site) as build:
            time.sleep(tenths / 10)
            build.kill()
        assert tree(site) in sites
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
