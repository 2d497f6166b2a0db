"""Languages as data."""

from pathlib import Path

import pytest

import builder.read.words
from builder.read.hazards import BANNER
from builder.read.words.language import Inflection, Language, languages, read_language, spellings


def test_every_language_of_the_theme_has_its_words() -> None:
    theme = Path(builder.read.words.__file__).parents[3] / "theme/locale"
    spoken = {path.name for path in theme.iterdir() if path.is_dir()}
    assert languages() == {"en", *spoken}


@pytest.mark.parametrize("name", sorted(languages()))
def test_a_language_knows_the_hazards_of_the_banner_and_no_others(name: str) -> None:
    assert read_language(name).hazards.keys() == set(BANNER)


@pytest.mark.parametrize("name", sorted(languages()))
def test_no_class_stands_twice_and_none_is_idle(name: str) -> None:
    language = read_language(name)
    phrases = " ".join(
        phrase for listed in (*language.hazards.values(), *language.parts.values(), language.never) for phrase in listed
    )
    named = {piece.strip("&!<=?*+") for term in phrases.split() for piece in term.replace("-", "|").split("|")}
    assert not language.small.keys() & language.classes.keys()
    assert {*language.small, *language.classes} <= named


@pytest.mark.parametrize(
    ("listed", "words"),
    [
        ("jack", {"jack"}),
        ("lift/v", {"lift", "lifts", "lifted"}),
        ("rais(e|ing)", {"raise", "raising"}),
        (
            "(an|hoch)(heb/v|zuheben)",
            {"anheb", "anhebs", "anhebed", "anzuheben", "hochheb", "hochhebs", "hochhebed", "hochzuheben"},
        ),
        ("*wagen", {"*wagen"}),
        ("*(a|b)*", {"*a*", "*b*"}),
        ("bühne", {"buhne", "buehne"}),
        ("Straße", {"strasse"}),
    ],
)
def test_notation_of_words(listed: str, words: set[str]) -> None:
    assert Language(endings={"v": "- s ed"}).words(listed) == words


def test_spellings_are_with_one_letter_and_with_two() -> None:
    assert spellings("Böcke") == {"bocke", "boecke"}


@pytest.mark.parametrize(
    ("language", "word", "forms"),
    [
        ("en", "scald", {"scald", "scalds", "scalded", "scalding"}),
        ("en", "bleed", {"bleeds", "bleeding"}),
        ("en", "brake", {"brakes", "braked", "braking"}),
        ("en", "clip", {"clips", "clipped", "clipping"}),
        ("de", "Airbag", {"airbag", "airbags"}),
        ("de", "bremse", {"bremse", "bremsen", "bremst"}),
        ("de", "löten", {"loten"}),
    ],
)
def test_own_words_change_their_form(language: str, word: str, forms: set[str]) -> None:
    own = read_language(language).own
    assert forms <= {form for base in spellings(word) for form in own.forms(base)}


@pytest.mark.parametrize("word", ["ac", "12", "r134a"])
def test_short_words_and_figures_do_not(word: str) -> None:
    assert read_language("en").own.forms(word) == {word}


def test_without_a_rule_a_word_has_one_form() -> None:
    assert Inflection().forms("auto") == {"auto"}
