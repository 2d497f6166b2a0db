"""Notation: every way of writing an amount, a time, a percentage and a chance, good and bad."""

from contextlib import suppress
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from builder.read.notation import (
    Amount,
    Chance,
    NotationError,
    parse_amount,
    parse_chance,
    parse_minutes,
    parse_money,
    parse_percent,
)

NUMBERS = st.decimals(min_value=0, max_value=999_999_999, places=2, allow_nan=False)
COUNTS = st.integers(0, 999)

# What must never pass for a number: signs, exponents, names, grouping, and digits of other scripts, which a reviewer
# takes for something else (Unicode, general category Nd).
NO_NUMBERS = [
    "",
    "-5",
    "+5",
    "1e3",
    "NaN",
    "inf",
    "1_000",
    "1,000",
    "1.",
    ".5",
    "0x10",
    "１２",
    "٣",
    "९",
    "²",
    "½",
    "1 2",
]


def error_of(parse: Any, value: Any, *more: Any) -> NotationError:
    with pytest.raises(NotationError) as caught:
        parse(value, *more)
    return caught.value


@given(NUMBERS)
def test_money_round_trips(figure: Decimal) -> None:
    assert parse_money(str(figure)) == figure


@pytest.mark.parametrize("text", NO_NUMBERS)
def test_what_is_no_number_is_no_money(text: str) -> None:
    error_of(parse_money, text)


def test_the_message_of_bad_money_names_it_and_says_what_to_write() -> None:
    error = error_of(parse_money, "12 EUR")
    assert error.message == "`12 EUR` is not an amount of money"
    assert "`12.50`" in error.hint


def test_negative_money_says_so() -> None:
    error = error_of(parse_money, "-5")
    assert (error.message, error.hint) == ("`-5` is negative", "write 0 or more")


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("25 min", 25),
        ("25min", 25),
        ("1 h 30 min", 90),
        ("1 h", 60),
        ("1.5 h", 90),
        ("0", 0),
        ("0 min", 0),
        ("PT1H30M", 90),
        ("PT90M", 90),
        ("P1DT1M", 1441),
        ("P2D", 2880),
        ("PT30S", 0.5),
    ],
)
def test_times_are_minutes(text: str, minutes: float) -> None:
    assert float(parse_minutes(text)) == minutes


@given(COUNTS, COUNTS)
def test_hours_and_minutes_round_trip(hours: int, minutes: int) -> None:
    assert parse_minutes(f"{hours} h {minutes} min") == hours * 60 + minutes


@pytest.mark.parametrize(
    "text",
    [
        *NO_NUMBERS,
        "25",
        "1:30",
        "25 m",
        "25 minutes",
        "30 min 1 h",
        "PT",
        "P",
        "P1Y",
        "PT1",
        "PT-1H",
        "PT１H",
        "1 h 30",
    ],
)
def test_what_is_no_time(text: str) -> None:
    error_of(parse_minutes, text)


def test_a_time_without_a_unit_is_offered_both() -> None:
    error = error_of(parse_minutes, "25")
    assert (error.message, error.hint) == ("the time `25` needs a unit", "write `25 min` or `25 h`")


def test_a_negative_time_says_so() -> None:
    assert error_of(parse_minutes, "-25 min").hint == "write 0 min or more"


@given(st.integers(0, 99), st.integers(0, 99), st.integers(0, 999), st.integers(0, 999))
def test_iso_8601_durations_mean_what_pydantic_reads(days: int, hours: int, minutes: int, seconds: int) -> None:
    """An independent reading: pydantic's own parser of ISO 8601 durations."""
    parts = [f"{count}{unit}" for count, unit in ((hours, "H"), (minutes, "M"), (seconds, "S")) if count]
    text = f"P{days}D" + ("T" + "".join(parts) if parts else "")
    read = TypeAdapter(timedelta).validate_python(text)
    assert round(parse_minutes(text) * 60, 9) == int(read.total_seconds())


@given(st.integers(0, 10**6))
def test_percentages_are_exact_shares_of_one(count: int) -> None:
    text = f"{count // 10**4}.{count % 10**4:04}"
    assert parse_percent(f"{text}%") == parse_percent(f"{text} %") == Fraction(text) / 100


@pytest.mark.parametrize("text", [*NO_NUMBERS, "70", "７０%", "70％", "٣%", "70%%", "% 70", "-5%", "70  %", "NaN%"])
def test_what_is_no_percentage(text: str) -> None:
    error_of(parse_percent, text)


def test_a_bare_number_is_offered_as_a_percentage() -> None:
    error = error_of(parse_percent, "70")
    assert (error.message, error.hint) == ("`70` is not a percentage", "write `70%`")


def test_more_than_all_is_refused() -> None:
    error = error_of(parse_percent, "100.01%")
    assert (error.message, error.hint) == ("`100.01%` is more than 100 %", "write at most `100%`")


@given(st.lists(st.integers(0, 10**6), min_size=2, max_size=2).map(sorted))
def test_a_range_has_its_likely_value_in_the_middle(ends: list[int]) -> None:
    low, high = ends
    assert parse_amount(f"{low}-{high}", parse_money) == Amount(low, (low + high) / 2, high)


@given(st.lists(st.integers(0, 10**6), min_size=3, max_size=3).map(sorted))
def test_three_values_round_trip(figures: list[int]) -> None:
    written = dict(zip(("low", "likely", "high"), (f"{figure} min" for figure in figures), strict=True))
    assert parse_amount(written, parse_minutes) == Amount(*figures)


@given(NUMBERS)
def test_one_value_is_low_likely_and_high(figure: Decimal) -> None:
    assert parse_amount(str(figure), parse_money) == Amount(float(figure), float(figure), float(figure))


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("10-20 min", (10, 15, 20)),
        ("10 min-1 h", (10, 35, 60)),
        ("1-2 h", (60, 90, 120)),
        ("10 - 20 min", (10, 15, 20)),
        ("PT10M-PT20M", (10, 15, 20)),
        ("0-5 min", (0, 2.5, 5)),
    ],
)
def test_ranges_of_time(text: str, amount: tuple[float, ...]) -> None:
    assert parse_amount(text, parse_minutes) == Amount(*amount)


@pytest.mark.parametrize(
    ("value", "message", "key"),
    [
        ("20-10 min", "the range `20-10 min` runs downwards", None),
        ("10–20 min", "`10–20 min` has a long dash", None),
        ("10-20-30 min", "`10-20-30 min` is not a time", None),
        ("10-1 h 30 min", "the time `10-1 h 30 min` needs a unit", None),
        ("10-", "`10-` is not a time", None),
        ("-10", "`-10` is negative", None),
        ([], "this is not an amount", None),
        ({}, "the amount has no `low`", None),
        ({"low": "1 min", "likely": "2 min"}, "the amount has no `high`", None),
        ({"low": "1 min", "likely": "2 min", "hihg": "3 min"}, "unknown key `hihg` in an amount", "hihg"),
        ({"low": "2 min", "likely": "1 min", "high": "3 min"}, "the amount is out of order", None),
        ({"low": "1 min", "likely": "x", "high": "3 min"}, "`x` is not a time", "likely"),
        ({"low": "1 min", "likely": ["x"], "high": "3 min"}, "the amount has no `likely`", None),
    ],
)
def test_bad_amounts(value: Any, message: str, key: str | None) -> None:
    error = error_of(parse_amount, value, parse_minutes)
    assert (error.message, error.key) == (message, key)
    assert error.hint


def test_the_rest() -> None:
    assert parse_chance("rest") == Chance({}, None, rest=True)


def test_one_chance_for_every_cause() -> None:
    assert parse_chance("25%").given("whatever") == Fraction(1, 4)


def test_a_chance_by_cause_falls_back_to_otherwise() -> None:
    chance = parse_chance({"plug": "95%", "otherwise": "3%"})
    assert [chance.given(cause) for cause in ("plug", "fuse")] == [Fraction(95, 100), Fraction(3, 100)]


def test_without_otherwise_nothing_is_said_of_other_causes() -> None:
    assert parse_chance({"plug": "95%"}).given("fuse") is None


@pytest.mark.parametrize(
    ("value", "message", "key"),
    [
        ("often", "`often` is not a percentage", None),
        ("", "`` is not a percentage", None),
        ({}, "this is not a chance", None),
        ([], "this is not a chance", None),
        ({"plug": "95"}, "`95` is not a percentage", "plug"),
        ({"plug": "rest"}, "`rest` cannot stand for one cause", "plug"),
        ({"plug": {"a": "b"}}, "`…` is not a percentage", "plug"),
    ],
)
def test_bad_chances(value: Any, message: str, key: str | None) -> None:
    error = error_of(parse_chance, value)
    assert (error.message, error.key) == (message, key)
    assert error.hint


@given(st.text())
def test_any_text_gives_a_value_or_a_notation_error(text: str) -> None:
    for parse in (parse_money, parse_minutes, parse_percent, parse_chance, lambda one: parse_amount(one, parse_money)):
        with suppress(NotationError):
            assert parse(text) is not None
