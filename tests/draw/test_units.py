"""Units: their factors, and figures as they are read by the language."""

import pytest

from builder.draw.units import conversion, parse_figure


def test_round_figure_counts_to_its_second_digit() -> None:
    assert parse_figure("60 000", "en_GB") == (60_000, 1000)
    assert parse_figure("100", "en_GB") == (100, 1)
    assert parse_figure("0.050", "en_GB") == (0.05, 0.001)


# Inch and mile exactly by definition, pounds per square inch by their factor (NIST SP 811, appendix B).
CONVERTED = [("mm", 25.4, "in", 1), ("km", 160.9344, "mi", 100), ("°C", 100, "°F", 212), ("psi", 14.5037738, "bar", 1)]


@pytest.mark.parametrize(("symbol", "figure", "unit", "same"), CONVERTED)
def test_reading_is_told_in_the_other_system(symbol: str, figure: float, unit: str, same: float) -> None:
    other = conversion(symbol)
    assert other
    assert other.unit == unit
    assert other.factor * figure + other.offset == pytest.approx(same, rel=1e-8)
    assert (other.system == "us") == (symbol != "psi")


def test_unit_that_both_systems_share_needs_no_other() -> None:
    assert [conversion(symbol) for symbol in ("V", "mA", "Ω", "%", "K")] == [None] * 5
