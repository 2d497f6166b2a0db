"""Streams: every command prints in every encoding, and whoever leaves early or presses Ctrl-C is understood."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Final

import pytest

from builder.streams import READER_LEFT, plainly
from tests.sweep import SWEEP

ROOT: Final = Path(__file__).resolve().parent.parent
DEMO: Final = "fan-on-top-speed-only"

COMMANDS: Final = {
    "check": ["--library", "{odd}"],
    "totals": [DEMO],
    "order": [DEMO],
    "compare": ["{odd}", "playbooks"],
    "schema": [],
    "survey": ["--library", "{odd}"],
}

ENCODINGS: Final = {
    "cp1252": {"PYTHONIOENCODING": "cp1252"},
    "ascii": {"PYTHONIOENCODING": "ascii"},
    "latin-1": {"PYTHONIOENCODING": "latin-1"},
    "C": {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
    "POSIX": {"LC_ALL": "POSIX"},
    "UTF-8": {"PYTHONIOENCODING": "utf-8"},
}

CASES: Final = [
    (command, encoding)
    for command in COMMANDS
    for encoding in (ENCODINGS if command == "check" or SWEEP else ("ascii",))
]
"""All share one way out, so that a usual run tries every encoding with one command."""

PLAYBOOK: Final = """\
format: 1
title: Ölstand fällt → Δ 漢字
symptom: {summary: Übel.}
start: look
steps:
  look: {title: T, time: 1 min, results: {on: {expect: x, next: end}, off: {expect: y, nxt: ünd}}}
endings:
  end: {title: E}
"""


@pytest.fixture
def odd(tmp_path: Path) -> Path:
    """A library whose texts no small encoding holds, with a mistake among them."""
    folder = tmp_path / "ödd"
    (folder / "area").mkdir(parents=True)
    settings = "title: T → 漢\nlanguage: en\ncurrency: EUR\nlabour_rate: 60\nareas: {area: Ärger}\n"
    (folder / "library.yaml").write_text(settings, encoding="utf-8")
    (folder / "area/oil.yaml").write_text(PLAYBOOK, encoding="utf-8")
    return folder


def run(words: list[str], **environment: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "builder", *words]
    env = {**os.environ, "PYTHONPATH": str(ROOT), **environment}
    return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, check=False, timeout=300)


@pytest.mark.parametrize(("command", "encoding"), CASES)
def test_every_command_prints_in_every_encoding(command: str, encoding: str, odd: Path) -> None:
    words = [word.replace("{odd}", str(odd)) for word in COMMANDS[command]]
    done = run([command, *words], **ENCODINGS[encoding])
    said = done.stdout + done.stderr
    assert b"Traceback" not in said
    assert b"a defect of" not in said
    assert done.returncode in (0, 1)
    assert len(said) > 50
    if encoding in ("ascii", "UTF-8"):
        assert said.decode(encoding)


def test_json_is_the_same_in_every_encoding() -> None:
    told = [json.loads(run(["totals", DEMO, "--json"], **how).stdout) for how in ENCODINGS.values()]
    assert all(one == told[0] for one in told)


def test_a_character_that_an_encoding_lacks_is_written_in_others() -> None:
    assert plainly("a → b … 5 € »x« Ölé Ω 漢") == "a -> b ... 5 EUR  >>x<< Oele Ohm \\u6f22"


@pytest.mark.parametrize("closed", ["stdout", "stderr"])
def test_a_reader_that_leaves_is_no_error_of_the_library(odd: Path, closed: str) -> None:
    """The exit code 1 would say that the library has errors; nothing is said of it."""
    reader, writer = os.pipe()
    os.close(reader)
    words = ["check", "--format", "json"] if closed == "stdout" else ["check"]
    command = [sys.executable, "-m", "builder", *words, "--library", str(odd)]
    other = "stderr" if closed == "stdout" else "stdout"
    done = subprocess.run(
        command,
        cwd=ROOT,
        check=False,
        timeout=300,
        **{closed: writer, other: subprocess.PIPE},  # type: ignore[call-overload]
    )
    os.close(writer)
    assert done.returncode == READER_LEFT
    assert b"Traceback" not in (getattr(done, other) or b"")
