"""A small library whose site is quick to build, and the parsed pages of the demo's site."""

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
