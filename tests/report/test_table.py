"""Totals as a table for the terminal."""

import io
from collections.abc import Callable
from typing import Any, Final

import pytest
from rich.console import Console

from builder.draw.figures import Figures
from builder.reckon.reckoning import Reckoning
from builder.reckon.totals import totals
from builder.report.table import totals_table

PLAYBOOK: Final[dict[str, Any]] = {
    "causes": {"plug": {"name": "Plug", "share": "80%"}, "lead": {"name": "Lead", "share": "20%"}},
    "steps": {
        "look": {
            "title": "Look",
            "time": "10 min",
            "results": {
                "brown": {"expect": "Brown", "chance": {"plug": "100%", "otherwise": "0%"}, "next": "fit"},
                "clean": {"expect": "New", "chance": "rest", "next": {"playbook": "other"}},
            },
        }
    },
    "endings": {"fit": {"title": "Fit", "time": "20 min", "cost": "100", "settles": ["plug"]}},
}


@pytest.fixture
def printed(reckon: Callable[[dict[str, Any]], Reckoning]) -> Callable[..., str]:
    """The table of a playbook as a terminal of a width shows it."""

    def printed(playbook: dict[str, Any], width: int = 100, most: int = 200) -> str:
        console = Console(file=io.StringIO(), width=width, highlight=False)
        for part in totals_table(totals(reckon(playbook), "EUR", most), Figures("en_GB", "EUR")):
            console.print(part)
        return console.file.getvalue()  # type: ignore[attr-defined, no-any-return]

    return printed


def test_the_whole_comes_first_then_a_row_a_path(printed: Callable[..., str]) -> None:
    """100 × 0.8 expected; 60 an hour: 0.8 × (100 + 30) + 0.2 × 10 at a workshop; 0.8 × 30 + 0.2 × 10 minutes."""
    lines = [line.rstrip() for line in printed(PLAYBOOK).splitlines()]
    assert lines[:3] == [
        "x: 2 paths",
        "expected: €80, 26 min; at a workshop €106",
        "put right: 80%; wasted on wrong repairs: €0",
    ]
    assert lines[3] == "done for: 50 % for €100 or less, 80 % for €100 or less, 95 % for €100 or less"
    assert [line.split()[:2] for line in lines[4:]] == [["results", "ends"], ["brown", "fit"], ["clean", "go"]]
    assert lines[5].split()[2:] == ["€100", "30", "min", "€130", "80%", "100%"]


def test_without_odds_it_says_so_and_leaves_the_columns_empty(printed: Callable[..., str]) -> None:
    look = PLAYBOOK["steps"]["look"]
    results = {name: {"expect": r["expect"], "next": r["next"]} for name, r in look["results"].items()}
    said = printed({**PLAYBOOK, "causes": {}, "steps": {"look": {**look, "results": results}}, "endings": ENDINGS})
    assert "no odds: shares or chances are not given" in said
    assert said.splitlines()[-1].split()[-2:] == ["–", "–"]


ENDINGS: Final = {"fit": {"title": "Fit", "time": "20 min", "cost": "100"}}


def test_it_says_how_many_of_the_paths_are_listed(printed: Callable[..., str]) -> None:
    assert printed(PLAYBOOK, most=1).startswith("x: 2 paths, 1 of them listed\n")


def test_nothing_is_lost_on_a_narrow_terminal(printed: Callable[..., str]) -> None:
    narrow = "".join(printed(PLAYBOOK, width=44).split())
    for word in ("brown", "clean", "€100", "€130"):
        assert word in narrow
