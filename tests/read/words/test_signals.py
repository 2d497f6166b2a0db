"""Signal words at the start of a text, however they are written, and what only resembles them."""

import re
from pathlib import Path

import pytest

from builder.read.words.language import languages, read_language
from builder.read.words.signals import signal_at_start

LOCALES = Path(__file__).resolve().parents[3] / "theme" / "locale"

LIKE_ONE = {
    "plain": "DANGER",
    "with a sign": "DANGER! Hot",
    "another": "WARNING: hot",
    "German": "GEFAHR durch Hitze",
    "German, unlike the theme": "ACHTUNG heiß",
    "spaced": "D A N G E R hot",
    "hyphens": "D-A-N-G-E-R",
    "full stops": "D.A.N.G.E.R.",
    "in brackets": "[DANGER] hot",
    "in dashes": "--- DANGER ---",
    "behind an arrow": "→ CAUTION",
    "behind a symbol": "⚠ hot",
    "behind an emoji": "🔧 DANGER",
    "full width": "ＤＡＮＧＥＲ",
    "bold letters": "𝐃𝐀𝐍𝐆𝐄𝐑",
    "squared letters": "🅳🅰🅽🅶🅴🆁",
    "regional indicators": "🇩 🇦 🇳 🇬 🇪 🇷",
    "small capitals": "ᴅᴀɴɢᴇʀ",
    "Cyrillic a": "D\u0410NGER",
    "Greek letters": "W\u0391RN\u0399NG",
    "accents": "DÁNGER",
    "combining marks": "DA\u0301NGER",
    "figure for a letter": "WARN1NG",
    "zero for a letter": "CAUTI0N",
    "at sign": "D@NGER",
    "nearly all capitals": "DANGEr",
    "mixed": "dANGEr",
    "doubled letter": "DANNGER",
    "letter left out": "WARNNG hot",
    "letters swapped": "CAUTOIN",
    "plural": "WARNINGS",
    "compound": "LEBENSGEFAHR",
    "across a space": "DAN GER",
    "joined with what follows": "DANGERHOT",
}
UNLIKE = {
    "small": "danger of burns",
    "as a sentence begins": "Danger of burns",
    "with a colon": "Warning: hot",
    "later": "The lamp says DANGER",
    "another word": "DANGLING plug",
    "one letter away, and a word": "WARMING up",
    "capitals": "ABS lamp comes on",
    "empty": "",
    "signs alone": "— …",
    "one letter": "D",
    "figures": "12.4 V",
    "a beginning of it": "DAN",
}


@pytest.mark.parametrize("text", LIKE_ONE.values(), ids=LIKE_ONE)
def test_a_text_that_begins_like_a_signal_word(text: str) -> None:
    assert signal_at_start(text)


@pytest.mark.parametrize("text", UNLIKE.values(), ids=UNLIKE)
def test_a_text_that_does_not(text: str) -> None:
    assert signal_at_start(text) == ""


def test_what_the_page_shows_in_capitals_counts_as_capitals() -> None:
    assert signal_at_start("Danger", capitals=True) == "Danger"
    assert signal_at_start("Endanger", capitals=True) == ""


def test_what_stands_there_is_given_to_the_letter() -> None:
    assert signal_at_start("** D A N G E R! ** hot") == "D A N G E R"


def test_the_words_of_the_theme_are_among_those_of_each_language() -> None:
    said = re.compile(r'^msgid "(DANGER|WARNING|CAUTION|NOTICE)"\nmsgstr "(\w+)"', re.MULTILINE)
    catalogues = {path.parts[-3]: said.findall(path.read_text(encoding="utf-8")) for path in LOCALES.glob("*/*/*.po")}
    assert catalogues.keys() | {"en"} == languages()
    for name, words in {
        **catalogues,
        "en": [(word, word) for word in ("DANGER", "WARNING", "CAUTION", "NOTICE")],
    }.items():
        assert len(words) == 4
        assert {translated for _, translated in words} <= set(read_language(name).signals.split())
