"""The command line: exit codes, what goes where, and an old site that is left alone."""

import contextlib
import json
import os
import pty
import resource
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.draw import layout

ROOT: Final = Path(__file__).resolve().parent.parent
DEMO: Final = "fan-on-top-speed-only"
SLOW: Final = 60

Run = Callable[..., "subprocess.CompletedProcess[str]"]
Write = Callable[..., Path]

PROGRAM: Final = "import os, signal, sys, time\n"
"""What layout programs of these tests begin with."""


def playbook(**changes: Any) -> dict[str, Any]:
    book = {
        "format": "1",
        "title": "Dead",
        "symptom": {"summary": "Nothing happens."},
        "start": "look",
        "steps": {"look": {"title": "Look", "time": "5 min", "results": {"seen": {"expect": "Seen", "next": "end"}}}},
        "endings": {"end": {"title": "Mend", "time": "5 min"}},
    }
    return {**book, **changes}


@pytest.fixture
def sound(tmp_path: Path, write_library: Write) -> Path:
    """A library without findings."""
    return write_library(tmp_path / "sound", {"area/dead": playbook()})


@pytest.fixture
def broken(tmp_path: Path, write_library: Write) -> Path:
    """A library with an error: a playbook that starts nowhere."""
    return write_library(tmp_path / "broken", {"area/dead": playbook(start="nowhere")})


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


# -- Exit codes and streams --------------------------------------------------------------------------------------------


def test_done_is_0_and_results_go_to_stdout(sound: Path, tmp_path: Path, run_builder: Run) -> None:
    done = run_builder("build", "--library", sound, "--out", tmp_path / "site")
    assert done.returncode == 0
    assert done.stderr == ""
    closing = done.stdout.splitlines()
    assert len(closing) == 2
    assert closing[0].startswith(f"{tmp_path / 'site'}: 1 playbooks, ")
    assert closing[0].endswith(", no findings")
    assert closing[1].startswith("what owners take along: ")


def test_a_sound_library_is_checked_in_one_line(sound: Path, run_builder: Run) -> None:
    done = run_builder("check", "--library", sound)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "no findings\n")


@pytest.mark.parametrize("command", [["check"], ["build", "--out", "site"], ["totals", "dead"]])
def test_a_library_with_errors_is_1_and_findings_go_to_stderr(
    broken: Path, tmp_path: Path, run_builder: Run, command: list[str]
) -> None:
    done = run_builder(*command, "--library", broken, cwd=tmp_path)
    assert done.returncode == 1
    assert done.stdout == ""
    place, line, column, said = done.stderr.splitlines()[0].split(":", 3)
    assert place.endswith("broken/area/dead.yaml")
    assert (int(line), int(column)) > (0, 0)
    assert "error" in said
    assert "1 error" in done.stderr.splitlines()[-1]


@pytest.mark.parametrize(
    "arguments",
    [
        ["build", "--no-such-option"],
        ["no-such-command"],
        ["build", "--library", "no-such-folder"],
        ["build", "--workers", "0"],
        ["build", "--dot", "no-such-program"],
        ["totals"],
        ["totals", "no-such-playbook"],
    ],
)
def test_wrong_usage_is_2(arguments: list[str], run_builder: Run) -> None:
    done = run_builder(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Error: " in done.stderr
    assert "Traceback" not in done.stderr


def test_a_slug_that_is_nearly_right_gets_a_hint(run_builder: Run) -> None:
    done = run_builder("totals", "fan-on-top-sped-only")
    assert f"did you mean `{DEMO}`?" in done.stderr


def test_files_of_others_in_the_way_are_wrong_usage(sound: Path, tmp_path: Path, run_builder: Run) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "car.jpg").write_bytes(b"picture")
    done = run_builder("build", "--library", sound, "--out", tmp_path / "photos")
    assert done.returncode == 2
    assert "car.jpg" in done.stderr
    assert files(tmp_path / "photos") == {"car.jpg": b"picture"}


def test_a_machine_that_refuses_is_3(sound: Path, run_builder: Run) -> None:
    done = run_builder("build", "--library", sound, "--out", os.devnull + "/site")
    assert done.returncode == 3
    assert done.stderr.startswith("Error: ")
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", [["totals", DEMO, "--json"], ["totals", DEMO], ["schema"]])
def test_a_full_disk_behind_stdout_is_3(tmp_path: Path, command: list[str]) -> None:
    """Stands for a full disk: no file may grow at all (`setrlimit`, POSIX.1)."""
    with (tmp_path / "output").open("w", encoding="utf-8") as output:
        done = subprocess.run(
            [sys.executable, "-m", "builder", *command],
            cwd=ROOT,
            stdout=output,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0)),
        )
    assert done.returncode == 3
    assert "File too large" in done.stderr
    assert "Traceback" not in done.stderr


def test_help_names_the_commands_and_the_exit_codes(run_builder: Run) -> None:
    done = run_builder("--help")
    assert done.returncode == 0
    for word in ("build", "check", "totals", "0 done", "1 the library has errors", "2 wrong usage", "3 the machine"):
        assert word in " ".join(done.stdout.split())


# -- The old site ------------------------------------------------------------------------------------------------------


@pytest.fixture
def old_site(sound: Path, tmp_path: Path, run_builder: Run) -> Path:
    site = tmp_path / "out" / "site"
    done = run_builder("build", "--library", sound, "--out", site)
    assert done.returncode == 0, done.stderr
    return site


def test_a_library_with_errors_leaves_the_old_site_untouched(broken: Path, old_site: Path, run_builder: Run) -> None:
    before = files(old_site)
    done = run_builder("build", "--library", broken, "--out", old_site)
    assert done.returncode == 1
    assert "the site is left as it was" in done.stderr
    assert files(old_site) == before
    assert [path.name for path in old_site.parent.iterdir()] == ["site"]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("sys.exit('out of ink')", "failed: out of ink"),
        ("sys.exit(1)", "failed: exit code 1"),
        ("print('no drawing')", "gave no SVG"),
    ],
)
@pytest.mark.parametrize("workers", [1, 2])
def test_a_layout_program_that_fails_is_3_and_leaves_the_old_site_untouched(
    tmp_path: Path,
    old_site: Path,
    run_builder: Run,
    write_library: Write,
    body: str,
    said: str,
    workers: int,
    write_program: Write,
) -> None:
    library = write_library(tmp_path / "many", {f"area/dead-{i}": playbook() for i in range(9)})
    before = files(old_site)
    program = write_program(tmp_path, PROGRAM + body)
    done = run_builder("build", "--library", library, "--out", old_site, "--dot", program, "--workers", workers)
    assert done.returncode == 3
    assert done.stdout == ""
    assert str(program) in done.stderr
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert files(old_site) == before
    assert [path.name for path in old_site.parent.iterdir()] == ["site"]


def test_a_layout_program_that_hangs_is_3_and_leaves_the_old_site_untouched(
    tmp_path: Path, sound: Path, old_site: Path, monkeypatch: pytest.MonkeyPatch, write_program: Write
) -> None:
    monkeypatch.setattr(layout, "TIMEOUT", 0.5)
    before = files(old_site)
    program = write_program(tmp_path, PROGRAM + f"time.sleep({SLOW})")
    arguments = ["build", "--library", sound, "--out", old_site, "--dot", program, "--workers", "1"]
    done = CliRunner().invoke(main, list(map(str, arguments)))
    assert done.exit_code == 3
    assert "took more than 0.5 s" in done.stderr
    assert files(old_site) == before


def test_a_missing_layout_program_is_3_and_says_what_to_install(
    tmp_path: Path, sound: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(layout, "files", lambda name: [])
    layout.bundled_program.cache_clear()
    arguments = ["build", "--library", sound, "--out", tmp_path / "site", "--workers", "1"]
    done = CliRunner().invoke(main, list(map(str, arguments)))
    layout.bundled_program.cache_clear()
    assert done.exit_code == 3
    assert "install the package `graphviz-pure`" in done.stderr
    assert not (tmp_path / "site").exists()


def test_the_bundled_layout_program_needs_no_path(sound: Path, tmp_path: Path, run_builder: Run) -> None:
    done = run_builder("build", "--library", sound, "--out", tmp_path / "site", env={"PATH": ""})
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "site/flow/dead.svg").is_file()


def test_a_worker_that_is_killed_is_3_and_leaves_the_old_site_untouched(
    tmp_path: Path, old_site: Path, run_builder: Run, write_library: Write, write_program: Write
) -> None:
    library = write_library(tmp_path / "many", {f"area/dead-{i}": playbook() for i in range(9)})
    before = files(old_site)
    program = write_program(tmp_path, PROGRAM + "os.kill(os.getppid(), signal.SIGKILL)")
    done = run_builder("build", "--library", library, "--out", old_site, "--dot", program, "--workers", "2")
    assert done.returncode == 3
    assert "a worker process was killed" in done.stderr
    assert "Traceback" not in done.stderr
    assert files(old_site) == before


@pytest.mark.parametrize("ignored", [False, True], ids=["heeded", "ignored at the start"])
def test_an_interrupt_leaves_the_old_site_and_nothing_else(
    tmp_path: Path, sound: Path, old_site: Path, write_program: Write, ignored: bool
) -> None:
    """Also where a shell started the build in the background, for which it ignores interrupts (POSIX.1, 2.11)."""
    before = files(old_site)
    program = write_program(tmp_path, PROGRAM + f"open('{tmp_path}/started', 'w').close(); time.sleep({SLOW})")
    command = [sys.executable, "-m", "builder", "build", "--workers", "1", "--dot", str(program)]
    command += ["--library", str(sound), "--out", str(old_site)]
    if ignored:
        command = ["sh", "-c", 'trap "" INT; exec "$@"', "sh", *command]
    with subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True) as build:
        while not (tmp_path / "started").exists():
            assert build.poll() is None
        build.send_signal(signal.SIGINT)
        said = build.communicate()[1]
    assert (build.returncode, said) == (130, "stopped\n")
    assert files(old_site) == before
    assert [path.name for path in old_site.parent.iterdir()] == ["site"]


# -- Progress ----------------------------------------------------------------------------------------------------------


def test_a_terminal_sees_progress(sound: Path, tmp_path: Path) -> None:
    """Beside :func:`test_done_is_0_and_results_go_to_stdout`, where nothing is a terminal and stderr stays empty."""
    leader, follower = pty.openpty()
    command = [sys.executable, "-m", "builder", "build", "--library", str(sound), "--out", str(tmp_path / "site")]
    environment = {**os.environ, "TERM": "xterm", "COLUMNS": "80"}
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=follower, env=environment) as build:
        os.close(follower)
        seen = b""
        with contextlib.suppress(OSError):
            while piece := os.read(leader, 4096):
                seen += piece
        build.communicate()
    os.close(leader)
    assert build.returncode == 0
    assert b"Playbooks" in seen


# -- totals ------------------------------------------------------------------------------------------------------------

KEYS: Final = {
    *("slug", "currency", "path_count", "listed_chance", "paths", "expected", "settled", "wasted", "spend_within"),
    *("hazards", "causes", "in_the_end", "at_once"),
}
PATH_KEYS: Final = {
    *("steps", "results", "ending", "handover", "money", "shop_money", "minutes", "wait", "tools", "parts", "hazards"),
    *("chance", "settled", "causes"),
}


def test_totals_as_json_is_one_object_with_full_precision(run_builder: Run) -> None:
    done = run_builder("totals", DEMO, "--json")
    assert (done.returncode, done.stderr) == (0, "")
    numbers = json.loads(done.stdout)
    assert set(numbers) == KEYS
    assert {key for path in numbers["paths"] for key in path} == PATH_KEYS
    assert numbers["slug"] == DEMO
    assert sum(path["chance"] for path in numbers["paths"]) == pytest.approx(1, abs=1e-12)
    assert numbers["listed_chance"] == 1
    by_hand = sum(path["chance"] * path["money"]["mean"] for path in numbers["paths"])
    assert numbers["expected"]["money"] == pytest.approx(by_hand, rel=1e-12)


def test_totals_without_odds_has_null_for_all_that_needs_them(sound: Path, run_builder: Run) -> None:
    numbers = json.loads(run_builder("totals", "dead", "--json", "--library", sound).stdout)
    for key in ("listed_chance", "expected", "settled", "wasted", "spend_within", "causes"):
        assert numbers[key] is None
    (path,) = numbers["paths"]
    assert (path["chance"], path["settled"], path["causes"]) == (None, None, None)


def test_totals_as_a_table_shows_every_path(run_builder: Run) -> None:
    done = run_builder("totals", DEMO, env={"COLUMNS": "200"})
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert lines[0] == f"{DEMO}: {len(lines) - 5} paths"
    assert "expected: €" in done.stdout
    assert "browned → high" in done.stdout


def test_a_reader_that_leaves_early_is_no_trouble(write_library: Write, tmp_path: Path) -> None:
    """As in ``droplight totals SLUG --json | head -1``; the output is larger than a pipe holds."""
    steps = {
        f"s{i}": {
            "title": "S",
            "time": "1 min",
            "results": {name: {"expect": name, "next": f"s{i + 1}" if i < 9 else "end"} for name in ("a", "b")},
        }
        for i in range(10)
    }
    library = write_library(tmp_path / "library", {"area/dead": playbook(steps=steps, start="s0")})
    command = [sys.executable, "-m", "builder", "totals", "dead", "--library", str(library)]
    for form in (["--json"], []):
        with subprocess.Popen(
            [*command, *form], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        ) as totals:
            assert totals.stdout
            assert totals.stderr
            totals.stdout.readline()
            totals.stdout.close()
            said = totals.stderr.read()
        assert (totals.returncode, said) == (141, "")
