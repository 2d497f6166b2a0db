"""Letters as a reader takes them: without marks and invisible characters, look-alikes as the letters they pass for."""

import re
import unicodedata
from functools import lru_cache
from typing import Final

# Characters that are shown as nothing: Default_Ignorable_Code_Point of the Unicode Character Database
# (DerivedCoreProperties.txt), without the sets that are not assigned, and the empty Braille pattern.
INVISIBLE: Final = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u2800\u3164"
    "\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufff8\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)

# A letter with a stroke, a small capital, a letter in a black square …: NFKD and TR39 leave these as they are.
_NAMED: Final = re.compile(
    r"(?:LATIN (?:SMALL|CAPITAL)? ?LETTER|(?:NEGATIVE )?(?:SQUARED|CIRCLED) LATIN CAPITAL LETTER"
    r"|REGIONAL INDICATOR SYMBOL LETTER) (?:SMALL CAPITAL |DOTLESS )?([A-Z])(?: WITH .*)?\Z"
)

# Pairs that TR39 keeps apart and a hasty eye does not: judged by eye, no source.
_TAKEN_FOR: Final = dict(zip("κкĸηпωшⲓ€¢§", "kkknnwwiecs", strict=True))


def folded(text: str) -> str:
    """The text in small letters without accents, each character as what it looks like; spaces and signs stay.

    Compatibility forms by Unicode NFKD, look-alikes by the confusables of Unicode TR39, the rest by its name.
    """
    if text.isascii():
        return text.lower()
    return "".join(map(_letter, INVISIBLE.sub("", text)))


@lru_cache(maxsize=4096)
def _letter(character: str) -> str:
    if character.isascii():
        return character.lower()
    if unicodedata.category(character) in ("Mn", "Me"):
        return ""
    looks = _look_alikes()
    small = character.casefold()
    found = _named(character) or looks.get(character) or _TAKEN_FOR.get(small) or looks.get(small)
    apart = unicodedata.normalize("NFKD", character)
    return found or ("".join(map(_letter, apart)) if apart != character else small)


def _named(character: str) -> str:
    """The plain letter that the name of a character speaks of, ``""`` if none."""
    match = _NAMED.match(unicodedata.name(character, ""))
    return match[1].lower() if match else ""


@lru_cache(maxsize=1)
def _look_alikes() -> dict[str, str]:
    """ASCII letters and digits by the characters that pass for them; read when the first strange letter is met."""
    from confusable_homoglyphs.confusables import confusables_data  # noqa: PLC0415 - a megabyte that few texts need

    found: dict[str, str] = {}
    for character, others in confusables_data.items():
        if len(character) == 1 and not character.isascii():
            plain = [other["c"].lower() for other in others if other["c"].isascii() and other["c"].isalnum()]
            plain = plain or [named for other in others if len(other["c"]) == 1 and (named := _named(other["c"]))]
            if plain:
                found[character] = plain[0]
    return found
