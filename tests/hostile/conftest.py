"""The library and the command as a hostile contributor meets them."""

import runpy
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from click.testing import CliRunner, Result

from builder.cli import main

# Test folders are no packages: the fixtures of the neighbour are taken from its file.
_READ: Final[dict[str, Any]] = runpy.run_path(str(Path(__file__).parent.parent / "read" / "conftest.py"))
make_library = _READ["make_library"]
playbook = _READ["playbook"]


@pytest.fixture
def check_at(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Result]:
    """Runs ``check`` on a library from the folder above it, and sees to it that nothing was raised on the way."""

    def check_at(root: Path, *paths: str) -> Result:
        monkeypatch.chdir(root.parent)
        result = CliRunner().invoke(main, ["check", "--library", root.name, *paths])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        assert "Traceback" not in result.output
        return result

    return check_at


@pytest.fixture
def check(make_library: Callable[..., Path], check_at: Callable[..., Result]) -> Callable[..., Result]:
    """Runs ``check`` on the library with some files replaced."""
    return lambda files=None: check_at(make_library(files))


@pytest.fixture
def check_playbook(check: Callable[..., Result], playbook: Callable[..., str]) -> Callable[..., Result]:
    """Runs ``check`` on the library with pieces of its playbook replaced."""
    return lambda *pieces: check({"cabin/fan.yaml": playbook(*pieces)})
