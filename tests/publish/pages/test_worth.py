"""What following a playbook is worth, on its page: the cost in the end, the verdict on its order, oneself or not."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import html5lib
import pytest

from builder.draw.figures import Figures
from builder.publish.pages.worth import bill_after, either_of, outcome_of
from builder.publish.site import write_site
from builder.read.library import read_library
from builder.reckon.advice import appraise
from builder.reckon.bill import path_bill
from builder.reckon.reckoning import reckoning_of
from builder.reckon.standing import standings
from builder.reckon.totals import totals
from tests.publish.conftest import PLAYBOOK

MONEY = Figures("en", "EUR").money
STEPS: Any = PLAYBOOK["steps"]
ENDINGS: Any = PLAYBOOK["endings"]
RESULTS: Any = STEPS["look"]["results"]
GREEN: Any = {"expect": "Green plug", "chance": "rest", "next": "horn"}
RISKY: dict[str, Any] = {
    **PLAYBOOK,
    "steps": {**STEPS, "under": {**STEPS["under"], "results": {"green": GREEN}}},
    "endings": {
        "fuse": {**ENDINGS["fuse"], "tools": ["meter"]},
        "horn": {**ENDINGS["horn"], "mishap": {"what": "A stud shears.", "chance": "10%", "cost": "50"}},
    },
}
CATALOGUE = {"tools": {"meter": {"name": "Meter", "price": "25"}}}


@pytest.fixture
def page(tmp_path: Path, write_library: Callable[..., Path]) -> Callable[..., str]:
    """The words on the page of a playbook, its order being looked into or not."""

    def made(book: dict[str, Any], *, looked_into: bool = True) -> str:
        root = write_library(tmp_path / "library", {"area/horn": book}, catalogue=CATALOGUE)
        read = read_library(root, appraise=appraise)
        assert read.sound, read.findings
        (tmp_path / "site").mkdir()
        write_site(read.sound, root, tmp_path / "site", found=read.found if looked_into else {})
        text = (tmp_path / "site/playbook/horn.html").read_text(encoding="utf-8")
        main = html5lib.parse(text, namespaceHTMLElements=False).find(".//main")
        assert main is not None
        return " ".join("".join(main.itertext()).split())

    return made


@pytest.fixture
def reckoned(tmp_path: Path, write_library: Callable[..., Path]) -> Any:
    """The risky playbook's reckoning."""
    root = write_library(tmp_path / "reckoned", {"area/horn": RISKY}, catalogue=CATALOGUE)
    library = read_library(root).sound
    assert library
    return reckoning_of(library.playbooks["horn"], library.catalogue, library.settings), library


def test_the_head_says_the_cost_in_the_end_beside_handing_over_and_what_it_is_made_up_of(
    page: Callable[..., str], reckoned: Any
) -> None:
    reckoning, _ = reckoned
    outcome = outcome_of(reckoning, totals(reckoning, "EUR"))
    assert outcome
    assert sum(outcome.makeup) == pytest.approx(reckoning.in_the_end)
    said = page(RISKY)
    end, at_once = (MONEY(float(round(money))) for money in (outcome.in_the_end, outcome.at_once))
    assert f"By this playbook {end} in the end on average, everything counted; handed over at once {at_once}." in said
    assert f"what a professional finishes {MONEY(float(round(outcome.makeup.professional)))}" in said


def test_the_share_put_right_never_stands_without_what_the_others_then_cost(
    page: Callable[..., str], reckoned: Any
) -> None:
    reckoning, _ = reckoned
    whole = totals(reckoning, "EUR")
    outcome = outcome_of(reckoning, whole)
    assert outcome
    assert whole.settled is not None
    assert outcome.left == pytest.approx(1 - whole.settled)
    assert outcome.left * outcome.bill == pytest.approx(outcome.makeup.professional)
    said = page(RISKY)
    assert "of cases; each of the others costs" in said
    assert re.search(
        r"ends with the fault put right.*Where it ends without, \d+\s?% of cases, a professional then", said
    )
    assert said.count("Where it is wrong, a professional then takes") == 2


def test_the_bills_after_endings_are_what_a_professional_finishes(reckoned: Any) -> None:
    reckoning, library = reckoned
    endings = library.playbooks["horn"].endings
    outcome = outcome_of(reckoning, totals(reckoning, "EUR"))
    finished = 0.0
    for node, standing in zip(reckoning.graph.nodes, standings(reckoning), strict=True):
        if node.kind == "ending":
            bill = bill_after(reckoning, endings[node.name], standing)
            finished += standing.reached * (1 - (standing.right or 0.0)) * (bill or 0.0)
    assert outcome
    assert finished == pytest.approx(outcome.makeup.professional)


def test_either_way_of_an_ending_by_hand(reckoned: Any) -> None:
    reckoning, library = reckoned
    endings, found = library.playbooks["horn"].endings, {}
    for i, node in enumerate(reckoning.graph.nodes):
        if node.kind == "ending":
            tools = [(name, library.catalogue.tools[name]) for name in reckoning.bill.items[i].tools]
            found[node.name] = either_of(endings[node.name], path_bill(reckoning.bill, [i]), tools)
    fuse, horn = found["fuse"], found["horn"]
    # A fuse of 1 and a meter of 25 against a fuse and five minutes at 60 an hour.
    assert (fuse.money, fuse.tools, fuse.price) == (26, 25, 6)
    assert fuse.saves == pytest.approx(-20)
    # A horn of 40 and a mishap of 50 in one case of ten against a horn and half an hour.
    assert (horn.money, horn.chance, horn.mishap, horn.price) == (40, 0.1, 5, 70)
    assert horn.saves == pytest.approx(25)


def test_an_ending_says_what_either_way_costs(page: Callable[..., str]) -> None:
    said = page(RISKY)
    assert "Yourself: €26 and 5 min · €25 of it for tools By a workshop: €6 The workshop costs €20 less." in said
    assert "mishap in 10% of cases, €5 on average By a workshop: €70 The workshop costs €25 more." in said


def test_a_repair_that_only_a_workshop_may_do_has_no_other_way(page: Callable[..., str]) -> None:
    endings = {"fuse": ENDINGS["fuse"], "horn": {**ENDINGS["horn"], "who": "shop"}}
    assert page({**PLAYBOOK, "endings": endings}).count("By a workshop:") == 1


def test_the_stamp_says_what_another_order_saves_and_what_it_changes(page: Callable[..., str]) -> None:
    dear: Any = {**STEPS["under"], "title": "Strip the front", "cost": "90", "results": {"green": GREEN}}
    led = {"green": {**GREEN, "chance": {"horn": "90%", "otherwise": "5%"}}}
    led["clean"] = {"expect": "Clean plug", "chance": "rest", "next": "look"}
    to_horn = {**RESULTS, "whole": {**RESULTS["whole"], "next": "horn"}}
    steps = {"under": {**dear, "results": led}, "look": {**STEPS["look"], "results": to_horn}}
    said = page({**PLAYBOOK, "start": "under", "steps": steps})
    assert re.search(r"The best order known saves €\d+ \(\d+%\)", said)
    assert re.search(r"First “Look at the fuse” rather than “Strip the front” saves €\d+\.", said)


def test_the_stamp_says_that_no_order_is_cheaper_where_that_is_proven(page: Callable[..., str]) -> None:
    steps = {"look": {**STEPS["look"], "results": {**RESULTS, "whole": {**RESULTS["whole"], "next": "horn"}}}}
    sure = {"fuse": "100%", "otherwise": "0%"}
    steps["look"]["results"]["blown"] = {**RESULTS["blown"], "chance": sure}
    causes: Any = {"fuse": {"name": "Blown fuse", "share": "60%"}, "horn": {"name": "Corroded horn", "share": "40%"}}
    said = page({**PLAYBOOK, "causes": causes, "steps": steps})
    assert "No order of these checks is cheaper (proven)" in said
    assert "each of the others" not in said


def test_there_is_no_stamp_where_the_order_was_not_looked_into(page: Callable[..., str]) -> None:
    said = page(RISKY, looked_into=False)
    assert "best order known" not in said
    assert "of these checks" not in said


def test_a_playbook_without_odds_says_nothing_of_the_end(page: Callable[..., str]) -> None:
    causes: Any = PLAYBOOK["causes"]
    results = {name: {key: said for key, said in one.items() if key != "chance"} for name, one in RESULTS.items()}
    steps = {**STEPS, "look": {**STEPS["look"], "results": results}}
    named = {name: {"name": cause["name"]} for name, cause in causes.items()}
    said = page({**PLAYBOOK, "causes": named, "steps": steps})
    assert "in the end" not in said
    assert "The workshop costs" in said
