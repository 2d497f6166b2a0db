"""Flowcharts: symbols of ISO 5807, results on the arrows, figures and signal words in the boxes."""

import math
from collections.abc import Callable
from typing import Any, Final
from xml.etree import ElementTree as ET

import pytest

SVG: Final = "{http://www.w3.org/2000/svg}"
Draw = Callable[..., ET.Element]
Group = Callable[[ET.Element, str], ET.Element]
Texts = Callable[[ET.Element], list[str]]

PLAYBOOK: Final[dict[str, Any]] = {
    "causes": {"plug": {"name": "Plug", "share": "75%"}, "lead": {"name": "Lead", "share": "25%"}},
    "steps": {
        "look": {
            "title": "Look at the plug",
            "time": "10-20 min",
            "cost": "30",
            "hazards": ["hot", "lifting"],
            "results": {
                "brown": {
                    "expect": "The plastic is brown",
                    "chance": {"plug": "100%", "otherwise": "0%"},
                    "next": "fit",
                },
                "clean": {"expect": "It looks new", "chance": "rest", "next": "measure"},
            },
        },
        "measure": {
            "title": "Measure the lead",
            "time": "5 min",
            "tools": ["meter"],
            "results": {"any": {"expect": "Whatever it reads", "next": {"playbook": "other-book"}}},
        },
    },
    "endings": {"fit": {"title": "Fit a new plug", "time": "1 h", "hazards": ["paint"], "settles": ["plug"]}},
}


def points(polygon: ET.Element) -> set[tuple[float, float]]:
    pairs = (point.split(",") for point in polygon.get("points", "").split())
    return {(float(x), float(y)) for x, y in pairs}


def width(arrow: ET.Element) -> float:
    """The width of an arrow in points; SVG's initial value of `stroke-width` is 1."""
    return float(arrow.get("stroke-width", "1"))


@pytest.fixture(scope="module")
def drawing(draw: Draw) -> ET.Element:
    return draw(PLAYBOOK, {"other-book": "Another playbook"})


def classed(drawing: ET.Element, name: str) -> list[ET.Element]:
    return [element for element in drawing.iter() if name in element.get("class", "").split()]


def words_with(drawing: ET.Element, words: str, texts: Texts) -> ET.Element:
    """What stands at an arrow."""
    (found,) = (one for one in classed(drawing, "result") if words in " ".join(" ".join(texts(one)).split()))
    return found


def arrow_with(drawing: ET.Element, words: str, texts: Texts) -> ET.Element:
    """The line from some words to where they lead: the one with a head that begins nearest to them."""
    (*_, last) = words_with(drawing, words, texts).iter(f"{SVG}text")
    place = float(last.get("x", "0")), float(last.get("y", "0"))
    headed = [line for line in classed(drawing, "arrow") if line.get("marker-end")]
    return min(headed, key=lambda line: math.dist(place, start(line)))


def start(line: ET.Element) -> tuple[float, float]:
    x, y = line.get("d", "").removeprefix("M").partition("C")[0].split(",")
    return float(x), float(y)


# ISO 5807:1985, 9.3 (special process symbols) and 9.4.1 (terminator): process 9.2.1 is a rectangle.
def test_a_step_is_a_process_a_rectangle(drawing: ET.Element, group: Group) -> None:
    step = group(drawing, "flow-step-look")
    (box,) = step.iter(f"{SVG}polygon")
    corners = points(box)
    assert len(corners) == 4
    assert len({x for x, _ in corners}) == len({y for _, y in corners}) == 2


# ISO 5807:1985, 9.2.2.4: a decision is a lozenge, one way in and several alternative ways out.
def test_a_step_with_two_results_leads_to_a_decision_a_lozenge(drawing: ET.Element) -> None:
    decisions = classed(drawing, "decision")
    assert len(decisions) == 1
    (lozenge,) = decisions[0].iter(f"{SVG}polygon")
    corners = points(lozenge)
    assert len(corners) == 4
    assert len({x for x, _ in corners}) == len({y for _, y in corners}) == 3


# ISO 5807:1985, 9.4.2: a terminator has round ends.
@pytest.mark.parametrize("what", ["start", "ending"])
def test_start_and_endings_are_terminators_with_round_ends(drawing: ET.Element, what: str) -> None:
    (node,) = classed(drawing, what)
    assert "terminator" in node.get("class", "").split()
    (outline,) = node.iter(f"{SVG}rect")
    assert float(outline.get("rx", "0")) > 0
    assert not list(node.iter(f"{SVG}polygon"))


# ISO 5807:1985, 9.2.2.1: a predefined process is a rectangle with a second line at either side.
def test_a_hand_over_is_a_predefined_process_with_two_inner_lines(drawing: ET.Element, group: Group) -> None:
    hand_over = group(drawing, "flow-to-other-book")
    (box,) = hand_over.iter(f"{SVG}polygon")
    left, right = min(x for x, _ in points(box)), max(x for x, _ in points(box))
    lines = [points(line) for line in hand_over.iter(f"{SVG}polyline")]
    assert len(lines) == 2
    for line in lines:
        ((x, _),) = {(x, 0) for x, _ in line}
        assert left < x < right
        assert {y for _, y in line} == {y for _, y in points(box)}


def test_a_hand_over_names_the_playbook_and_links_to_its_page(drawing: ET.Element, group: Group, texts: Texts) -> None:
    hand_over = group(drawing, "flow-to-other-book")
    assert texts(hand_over) == ["Go on in:", "Another playbook"]
    assert [link.get("href") for link in hand_over.iter(f"{SVG}a")] == ["other-book.html"]


def test_every_box_links_to_its_place_on_the_page(drawing: ET.Element) -> None:
    links = {link.get("href") for link in drawing.iter(f"{SVG}a")}
    assert links == {"#step-look", "#step-measure", "#ending-fit", "other-book.html"}


def test_a_box_shows_its_mark_the_severest_signal_word_the_title_and_what_it_costs_without_tools(
    drawing: ET.Element, group: Group, texts: Texts
) -> None:
    """A tool of 25 would be counted in each box that needs it, and is bought once."""
    assert lines(group(drawing, "flow-step-look"), texts) == ["1 · DANGER", "Look at the plug", "€30 · 15 min"]
    assert lines(group(drawing, "flow-step-measure"), texts) == ["2", "Measure the lead", "€0 · 5 min"]
    assert lines(group(drawing, "flow-ending-fit"), texts) == ["A · NOTICE", "Fit a new plug", "€0 · 1 h"]


def lines(box: ET.Element, texts: Texts) -> list[str]:
    return [line.strip("\u00a0") for line in texts(box)]


def test_a_box_carries_its_signal_as_a_class_for_the_colour(drawing: ET.Element, group: Group) -> None:
    assert {"signal", "danger"} <= set(group(drawing, "flow-step-look").get("class", "").split())
    assert "signal" not in group(drawing, "flow-step-measure").get("class", "").split()


def test_results_stand_at_the_arrows(drawing: ET.Element, texts: Texts) -> None:
    for expect in ("The plastic is brown", "It looks new", "Whatever it reads"):
        assert arrow_with(drawing, expect, texts).get("marker-end") == "url(#flow-head)"


def test_an_arrow_is_the_thicker_the_oftener_it_is_walked(drawing: ET.Element, texts: Texts) -> None:
    """1 pt never walked, 6 pt always walked, in proportion between: 75 % is 4.75 pt, 25 % 2.25 pt."""
    widths = [width(arrow_with(drawing, expect, texts)) for expect in ("brown", "new", "Whatever")]
    assert widths == pytest.approx([4.75, 2.25, 2.25], abs=0.05)


def test_without_odds_every_arrow_is_thin(draw: Draw, texts: Texts) -> None:
    look = PLAYBOOK["steps"]["look"]
    results = {name: {"expect": r["expect"], "next": r["next"]} for name, r in look["results"].items()}
    drawing = draw({**PLAYBOOK, "steps": {**PLAYBOOK["steps"], "look": {**look, "results": results}}})
    assert {width(arrow_with(drawing, expect, texts)) for expect in ("brown", "new", "Whatever")} == {1.0}


def test_a_result_of_many_words_is_cut_with_a_sign_that_more_follows(draw: Draw, texts: Texts) -> None:
    long = " ".join(f"word{i}" for i in range(30))
    drawing = draw(
        {"steps": {"s": {"title": "S", "results": {"r": {"expect": long, "next": "e"}}}}, "endings": ENDINGS}
    )
    shown = lines(words_with(drawing, "word0", texts), texts)
    assert len(shown) == 3
    assert long.startswith(" ".join(shown).removesuffix(" …"))
    assert shown[-1].endswith(" …")


ENDINGS: Final = {"e": {"title": "E"}}


def test_the_same_playbook_gives_the_same_drawing(draw: Draw) -> None:
    assert ET.tostring(draw(PLAYBOOK)) == ET.tostring(draw(PLAYBOOK))
