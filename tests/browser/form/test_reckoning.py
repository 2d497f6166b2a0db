"""What the form reckons while one types is what the builder reckons of the file, and amounts are read alike."""

import json
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page

from builder.read.notation import (
    NotationError,
    parse_amount,
    parse_minutes,
    parse_money,
    parse_percent,
    parse_range,
    parse_wait,
)
from builder.reckon.order.problem import problem_of
from builder.reckon.order.shape import cost_of, written_shape
from builder.reckon.totals import totals_of
from tests.demo import demo_library
from tests.sweep import EXAMPLES

FIGURES: Final = """async slug => {
    const origin = await droplight.data.held(`data/origin/${slug}.js`, "origin", slug);
    const book = droplight.book.bookOf(droplight.patch.treeOf(origin.text, origin.tree), filled.records);
    const area = origin.path.split("/")[0];
    const outlook = droplight.outlook.outlookOf({ draft: { book, area }, data: filled });
    const findings = outlook.findings.filter(({ severe }) => severe).map(({ says }) => says);
    return [outlook.figures, findings];
}"""

READ: Final = """texts => {
    const { amount, percent, range } = droplight.notation;
    const kinds = ["money", "time", "wait"];
    return texts.map((text) => [...kinds.map((kind) => amount(kind, text)), percent(text), range(text)]);
}"""


def near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-9, abs=1e-9)


def test_the_figures_of_every_playbook_of_the_demo_are_those_of_the_builder(scripts: Page) -> None:
    library = demo_library()
    for slug, book in library.playbooks.items():
        figures, findings = scripts.evaluate(FIGURES, slug)
        if book.order == "best":  # the builder works it out, and there is nothing to reckon before
            assert (figures, findings) == (None, []), slug
            continue
        totals = totals_of(slug, library)
        problem = problem_of(book, library.catalogue, library.settings)
        assert problem is not None
        assert totals.expected is not None
        shape = written_shape(book, problem)
        assert shape is not None
        assert findings == [], slug
        assert figures == {
            "money": near(totals.expected.money),
            "minutes": near(totals.expected.minutes),
            "settled": near(totals.settled),
            "end": near(cost_of(problem, shape)),
            "atOnce": near(problem.at_once),
        }, slug


def parsed(parse: Any, text: str) -> Any:
    try:
        return parse(text)
    except NotationError:
        return None


def amount_of(parse: Any) -> Any:
    return lambda text: list(parse_amount(text, parse))


PARSERS: Final = (
    amount_of(parse_money),
    amount_of(parse_minutes),
    amount_of(parse_wait),
    lambda text: float(parse_percent(text.strip())),
    lambda text: [None if end is None else float(end) for end in parse_range(text.strip())],
)
PIECES: Final = [
    "0",
    "5",
    "10",
    "12.50",
    "100",
    "007",
    "1.5",
    " ",
    " - ",
    "-",
    "min",
    " min",
    "h",
    " h ",
    "s",
    "%",
    " %",
]
MORE: Final = [
    "PT1H30M",
    "P2D",
    "P1W",
    "PT",
    "P",
    "2 nights",
    "1 day",
    " week",
    "below ",
    "above ",
    ".",
    "–",
    "x",
    "1e3",
]
NOTATION: Final = st.lists(st.sampled_from(PIECES + MORE), min_size=1, max_size=5).map("".join)
SURE: Final = ["10-20 min", "5 min - 1 h", "1 h 30 min", "1h30min", "0-5 min", "1 h 5 min-2 h", "1-1.5 h", "PT20M", "0"]
SURE_TOO: Final = [
    "20-10 min",
    "12.5%",
    "100 %",
    "100.0%",
    "101%",
    "below 12.4",
    "12.4-12.6",
    "-3--1",
    "above -2",
    "1-3 days",
]


def assert_read_alike(scripts: Page, texts: list[str]) -> None:
    for text, shown in zip(texts, scripts.evaluate(READ, texts), strict=True):
        for parse, one in zip(PARSERS, shown, strict=True):
            wanted = parsed(parse, text)
            figures = wanted if isinstance(wanted, list) else [wanted]
            assert [end if end is None else near(end) for end in figures] == (
                one if isinstance(one, list) else [one]
            ), text


def test_amounts_are_read_as_the_library_reads_them(scripts: Page) -> None:
    assert_read_alike(scripts, [*SURE, *SURE_TOO])


@settings(max_examples=40 * EXAMPLES, deadline=None)
@given(texts=st.lists(NOTATION, min_size=20, max_size=20))
def test_odd_amounts_are_read_as_the_library_reads_them(texts: list[str], scripts: Page) -> None:
    assert_read_alike(scripts, texts)


@pytest.mark.parametrize(
    ("kind", "typed", "written"),
    [
        ("percent", "70", "70%"),
        ("percent", "12,5 %", "12.5%"),
        ("percent", "0.41", "0.41"),
        ("percent", "0.41 %", "0.41%"),
        ("money", "€ 15,50", "15.50"),
        ("money", "10 – 20 EUR", "10-20"),
        ("money", "15.-", "15"),
        ("money", "1,500", "1,500"),
        ("time", "25", "25 min"),
        ("time", "10 to 20", "10-20 min"),
        ("time", "45min.", "45 min"),
        ("time", "1,5 hours", "1.5 h"),
        ("time", "1:30", "1 h 30 min"),
        ("time", "1h30", "1 h 30 min"),
        ("time", "90 mins", "90 min"),
        ("time", "0", "0"),
        ("time", "PT1H30M", "PT1H30M"),
        ("wait", "2 Nächte", "2 nights"),
        ("wait", "1 bis 3 Tage", "1-3 days"),
        ("range", "< 12,4", "below 12.4"),
        ("range", "over 5", "above 5"),
    ],
)
def test_what_people_type_becomes_the_notation_or_stays(kind: str, typed: str, written: str, scripts: Page) -> None:
    assert scripts.evaluate("([kind, typed]) => droplight.notation.neat(kind, typed)", [kind, typed]) == written


NAMED: Final = """async () => {
    const { blank, named } = droplight.book;
    const book = blank();
    book.causes[0].name = "Kühler undicht";
    book.causes[1].name = "Rest";
    book.causes.push({ id: "~9", name: "冷却" });
    book.steps[0].title = "Look";
    book.steps[0].results[0].chance = [["~1", "90%"], ["otherwise", "5%"]];
    book.steps[0].results[0].next = "~7";
    book.endings.push({ id: "~7", title: "Look", settles: ["~1"], after: [["~3", ["~4"]]] });
    return named(book);
}"""


def test_new_parts_get_names_of_their_words_that_no_other_has(scripts: Page) -> None:
    book = scripts.evaluate(NAMED)
    assert [cause["id"] for cause in book["causes"]] == ["kuehler-undicht", "rest-2", "cause"]
    assert (book["start"], book["steps"][0]["id"]) == ("look", "look")
    result = book["steps"][0]["results"][0]
    assert (result["id"], result["next"], result["chance"][0][0]) == ("result", "look-2", "kuehler-undicht")
    ending = book["endings"][0]
    assert (ending["id"], ending["settles"], ending["after"]) == ("look-2", ["kuehler-undicht"], [["look", ["result"]]])
    assert "~" not in json.dumps(book)
