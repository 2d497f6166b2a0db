"""Terms: words as they are compared, stems by Snowball, and the suffixes that a browser learns from them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.publish.data.terms import stems_of, suffixes_of, words_of


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Won't start!", ["wont", "start"]),
        ("won’t", ["wont"]),
        ("Kühlwasser läuft über Füße", ["kuhlwasser", "lauft", "uber", "fusse"]),
        ("at 60mph, 12.4 V", ["at", "60", "mph", "12", "4", "v"]),
        ("pull-in relay / fuse_box", ["pull", "in", "relay", "fuse", "box"]),
        ("", []),
    ],
)
def test_words_are_small_and_plain(text: str, words: list[str]) -> None:
    assert words_of(text) == words


@given(st.text())
def test_words_of_words_are_the_same_words(text: str) -> None:
    words = words_of(text)
    assert words_of(" ".join(words)) == words


# Examples of the Snowball project's own descriptions of its English and German stemmers, written down from memory.
@pytest.mark.parametrize(
    ("language", "words", "stem"),
    [
        ("en-GB", "consistent consistency consistently", "consist"),
        ("en", "knock knocking knocked knocks", "knock"),
        ("de", "Aufeinanderfolge aufeinanderfolgen", "aufeinanderfolg"),
        ("de-AT", "Häuser Haus", "haus"),
    ],
)
def test_forms_of_a_word_share_a_stem(language: str, words: str, stem: str) -> None:
    assert set(stems_of([words], language).values()) == {stem}


def test_words_of_a_language_without_a_stemmer_are_their_own_stems() -> None:
    assert stems_of(["Bremsen quietschen"], "zu") == {"bremsen": "bremsen", "quietschen": "quietschen"}


def test_suffixes_are_what_was_cut_off_several_words() -> None:
    stems = {"knocks": "knock", "cars": "car", "pads": "pad", "running": "run", "ponies": "poni", "car": "car"}
    assert suffixes_of(stems) == ["s"]
