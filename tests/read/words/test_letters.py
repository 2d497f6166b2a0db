"""Letters as a reader takes them."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.words.letters import INVISIBLE, folded


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("Jack", "jack"),
        ("Bühne, größer", "buhne, grosser"),
        ("ﬂoor", "floor"),
        ("Œuvre", "oeuvre"),
        ("smørbrød", "smorbrod"),
        ("12 V + ½", "12 v + 1⁄2"),
        ("日本", "日本"),
        ("\u200b", ""),
        ("ja\u0301c\u0336k", "jack"),
        ("", ""),
    ],
)
def test_letters_are_small_and_plain(written: str, read: str) -> None:
    assert folded(written) == read


@pytest.mark.parametrize(
    "pair",
    # Unicode Technical Standard #39, confusables.txt: prototypes that are ASCII letters.
    ["аa", "сc", "еe", "оo", "рp", "хx", "уy", "ѕs", "іi", "јj", "ԁd", "ɡg", "ⅼl", "οo", "νv", "Αa", "Βb", "Ηh", "Μm"],
)
def test_look_alikes_are_what_they_pass_for(pair: str) -> None:
    assert folded(pair[0]) == pair[1]


@pytest.mark.parametrize("pair", ["кk", "κk", "пn", "ωw", "ⓙj", "🅹j", "🇯j", "ᴊj", "łl", "ıi"])
def test_so_are_those_that_the_eye_takes_for_them(pair: str) -> None:
    assert folded(pair[0]) == pair[1]


def test_all_characters_that_are_shown_as_nothing_go() -> None:
    """Default_Ignorable_Code_Point of the Unicode Character Database: format characters and fillers among them."""
    formats = {chr(code) for code in range(0x2000, 0x2070) if unicodedata.category(chr(code)) == "Cf"}
    assert all(INVISIBLE.fullmatch(one) for one in formats | set("\u00ad\u034f\u115f\u3164\uffa0\ufe0f\U000e0041"))
    assert not INVISIBLE.search("a ä-'\u00a0\u2009日")


@given(text=st.text())
def test_folding_twice_changes_nothing_more(text: str) -> None:
    assert folded(folded(text)) == folded(text)


@given(text=st.text(st.characters(max_codepoint=127)))
def test_plain_text_only_becomes_small(text: str) -> None:
    assert folded(text) == text.lower()
