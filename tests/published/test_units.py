"""Factors between metric and US units.

- A. Thompson and B. N. Taylor, "Guide for the Use of the International System of Units (SI)", NIST Special Publication
  811, 2008 edition, Appendix B.8 (factors for units listed alphabetically) and B.9 (listed by kind of quantity): each
  factor below multiplies a figure in the unit on the left. From memory; printed there to seven digits, and marked
  as exact where they are.
- The same, footnotes on temperature: t/°C = (t/°F − 32)/1.8. From memory.
"""

import pytest

from builder.draw.quantities import quantities
from builder.draw.units import TARGETS, UNITS, factor_and_offset

EXACT = 1e-12
SEVEN_DIGITS = 5e-7

FACTORS = [
    # Torque, B.9 "Moment of force or torque"
    ("lb·ft", "N·m", 1.355818, SEVEN_DIGITS),
    ("lb·in", "N·m", 1.129848e-1, SEVEN_DIGITS),
    # Pressure, B.9 "Pressure or stress"
    ("psi", "kPa", 6.894757, SEVEN_DIGITS),
    ("psi", "bar", 6.894757e-2, SEVEN_DIGITS),
    ("mbar", "hPa", 1, EXACT),
    ("bar", "kPa", 100, EXACT),
    # Speed, B.9 "Velocity"
    ("mph", "km/h", 1.609344, EXACT),
    # Length, B.9 "Length"
    ("in", "mm", 25.4, EXACT),
    ("in", "cm", 2.54, EXACT),
    ("ft", "m", 0.3048, EXACT),
    ("mi", "km", 1.609344, EXACT),
    # Mass, B.9 "Mass and moment of inertia" (avoirdupois)
    ("lb", "kg", 4.535924e-1, SEVEN_DIGITS),
    ("oz", "g", 2.834952e1, SEVEN_DIGITS),
    # Volume, B.9 "Volume (includes capacity)" (US gallon, liquid quart, fluid ounce)
    ("US gal", "l", 3.785412, SEVEN_DIGITS),
    ("US qt", "l", 9.463529e-1, SEVEN_DIGITS),
    ("US fl oz", "ml", 2.957353e1, SEVEN_DIGITS),
]


def name(symbol: str) -> str:
    return (TARGETS.get(symbol) or UNITS[symbol]).name


@pytest.mark.parametrize(("us", "metric", "factor", "precision"), FACTORS)
def test_factor_is_that_of_the_guide_both_ways(us: str, metric: str, factor: float, precision: float) -> None:
    assert factor_and_offset(name(us), name(metric)) == (pytest.approx(factor, rel=precision), 0)
    assert factor_and_offset(name(metric), name(us)) == (pytest.approx(1 / factor, rel=precision), 0)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(-40, -40), (0, 32), (37, 98.6), (100, 212)])
def test_temperature_follows_the_formula_of_the_guide(celsius: float, fahrenheit: float) -> None:
    factor, offset = factor_and_offset(name("°C"), name("°F"))
    assert factor * celsius + offset == pytest.approx(fahrenheit)
    factor, offset = factor_and_offset(name("°F"), name("°C"))
    assert factor * fahrenheit + offset == pytest.approx(celsius)


def test_every_unit_that_is_read_or_told_has_a_factor_above() -> None:
    checked = {name(symbol) for pair in FACTORS for symbol in pair[:2]} | {name("°C"), name("°F")}
    made_of_these = {name("MPa"): name("kPa")}
    units = {unit.name for unit in (*UNITS.values(), *TARGETS.values())}
    assert {made_of_these.get(unit, unit) for unit in units} == checked


@pytest.mark.parametrize(
    ("written", "told"),
    [
        # Worked with the factors above: 110/1.355818 = 81.1; 2.3/0.06894757 = 33.4; 0.7/25.4 = 0.0276; 90 °C = 194 °F.
        ("110 N·m", "81 lb·ft"),
        ("2.3 bar", "33 psi"),
        ("0.7 mm", "0.028 in"),
        ("at 90 °C", "194 °F"),
    ],
)
def test_figure_on_a_page_is_the_guides(written: str, told: str) -> None:
    (quantity,) = quantities(written, "en_GB")
    assert quantity.other.replace("\u00a0", " ") == told
