"""Quantities in prose, found with their units and told in the other system as well: metric and US.

A figure is converted only where its meaning is beyond doubt; whatever could be something else stays as written:

- a temperature only after a word that makes it a reading (``at``, ``above``, ``until`` …), never where it may be a
  difference, since 5 °C are 41 °F but a difference of 5 °C is one of 9 °F;
- no trade sizes (``10 mm spanner``), threads, areas, rates, tolerances or dimensions (``20 × 30 mm``);
- no gallons, quarts or ounces but those that say ``US``, since others have those names too;
- no figure that stands in both systems already.

Units and factors are those of :mod:`pint`; its registry is made when the first quantity is met, and asked once for
each pair of units.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import floor, log10
from typing import Any, Final, Literal

from babel.numbers import format_decimal, get_decimal_symbol, get_group_symbol

Kind = Literal["torque", "pressure", "temperature", "speed", "length", "mass", "volume"]
System = Literal["si", "us"]

NO_BREAK: Final = "\u00a0"
LEAST_DIGITS: Final = 2
MOST_DIGITS: Final = 12
NEAR: Final = 80
"""How far back a word counts that tells what a figure means, in characters."""

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

_NUMBER: Final = (
    r"[0-9]{1,3}(?:[\u00a0\u202f][0-9]{3})+(?:[.,][0-9]+)?"
    r"|[0-9]{1,3}(?: [0-9]{3})* 0[0-9]{2}"
    r"|[0-9]{1,3}(?:,[0-9]{3}){2,}|[0-9]{1,3}(?:\.[0-9]{3}){2,}"
    r"|[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+"
    r"|[0-9]+(?:[.,][0-9]+)?"
)
_BLANK: Final = r"[ \u00a0\u202f]"
_SYMBOL: Final = "|".join(re.escape(symbol).replace(r"\ ", _BLANK) for symbol in sorted(UNITS, key=len, reverse=True))
_FOUND: Final = re.compile(
    rf"(?<![\w.,/·×*±^+–−-])(?<![0-9±×x/]{_BLANK})"
    rf"(?P<first>[-−]?(?:{_NUMBER}))"
    rf"(?:(?P<between>[-–]|{_BLANK}–{_BLANK}|{_BLANK}(?:to|and|bis|und){_BLANK})(?P<last>[-−]?(?:{_NUMBER})))?"
    rf"{_BLANK}(?P<unit>{_SYMBOL})(?![\w/·²³^*]|-\w|{_BLANK}?[×x*/]{_BLANK}?[0-9])"
)
_BETWEEN: Final = re.compile(r"\b(?:between|zwischen)\s*\Z", re.IGNORECASE)
_SAME_AGAIN: Final = re.compile(r"\s*(?:[(/,=]|or|oder)\s*\Z", re.IGNORECASE)

_CLAUSE: Final = re.compile(r"[.;:!?()\n](?:\s|\Z)|\n|[()]")
_NEXT_WORDS: Final = re.compile(r"\s*((?:[^\s.,;:!?()]+\s*){1,4})")
_TRADE: Final = re.compile(
    r"\b(?:spanners?|sockets?|hex|keys?|bolts?|nuts?|screws?|studs?|drills?|wrench(?:es)?|allen|bits?|threads?|drive)\b"
    r"|(?:schlüssel|nuss|nüsse|schrauben?|muttern?|bohrer|sechskant|inbus|gewinde|bits?|antrieb)\b",
    re.IGNORECASE,
)
_SIZE: Final = re.compile(r"\b(?:size|gauge|SW|Größe|Schlüsselweite)\s*\Z", re.IGNORECASE)
_NO_AMOUNT: Final = re.compile(
    r"\b(?:engines?|petrol|diesel|motor\w*|benzin\w*|pressure|boost|force|druck\w*)\b", re.IGNORECASE
)
_READING: Final = re.compile(
    r"\b(?:at|until|above|below|reach(?:es|ed)?|before|from|between|(?:cool|heat|warm|ris|climb)\w*(?: \w+)? to"
    r"|bei|über|unter|ab|von|zwischen|erreicht)(?: (?:about|around|roughly|some|etwa|rund|ungefähr|ca\.))?\s*\Z",
    re.IGNORECASE,
)
_DIFFERENCE_BEFORE: Final = re.compile(
    r"\b(?:differ\w*|deviat\w*|within|by|spread|gap|ris\w+|rose|drops?|dropped|fall\w*|fell|changes?|jumps?|steps?|swings?"
    r"|accura\w*|agree\w*|um|unterschied\w*|differenz\w*|abweich\w*|innerhalb|sprung|sprünge|schwank\w*|anstieg)\b"
    r"(?! (?:\w+ )?to\b)",
    re.IGNORECASE,
)
_DIFFERENCE_AFTER: Final = re.compile(
    r"\b(?:cooler|colder|warmer|hotter|higher|lower|above|below|over|under|more|less|of|off|apart|from|difference|rise|drop"
    r"|wärmer|kälter|kühler|heißer|höher|niedriger|über|unter|mehr|weniger|unterschied|differenz|abweichung|auseinander"
    r"|genau)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity at ``start`` to ``end`` of a text, written in ``system``; ``other`` is the same in the other one."""

    start: int
    end: int
    system: System
    other: str

    @property
    def other_system(self) -> System:
        return "us" if self.system == "si" else "si"


@lru_cache(maxsize=20_000)
def quantities(text: str, locale: str) -> tuple[Quantity, ...]:
    """The quantities of a text that can be told in the other system, in order; ``locale`` is as in ``en_GB``."""
    found = [_Match(text, match, locale) for match in _FOUND.finditer(text)]
    twice = {id(one) for pair in pairwise(found) if _same_again(text, *pair) for one in pair}
    told: list[Quantity] = []
    previous: _Match | None = None
    for one in found:
        one.reading = one.is_reading(previous)
        previous = one
        if id(one) not in twice and (other := one.other()):
            told.append(Quantity(one.start, one.end, one.unit.system, other))
    return tuple(told)


def _same_again(text: str, first: "_Match", second: "_Match") -> bool:
    """Whether the second figure is the first in the other system, as an editor wrote it."""
    if first.unit.kind != second.unit.kind or first.unit.system == second.unit.system:
        return False
    return bool(_SAME_AGAIN.match(text[first.end : second.start]))


class _Match:
    """A number or a range with its unit, as it stands in a text."""

    def __init__(self, text: str, match: re.Match[str], locale: str) -> None:
        self.text, self.unit = text, UNITS[re.sub(_BLANK, " ", match["unit"])]
        self.between, self.locale = match["between"] or "", locale
        self.written = tuple(match[group] for group in ("first", "last") if match[group])
        self.start, self.end = match.span()
        if self.between.strip() in ("and", "und") and not _BETWEEN.search(self._before()):
            self.written = self.written[1:]
            self.start = match.start("last")
        self.before = _CLAUSE.split(self._before())[-1]
        following = _NEXT_WORDS.match(text, self.end)
        self.after = following[1] if following else ""
        self.reading = False

    def _before(self) -> str:
        return self.text[max(0, self.start - NEAR) : self.start]

    def is_reading(self, previous: "_Match | None") -> bool:
        """Whether a temperature is without doubt a reading, no difference; the end of a range is what its start is."""
        if self.unit.kind != "temperature" or _DIFFERENCE_AFTER.search(self.after):
            return False
        if previous and self.text[previous.end : self.start].strip() in ("to", "and", "bis", "und"):
            return previous.reading
        return bool(_READING.search(self.before)) and not _DIFFERENCE_BEFORE.search(self.before)

    def other(self) -> str:
        """The quantity in the other system; empty where it may mean something else."""
        kind = self.unit.kind
        if kind == "temperature" and not self.reading:
            return ""
        if kind == "length" and (_TRADE.search(self.after) or _SIZE.search(self.before)):
            return ""
        if kind in ("volume", "mass") and _NO_AMOUNT.search(self.after):
            return ""
        return converted(self.written, self.between, self.unit, self.locale)


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
    factor, offset = line(unit.name, (TARGETS.get(symbol) or UNITS[symbol]).name)
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
    bare = re.sub(_BLANK, "", written).replace("−", "-")
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
    return Conversion(unit.other, other.system, *line(unit.name, other.name))


@lru_cache(maxsize=64)
def line(unit: str, other: str) -> tuple[float, float]:
    """Factor and offset by which a figure in one unit becomes one in another, both by their names in :mod:`pint`."""
    quantity = _registry().Quantity
    offset = quantity(0, unit).to(other).magnitude
    return float(quantity(1, unit).to(other).magnitude - offset), float(offset)


@lru_cache(maxsize=1)
def _registry() -> Any:
    from pint import UnitRegistry  # noqa: PLC0415 - takes as long to load as all else, and many libraries need it not

    return UnitRegistry()
