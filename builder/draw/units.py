"""Units of measurement: what is measured in them, what the other system (metric, US) has in their place, and figures.

Units and factors are those of :mod:`pint`; its registry is made when the first quantity is met, and asked once for
each pair of units.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from math import floor, log10
from typing import Any, Final, Literal

from babel.numbers import format_decimal, get_decimal_symbol, get_group_symbol

Kind = Literal["torque", "pressure", "temperature", "speed", "length", "mass", "volume"]
System = Literal["si", "us"]

NO_BREAK: Final = "\u00a0"
LEAST_DIGITS: Final = 2
MOST_DIGITS: Final = 12

SMALL_TORQUE: Final = 10.0
"""Newton metres below which a torque is told in pound-inches, as small torque wrenches are marked."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as it is written, by its name in :mod:`pint`; ``other`` is what it is converted to."""

    kind: Kind
    name: str
    system: System
    other: str


def _metric(kind: Kind, name: str, other: str) -> Unit:
    return Unit(kind, name, "si", other)


def _us(kind: Kind, name: str, other: str) -> Unit:
    return Unit(kind, name, "us", other)


TORQUE: Final = _metric("torque", "newton * meter", "lb·ft")
POUND_FEET: Final = _us("torque", "foot * force_pound", "N·m")
POUND_INCHES: Final = _us("torque", "inch * force_pound", "N·m")
INCH: Final = _us("length", "inch", "mm")
UNITS: Final[dict[str, Unit]] = {
    "N·m": TORQUE,
    "Nm": TORQUE,
    "MPa": _metric("pressure", "megapascal", "psi"),
    "kPa": _metric("pressure", "kilopascal", "psi"),
    "hPa": _metric("pressure", "hectopascal", "psi"),
    "mbar": _metric("pressure", "millibar", "psi"),
    "bar": _metric("pressure", "bar", "psi"),
    "°C": _metric("temperature", "degree_Celsius", "°F"),
    "km/h": _metric("speed", "kilometer / hour", "mph"),
    "km": _metric("length", "kilometer", "mi"),
    "mm": _metric("length", "millimeter", "in"),
    "cm": _metric("length", "centimeter", "in"),
    "m": _metric("length", "meter", "ft"),
    "kg": _metric("mass", "kilogram", "lb"),
    "g": _metric("mass", "gram", "oz"),
    "ml": _metric("volume", "milliliter", "US fl oz"),
    "mL": _metric("volume", "milliliter", "US fl oz"),
    "l": _metric("volume", "liter", "US qt"),
    "L": _metric("volume", "liter", "US qt"),
    **dict.fromkeys(("lb·ft", "lb-ft", "lbf·ft", "ft·lb", "ft-lb", "ft·lbf", "lb ft", "ft lb"), POUND_FEET),
    **dict.fromkeys(("lb·in", "lb-in", "lbf·in", "in·lb", "in-lb", "in·lbf", "lb in", "in lb"), POUND_INCHES),
    "psi": _us("pressure", "pound_force_per_square_inch", "bar"),
    "°F": _us("temperature", "degree_Fahrenheit", "°C"),
    "mph": _us("speed", "mile / hour", "km/h"),
    "miles": _us("length", "mile", "km"),
    "mile": _us("length", "mile", "km"),
    "mi": _us("length", "mile", "km"),
    "inches": INCH,
    "inch": INCH,
    "ft": _us("length", "foot", "m"),
    "lbs": _us("mass", "pound", "kg"),
    "lb": _us("mass", "pound", "kg"),
    "US fl oz": _us("volume", "US_fluid_ounce", "ml"),
    "US gal": _us("volume", "US_liquid_gallon", "l"),
    "US qt": _us("volume", "US_liquid_quart", "l"),
}
TARGETS: Final = {"in": INCH, "oz": _us("mass", "ounce", "g")}
"""Units that figures are converted to but that are not read, since the word or the ounce may mean something else."""

NUMBER: Final = (
    r"[0-9]{1,3}(?:[\u00a0\u202f][0-9]{3})+(?:[.,][0-9]+)?"
    r"|[0-9]{1,3}(?: [0-9]{3})* 0[0-9]{2}"
    r"|[0-9]{1,3}(?:,[0-9]{3}){2,}|[0-9]{1,3}(?:\.[0-9]{3}){2,}"
    r"|[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+"
    r"|[0-9]+(?:[.,][0-9]+)?"
)
BLANK: Final = r"[ \u00a0\u202f]"


@lru_cache(maxsize=20_000)
def converted(written: tuple[str, ...], between: str, unit: Unit, locale: str) -> str:
    """A figure, or two with what is ``between`` them, in the other system; empty where a number has two readings."""
    read = [parse_figure(one, locale) for one in written]
    values = [one for one in read if one]
    if len(values) != len(read):
        return ""
    symbol = unit.other
    if unit is TORQUE and max(abs(value) for value, _ in values) < SMALL_TORQUE:
        symbol = "lb·in"
    factor, offset = factor_and_offset(unit.name, (TARGETS.get(symbol) or UNITS[symbol]).name)
    least = 0 if unit.kind == "temperature" else LEAST_DIGITS
    shown = [_rounded(factor * value + offset, factor * step, least, locale) for value, step in values]
    return f"{between.join(dict.fromkeys(shown))}{NO_BREAK}{symbol.replace(' ', NO_BREAK)}"


def _rounded(value: float, step: float, least: int, locale: str) -> str:
    """A figure to the power of ten nearest to ``step``, or finer where it takes that to show ``least`` digits."""
    places = -round(log10(step))
    if value and least:
        places = max(places, least - 1 - floor(log10(abs(value))))
    return str(format_decimal(round(value, places) + 0.0, "#,##0." + "#" * max(0, places), locale=locale))


def parse_figure(written: str, locale: str) -> tuple[float, float] | None:
    """A written number and the step of its last digit that counts; ``None`` where it can be read in two ways.

    One separator before three digits is read by the locale, any other way of writing has one meaning. Of thousands
    that are round, the second digit is the last that counts: ``60 000`` is known to the thousand.
    """
    bare = re.sub(BLANK, "", written).replace("−", "-")
    signs = [sign for sign in bare if sign in ".,"]
    decimal = signs[-1] if signs and signs.count(signs[-1]) == 1 else ""
    whole, _, fraction = bare.rpartition(decimal) if decimal else (bare, "", "")
    if decimal and len(signs) == 1 and len(fraction) == 3 and whole.lstrip("-") != "0":
        if decimal == get_group_symbol(locale):
            whole, fraction = whole + fraction, ""
        elif decimal != get_decimal_symbol(locale):
            return None
    whole = whole.replace(".", "").replace(",", "")
    if len(whole) + len(fraction) > MOST_DIGITS:
        return None
    zeros = len(whole) - len(whole.rstrip("0"))
    step = 10.0 ** -len(fraction) if fraction else 10.0 ** (zeros - 1) if zeros >= 3 else 1.0
    return float(f"{whole}.{fraction or 0}"), step


@dataclass(frozen=True, slots=True)
class Conversion:
    """How a figure is told in the other system: ``factor`` times the figure plus ``offset``, in ``unit``."""

    unit: str
    system: System
    factor: float
    offset: float


def conversion(symbol: str) -> Conversion | None:
    """The way from a unit, as it is written, to one of the other system; ``None`` where both systems share it."""
    unit = UNITS.get(symbol)
    if unit is None:
        return None
    other = TARGETS.get(unit.other) or UNITS[unit.other]
    return Conversion(unit.other, other.system, *factor_and_offset(unit.name, other.name))


@lru_cache(maxsize=64)
def factor_and_offset(unit: str, other: str) -> tuple[float, float]:
    """Factor and offset by which a figure in one unit becomes one in another, both by their names in :mod:`pint`."""
    quantity = _registry().Quantity
    offset = quantity(0, unit).to(other).magnitude
    return float(quantity(1, unit).to(other).magnitude - offset), float(offset)


@lru_cache(maxsize=1)
def _registry() -> Any:
    from pint import UnitRegistry  # noqa: PLC0415 - takes as long to load as all else, and many libraries need it not

    return UnitRegistry()
