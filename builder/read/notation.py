"""Notation: how amounts, money, time, shares and chances are written.

Every function takes text (or the mapping that notation allows) and gives a value, or raises
:class:`NotationError` with a message and a hint in the words of the project.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, NamedTuple

from builder.read import grammar, meant

IDENTIFIER: Final = re.compile(rf"{grammar.NAME}\Z")
_MONEY: Final = re.compile(rf"({grammar.NUMBER})\Z")
_PERCENT: Final = re.compile(rf"{grammar.PERCENT}\Z")
_MORE_THAN_ALL: Final = re.compile(rf"{grammar.NUMBER} ?%\Z")
_CLOCK: Final = re.compile(rf"{grammar.CLOCK_PARTS}\Z")
_ISO_8601: Final = re.compile(rf"{grammar.ISO_8601_PARTS}\Z")
_SPAN: Final = re.compile(rf"{grammar.SPAN_PARTS}\Z")
_ISO_SPAN: Final = re.compile(rf"{grammar.ISO_SPAN_PARTS}\Z")
_RANGE: Final = re.compile(rf"{grammar.RANGE_PARTS}\Z")

LONGEST: Final = 100
"""Longest text of which is asked what it may mean, in characters."""

_COMMA: Final = re.compile("[0-9],[0-9]{1,2}(?![0-9])")

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
    """Text that is not in the notation, or breaks another ``rule``; ``key`` names the entry of a mapping at fault."""

    def __init__(self, message: str, hint: str, key: str | None = None, rule: str = "notation") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.key = key
        self.rule = rule


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


class UnclearError(NotationError):
    """Text from which one may guess what is meant; the hint says what to write where one cannot.

    ``says`` is the message with ``{}`` for the text.
    """

    def __init__(self, text: str, says: str, hint: str) -> None:
        super().__init__(says.format(f"`{text}`"), hint)
        self.says = says


def mended(error: NotationError, text: str, offered: Iterable[str], parse: Callable[[str], object]) -> NotationError:
    """The error of a text with the very text to write, as far as what is offered can be read."""
    taken = [
        one for one in dict.fromkeys(offered if len(text) <= LONGEST else ()) if one != text and _is_read(one, parse)
    ]
    hint = "write " + " or ".join(f"`{one}`" for one in taken) if taken else error.hint
    message = error.message
    if space := meant.odd_space_in(text):
        message = f"`{text}` holds a {space} where only a plain space may be"
    elif taken and _COMMA.search(text):
        message = f"`{text}` has a comma where a decimal point belongs"
    return NotationError(message, hint, error.key)


def _is_read(text: str, parse: Callable[[str], object]) -> bool:
    try:
        parse(text)
    except NotationError:
        return False
    return True


def parse_money(text: str) -> Decimal:
    """Money in the library's currency: ``12`` or ``12.50``."""
    if match := _MONEY.match(text):
        return Decimal(match[1])
    if text.startswith("-"):
        raise NotationError(f"`{text}` is negative", "write 0 or more")
    raise UnclearError(text, "{} is not an amount of money", "write a plain number such as `12` or `12.50`")


def parse_figure(text: str) -> Decimal:
    """Money where there may be no range."""
    try:
        return parse_money(text)
    except UnclearError as error:
        raise mended(error, text, meant.one_figure(text), parse_money) from None


def parse_minutes(text: str) -> Decimal:
    """A time in minutes, from ``25 min``, ``1 h 30 min``, ``30 s``, ISO 8601 (``PT1H30M``) or a bare ``0``."""
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
        raise UnclearError(text, "the time {} needs a unit", f"write `{text} min` or `{text} h`")
    if text.startswith("-"):
        raise NotationError(f"`{text}` is negative", "write 0 min or more")
    if _is_read(text, parse_wait) and "hour" not in text:
        hint = f"write hours of hands-on work, such as `8 h`; what passes without hands is `wait: {text}`"
        raise UnclearError(text, "{} is not a time of work", hint)
    raise UnclearError(text, "{} is not a time", "write `25 min`, `1 h 30 min`, `1.5 h`, `30 s` or `PT1H30M`")


def parse_percent(text: str) -> Fraction:
    """A percentage such as ``12.5%`` as an exact share of 1."""
    if _PERCENT.match(text):
        return Fraction(text.removesuffix("%").strip()) / 100
    if _MORE_THAN_ALL.match(text):
        raise NotationError(f"`{text}` is more than 100 %", "write at most `100%`")
    error = UnclearError(text, "{} is not a percentage", "write a percentage such as `70%`")
    raise mended(error, text, meant.percent(text), parse_percent)


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
        raise UnclearError(text, "the wait {} needs a unit", f"write `{text} h`, `{text} nights` or `{text} days`")
    if text.startswith("-"):
        raise NotationError(f"`{text}` is negative", "write 0 or more")
    raise UnclearError(text, "{} is not a wait", "write `12 h`, `2 nights`, `3 days`, `1 week` or `P2D`")


def parse_range(text: str) -> Range:
    """A range of a reading: ``below 12.4``, ``12.4-12.6`` or ``above 12.6``."""
    match = _RANGE.match(text)
    if not match:
        error = UnclearError(text, "{} is not a range", "write `below 12.4`, `12.4-12.6` or `above 12.6`")
        raise mended(error, text, meant.stretch(text), parse_range)
    below, above, low, high = (Fraction(part) if part else None for part in match.groups())
    if low is not None and high is not None and low >= high:
        first, second = match[3], match[4]
        raise NotationError(f"the range `{text}` runs downwards", f"write `{second}-{first}`")
    return Range(above if low is None else low, below if high is None else high)


def parse_amount(value: Any, parse: Callable[[str], Decimal]) -> Amount:
    """An amount: ``a``, ``a-b`` (likely = the middle) or ``{low, likely, high}`` with low ≤ likely ≤ high."""
    if isinstance(value, Mapping):
        return _amount_of_three(value, parse)
    if not isinstance(value, str):
        raise NotationError("this is not an amount", "write one value, a range or `{low: …, likely: …, high: …}`")
    text = value.strip()
    try:
        return _one_or_range(text, parse)
    except UnclearError as error:
        offered = _meant_by(text, parse)
        whole = UnclearError(text, error.says, error.hint)
        raise mended(whole, text, offered, lambda one: _one_or_range(one, parse)) from None


def _meant_by(text: str, parse: Callable[[str], Decimal]) -> Iterable[str]:
    """Texts that may be meant by one that is no amount."""
    if parse is parse_money:
        return meant.money(text)
    return meant.time(text) if parse is parse_minutes else meant.wait(text)


def _one_or_range(text: str, parse: Callable[[str], Decimal]) -> Amount:
    if "–" in text or "—" in text:
        raise UnclearError(text, "{} has a long dash", "write a range with a plain hyphen: `a-b`")
    first, hyphen, second = text.partition("-")
    if not hyphen or not first.strip():
        figure = float(parse(text))
        return Amount(figure, figure, figure)
    high = parse(second.strip())
    low = _low_end(first.strip(), second.strip(), parse)
    if low > high:
        raise UnclearError(text, "the range {} runs downwards", "write the smaller value first")
    return Amount(float(low), float((low + high) / 2), float(high))


def _low_end(first: str, second: str, parse: Callable[[str], Decimal]) -> Decimal:
    """The low end of a range; a bare number takes the unit of the high end (``10-20 min``)."""
    if parse is parse_money or not _MONEY.match(first):
        return parse(first)
    unit = _UNIT.search(second)
    if unit and len(_UNITS.findall(second)) > 1:
        raise UnclearError(first, "the time {} needs a unit", f"write `{first} min` or `{first} h`")
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
        figures.append(_figure_of_three(name, text.strip(), parse))
    if not figures[0] <= figures[1] <= figures[2]:
        raise NotationError("the amount is out of order", "write low ≤ likely ≤ high")
    low, likely, high = (float(figure) for figure in figures)
    return Amount(low, likely, high)


def _figure_of_three(name: str, text: str, parse: Callable[[str], Decimal]) -> Decimal:
    """One of the three, which may be no range."""
    try:
        return parse(text)
    except UnclearError as error:
        offered = meant.one_figure(text) if parse is parse_money else _meant_by(text, parse)
        better = mended(error, text, offered, parse)
        raise NotationError(better.message, better.hint, name) from None
    except NotationError as error:
        raise NotationError(error.message, error.hint, name) from None


def parse_chance(value: Any) -> Chance:
    """A chance: ``rest``, one percentage for every cause, or percentages by cause with ``otherwise``."""
    if isinstance(value, str):
        if value == REST:
            return Chance({}, None, rest=True)
        try:
            return Chance({}, parse_percent(value))
        except NotationError as error:
            raise NotationError(error.message, _hint_of_chance(value, error.hint)) from None
    if not isinstance(value, Mapping) or not value:
        raise NotationError("this is not a chance", "write `rest`, `70%` or `{cause: 95%, otherwise: 3%}`")
    shares: dict[str, Fraction] = {}
    for cause, text in value.items():
        if text == REST:
            hint = f"write `chance: {REST}` for the whole result, or a percentage for `{cause}`"
            raise NotationError(f"`{REST}` cannot stand for one cause", hint, cause)
        try:
            shares[cause] = parse_percent(text.strip() if isinstance(text, str) else "…")
        except NotationError as error:
            raise NotationError(error.message, error.hint, cause) from None
    otherwise = shares.pop(OTHERWISE, None)
    return Chance(shares, otherwise)


def _hint_of_chance(text: str, hint: str) -> str:
    if as_name(text) in ("rest", "the-rest", "remainder", "otherwise", "else"):
        return "write `rest`"
    return hint if list(meant.percent(text)) else f"{hint}, or `rest`, or a percentage by cause"
