"""Disguises: ways to write a word so that it reads the same, by accident or so that no search finds it."""

import pytest

from builder.read.prose import plain_text
from builder.read.words.calls import caller

# What is done to the word, and a sentence with it. The sentences are shown as they are, marks of Markdown included.
LIFTING = {
    "capitals": "JACK THE CAR UP",
    "mixed case": "jAcK it",
    "plural": "two jacks",
    "past": "it was jacked",
    "ing form": "jacking it",
    "hyphen between words": "on axle-stands",
    "no space": "on axlestands",
    "underscore": "on axle_stands",
    "slash": "on axle/stands",
    "full stop between": "on axle.stands",
    "non-breaking space": "on axle\u00a0stands",
    "thin space": "on axle\u2009stands",
    "ideographic space": "on axle\u3000stands",
    "non-breaking hyphen": "on axle\u2011stands",
    "line break": "on axle\n  stands",
    "windows line break": "on axle\r\nstands",
    "hyphen within": "ja-ck it",
    "hyphen at the end of a line": "use the trol-\nley jack or hoi-\nst",
    "space within": "ja ck it",
    "letters apart": "j a c k it",
    "letters apart, phrase": "r a i s e the c a r",
    "letters apart by hyphens": "j-a-c-k it",
    "letters apart by full stops": "j.a.c.k it",
    "letters apart by underscores": "j_a_c_k it",
    "letters drawn out": "jaaaack it",
    "joined phrase": "jackthecar",
    "joined phrase in capitals": "JackTheCar",
    "apostrophe within": "ja'ck it",
    "typographic apostrophe within": "ja’ck it",
    "asterisks within": "ja**ck** it",
    "asterisk within": "j*a*ck it",
    "strike marks within": "ja~~ck~~ it",
    "backticks": "`jack` it",
    "backslash within": "ja\\ck it",
    "soft hyphen": "ja\u00adck it",
    "zero-width space": "ja\u200bck it",
    "zero-width joiner": "ja\u200dck it",
    "zero-width non-joiner": "ja\u200cck it",
    "word joiner": "ja\u2060ck it",
    "invisible times": "ja\u2062ck it",
    "combining grapheme joiner": "ja\u034fck it",
    "variation selector": "ja\ufe0fck it",
    "tag character": "ja\U000e0061ck it",
    "Hangul filler": "ja\u3164ck it",
    "empty Braille pattern": "ja\u2800ck it",
    "Mongolian vowel separator": "ja\u180eck it",
    "invisible characters at the ends": "\u200bjack\u200b it",
    "left-to-right mark": "ja\u200eck it",
    "accents": "jáçk it",
    "combining accents": "ja\u0301c\u0327k it",
    "stacked marks": "j\u0300\u0301\u0302a\u0303\u0304c\u0305k it",
    "struck through": "j\u0336a\u0336c\u0336k\u0336 it",
    "Cyrillic a": "j\u0430ck it",
    "Cyrillic c and a": "j\u0430\u0441k it",
    "Cyrillic k": "jac\u043a it",
    "Cyrillic je": "\u0458ack it",
    "Greek letters": "\u03f3\u03b1\u03f2\u03ba it",
    "Greek capitals": "\u0399ift the car, l\u0399ft it",
    "Cherokee letters": "\u13ab\u13aa\u13df\u13e6 it",
    "Lisu letters": "\ua4d9\ua4ee\ua4da\ua4d7 it",
    "full-width letters": "ｊａｃｋ it",
    "mathematical bold": "𝐣𝐚𝐜𝐤 it",
    "mathematical script": "𝒿𝒶𝒸𝓀 it",
    "mathematical monospace": "𝚓𝚊𝚌𝚔 it",
    "circled letters": "ⓙⓐⓒⓚ it",
    "squared letters": "🅹🅰🅲🅺 it",
    "regional indicators": "🇯 🇦 🇨 🇰 it",
    "small capitals": "ᴊᴀᴄᴋ it",
    "superscript letters": "ʲᵃᶜᵏ it",
    "letter with a stroke": "łift the car",
    "dotless i": "lıft the car",
    "Roman numeral fifty": "ⅼift the car",
    "capital i for l": "Iift the car",
    "one for l": "1ift the car",
    "one for i": "l1ft the car",
    "figures for letters": "j4ck it",
    "three for e": "rais3 the car",
    "at sign": "j@ck it",
    "dollar sign": "rai$e the car",
    "exclamation mark": "l!ft the car",
    "rn for m": "on rarnps",
    "vv for w": "vvheel off",
    "letters swapped": "axel stands",
    "letters swapped in a short word": "jcak it",
    "letter doubled": "jackk it",
    "letter left out": "hydraulic jaking",
    "letter put in": "raise the vehiicle",
    "letter exchanged": "raise the vehicke",
    "keyboard neighbour": "lidting the car",
    "quotation marks": "“jack” it",
    "brackets": "(jack) it",
    "emoji beside it": "🔧jack🔧 it",
    "possessive": "the jack's handle",
    "place between": "raise, with care and a helper, the front of the car",
    "passive": "the car is to be raised",
    "as a noun": "after the lifting of the car",
}
TIMING = {
    "joined": "the timingbelt",
    "hyphen": "the timing-belt",
    "rn for m": "the tirning belt",
    "one for i": "the t1ming b3lt",
    "slip": "the timming belt",
    "Cyrillic": "the t\u0456ming b\u0435lt",
    "spaced": "the t i m i n g belt",
}
GERMAN = {
    "umlaut as two letters": "auf die Hebebuehne",
    "umlaut without dots": "auf die Hebebuhne",
    "umlaut with a combining mark": "auf die Hebebu\u0308hne",
    "umlaut by a look-alike": "auf die Hebeb\u04f1hne",
    "words apart": "mit dem Wagen Heber",
    "hyphen": "mit dem Wagen-Heber",
    "small letters": "die hebebühne",
    "slip": "die Hebebüne",
    "slip in a compound": "die Zahnrimenabdeckung",
    "old spelling": "den Wagen auf zu bocken",
    "end of a line": "die Zahn-\nriemenabdeckung",
}
NOT_PROMISED = {
    "turned letters": "ʞɔɐɾ it",
    "written backwards": "kcaj it",
    "bracket for c": "ja(k it",
    "two slips": "lihfitng the car",
    "another word for it": "give the motor some height",
    "by sound": "jakk it opp",
    "in a picture": "see the picture",
    "in a third language": "soulever la voiture",
}


@pytest.mark.parametrize("text", LIFTING.values(), ids=LIFTING)
def test_a_disguised_word_calls_for_lifting(text: str) -> None:
    assert "lifting" in {call.hazard for call in caller("en").calls(text)}


@pytest.mark.parametrize("text", TIMING.values(), ids=TIMING)
def test_a_disguised_word_calls_for_timing(text: str) -> None:
    assert "timing" in {call.hazard for call in caller("en").calls(text)}


@pytest.mark.parametrize("text", GERMAN.values(), ids=GERMAN)
def test_a_disguised_german_word_calls_for_its_hazard(text: str) -> None:
    assert caller("de").calls(text)


@pytest.mark.parametrize("text", ["ja**ck** it", "ja[ck](x.yaml) it", "j&#97;ck it", "j&Aopf;ck it", "ja&shy;ck it"])
def test_a_word_that_markdown_takes_apart_is_found_as_it_is_read(text: str) -> None:
    assert caller("en").calls(plain_text(text))


@pytest.mark.parametrize("text", NOT_PROMISED.values(), ids=NOT_PROMISED)
def test_these_are_not_found_yet(text: str) -> None:
    """So that whoever improves on them moves them up."""
    assert not caller("en").calls(text)


def test_there_are_enough_of_them() -> None:
    assert len(LIFTING) + len(TIMING) + len(GERMAN) >= 60
