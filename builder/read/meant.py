"""What is meant: text that is nearly in the notation, as one would write it there.

Each function gives texts to offer, likeliest first; none where nobody can tell. :mod:`notation` offers those of them
that it can read, so that what a hint says to write is always right.
"""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Final, NamedTuple

from builder.read import grammar

ODD_SPACE: Final = re.compile("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]")
"""Spaces that are not the plain one: Unicode's Zs without U+0020."""

_NUMBER: Final = re.compile(rf"{grammar.NUMBER}\Z")
_MIXED: Final = re.compile(r"(?:(?<![0-9.,])([0-9]+) +)?(?<![0-9.,])([0-9]{1,6})/([1-9][0-9]{0,5})(?![0-9])")
_GROUPS: Final = re.compile(r"(?<=[0-9])[ '’_](?=[0-9]{3}(?![0-9]))")
_THOUSANDS: Final = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+\Z")
_ABOUT: Final = re.compile(
    r"\b(?:about|approx(?:imately)?|around|roughly|circa|ca|etwa|rund|ungefähr|from|von)\b\.?|[~≈±+]"
)
_UP_TO: Final = re.compile(r"^(?:up to|at most|max(?:imum)?|less than|under|below|bis zu|höchstens|unter|<=?|≤)\.? *")
_AT_LEAST: Final = re.compile(r"^(?:at least|min(?:imum)?(?= [0-9])|more than|over|above|mindestens|über|>=?|≥)\.? *")
_TO: Final = re.compile(r" *(?:-+|[‐‑‒–—―−]|\.{2,}|…|\bto\b|\bbis\b|\buntil\b) *")
_BETWEEN: Final = re.compile(r"^(?:between|zwischen) (.+) (?:and|und) (.+)$")
_CASES: Final = re.compile(r"([0-9]{1,6}) ?(?:/|in|of|out of|von|aus) ?([1-9][0-9]{0,5})\Z")
_COLONS: Final = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))?\Z")
_TOKEN: Final = re.compile(r"([0-9]+(?:[.,][0-9]+)?) *([^0-9\s,.;]*)[.,;]? *(?:(?:and|und)\b)? *")
_SAID_IN_WORDS: Final = {
    "half an hour": "30 min",
    "half hour": "30 min",
    "halbe stunde": "30 min",
    "quarter of an hour": "15 min",
    "viertelstunde": "15 min",
    "overnight": "1 night",
    "over night": "1 night",
    "über nacht": "1 night",
    "a couple of": "2",
}
_COUNTED: Final = {
    word: str(number)
    for number, words in enumerate(
        (
            "a an one ein eine",
            "two zwei",
            "three drei",
            "four vier",
            "five fünf",
            "six sechs",
            "seven sieben",
            "eight acht",
            "nine neun",
            "ten zehn",
        ),
        start=1,
    )
    for word in words.split()
}

_MONTHS: Final = {
    word: number
    for number, words in enumerate(
        ("jan", "feb", "mar mär", "apr", "may mai", "jun", "jul", "aug", "sep", "oct okt", "nov", "dec dez"), start=1
    )
    for word in words.split()
}


class Unit(NamedTuple):
    """How a unit is written in the notation, and how many times it fits into what stands there."""

    name: str
    times: Fraction = Fraction(1)


def _units(rows: Mapping[str, Unit]) -> dict[str, Unit]:
    return {word: unit for words, unit in rows.items() for word in words.split()}


_HOURS: Final = "h hr hrs hour hours std stdn stunde stunden"
_MINUTES: Final = "m min mins minute minutes minuten mn ' ′ ’"
_DAYS: Final = "d day days tag tage tagen"
_NIGHTS: Final = "night nights nacht nächte nächten"
_WEEKS: Final = "w wk wks week weeks woche wochen"

TIME_UNITS: Final = _units(
    {
        _HOURS: Unit("h"),
        _MINUTES: Unit("min"),
        's sec secs second seconds sek sekunde sekunden " ″': Unit("s"),
    }
)
WAIT_UNITS: Final = _units(
    {
        _HOURS: Unit("h"),
        _MINUTES: Unit("h", Fraction(1, 60)),
        _NIGHTS: Unit("nights"),
        _DAYS: Unit("days"),
        _WEEKS: Unit("weeks"),
        "month months monat monate monaten": Unit("days", Fraction(30)),
    }
)
_NEXT_UNIT: Final = {"h": "min", "min": "s"}


def odd_space_in(text: str) -> str:
    """What the first odd space of a text is called, with its code point; empty where there is none."""
    found = ODD_SPACE.search(text)
    return f"{unicodedata.name(found[0]).lower()} (U+{ord(found[0]):04X})" if found else ""


def simple(text: str) -> str:
    """A text in plain characters: one space where there were any, plain digits, fractions with a slash."""
    for vulgar in re.findall("[¼-¾⅐-⅞]", text):
        text = text.replace(vulgar, " " + unicodedata.normalize("NFKC", vulgar).replace("\u2044", "/"))
    return " ".join(unicodedata.normalize("NFKC", text).split())


def decimal_text(value: Fraction, digits: int = 3) -> str:
    """A fraction as a number of the notation."""
    return f"{round(Decimal(value.numerator) / Decimal(value.denominator), digits):f}".rstrip("0").rstrip(".") or "0"


def number(text: str) -> str:
    """A number in the notation; empty where there is none. ``15,50``, ``15.-``, ``1'200``, ``1 1/2``, ``.5``."""
    text = re.sub(r"(?<=[0-9])[.,] ?[-–—]+$", "", text.strip())
    text = _GROUPS.sub("", text)
    if mixed := _MIXED.fullmatch(text):
        text = decimal_text(int(mixed[1] or 0) + Fraction(int(mixed[2]), int(mixed[3])))
    if "," in text and "." in text:
        text = text.replace("." if text.rfind(",") > text.rfind(".") else ",", "").replace(",", ".")
    elif _THOUSANDS.match(text):
        text = text.replace(",", "")
    text = text.replace(",", ".").removesuffix(".")
    text = f"0{text}" if text.startswith(".") else text
    return text if _NUMBER.match(text) else ""


def ends(text: str) -> tuple[str, ...]:
    """A text as what it says from where to where: one or two pieces, in small letters, without `about` and the like."""
    text = re.sub(r"(?<=[0-9])[.,] ?[-–—]+(?=\s|$|[^0-9\s])", "", simple(text).lower())
    text = _BETWEEN.sub(r"\1-\2", text)
    text = " ".join(_ABOUT.sub(" ", text).split())
    if most := _UP_TO.match(text):
        return "0", text[most.end() :]
    if least := _AT_LEAST.match(text):
        text = text[least.end() :]
    text = _MIXED.sub(lambda mixed: number(mixed[0]), text)
    pieces = [piece for piece in _TO.split(text) if piece]
    return (pieces[0], pieces[1]) if len(pieces) == 2 else (text.strip(" -"),)


def money(text: str) -> Iterator[str]:
    """``€15-20``, ``15.-``, ``1.200,50 EUR``."""
    figures = [number(_without_currency(piece)) for piece in ends(text)]
    if all(figures):
        yield _joined(sorted(figures, key=Fraction))


def _without_currency(piece: str) -> str:
    kept = "".join(" " if unicodedata.category(char) == "Sc" else char for char in piece)
    return re.sub(r"(?:^|(?<=[\s0-9.,]))[a-zäöü]{2,7}\.?(?=$|[\s0-9])", "", kept).strip()


def time(text: str) -> Iterator[str]:
    """``90 mins``, ``1:30``, ``1h30``, ``10 to 20 minutes``; both units where there is none."""
    yield from _spans(text, TIME_UNITS, ("min", "h"))


def wait(text: str) -> Iterator[str]:
    """``overnight``, ``2d``, ``90 min``; every unit where there is none."""
    yield from _spans(text, WAIT_UNITS, ("h", "nights", "days"))


def _spans(text: str, units: Mapping[str, Unit], choice: tuple[str, ...]) -> Iterator[str]:
    pieces = [_span(_in_figures(piece), units) for piece in ends(_said(text))]
    if not all(pieces):
        return
    last = [piece for piece in pieces if piece and piece[0][1]]
    if not last:
        for unit in choice:
            yield _joined(sorted((piece[0][0] for piece in pieces), key=Fraction), f" {_bent(unit, pieces[-1])}")
        return
    unit = last[-1][0][1]
    whole = [[(figure, one or unit) for figure, one in piece] for piece in pieces if piece]
    if all(len(piece) == 1 for piece in whole) and len({piece[0][1] for piece in whole}) == 1:
        yield _joined(sorted((piece[0][0] for piece in whole), key=Fraction), f" {_bent(unit, whole[-1])}")
    else:
        said = [" ".join(f"{figure} {_bent(one, piece)}" for figure, one in piece) for piece in whole]
        yield from (_joined(said), _joined(said[::-1]))


Span = list[tuple[str, str]]


def _bent(unit: str, piece: Span) -> str:
    """The unit as one writes it after a figure: ``1 night``, ``2 nights``."""
    return unit.removesuffix("s") if len(unit) > 1 and piece[-1][0] == "1" else unit


def _said(text: str) -> str:
    text = simple(text).lower()
    for words, figures in _SAID_IN_WORDS.items():
        text = text.replace(words, figures)
    return text


def _in_figures(piece: str) -> str:
    return " ".join(_COUNTED.get(word, word) for word in piece.split())


def _span(piece: str, units: Mapping[str, Unit]) -> Span:
    """Figures with their units, largest unit first; a figure alone has the unit ``""``; nothing where it is no span."""
    if clock := _COLONS.match(re.sub(r" ?(?:h|hrs?|hours?|std|stunden?|uhr)$", "", piece)):
        piece = f"{clock[1]} h {clock[2]} min {clock[3] or 0} s"
    found: dict[str, str] = {}
    before, at = "", 0
    for token in _TOKEN.finditer(piece):
        unit = units.get(token[2].strip(".")) or (Unit(_NEXT_UNIT.get(before, "")) if not token[2] else None)
        figure = number(token[1])
        if token.start() != at or unit is None or not figure or unit.name in found:
            return []
        found[unit.name] = decimal_text(Fraction(figure) * unit.times)
        before, at = unit.name, token.end()
    if at != len(piece) or ("" in found and len(found) > 1):
        return []
    # Nothing is said by a zero beside something else.
    said = {name: figure for name, figure in found.items() if figure != "0"} or dict([*found.items()][:1])
    order = [unit.name for unit in dict.fromkeys(units.values())]
    return sorted(
        ((figure, name) for name, figure in said.items()), key=lambda one: order.index(one[1]) if one[1] in order else 0
    )


def percent(text: str) -> Iterator[str]:
    """``0.41`` (41 or 0.41 %), ``41,5%``, ``41 percent``, ``1/3``, ``7 of 10``; the middle of a range."""
    plain = re.sub(r"%|\b(?:percent|per cent|pct|prozent|v\.? ?h\.?)(?!\w)", " % ", simple(text).lower()).strip()
    if cases := _CASES.match(plain):
        if int(cases[1]) <= int(cases[2]):
            yield decimal_text(Fraction(int(cases[1]), int(cases[2])) * 100, 1) + "%"
        return
    pieces = ends(plain.replace("%", " "))
    figures = [number(piece) for piece in pieces]
    if not all(figures):
        return
    figures = figures[1:] if pieces[0] == "0" else figures
    figure = sum((Fraction(one) for one in figures), Fraction(0)) / max(1, len(figures))
    if "%" not in plain and 0 < figure <= 1:
        yield decimal_text(figure * 100) + "%"
    yield decimal_text(figure) + "%"


def one_figure(text: str) -> Iterator[str]:
    """One number where there may be no range: the middle of one."""
    for offered in money(text):
        low, _, high = offered.partition("-")
        yield decimal_text((Fraction(low) + Fraction(high)) / 2) if high else low


def stretch(text: str) -> Iterator[str]:
    """A range of a reading: ``< 12.4 V``, ``12,4 – 12,6``, ``more than 12.6``."""
    plain = _BETWEEN.sub(r"\1-\2", simple(text).lower())
    plain = re.sub(r"(?<=[0-9]) ?(?!to\b|bis\b|and\b|und\b)(?:[^\W\d_]|[°Ω%µ/])+\.?(?=\s|$|-)", "", plain)
    for word, pattern in (("below", _UP_TO), ("above", _AT_LEAST)):
        if (found := pattern.match(plain)) and (figure := _signed(plain[found.end() :])):
            yield f"{word} {figure}"
            return
    figures = [_signed(piece) for piece in re.split(r"(?<=[0-9]) *(?:-|–|—|−|\.{2,}|…|to|bis) *(?=[-−]?[0-9])", plain)]
    if len(figures) == 2 and all(figures):
        yield "-".join(figures)


def _signed(text: str) -> str:
    text = text.strip().replace("−", "-")
    figure = number(text.removeprefix("-"))
    return figure and ("-" if text.startswith("-") else "") + figure


def quantity(text: str) -> str:
    """A whole number: ``2x``, ``x 2``, ``2 pcs``, ``two``; empty where there is none."""
    plain = _in_figures(simple(text).lower())
    found = re.fullmatch(r"(?:[x×*] ?)?([0-9]{1,3})(?: ?(?:[x×*]|pcs?\.?|pieces?|off|stück|stk\.?))?", plain)
    return found[1].lstrip("0") if found else ""


def counted(text: str) -> tuple[str, str]:
    """What is counted, and how many as it stands there, of ``2x calliper`` or ``calliper x2``; else the text alone."""
    plain = simple(text)
    if found := re.fullmatch(r"([0-9]{1,3} ?[x×*]|[x×*] ?[0-9]{1,3}|[0-9]{1,3}(?= )) ?([^0-9 ].*)", plain):
        return found[2], found[1]
    if found := re.fullmatch(r"(.*[^0-9 ]) ?((?<= )[x×*] ?[0-9]{1,3}|(?<= )[0-9]{1,3} ?[x×*]|[:=] ?[0-9]{1,3})", plain):
        return found[1], found[2].strip(":= ")
    return plain, ""


def month(text: str) -> Iterator[str]:
    """``2026/3``, ``03/2026``, ``2026-03-14``, ``March 2026``."""
    plain = simple(text).lower()
    numbers = re.findall("[0-9]+", plain)
    years = [one for one in numbers if len(one) == 4]
    words = [word[:3] for word in re.findall("[a-zä]{3,}", plain)]
    months = [_MONTHS[word] for word in words if word in _MONTHS] or [
        int(one) for one in (numbers if plain.startswith(tuple(years)) else reversed(numbers)) if len(one) < 3
    ]
    if years and months and 1 <= months[0] <= 12:
        yield f"{years[0]}-{months[0]:02}"


def _joined(pieces: list[str], unit: str = "") -> str:
    return "-".join(dict.fromkeys(pieces)) + unit
