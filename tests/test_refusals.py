"""Refusals: a defect of the program is one line and exit code 3, wherever it happens; never a traceback, never 1."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import click
import pytest
from click.testing import CliRunner, Result

from builder import cli
from builder.publish.crew import Workers
from builder.read.library import read_playbook
from builder.refusals import MACHINE_FAILED, MachineFailed, naming_refusals

LINE: Final = re.compile(r"Error: a defect of Droplight, not of your library: .*\. Please report this line .*\n")

Write = Callable[..., Path]

BOOK: Final = {
    "format": "1",
    "title": "Dead",
    "symptom": {"summary": "Nothing happens."},
    "start": "look",
    "steps": {"look": {"title": "Look", "time": "5 min", "results": {"seen": {"expect": "Seen", "next": "end"}}}},
    "endings": {"end": {"title": "Mend", "time": "5 min"}},
}


def fails(error: BaseException) -> Callable[..., Any]:
    def fail(*_: object, **__: object) -> None:
        raise error

    return fail


def ask(*arguments: str | Path) -> Result:
    return CliRunner().invoke(cli.main, [str(argument) for argument in arguments])


DEFECTS: Final = (
    ZeroDivisionError("float division by zero"),
    AttributeError("no `nodes`"),
    KeyError("look"),
    RecursionError("too deep"),
    AssertionError(""),
    RuntimeError("\x1b[31mred\n::error::forged"),
    ValueError("x" * 10**6),
)


@pytest.mark.parametrize("error", DEFECTS, ids=lambda error: type(error).__name__)
@pytest.mark.parametrize(
    "command", [["check"], ["build"], ["totals", "dead"], ["compare", "{}", "{}"]], ids=lambda command: command[0]
)
def test_a_defect_is_one_line_and_3(
    command: list[str], error: Exception, tmp_path: Path, write_library: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = write_library(tmp_path / "library", {"area/dead": BOOK})
    for module in ("build", "check", "compare", "shared"):
        monkeypatch.setattr(f"builder.commands.{module}.read_library", fails(error))
    arguments = [argument.format(library) for argument in command]
    done = ask(*arguments, *([] if command[0] == "compare" else ["--library", library]))
    assert done.exit_code == MACHINE_FAILED
    assert LINE.fullmatch(done.stderr), done.stderr
    assert type(error).__name__ in done.stderr
    assert "Traceback" not in done.output
    assert done.stderr.isprintable() or done.stderr[:-1].isprintable()
    assert len(done.stderr) < 1000


def test_it_says_where_also_in_a_worker() -> None:
    """Reading without surroundings fails in the library's own reader, in whichever process."""
    nothing: Any = None
    for workers in (1, 2):
        told = pytest.raises(MachineFailed, match=r"builder/read/library\.py:\d+;")
        with told, naming_refusals(), Workers(workers) as crew:
            list(crew.run(read_playbook, [nothing] * 20, nothing))


def test_full_memory_is_the_machines_fault() -> None:
    with pytest.raises(MachineFailed, match="memory is full"), naming_refusals():
        raise MemoryError


@pytest.mark.parametrize("error", [click.UsageError("no"), click.Abort(), click.exceptions.Exit(1), BrokenPipeError()])
def test_what_is_no_defect_stays_what_it_is(error: Exception) -> None:
    with pytest.raises(type(error)), naming_refusals():
        raise error


@pytest.mark.parametrize("error", [ZeroDivisionError("0"), PermissionError(13, "denied"), MemoryError()])
def test_a_comparison_that_fails_says_that_every_warning_may_be_gone(
    error: Exception, tmp_path: Path, write_library: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    library = write_library(tmp_path / "library", {"area/dead": BOOK})
    monkeypatch.setattr("builder.commands.compare.compare", fails(error))
    done = ask("compare", library, library)
    assert done.exit_code == MACHINE_FAILED
    assert "All warnings may be gone" in done.stdout
