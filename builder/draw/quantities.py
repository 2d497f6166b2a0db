"""Quantities in prose, found with their units and told in the other system as well: metric and US.

A figure is converted only where its meaning is beyond doubt; whatever could be something else stays as written:

- a temperature only after a word that makes it a reading (``at``, ``above``, ``until`` …), never where it may be a
  difference, since 5 °C are 41 °F but a difference of 5 °C is one of 9 °F;
- no trade sizes (``10 mm spanner``), threads, areas, rates, tolerances or dimensions (``20 × 30 mm``);
- no gallons, quarts or ounces but those that say ``US``, since others have those names too;
- no figure that stands in both systems already.

The words that tell are data, in ``words/``: those of the library's language and of English.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Final

from builder.draw.units import BLANK, NUMBER, UNITS, System, Unit, converted
from builder.draw.words.language import choice, words_of

NEAR: Final = 80
"""How far back a word counts that tells what a figure means, in characters."""

_SYMBOL: Final = "|".join(re.escape(symbol).replace(r"\ ", BLANK) for symbol in sorted(UNITS, key=len, reverse=True))
_CLAUSE: Final = re.compile(r"[.;:!?()\n](?:\s|\Z)|\n|[()]")
_NEXT_WORDS: Final = re.compile(r"\s*((?:[^\s.,;:!?()]+\s*){1,4})")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity at ``start`` to ``end`` of a text, written in ``system``; ``other`` is the same in the other one."""

    start: int
    end: int
    system: System
    other: str

    @property
    def other_system(self) -> System:
        """The system that ``other`` is written in."""
        return "us" if self.system == "si" else "si"


@lru_cache(maxsize=20_000)
def quantities(text: str, locale: str) -> tuple[Quantity, ...]:
    """The quantities of a text that can be told in the other system, in order; ``locale`` is as in ``en_GB``."""
    signs = _signs_of(locale)
    found = [_figure(text, match, signs) for match in signs.found.finditer(text)]
    twice = {one for pair in pairwise(found) if _same_again(text, *pair, signs) for one in pair}
    told: list[Quantity] = []
    reading, end = False, 0
    for one in found:
        follows = bool(end) and bool(signs.joined.fullmatch(text[end : one.start].strip()))
        reading, end = _is_reading(one, signs, reading if follows else None), one.end
        if one not in twice and _means_one_thing(one, signs, reading):
            other = converted(one.written, one.between, one.unit, locale)
            told += [Quantity(one.start, one.end, one.unit.system, other)] if other else []
    return tuple(told)


@dataclass(frozen=True, slots=True)
class _Signs:
    """What tells in some languages how a figure is meant, as patterns."""

    found: re.Pattern[str]
    joined: re.Pattern[str]
    both: re.Pattern[str]
    between: re.Pattern[str]
    same_again: re.Pattern[str]
    size: re.Pattern[str]
    trade: re.Pattern[str]
    no_amount: re.Pattern[str]
    reading: re.Pattern[str]
    difference_before: re.Pattern[str]
    difference_after: re.Pattern[str]


@lru_cache(maxsize=16)
def _signs_of(locale: str) -> _Signs:
    words = words_of(locale)
    to, both = choice(words.to), choice(words.both)
    patterns = {
        "found": rf"(?<![\w.,/·×*±^+–−-])(?<![0-9±×x/]{BLANK})"
        rf"(?P<first>[-−]?(?:{NUMBER}))"
        rf"(?:(?P<between>[-–]|{BLANK}–{BLANK}|{BLANK}(?:{to}|{both}){BLANK})(?P<last>[-−]?(?:{NUMBER})))?"
        rf"{BLANK}(?P<unit>{_SYMBOL})(?![\w/·²³^*]|-\w|{BLANK}?[×x*/]{BLANK}?[0-9])",
        "joined": f"{to}|{both}",
        "both": rf"\s*{both}\s*",
        "between": rf"{choice(words.between)}\s*\Z",
        "same_again": rf"\s*(?:[(/,=]|{choice(words.or_)})\s*\Z",
        "size": rf"{choice(words.size)}\s*\Z",
        "trade": choice(words.trade),
        "no_amount": choice(words.no_amount),
        "reading": rf"{choice(words.reading)}(?: {choice(words.about)})?\s*\Z",
        "difference_before": rf"{choice(words.difference_before)}(?! (?:\w+ )?{to})",
        "difference_after": choice(words.difference_after),
    }
    small = {"found"}  # units tell capitals from small letters
    return _Signs(**{name: re.compile(one, 0 if name in small else re.IGNORECASE) for name, one in patterns.items()})


@dataclass(frozen=True, slots=True)
class _Figure:
    """A number or a range with its unit as it stands in a text, and the words of its clause around it."""

    start: int
    end: int
    unit: Unit
    written: tuple[str, ...]
    between: str
    before: str
    after: str


def _figure(text: str, match: re.Match[str], signs: _Signs) -> _Figure:
    start, end = match.span()
    between = match["between"] or ""
    written = tuple(match[group] for group in ("first", "last") if match[group])
    if signs.both.fullmatch(between) and not signs.between.search(text[max(0, start - NEAR) : start]):
        start, written = match.start("last"), written[1:]
    before = _CLAUSE.split(text[max(0, start - NEAR) : start])[-1]
    following = _NEXT_WORDS.match(text, end)
    unit = UNITS[re.sub(BLANK, " ", match["unit"])]
    return _Figure(start, end, unit, written, between, before, following[1] if following else "")


def _same_again(text: str, first: _Figure, second: _Figure, signs: _Signs) -> bool:
    """Whether the second figure is the first in the other system, as an editor wrote it."""
    if first.unit.kind != second.unit.kind or first.unit.system == second.unit.system:
        return False
    return bool(signs.same_again.match(text[first.end : second.start]))


def _is_reading(one: _Figure, signs: _Signs, first: bool | None) -> bool:
    """Whether a temperature is without doubt a reading, no difference; the end of a range is what its start is."""
    if one.unit.kind != "temperature" or signs.difference_after.search(one.after):
        return False
    if first is not None:
        return first
    return bool(signs.reading.search(one.before)) and not signs.difference_before.search(one.before)


def _means_one_thing(one: _Figure, signs: _Signs, reading: bool) -> bool:
    """Whether a figure can mean nothing but an amount of what its unit measures."""
    if one.unit.kind == "temperature":
        return reading
    if one.unit.kind == "length":
        return not signs.trade.search(one.after) and not signs.size.search(one.before)
    return one.unit.kind not in ("volume", "mass") or not signs.no_amount.search(one.after)
