"""Notation: how amounts, money, time, shares and chances are written.

Every function takes text (or the mapping that notation allows) and gives a value, or raises
:class:`NotationError` with a message and a hint in the words of the project.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, NamedTuple

from builder.read import grammar

IDENTIFIER: Final = re.compile(rf"{grammar.NAME}\Z")
_MONEY: Final = re.compile(rf"({grammar.NUMBER})\Z")
_PERCENT: Final = re.compile(rf"{grammar.PERCENT}\Z")
_MORE_THAN_ALL: Final = re.compile(rf"{grammar.NUMBER} ?%\Z")
_CLOCK: Final = re.compile(rf"{grammar.CLOCK_PARTS}\Z")
_ISO_8601: Final = re.compile(rf"{grammar.ISO_8601_PARTS}\Z")
_SPAN: Final = re.compile(rf"{grammar.SPAN_PARTS}\Z")
_ISO_SPAN: Final = re.compile(rf"{grammar.ISO_SPAN_PARTS}\Z")
_RANGE: Final = re.compile(rf"{grammar.RANGE_PARTS}\Z")

_UNIT: Final = re.compile(r" ?(?:min|h|s|hours?|nights?|days?|weeks?)\Z")
_UNITS: Final = re.compile("[a-z]+")

HOURS: Final = {"h": 1, "hour": 1, "night": 24, "day": 24, "week": 168}
"""Hours of a unit of waiting; a night is the day that it ends."""

REST: Final = "rest"
OTHERWISE: Final = "otherwise"
UNLISTED: Final = "unlisted"
ALL: Final = "all"


def as_name(text: str) -> str:
    """The name that somebody may mean who writes a text where a name belongs."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


class NotationError(ValueError):
    """Text that is not in the notation. ``key`` names the entry of a mapping that is at fault, if one is."""

    def __init__(self, message: str, hint: str, key: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.key = key


class Amount(NamedTuple):
    """A quantity of money (in the library's currency) or time (in minutes) with low ≤ likely ≤ high."""

    low: float
    likely: float
    high: float


class Range(NamedTuple):
    """A stretch of a reading, in its unit; an end that is ``None`` is open. A shared end belongs to the closed one."""

    low: Fraction | None
    high: Fraction | None


ZERO: Final = Amount(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Chance:
    """How likely a result is: the ``rest``, or a share of 1 by cause with ``otherwise`` for the causes not named."""

    by_cause: Mapping[str, Fraction]
    otherwise: Fraction | None
    rest: bool = False

    def given(self, cause: str) -> Fraction | None:
        """The chance under a cause, a share of 1; ``None`` where it is the rest or was not given."""
        return self.by_cause.get(cause, self.otherwise)


def parse_money(text: str) -> Decimal:
    """Money in the library's currency: ``12`` or ``12.50``."""
    match = _MONEY.match(text)
    if match:
        return Decimal(match[1])
    if text.startswith("-"):
        raise NotationError(f"`{text}` is negative", "write 0 or more")
    raise NotationError(
        f"`{text}` is not an amount of money",
        "write a plain number such as `12` or `12.50`, a range `10-20` or `{low: 10, likely: 12, high: 20}`",
    )


def parse_minutes(text: str) -> Decimal:
    """A time in minutes, from ``25 min``, ``1 h 30 min``, ``1.5 h``, ISO 8601 (``PT1H30M``) or a bare ``0``."""
    if text == "0":
        return Decimal(0)
    if clock := _CLOCK.match(text):
        hours, *rest = (Decimal(part or 0) for part in clock.groups())
        return hours * 60 + rest[0] + rest[2] + (rest[1] + rest[3] + rest[4]) / 60
    iso = _ISO_8601.match(text)
    if iso and any(iso.groups()):
        days, hours, minutes, seconds = (Decimal(part or 0) for part in iso.groups())
        return days * 1440 + hours * 60 + minutes + seconds / 60
    if _MONEY.match(text):
        raise NotationError(f"the time `{text}` needs a unit", f"write `{text} min` or `{text} h`")
    if text.startswith("-"):
        raise NotationError(f"`{text}` is negative", "write 0 min or more")
    raise NotationError(f"`{text}` is not a time", "write `25 min`, `1 h 30 min`, `1.5 h`, `10-20 min` or `PT1H30M`")


def parse_percent(text: str) -> Fraction:
    """A percentage such as ``12.5%`` as an exact share of 1."""
    if _PERCENT.match(text):
        return Fraction(text.removesuffix("%").strip()) / 100
    if _MORE_THAN_ALL.match(text):
        raise NotationError(f"`{text}` is more than 100 %", "write at most `100%`")
    hint = f"write `{text}%`" if _MONEY.match(text) else "write a percentage such as `70%`"
    raise NotationError(f"`{text}` is not a percentage", hint)


def parse_wait(text: str) -> Decimal:
    """A wait in hours, from ``12 h``, ``2 nights``, ``3 days``, ``1 week``, ISO 8601 (``P2D``) or a bare ``0``."""
    if text == "0":
        return Decimal(0)
    if span := _SPAN.match(text):
        return Decimal(span[1]) * HOURS[span[2].removesuffix("s")]
    iso = _ISO_SPAN.match(text)
    if iso and any(iso.groups()):
        weeks, days, hours = (Decimal(part or 0) for part in iso.groups())
        return weeks * HOURS["week"] + days * HOURS["day"] + hours
    if _MONEY.match(text):
        raise NotationError(f"the wait `{text}` needs a unit", f"write `{text} h`, `{text} nights` or `{text} days`")
    if text.startswith("-"):
        raise NotationError(f"`{text}` is negative", "write 0 or more")
    raise NotationError(f"`{text}` is not a wait", "write `12 h`, `2 nights`, `1-3 days`, `1 week` or `P2D`")


def parse_range(text: str) -> Range:
    """A range of a reading: ``below 12.4``, ``12.4-12.6`` or ``above 12.6``."""
    match = _RANGE.match(text)
    if not match:
        raise NotationError(f"`{text}` is not a range", "write `below 12.4`, `12.4-12.6` or `above 12.6`")
    below, above, low, high = (Fraction(part) if part else None for part in match.groups())
    if low is not None and high is not None and low >= high:
        raise NotationError(f"the range `{text}` runs downwards", "write the smaller value first")
    return Range(above if low is None else low, below if high is None else high)


def parse_amount(value: Any, parse: Callable[[str], Decimal]) -> Amount:
    """An amount: ``a``, ``a-b`` (likely = the middle) or ``{low, likely, high}`` with low ≤ likely ≤ high."""
    if isinstance(value, Mapping):
        return _amount_of_three(value, parse)
    if not isinstance(value, str):
        raise NotationError("this is not an amount", "write one value, a range or `{low: …, likely: …, high: …}`")
    text = value.strip()
    if "–" in text or "—" in text:
        raise NotationError(f"`{text}` has a long dash", "write a range with a plain hyphen: `a-b`")
    first, hyphen, second = text.partition("-")
    if not hyphen or not first.strip():
        figure = float(parse(text))
        return Amount(figure, figure, figure)
    high = parse(second.strip())
    low = _low_end(first.strip(), second.strip(), parse)
    if low > high:
        raise NotationError(f"the range `{text}` runs downwards", "write the smaller value first")
    return Amount(float(low), float((low + high) / 2), float(high))


def _low_end(first: str, second: str, parse: Callable[[str], Decimal]) -> Decimal:
    """The low end of a range; a bare number takes the unit of the high end (``10-20 min``)."""
    if parse is parse_money or not _MONEY.match(first):
        return parse(first)
    unit = _UNIT.search(second)
    if unit and len(_UNITS.findall(second)) > 1:
        raise NotationError(f"the time `{first}` needs a unit", f"write `{first} min` or `{first} h`")
    return parse(first + unit[0]) if unit else parse(first)


def _amount_of_three(value: Mapping[str, Any], parse: Callable[[str], Decimal]) -> Amount:
    names = ("low", "likely", "high")
    for key in value:
        if key not in names:
            raise NotationError(f"unknown key `{key}` in an amount", "the keys are `low`, `likely` and `high`", key)
    figures: list[Decimal] = []
    for name in names:
        text = value.get(name)
        if not isinstance(text, str):
            raise NotationError(f"the amount has no `{name}`", "write `{low: …, likely: …, high: …}`")
        try:
            figures.append(parse(text.strip()))
        except NotationError as error:
            raise NotationError(error.message, error.hint, name) from None
    if not figures[0] <= figures[1] <= figures[2]:
        raise NotationError("the amount is out of order", "write low ≤ likely ≤ high")
    low, likely, high = (float(figure) for figure in figures)
    return Amount(low, likely, high)


def parse_chance(value: Any) -> Chance:
    """A chance: ``rest``, one percentage for every cause, or percentages by cause with ``otherwise``."""
    if isinstance(value, str):
        if value == REST:
            return Chance({}, None, rest=True)
        try:
            return Chance({}, parse_percent(value))
        except NotationError as error:
            hint = f"{error.hint}, or `rest`, or a percentage by cause"
            raise NotationError(error.message, hint) from None
    if not isinstance(value, Mapping) or not value:
        raise NotationError("this is not a chance", "write `rest`, `70%` or `{cause: 95%, otherwise: 3%}`")
    shares: dict[str, Fraction] = {}
    for cause, text in value.items():
        try:
            shares[cause] = parse_percent(text if isinstance(text, str) else "…")
        except NotationError as error:
            raise NotationError(error.message, error.hint, cause) from None
    otherwise = shares.pop(OTHERWISE, None)
    return Chance(shares, otherwise)
