"""What tests of several rooms share: how hard the property tests search, the command, libraries, the demo's site."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import pytest
from filelock import FileLock
from hypothesis import settings

from tests.command import run_forked
from tests.sweep import EXAMPLES

ROOT: Final = Path(__file__).resolve().parent.parent

# Usual runs try the same examples every time, so that a change is judged by what it changes; long sweeps seek new ones.
settings.register_profile("usual", derandomize=True, deadline=None)
settings.register_profile("sweep", max_examples=100 * EXAMPLES, deadline=None, print_blob=True)
settings.load_profile("usual" if EXAMPLES == 1 else "sweep")


SETTINGS: Final = {"title": "Test library", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}

RunBuilder = Callable[..., subprocess.CompletedProcess[str]]
WriteLibrary = Callable[..., Path]
WriteProgram = Callable[[Path, str], Path]


@pytest.fixture(scope="session")
def run_builder() -> RunBuilder:
    """Runs ``python -m builder`` with arguments, from the root of the project unless another folder is named.

    ``env`` adds to the environment. Output comes back as text; nothing is a terminal.
    """

    def run(
        *arguments: str | Path, cwd: Path = ROOT, env: Mapping[str, str] | None = None, timeout: float = 120
    ) -> subprocess.CompletedProcess[str]:
        if env is None:
            return run_forked([*map(str, arguments)], cwd, timeout)
        command = [sys.executable, "-m", "builder", *map(str, arguments)]
        environment = {**os.environ, "PYTHONPATH": str(ROOT), **env}
        return subprocess.run(
            command,
            cwd=cwd,
            env=environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            timeout=timeout,
            check=False,
        )

    return run


@pytest.fixture(scope="session")
def write_library() -> WriteLibrary:
    """Writes a library of plain text values to a folder and gives the folder.

    ``playbooks`` are named ``area/slug``; a file is JSON, which is YAML as well.
    """

    def write(
        root: Path,
        playbooks: Mapping[str, Any],
        settings: Mapping[str, Any] = SETTINGS,
        catalogue: Mapping[str, Any] | None = None,
    ) -> Path:
        files = {"library": settings, **playbooks}
        files |= {f"catalogue/{kind}": records for kind, records in (catalogue or {}).items()}
        for name, value in files.items():
            path = root / f"{name}.yaml"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(value, ensure_ascii=False, indent=1), encoding="utf-8")
        return root

    return write


@pytest.fixture(scope="session")
def write_program() -> WriteProgram:
    """Write Python text to a folder as a layout program that can be run."""

    def write(folder: Path, body: str) -> Path:
        path = folder / "layout-program"
        # Through a shell, since a path with a space in it cannot stand on a first line.
        script = path.with_suffix(".py")
        script.write_text(f"{body}\n", encoding="utf-8")
        path.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{script}" "$@"\n', encoding="utf-8")
        path.chmod(0o755)
        return path

    return write


@pytest.fixture(scope="session")
def session_dir(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """A temporary folder that all workers of the session share."""
    own = tmp_path_factory.getbasetemp()
    return own if worker_id == "master" else own.parent


@pytest.fixture(scope="session")
def site_dir(session_dir: Path, run_builder: RunBuilder) -> Path:
    """The site of the demo library; whichever worker asks first builds it for all."""
    site = session_dir / "demo-site"
    with FileLock(session_dir / "demo-site.lock"):
        if not site.exists():
            done = run_builder("build", "--out", site, timeout=600)
            assert done.returncode == 0, done.stderr
    return site
