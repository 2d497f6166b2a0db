"""Figures as people read them: money, time and shares, rounded to what they deserve, by the library's locale."""

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Final

from babel import Locale
from babel.numbers import format_currency, format_decimal, format_percent

from builder.read.records import Settings

UNREADABLE: Final = 10**21
RAISED: Final = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")

BEFORE_UNIT: Final = re.compile(
    r"(?<=\d) (?=(?:%|°C|°F|mm|cm|m|km|km/h|V|mV|A|mA|Ω|kΩ|bar|mbar|kPa|N·m|g|kg|l|ml|h|min|s)(?!\w))"
)
"""The space between a number and its unit, which must not break (SI brochure, section 5.4.3)."""


@lru_cache(maxsize=20_000)
def keep_units(text: str) -> str:
    """Text in which numbers stay on one line with their units."""
    return BEFORE_UNIT.sub("\u00a0", text)


@dataclass(frozen=True, slots=True)
class Figures:
    """Writes figures for one locale (as in ``en_GB``) and one ISO 4217 currency."""

    locale: str
    currency: str

    @property
    def us_first(self) -> bool:
        """Whether quantities stand in US units first, as readers of the language in that country expect."""
        return self.locale.endswith("_US")

    def money(self, amount: float) -> str:
        """Money: whole units from 20 on, cents below where there are any."""
        return _money(round(amount, 2) if amount < 20 else float(round(amount)), self.currency, self.locale)

    def about(self, amount: float) -> str:
        """Money that rests on estimates: whole units and no more than two digits that say something."""
        digits = len(str(int(abs(amount))))
        return _money(float(round(amount, min(0, 2 - digits))), self.currency, self.locale)

    def money_range(self, low: float, high: float) -> str:
        """Two amounts of money with a dash between them, or one where both read alike."""
        first, last = self.money(low), self.money(high)
        return first if first == last else f"{first} – {last}"

    def minutes(self, minutes: float) -> str:
        """Time: minutes below an hour, to 5 minutes up to ten hours, whole hours above."""
        return _minutes(minutes, self.locale)

    def minutes_range(self, low: float, high: float) -> str:
        """Two times, given in minutes, with a dash between them, or one where both read alike."""
        first, last = self.minutes(low), self.minutes(high)
        return first if first == last else f"{first} – {last}"

    def count(self, count: int) -> str:
        """A whole number, its thousands set apart; one with more digits than anyone reads by its power of ten."""
        if count < UNREADABLE:
            return str(format_decimal(count, locale=self.locale))
        digits, _, power = f"{Decimal(count):.1e}".partition("e+")
        return f"{format_decimal(Decimal(digits), locale=self.locale)} × 10{power.translate(RAISED)}"

    def bytes(self, count: int) -> str:
        """A number of bytes in megabytes of a million."""
        return f"{format_decimal(round(count / 1e6, 1), locale=self.locale)} MB"

    def share(self, share: float) -> str:
        """A share of 1 as whole percent; what is nearly nothing or nearly everything says so."""
        whole = round(share * 100)
        if whole == 0 and share > 0:
            return "< " + _percent(1, self.locale)
        if whole == 100 and share < 1 - 1e-9:
            return "> " + _percent(99, self.locale)
        return _percent(whole, self.locale)


def figures_of(settings: Settings) -> Figures:
    """How a library's figures are written: by the locale of its language, in its currency."""
    return Figures(str(Locale.parse(settings.language.replace("-", "_"))), settings.currency)


@lru_cache(maxsize=20_000)
def _money(amount: float, currency: str, locale: str) -> str:
    if amount != int(amount):
        return str(format_currency(amount, currency, locale=locale))
    pattern = Locale.parse(locale).currency_formats["standard"].pattern.replace(".00", "")
    return str(format_currency(amount, currency, pattern, locale=locale, currency_digits=False))


@lru_cache(maxsize=20_000)
def _minutes(minutes: float, locale: str) -> str:
    if minutes < 59.5:
        whole = round(minutes)
        return f"{format_decimal(whole or (1 if minutes > 0 else 0), locale=locale)} min"
    fives = round(minutes / 5) * 5
    if minutes >= 600 or fives % 60 == 0:
        return f"{format_decimal(round(minutes / 60), locale=locale)} h"
    return f"{fives // 60} h {fives % 60} min"


@lru_cache(maxsize=1_000)
def _percent(whole: int, locale: str) -> str:
    return str(format_percent(whole / 100, locale=locale))
