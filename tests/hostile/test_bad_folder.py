"""Bad input around the files: names, links, pipes and permissions, through the command."""

import errno
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main

Check = Callable[..., Result]
CheckAt = Callable[..., Result]
MakeLibrary = Callable[..., Path]
Playbook = Callable[..., str]

ROOT = Path(__file__).resolve().parents[2]


PLACE = re.compile(r"(.+:\d+:\d+: (?:error|warning)): (.*) (\[[a-z0-9-]+\])$")


def said(line: str) -> str:
    """The first line of a finding with its rule before its message."""
    return PLACE.sub(r"\1 \3 \2", line)


def shows(result: Result, *starts: str) -> None:
    """Whether the findings are these, in this order, and the library has errors."""
    places = [said(line) for line in result.stderr.splitlines() if PLACE.match(line)]
    assert len(places) == len(starts), result.stderr
    for place, start in zip(places, starts, strict=True):
        assert place.startswith(start)
    assert result.exit_code == 1


def command(root: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "builder", "check", "--library", str(root), *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_links_that_leave_the_library(make_library: MakeLibrary, check_at: CheckAt) -> None:
    root = make_library({"../secret.yaml": "password: hunter2\n"})
    (root / "cabin/air.yaml").symlink_to(root.parent / "secret.yaml")
    result = check_at(root)
    shows(result, "library/cabin/air.yaml:1:1: error [link-outside] the symbolic link leaves the library")
    assert "hunter2" not in result.output


@pytest.mark.parametrize("target", ["air.yaml", "nothing.yaml", "fan.yaml/air.yaml"])
def test_links_that_lead_nowhere(make_library: MakeLibrary, check_at: CheckAt, target: str) -> None:
    root = make_library()
    (root / "cabin/air.yaml").symlink_to(target)
    shows(check_at(root), "library/cabin/air.yaml:1:1: error [broken-link] the symbolic link leads nowhere")


def test_two_links_that_lead_to_each_other(make_library: MakeLibrary, check_at: CheckAt) -> None:
    root = make_library()
    (root / "cabin/one.yaml").symlink_to("two.yaml")
    (root / "cabin/two.yaml").symlink_to("one.yaml")
    shows(
        check_at(root),
        "library/cabin/one.yaml:1:1: error [broken-link]",
        "library/cabin/two.yaml:1:1: error [broken-link]",
    )


def test_a_settings_file_that_is_a_loop(make_library: MakeLibrary, check_at: CheckAt) -> None:
    root = make_library({"library.yaml": None})
    (root / "library.yaml").symlink_to("library.yaml")
    shows(check_at(root), "library/library.yaml:1:1: error [no-settings]")


@pytest.mark.parametrize("name", ["cabin/air.yaml", "catalogue/tools.yaml", "library.yaml"])
def test_a_pipe_is_refused_and_does_not_hang(make_library: MakeLibrary, name: str) -> None:
    root = make_library({name: None})
    os.mkfifo(root / name)
    done = command(root)
    assert done.returncode == 1
    assert f"{name}:1:1: error: this is not a regular file [not-a-file]" in done.stderr


def test_a_folder_with_the_name_of_a_file(make_library: MakeLibrary, check_at: CheckAt) -> None:
    root = make_library()
    (root / "cabin/air.yaml").mkdir()
    shows(check_at(root), "library/cabin/air.yaml:1:1: error [not-a-file]")


@pytest.mark.parametrize(
    ("name", "start"),
    [
        ("cabin/Air.yaml", "library/cabin/Air.yaml:1:1: error [bad-slug] `Air` is not a slug"),
        ("cabin/a_b.yaml", "library/cabin/a_b.yaml:1:1: error [bad-slug]"),
        ("cabin/ａ.yaml", "library/cabin/ａ.yaml:1:1: error [bad-slug]"),
        ("cabin/<b>.yaml", "library/cabin/<b>.yaml:1:1: error [bad-slug]"),
        ("cabin/a\x1b[31m.yaml", "library/cabin/a [31m.yaml:1:1: error [bad-slug] `a [31m` is not a slug"),
        ("cabin/a\nb.yaml", "library/cabin/a b.yaml:1:1: error [bad-slug]"),
        ("cabin/air.yml", "library/cabin/air.yml:1:1: error [stray-file] the file ends in `.yml`"),
        ("air.yaml", "library/air.yaml:1:1: error [stray-file]"),
        ("cabn/air.yaml", "library/cabn:1:1: error [no-area]"),
        ("cabin/deep/air.yaml", "library/cabin/deep:1:1: error [stray-file]"),
        ("catalogue/tool.yaml", "library/catalogue/tool.yaml:1:1: error [stray-file]"),
        ("other/fan.yaml", "library/other:1:1: error [no-area]"),
    ],
)
def test_names_that_do_not_belong(check: Check, name: str, start: str) -> None:
    shows(check({name: "format: 1\n"}), start)


def test_a_name_that_is_no_text(make_library: MakeLibrary, check_at: CheckAt) -> None:
    root = make_library()
    Path(os.fsdecode(os.fsencode(root) + b"/cabin/\xff.yaml")).touch()
    shows(check_at(root), "library/cabin/ .yaml:1:1: error [bad-slug] ` ` is not a slug")


def test_a_slug_that_is_used_twice(check: Check, playbook: Playbook) -> None:
    areas = "title: T\ncurrency: EUR\nlabour_rate: 95\nareas: {cabin: Cabin, heating: Heating}\n"
    result = check({"library.yaml": areas, "heating/fan.yaml": playbook()})
    shows(
        result, "library/heating/fan.yaml:1:1: error [slug-twice] the slug `fan` is used twice; first in library/cabin"
    )


@pytest.mark.parametrize("text", [None, "title: T\n", "a: [", "", "[]\n", "\0", "title: !!python/name:os.system\n"])
def test_settings_that_are_missing_or_broken(check: Check, text: str | None) -> None:
    result = check({"library.yaml": text})
    assert result.exit_code == 1
    assert result.stderr.startswith("library/library.yaml:")


@pytest.mark.parametrize("kind", ["tools", "parts", "access", "hazards"])
@pytest.mark.parametrize("text", ["a: [", "", "[]\n", "x\n", "\xff"])
def test_a_broken_catalogue_is_not_blamed_on_the_playbooks(check: Check, kind: str, text: str) -> None:
    result = check({f"catalogue/{kind}.yaml": text.encode("latin-1")})
    assert result.exit_code == 1
    assert all(f"library/catalogue/{kind}.yaml:" in line for line in result.stderr.splitlines() if ": error: " in line)


@pytest.mark.parametrize("number", [errno.EACCES, errno.EIO])
def test_what_the_machine_refuses_ends_with_three(
    make_library: MakeLibrary, check_at: CheckAt, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """As when a file may not be read or the disk fails; simulated, for root may read everything."""

    def refuse(path: Path) -> bytes:
        raise OSError(number, os.strerror(number), str(path))

    root = make_library()
    monkeypatch.setattr(Path, "read_bytes", refuse)
    result = check_at(root)
    assert result.exit_code == 3
    assert os.strerror(number) in result.stderr
    assert "library.yaml" in result.stderr


def test_a_folder_that_may_not_be_listed_ends_with_three(
    make_library: MakeLibrary, check_at: CheckAt, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))

    root = make_library()
    monkeypatch.setattr(os, "scandir", refuse)
    assert check_at(root).exit_code == 3


@pytest.mark.parametrize("words", [["--library", "nowhere"], ["--what"], ["nowhere.yaml"]])
def test_wrong_usage_ends_with_two(
    make_library: MakeLibrary, monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    monkeypatch.chdir(make_library().parent)
    assert CliRunner().invoke(main, ["check", *words]).exit_code == 2


def test_a_library_that_is_a_file_is_wrong_usage(make_library: MakeLibrary) -> None:
    assert command(make_library() / "library.yaml").returncode == 2


def test_the_exit_code_is_that_of_the_whole_command(make_library: MakeLibrary, playbook: Playbook) -> None:
    assert command(make_library()).returncode == 0
    done = command(make_library({"cabin/fan.yaml": playbook("cost: 0", "cost: x")}))
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.splitlines()[-1] == "1 error"


def test_warnings_are_no_errors(check: Check) -> None:
    tools = "multimeter: {name: M}\ncrimper: {name: C}\nawl: {name: A}\n"
    result = check({"catalogue/tools.yaml": tools})
    assert result.exit_code == 0
    assert result.stderr.splitlines()[-1] == "1 warning"


def test_a_path_limits_the_report_while_the_whole_library_is_known(
    make_library: MakeLibrary, check_at: CheckAt, playbook: Playbook
) -> None:
    bad = playbook("cost: 0", "cost: x")
    over = playbook("next: new-plug", "next: {playbook: fan}", "cost: 0", "cost: y")
    root = make_library({"cabin/air.yaml": over, "cabin/fan.yaml": bad, "catalogue/tools.yaml": "a: ["})
    only = check_at(root, "library/cabin/air.yaml")
    shows(only, "library/cabin/air.yaml:20:11: error [notation]")
    both = check_at(root, "library/cabin")
    shows(both, "library/cabin/air.yaml:20:11: error", "library/cabin/fan.yaml:20:11: error")
    assert check_at(root, "library/library.yaml").exit_code == 0


def test_a_path_that_is_a_link_out_of_the_library_shows_its_finding(
    make_library: MakeLibrary, check_at: CheckAt
) -> None:
    root = make_library({"../secret.yaml": "a: b\n"})
    (root / "cabin/air.yaml").symlink_to(root.parent / "secret.yaml")
    shows(check_at(root, "library/cabin"), "library/cabin/air.yaml:1:1: error [link-outside]")


def test_a_path_is_checked_beside_links_that_are_a_loop(make_library: MakeLibrary, check_at: CheckAt) -> None:
    root = make_library()
    (root / "cabin/air.yaml").symlink_to("air.yaml")
    shows(check_at(root, "library/cabin"), "library/cabin/air.yaml:1:1: error [broken-link]")
    assert check_at(root, "library/cabin/fan.yaml").exit_code == 0


def test_findings_of_all_files_are_sorted(check: Check, playbook: Playbook) -> None:
    bad = playbook("cost: 0", "cost: x", "share: 70%", "share: x")
    result = check({"cabin/z.yaml": bad, "cabin/a.yaml": bad, "cabin/fan.yaml": bad, "cabin/B.yaml": ""})
    places = [line.split(": error")[0] for line in result.stderr.splitlines() if ": error: " in line]
    assert places == [
        "library/cabin/B.yaml:1:1",
        *(f"library/cabin/{name}.yaml:{place}" for name in ("a", "fan", "z") for place in ("10:47", "20:11")),
    ]
