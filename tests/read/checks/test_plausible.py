"""Plausibility: what is asked about, what is not, and answers with a reason."""

from collections.abc import Callable
from pathlib import Path

import pytest

from builder.read.findings import Finding
from builder.read.library import read_library
from builder.reckon.advice import appraise

Found = Callable[..., list[Finding]]
FINDINGS_OF = Callable[..., list[Finding]]
Advised = Callable[..., list[tuple[str, int]]]

TIME = "time: 10-20 min"


@pytest.fixture
def advised(make_library: Callable[..., Path], playbook: Callable[..., str]) -> Advised:
    """Rules and lines of the findings of the library with pieces of its playbook replaced, advice included."""

    def advised(*pieces: str) -> list[tuple[str, int]]:
        read = read_library(make_library({"cabin/fan.yaml": playbook(*pieces)}), "library", appraise)
        return [(one.rule, one.line) for one in read.findings if one.rule not in ("dear-order", "dear-playbook")]

    return advised


@pytest.mark.parametrize(
    ("old", "new", "rule", "line", "message"),
    [
        (TIME, "time: 9 h", "long-work", 19, "`look-at-plug` takes 9 h of hands-on work"),
        (TIME, "who: shop\n    time: 25 h", "long-work", 20, "`look-at-plug` takes 25 h of hands-on work"),
        ("expect: Plastic and pins look new", "expect: a pin is  loose or the plastic is BROWN.", "same-words", 28,
         "the results `browned` and `clean` say the same"),
        ("tools: [multimeter]", "tools: [multimeter, multimeter]", "named-twice", 36, "`multimeter` stands here twice"),
        ("do: Measure every stage.", "do: Measure. TODO which?", "unfinished", 34, "`TODO` still stands in this text"),
        ("do: Measure every stage.", "do: How to do it.", "draft-text", 34,
         "`How to do it.` is still the text of the draft"),
    ],
)  # fmt: skip
def test_what_is_seldom_right_is_asked_about(
    found: Found, old: str, new: str, rule: str, line: int, message: str
) -> None:
    (finding,) = found(old, new)
    assert (finding.rule, finding.line, finding.severity, finding.message) == (rule, line, "warning", message)


@pytest.mark.parametrize("time", ["8 h", "7-9 h"])
def test_a_day_of_work_is_a_day(found: Found, time: str) -> None:
    assert found(TIME, f"time: {time}") == []


def test_a_day_of_a_workshop_is_longer(found: Found) -> None:
    assert found(TIME, "who: shop\n    time: 20-28 h") == []


def test_a_price_of_many_times_the_median_is_asked_about_and_answered(findings_of: Found) -> None:
    prices = "a: {name: A, price: 301}\nfan-resistor: {name: R, price: 30}\nresistor-plug: {name: P, price: 12}\n"
    prices += "speed-switch: {name: S, price: 40}\n"
    # Of 20, 25, 30, 30 (crimper), 40 and 301 the median is 30; those that nobody uses count as well.
    asked = [one for one in findings_of({"catalogue/parts.yaml": prices}) if one.rule == "dear-price"]
    assert [(one.line, one.column, one.severity) for one in asked] == [(1, 21, "warning")]
    answer = prices.replace("price: 301", "price: 301, accept: {dear-price: It comes whole.}")
    assert not [one for one in findings_of({"catalogue/parts.yaml": answer}) if one.rule == "dear-price"]


SWITCH = "settles: [switch], time: 1 h"
LONG = "settles: [switch], time: 9 h"


def test_an_answer_silences_its_warning_where_it_stands(advised: Advised) -> None:
    assert advised(SWITCH, LONG) == [("long-work", 44)]
    assert advised(SWITCH, f"{LONG}, accept: {{long-work: The dash comes out.}}") == []


def test_an_answer_of_the_playbook_silences_its_warning_anywhere(advised: Advised) -> None:
    assert advised(SWITCH, LONG, "format: 1", "format: 1\naccept: {long-work: Old cars.}") == []


def test_an_answer_elsewhere_silences_nothing_and_is_idle(advised: Advised) -> None:
    other = "    title: Measure the resistor\n    accept: {long-work: It is.}"
    assert advised(SWITCH, LONG, "    title: Measure the resistor", other) == [("accept-idle", 34), ("long-work", 45)]


def test_an_error_cannot_be_accepted(advised: Advised) -> None:
    assert ("unknown-tool", 37) in advised(
        "format: 1", "format: 1\naccept: {unknown-tool: x}", "[multimeter]", "[meter]"
    )
