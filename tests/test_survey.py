"""`droplight survey`: where a library is weakest, and what its shares and chances rest on."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from builder.read.library import read_library
from builder.reckon.survey import survey_of
from builder.report.survey import survey_json

Run = Callable[..., Any]
Write = Callable[..., Path]

CATALOGUE = {"tools": {"saw": {"name": "Saw", "price": "5"}, "file": {"name": "File", "price": "4"}}}


def book(share: str, **more: Any) -> dict[str, Any]:
    """A playbook that settles a share of its cases."""
    results = {
        "yes": {"expect": "Yes", "chance": "rest", "next": "mend"},
        "no": {"expect": "No", "chance": {"worn": "10%", "otherwise": "90%"}, "next": "go"},
    }
    return {
        "format": "1",
        "title": "T",
        "symptom": {"summary": "S"},
        "causes": {"worn": {"name": "Worn", "share": share}},
        "start": "look",
        "steps": {"look": {"title": "L", "time": "1 min", "tools": ["saw"], "results": results}},
        "endings": {"mend": {"title": "M", "settles": ["worn"], "time": "1 h"}, "go": {"title": "G"}},
        **more,
    }


@pytest.fixture
def library(tmp_path: Path, write_library: Write) -> Path:
    counted = {"what": "own count", "seen": "24", "on": "2026-03"}
    bare = book("90%")
    del bare["causes"]["worn"]["share"]
    for result in bare["steps"]["look"]["results"].values():
        del result["chance"]
    playbooks: Mapping[str, Any] = {
        "area/strong": book("95%", source=counted),
        "area/weak": book("80%", accept={"cause-unsettled": "x"}),
        "area/silent": bare,
    }
    playbooks["area/weak"].pop("accept")
    return write_library(tmp_path / "library", playbooks, catalogue=CATALOGUE)


def test_the_weakest_come_first_and_what_has_no_odds_before_all(library: Path) -> None:
    sound = read_library(library).sound
    assert sound
    found = survey_of(sound)
    assert [one.slug for one in found.playbooks] == ["silent", "weak", "strong"]
    assert found.without_odds == ("silent",)
    # By hand: 80 % have the cause, of which nine of ten are seen; 95 % likewise.
    assert [one.settled for one in found.playbooks[1:]] == [pytest.approx(0.72), pytest.approx(0.855)]
    assert all(one.unproven == ("mend",) for one in found.playbooks)
    assert found.unused == {"tools": ("file",)}


def test_what_shares_and_chances_rest_on_is_counted(library: Path) -> None:
    sound = read_library(library).sound
    assert sound
    by_slug = {one.slug: one for one in survey_of(sound).playbooks}
    assert dict(by_slug["strong"].sources) == {"own count": 2}  # a share and a chance; the rest needs none
    assert (by_slug["strong"].seen, by_slug["strong"].reviewed) == (24, "2026-03")
    assert dict(by_slug["weak"].sources) == {"not said": 2}
    assert survey_json(survey_of(sound), {})["sources"] == {"own count": 2, "not said": 2}


def test_the_command_prints_a_table_and_json(library: Path, run_builder: Run) -> None:
    table = run_builder("survey", "--library", library, env={"COLUMNS": "160"})
    assert table.returncode == 0
    lines = table.stdout.splitlines()
    assert [line.split()[0] for line in lines[2:5]] == ["silent", "weak", "strong"]
    assert lines[5:] == [
        "without odds: silent",
        "unused tools: file",
        "shares and chances rest on: 2 not said, 2 own count",
    ]
    told = json.loads(run_builder("survey", "--json", "--library", library).stdout)
    assert [one["slug"] for one in told["playbooks"]] == ["silent", "weak", "strong"]
    assert told["unused"] == {"tools": ["file"]}


def test_gaps_are_never_negative(library: Path) -> None:
    sound = read_library(library).sound
    assert sound
    assert all(one.gap is None or one.gap >= 0 for one in survey_of(sound).playbooks)
