"""Libraries at the edges: nothing in them yet, no odds, and more paths than anyone can go through."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree as ET

import html5lib
import pytest

Plain = dict[str, Any]
Run = Callable[..., Any]
Write = Callable[..., Path]

RUNGS: Final = 60


def text(path: Path) -> str:
    root: ET.Element = html5lib.parse(path.read_text(encoding="utf-8"), namespaceHTMLElements=False)
    (main,) = root.iter("main")
    return " ".join("".join(main.itertext()).split())


def test_a_library_without_playbooks_has_a_site(tmp_path: Path, write_library: Write, run_builder: Run) -> None:
    done = run_builder("build", "--library", write_library(tmp_path / "library", {}), "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    assert "No playbook here yet." in text(tmp_path / "site/area/area.html")
    assert "Nothing here yet." in text(tmp_path / "site/codes.html")
    assert "What is the car doing?" in text(tmp_path / "site/index.html")


def test_an_area_without_playbooks_is_not_offered(
    tmp_path: Path, write_library: Write, horn: Plain, run_builder: Run
) -> None:
    areas = {"area": "Area", "empty": "Still empty"}
    settings = {"title": "T", "currency": "JPY", "labour_rate": "6000", "areas": areas}
    library = write_library(tmp_path / "library", {"area/horn": horn}, settings)
    done = run_builder("build", "--library", library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    home = text(tmp_path / "site/index.html")
    assert "Area" in home
    assert "Still empty" not in home
    assert "¥" in home


def test_without_odds_a_page_has_totals_and_says_why_it_has_no_more(
    tmp_path: Path, write_library: Write, horn: Plain, run_builder: Run
) -> None:
    causes = {name: {"name": cause["name"]} for name, cause in horn["causes"].items()}
    library = write_library(tmp_path / "library", {"area/horn": {**horn, "causes": causes}})
    done = run_builder("build", "--library", library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    page = text(tmp_path / "site/playbook/horn.html")
    assert "gives no shares or no chances" in page
    assert "€40" in page
    assert "NaN" not in page
    assert "None" not in page


@pytest.fixture
def ladder() -> Plain:
    """A playbook of sixty steps in a row, each of which may be followed by a detour: 2^60 paths."""
    steps: Plain = {}
    for i in range(RUNGS):
        after = f"rung-{i + 1}" if i + 1 < RUNGS else "top"
        results = {
            "on": {"expect": "Straight on", "chance": {"fault": "60%", "otherwise": "30%"}, "next": after},
            "round": {"expect": "The long way round", "chance": "rest", "next": f"detour-{i}"},
        }
        steps[f"rung-{i}"] = {"title": f"Rung {i}", "time": "1 min", "cost": "1", "results": results}
        back = {"back": {"expect": "Back on the ladder", "next": after}}
        steps[f"detour-{i}"] = {"title": f"Detour {i}", "time": "2 min", "cost": f"{i % 7}", "results": back}
    return {
        "format": "1",
        "title": "A long ladder",
        "symptom": {"summary": "Many ways up."},
        "causes": {"fault": {"name": "The fault", "share": "80%"}},
        "start": "rung-0",
        "steps": steps,
        "endings": {"top": {"title": "The top", "time": "1 min", "cost": "10", "settles": ["fault"]}},
    }


def test_more_paths_than_can_be_gone_through_are_counted_and_the_likeliest_listed(
    tmp_path: Path, write_library: Write, ladder: Plain, run_builder: Run
) -> None:
    library = write_library(tmp_path / "library", {"area/ladder": ladder})
    done = run_builder("build", "--library", library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    page = text(tmp_path / "site/playbook/ladder.html")
    assert f"There are {2**RUNGS:,} paths; these are 200 of them" in page
    assert "too many to go through one by one, so this page cannot say for how much half of the owners are done" in page
    assert "19 of 20" not in page
    assert len(list((tmp_path / "site/path").iterdir())) == 1  # any other path's sheet is made in the browser
