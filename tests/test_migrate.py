"""`droplight migrate`: all playbooks or none, and first of all without writing; tried with an invented format."""

from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import main
from builder.format.migrate import migrated
from tests.read.conftest import FILES, PLAYBOOK, write_files


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A library of two playbooks."""
    write_files(tmp_path / "copy", {**FILES, "cabin/second.yaml": PLAYBOOK})
    return tmp_path / "copy"


def migrate(library: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["migrate", "--library", str(library), *words])


def files(library: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in library.rglob("*.yaml")}


@pytest.fixture
def invented(monkeypatch: pytest.MonkeyPatch) -> None:
    steps = {1: lambda text: text.replace("title:", "name:", 1)}
    monkeypatch.setattr("builder.commands.migrate.migrated", partial(migrated, steps=steps, newest=2))
    monkeypatch.setattr("builder.commands.migrate.FORMAT", 2)


def test_there_is_nothing_to_do_so_far(library: Path) -> None:
    before = files(library)
    done = migrate(library)
    assert (done.exit_code, done.stdout.startswith("0 of ")) == (0, True)
    assert files(library) == before


@pytest.mark.usefixtures("invented")
def test_a_dry_run_shows_what_would_be_written_and_writes_nothing(library: Path) -> None:
    before = files(library)
    done = migrate(library, "--dry-run")
    assert done.exit_code == 0
    assert "+format: 2" in done.stdout
    assert "-format: 1" in done.stdout
    assert files(library) == before


@pytest.mark.usefixtures("invented")
def test_playbooks_are_written_in_the_new_format(library: Path) -> None:
    count = len([name for name, data in files(library).items() if data.startswith(b"format: 1")])
    assert count
    done = migrate(library)
    assert done.stdout.splitlines()[-1].startswith(f"{count} of {count} playbooks migrated")
    assert len([name for name, data in files(library).items() if data.startswith(b"format: 2\nname:")]) == count
    assert migrate(library).stdout.startswith("0 of ")


@pytest.mark.usefixtures("invented")
def test_one_that_cannot_be_migrated_stops_all(library: Path) -> None:
    broken = next(path for path in library.rglob("*.yaml") if path.read_bytes().startswith(b"format: 1"))
    broken.write_text("title: T\n", encoding="utf-8")
    before = files(library)
    done = migrate(library)
    assert done.exit_code == 2
    assert "no line says its format" in done.stderr
    assert files(library) == before
