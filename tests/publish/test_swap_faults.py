"""The site folder when the machine fails, the build is killed, and others are at work in it, at any moment.

Every run ends with a build that goes well, after which nothing may be lost, and nothing left. A long sweep
(``make soak``) tries thousands of moments; a usual run tries the same few dozen every time.
"""

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, nullcontext, suppress
from pathlib import Path
from tempfile import TemporaryFile
from typing import Any, Final

import pytest

from builder.publish.target.former import BusyFolderError
from tests.conftest import EXAMPLES
from tests.publish.faults import ERRORS, Fault, in_child, injected, without_exchange, without_links
from tests.publish.yard import Yard, put, read

FILE_SYSTEMS: Final = {"all": nullcontext, "no exchange": without_exchange, "no links": without_links}

MOMENTS: Final = 900
"""About as many calls as a build of a yard makes."""


def chances(name: str) -> random.Random:
    """The same every time in a usual run, others in a long sweep."""
    return random.Random(name if EXAMPLES == 1 else None)


@contextmanager
def yard_on(file_system: str, root: Path) -> Iterator[Yard]:
    shutil.rmtree(root, ignore_errors=True)
    with FILE_SYSTEMS[file_system]():
        yield Yard(root).lay_out()


def build_with(fault: Fault, yard: Yard) -> int:
    def build() -> None:
        with injected(fault):
            yard.build("new")

    return in_child(build)


def look_and_build_again(yard: Yard, file_system: str) -> None:
    is_away = file_system == "no exchange" and not yard.site.exists()
    if not is_away:
        yard.look()
    yard.build("newer")
    yard.look()
    yard.look_when_all_is_over("newer", times=file_system != "no exchange")


# -- One build ---------------------------------------------------------------------------------------------------------


@pytest.mark.soak
def test_a_kill_at_any_moment_leaves_one_of_two_sites_whole_and_loses_nothing(tmp_path: Path) -> None:
    choose = chances("kill")
    kills = 0
    for _ in range(60 * EXAMPLES):
        file_system = choose.choice(sorted(FILE_SYSTEMS))
        fault = Fault(choose.randrange(1, MOMENTS), after=choose.random() < 0.5)
        with yard_on(file_system, tmp_path / "yard") as yard:
            code = build_with(fault, yard)
            assert code in (0, -signal.SIGKILL), fault
            kills += code != 0
            look_and_build_again(yard, file_system)
    assert kills > 40 * EXAMPLES


@pytest.mark.soak
def test_any_error_at_any_call_leaves_one_of_two_sites_whole_and_loses_nothing(tmp_path: Path) -> None:
    choose = chances("error")
    failed = 0
    for _ in range(100 * EXAMPLES):
        file_system = choose.choice(sorted(FILE_SYSTEMS))
        fault = Fault(choose.randrange(1, MOMENTS), choose.choice(ERRORS), choose.random() < 0.3, choose.random() < 0.3)
        with yard_on(file_system, tmp_path / "yard") as yard:
            code = build_with(fault, yard)
            assert code in (0, 2, 3), fault
            assert code or yard.pages() == {"new"}
            failed += code == 3
            look_and_build_again(yard, file_system)
    assert failed > 30 * EXAMPLES


@pytest.mark.soak
def test_two_kills_in_a_row_are_as_one(tmp_path: Path) -> None:
    """The second one while the build clears away what the first one left."""
    choose = chances("two kills")
    for _ in range(10 * EXAMPLES):
        file_system = choose.choice(sorted(FILE_SYSTEMS))
        with yard_on(file_system, tmp_path / "yard") as yard:
            for _ in range(2):
                build_with(Fault(choose.randrange(1, MOMENTS), after=choose.random() < 0.5), yard)
            look_and_build_again(yard, file_system)


@pytest.mark.soak
@pytest.mark.parametrize("file_system", sorted(FILE_SYSTEMS))
def test_a_kill_of_the_first_build_leaves_no_half_site(tmp_path: Path, file_system: str) -> None:
    site = tmp_path / "yard" / "site"
    moment, whole = 1, {"index.html": "new", "path/one.html": "new"}
    with FILE_SYSTEMS[file_system]():
        while True:
            shutil.rmtree(tmp_path / "yard", ignore_errors=True)

            def build(fault: Fault = Fault(moment)) -> None:  # noqa: B008 - one for each round
                with injected(fault):
                    put(site, whole)

            if in_child(build) == 0:
                break
            found = read(site) if site.exists() else {}
            assert not found or found.keys() >= whole.keys()
            put(site, whole)
            assert read(site).keys() == {*whole, ".droplight"}
            assert [path.name for path in site.parent.iterdir()] == ["site"]
            moment += 7 if EXAMPLES == 1 else 1
    assert moment > 100


# -- Others at work ----------------------------------------------------------------------------------------------------

ROOT: Final = Path(__file__).resolve().parents[2]

BUILDER: Final = """
import sys
from pathlib import Path
from tests.publish.yard import Yard
for number in range(int(sys.argv[2])):
    Yard(Path(sys.argv[1])).build(("new", "newer")[number % 2])
"""

SAVER: Final = """
import itertools, os, sys, time
for number in itertools.count():
    time.sleep(0.0005)
    try:
        with open(f"{sys.argv[1]}/saved~", "w") as file:
            file.write(str(number))
        os.rename(f"{sys.argv[1]}/saved~", f"{sys.argv[1]}/{sys.argv[2]}")
        print(number, flush=True)
    except OSError:
        pass
"""

SITTER: Final = """
import itertools, os, sys
for number in itertools.count():
    try:
        os.chdir(sys.argv[1])
        for _ in range(1000):
            with open("saved~", "w") as file:
                file.write(str(number))
            os.rename("saved~", sys.argv[2])
            print(number, flush=True)
    except OSError:
        pass
"""

ADDER: Final = """
import itertools, os, sys, time
for number in itertools.count():
    time.sleep(0.02)
    try:
        with open(f"{sys.argv[1]}/{sys.argv[2]}-{number}.txt", "x") as file:
            file.write(str(number))
        print(number, flush=True)
    except OSError:
        pass
"""

COMMITTER: Final = """
import itertools, subprocess, sys, time
git = ["git", "-C", sys.argv[1], "-c", "user.name=T", "-c", "user.email=t@example.org", "-c", "gc.auto=0"]
for number in itertools.count():
    done = subprocess.run([*git, "commit", "--quiet", "--allow-empty", f"--message={number}"], capture_output=True)
    if done.returncode == 0:
        print(number, flush=True)
"""


def start(script: str, *arguments: object, before: Sequence[str] = (), **pipes: Any) -> "subprocess.Popen[str]":
    """A script in a process of its own, in a place of its own if a command comes ``before``."""
    command = [*before, sys.executable, "-c", script, *map(str, arguments)]
    return subprocess.Popen(command, env={**os.environ, "PYTHONPATH": str(ROOT)}, text=True, **pipes)


@contextmanager
def at_work(script: str, *arguments: object) -> Iterator[list[int]]:
    """A script that says each time what it has done; the list of that is filled in the end."""
    said: list[int] = []
    with TemporaryFile("w+") as output:
        process = start(script, *arguments, stdout=output, stderr=subprocess.DEVNULL)
        try:
            yield said
        finally:
            process.kill()
            process.wait()
            output.seek(0)
            said += [int(line) for line in output.read().splitlines()]


def is_there(said: Sequence[int], texts: Iterable[str]) -> bool:
    """Whether what was saved last is there; what was saved may have been killed before it was said."""
    return not {str(said[-1]), str(said[-1] + 1)}.isdisjoint(texts)


def may_unshare() -> bool:
    command = [*CONTAINER, "true"]
    return bool(shutil.which("unshare")) and subprocess.run(command, capture_output=True, check=False).returncode == 0


CONTAINER: Final = ("unshare", "--pid", "--fork", "--kill-child")
PLACES: Final = [
    pytest.param((), id="one system"),
    pytest.param(
        CONTAINER, id="two containers", marks=pytest.mark.skipif(not may_unshare(), reason="no namespaces for us")
    ),
]


@pytest.mark.soak
@pytest.mark.parametrize("before", PLACES)
def test_two_builders_of_one_target_never_publish_a_torn_site(tmp_path: Path, before: Sequence[str]) -> None:
    """In containers both have the process number 1."""
    yard = Yard(tmp_path / "yard").lay_out()
    builders = [start(BUILDER, yard.root, 10 * EXAMPLES, before=before) for _ in range(2)]
    looks = 0
    while any(process.poll() is None for process in builders):
        yard.look_from_outside()
        looks += 1
    assert [process.returncode for process in builders] == [0, 0]
    assert looks > 10
    yard.look_when_all_is_over("newer")


@pytest.mark.soak
@pytest.mark.parametrize("before", PLACES)
def test_two_builders_that_are_killed_by_the_clock_never_publish_a_torn_site(
    tmp_path: Path, before: Sequence[str]
) -> None:
    choose = chances("clock")
    yard = Yard(tmp_path / "yard").lay_out()
    for _ in range(3 * EXAMPLES):
        builders = [start(BUILDER, yard.root, 1000, before=before) for _ in range(2)]
        time.sleep(0.3)
        for process in builders:
            time.sleep(choose.random() * 0.05)
            process.kill()
            yard.look_from_outside()
        for process in builders:
            process.wait()
    yard.build("newer")
    yard.look_when_all_is_over("newer")


@pytest.mark.soak
@pytest.mark.parametrize("file_system", ["all", "no links"])
def test_files_that_somebody_adds_and_saves_while_builds_come_and_go_are_all_there(
    tmp_path: Path, file_system: str
) -> None:
    site = tmp_path / "site"
    put(site, {"index.html": "0", "path/one.html": "0"})
    with (
        at_work(ADDER, site, "added") as added,
        at_work(ADDER, site / "path", "added") as added_below,
        at_work(SAVER, site, "CNAME") as saved,
        FILE_SYSTEMS[file_system](),
    ):
        for number in range(10 * EXAMPLES):
            put(site, {"index.html": str(number), "path/one.html": str(number)})
    found = read(site)
    assert added
    assert added_below
    assert saved
    assert [number for number in added if found.get(f"added-{number}.txt") != str(number)] == []
    assert [number for number in added_below if found.get(f"path/added-{number}.txt") != str(number)] == []
    assert is_there(saved, (text for name, text in found.items() if name.startswith("CNAME")))
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.soak
def test_pages_that_somebody_saves_over_while_builds_come_and_go_are_kept(tmp_path: Path) -> None:
    """What was saved last before each build is there, from outside and by somebody who sits in the folder."""
    site = tmp_path / "site"
    for script in (SAVER, SITTER):
        put(site, {"index.html": "page"})
        with at_work(script, site, "index.html") as saved:
            for _ in range(10 * EXAMPLES):
                with suppress(BusyFolderError):
                    put(site, {"index.html": "page"})
        put(site, {"index.html": "page"})
        assert saved
        assert is_there(saved, (text for name, text in read(site).items() if name.startswith("index.html.kept")))
        assert [path.name for path in tmp_path.iterdir()] == ["site"]
        shutil.rmtree(site)


@pytest.mark.soak
def test_commits_that_are_made_while_builds_come_and_go_are_all_there(
    tmp_path: Path, run_git: Callable[..., str]
) -> None:
    site = tmp_path / "site"
    site.mkdir()
    run_git(site, "init", "--quiet", "--initial-branch=pages")
    # Git's own upkeep goes on behind a commit, with a lock of its own.
    run_git(site, "config", "maintenance.auto", "false")
    run_git(site, "commit", "--quiet", "--allow-empty", "--message=first")
    with at_work(COMMITTER, site) as committed:
        number, most = 0, min(8 * EXAMPLES, 100)
        while number < most or int(run_git(site, "rev-list", "--count", "HEAD")) < 4:  # a slow machine takes longer
            put(site, {"index.html": str(number)})
            number += 1
            time.sleep(0.02)
    for _ in range(100):  # the last one may still be at work
        time.sleep(0.3)
        if not list((site / ".git").rglob("*.lock")):
            break
    messages = run_git(site, "log", "--format=%s").splitlines()
    assert committed
    assert [number for number in committed if str(number) not in messages] == []
    assert run_git(site, "fsck", "--no-progress", "--no-dangling") == ""
    assert list((site / ".git").rglob("*.lock")) == []
