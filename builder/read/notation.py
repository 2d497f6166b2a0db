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

NUMBER: Final = r"[0-9]{1,9}(?:\.[0-9]{1,6})?"
IDENTIFIER: Final = re.compile(r"[a-z0-9-]+\Z")
_MONEY: Final = re.compile(rf"({NUMBER})\Z")
_PERCENT: Final = re.compile(rf"({NUMBER}) ?%\Z")
_CLOCK: Final = re.compile(rf"(?:({NUMBER}) ?h)?(?: ?({NUMBER}) ?min)?\Z")
_ISO_8601: Final = re.compile(
    rf"P(?:([0-9]{{1,3}})D)?(?:T(?=[0-9])(?:({NUMBER})H)?(?:({NUMBER})M)?(?:({NUMBER})S)?)?\Z"
)

REST: Final = "rest"
OTHERWISE: Final = "otherwise"
UNLISTED: Final = "unlisted"
ALL: Final = "all"


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
    clock = _CLOCK.match(text)
    if clock and text:
        return Decimal(clock[1] or 0) * 60 + Decimal(clock[2] or 0)
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
    match = _PERCENT.match(text)
    if not match:
        hint = f"write `{text}%`" if _MONEY.match(text) else "write a percentage such as `70%`"
        raise NotationError(f"`{text}` is not a percentage", hint)
    share = Fraction(match[1]) / 100
    if share > 1:
        raise NotationError(f"`{text}` is more than 100 %", "write at most `100%`")
    return share


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
    unit = re.search(r" ?(min|h)\Z", second)
    if parse is parse_minutes and unit and _MONEY.match(first):
        if len(re.findall(r"min|h", second)) > 1:
            raise NotationError(f"the time `{first}` needs a unit", f"write `{first} min` or `{first} h`")
        return parse(first + unit[0])
    return parse(first)


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
