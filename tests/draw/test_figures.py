"""Money, time and shares as people read them. Patterns of locales: Unicode CLDR, supplemental and main data."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.draw.figures import Figures, figures_of, keep_units
from builder.read.records import Settings

BRITISH = Figures("en_GB", "EUR")


# CLDR `currencyFormats/standard`: en and en_GB `¤#,##0.00`, de `#,##0.00 ¤` (no-break space), ja `¤#,##0.00`.
@pytest.mark.parametrize(
    ("locale", "currency", "amount", "shown"),
    [
        ("en_GB", "EUR", 1234.56, "€1,235"),
        ("en_GB", "GBP", 12.5, "£12.50"),
        ("de_DE", "EUR", 1234.56, "1.235\u00a0€"),
        ("de_DE", "EUR", 12.5, "12,50\u00a0€"),
        ("en_US", "USD", 1234.56, "$1,235"),
        ("en_US", "USD", 0, "$0"),
        ("en_US", "JPY", 1234.56, "¥1,235"),
        ("ja_JP", "JPY", 98_765, "￥98,765"),
    ],
)
def test_money_is_written_as_the_locale_writes_it(locale: str, currency: str, amount: float, shown: str) -> None:
    assert Figures(locale, currency).money(amount) == shown


# ISO 4217, list one: the yen has no minor unit, the dinar of Kuwait has three digits.
def test_a_currency_without_cents_shows_none() -> None:
    assert Figures("en_US", "JPY").money(12.4) == "¥12"


def test_cents_are_shown_below_twenty_only() -> None:
    shown = [BRITISH.money(amount) for amount in (4.5, 19.99, 20.4, 4.0)]
    assert shown == ["€4.50", "€19.99", "€20", "€4"]


def test_money_that_rests_on_estimates_has_two_digits_that_count() -> None:
    shown = [BRITISH.about(amount) for amount in (0, 4.4, 87.3, 123.4, 1_278, 98_765)]
    assert shown == ["€0", "€4", "€87", "€120", "€1,300", "€99,000"]


def test_a_range_whose_ends_read_alike_is_one_figure() -> None:
    assert BRITISH.money_range(100.2, 100.4) == "€100"
    assert BRITISH.money_range(100, 140) == "€100 – €140"
    assert BRITISH.minutes_range(61, 62) == "1 h"


@pytest.mark.parametrize(
    ("minutes", "shown"),
    [
        (0, "0 min"),
        (0.2, "1 min"),
        (59.4, "59 min"),
        (59.5, "1 h"),
        (64, "1 h 5 min"),
        (118, "2 h"),
        (597, "9 h 55 min"),
        (598, "10 h"),
        (640, "11 h"),
        (90_000, "1,500 h"),
    ],
)
def test_time_is_as_fine_as_it_deserves(minutes: float, shown: str) -> None:
    assert BRITISH.minutes(minutes) == shown


@given(st.floats(0, 1e5))
def test_time_that_is_read_back_is_near_the_time_that_was_meant(minutes: float) -> None:
    shown = BRITISH.minutes(minutes).replace(",", "")
    hours, rest = (re.search(rf"(\d+) {unit}", shown) for unit in ("h", "min"))
    read = 60 * int(hours[1] if hours else 0) + int(rest[1] if rest else 0)
    assert abs(read - minutes) <= (1 if minutes < 59.5 else 2.5 if minutes < 597.5 else 30)


@given(st.floats(0, 1e5), st.floats(0, 1e5))
def test_more_time_never_reads_as_less(one: float, other: float) -> None:
    def read(minutes: float) -> int:
        shown = BRITISH.minutes(minutes).replace(",", "")
        return sum(int(count) * (60 if unit == "h" else 1) for count, unit in re.findall(r"(\d+) (h|min)", shown))

    low, high = sorted((one, other))
    assert read(low) <= read(high)


def test_a_count_beyond_reading_is_a_power_of_ten() -> None:
    """84 steps of two results have 2^84 paths; more digits than a decimal holds once ended the build."""
    assert BRITISH.count(2**84) == "1.9 × 10²⁵"
    assert BRITISH.count(20**200) == "1.6 × 10²⁶⁰"
    assert BRITISH.count(10**21 - 1).count(",") == 6


def test_a_count_sets_its_thousands_apart_and_loses_no_digit() -> None:
    assert BRITISH.count(2**60) == "1,152,921,504,606,846,976"


# CLDR `percentFormats/standard`: en `#,##0%`, de `#,##0 %` (no-break space).
@pytest.mark.parametrize(
    ("locale", "share", "shown"),
    [
        ("en_GB", 0, "0%"),
        ("en_GB", 0.0004, "< 1%"),
        ("en_GB", 0.125, "12%"),
        ("en_GB", 0.9996, "> 99%"),
        ("en_GB", 1, "100%"),
        ("de_DE", 0.5, "50\u00a0%"),
        ("de_DE", 0.0004, "< 1\u00a0%"),
    ],
)
def test_a_share_never_rounds_to_nothing_or_to_everything(locale: str, share: float, shown: str) -> None:
    assert Figures(locale, "EUR").share(share) == shown


def test_a_share_that_sums_to_one_but_for_the_last_digit_is_everything() -> None:
    assert BRITISH.share(0.1 + 0.2 + 0.3 + 0.4 - 1e-12) == "100%"


# SI brochure (9th edition), 5.4.3: a space always separates the number from the unit, and must not break.
@pytest.mark.parametrize("text", ["12.4 V", "35 N·m", "20 %", "90 °C", "5 min", "100 km/h"])
def test_a_number_stays_on_one_line_with_its_unit(text: str) -> None:
    assert keep_units(f"About {text}.") == f"About {text.replace(' ', chr(0xA0))}."


def test_words_after_a_number_may_go_to_the_next_line() -> None:
    assert keep_units("12 volts, 4 men, 3 m/s² or 2 lamps") == "12 volts, 4 men, 3\u00a0m/s² or 2 lamps"


@pytest.mark.parametrize(("language", "locale"), [("en-GB", "en_GB"), ("de", "de"), ("pt-BR", "pt_BR")])
def test_the_locale_comes_from_the_language_of_the_library(language: str, locale: str) -> None:
    settings = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"a": "A"}, "language": language}
    assert figures_of(Settings.model_validate(settings)) == Figures(locale, "EUR")
