"""A small library whose site is quick to build, and the parsed pages of the demo's site."""

import os
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree as ET

import html5lib
import pytest

Plain = dict[str, Any]

PLAYBOOK: Final[Plain] = {
    "format": "1",
    "title": "The horn is dead",
    "symptom": {"summary": "No sound at all.", "codes": ["P0230"]},
    "causes": {"fuse": {"name": "Blown fuse", "share": "60%"}, "horn": {"name": "Corroded horn", "share": "30%"}},
    "start": "look",
    "steps": {
        "look": {
            "title": "Look at the fuse",
            "time": "5 min",
            "results": {
                "blown": {"expect": "The wire is melted", "chance": {"fuse": "95%", "otherwise": "2%"}, "next": "fuse"},
                "whole": {"expect": "The wire is whole", "chance": "rest", "next": "under"},
            },
        },
        "under": {
            "title": "Look at the horn from below",
            "time": "20 min",
            "hazards": ["lifting"],
            "results": {"green": {"expect": "Green plug", "next": "horn"}},
        },
    },
    "endings": {
        "fuse": {"title": "Fit a new fuse", "time": "5 min", "cost": "1", "settles": ["fuse"]},
        "horn": {"title": "Fit a new horn", "time": "30 min", "cost": "40", "settles": ["horn"]},
    },
}


@pytest.fixture
def horn() -> Plain:
    """A playbook of two steps, the second with the hazard `lifting`."""
    return PLAYBOOK


@pytest.fixture
def small_library(tmp_path: Path, write_library: Callable[..., Path]) -> Path:
    """A library of one playbook, ``area/horn``."""
    return write_library(tmp_path / "library", {"area/horn": PLAYBOOK})


@pytest.fixture
def run_git(monkeypatch: pytest.MonkeyPatch) -> Callable[..., str]:
    """Runs Git in a folder, commits being made at ``date``; it sees the settings of the repository and no others."""
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")

    def run(folder: Path, *arguments: str, date: str = "2024-01-01T00:00:00+00:00") -> str:
        people = {"GIT_AUTHOR_NAME": "A Tester", "GIT_AUTHOR_EMAIL": "tester@example.org"}
        people |= {"GIT_COMMITTER_NAME": "A Tester", "GIT_COMMITTER_EMAIL": "tester@example.org"}
        dates = {"GIT_AUTHOR_DATE": "2001-01-01T00:00:00+00:00", "GIT_COMMITTER_DATE": date}
        command = ["git", "-C", str(folder), *arguments]
        done = subprocess.run(
            command, env={**os.environ, **people, **dates}, capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    return run


@pytest.fixture
def committed_library(tmp_path: Path, write_library: Callable[..., Path], run_git: Callable[..., str]) -> Path:
    """A library of the playbooks ``area/horn`` and ``area/hooter``, in one commit of the repository around it."""
    settings = {"title": "Test library", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}
    settings["site_url"] = "https://example.org/cars/"
    books = {"area/horn": PLAYBOOK, "area/hooter": {**PLAYBOOK, "title": "Hooter & <horn>"}}
    library = write_library(tmp_path / "repository" / "playbooks", books, settings)
    run_git(library.parent, "init", "--quiet", "--initial-branch=main")
    run_git(library.parent, "add", ".")
    run_git(library.parent, "commit", "--quiet", "--message=first")
    return library


@pytest.fixture(scope="session")
def tree() -> Callable[[Path], dict[str, bytes]]:
    """Every file below a folder with what is in it."""

    def tree(folder: Path) -> dict[str, bytes]:
        return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}

    return tree


@pytest.fixture(scope="session")
def demo_pages(site_dir: Path) -> dict[str, ET.Element]:
    """The parsed HTML pages of the demo's site by address; a page with a parse error fails the test that asks first."""
    pages: dict[str, ET.Element] = {}
    for path in sorted(site_dir.rglob("*.html")):
        parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
        pages[path.relative_to(site_dir).as_posix()] = parser.parse(path.read_text(encoding="utf-8"))
    return pages
