"""A lexicon: which classes a word is of."""

import pytest

from builder.read.words.lexicon import NUMBER, UNKNOWN, Lexicon
from builder.read.words.pieces import pieces

CLASSES = {
    "CAR": {"car", "vehicle"},
    "RAISE": {"raise", "lift", "lifting"},
    "STAND": {"stands"},
    "BELT": {"*riemen*", "zahnriemen*", "*heber"},
    "CRANK": {"kurbel*"},
}
SMALL = {"THE": {"the"}, "ON": {"on"}, "DIGITS": {NUMBER}, "THING": {"*haube"}}


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return Lexicon(CLASSES, SMALL, {"listing", "carport"})


def classes(lexicon: Lexicon, text: str) -> list[str]:
    """For each sign of a text, the classes that it stands for."""
    signs, _ = lexicon.encoded(pieces(text))
    names = [*CLASSES, *SMALL]
    return ["+".join(name for name in names if sign in lexicon.signs(name)) for sign in signs]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("the car", ["THE", "CAR"]),
        ("a bus", ["", ""]),
        ("vehicel", ["CAR"]),
        ("vehic1e", ["CAR"]),
        ("vehi c le", ["CAR"]),
        ("l i f t", ["RAISE"]),
        ("c a r", ["CAR"]),
        ("c ar", ["", ""]),
        ("liffft", ["RAISE"]),
        ("liftthecar", ["RAISE", "THE", "CAR"]),
        ("listing", [""]),
        ("carport", [""]),
        ("12", ["DIGITS"]),
        ("Keilriemen", ["BELT"]),
        ("Zahnriemenabdeckung", ["BELT"]),
        ("Zahnriemenhaube", ["BELT"]),
        ("Zahnrimenhaube", ["BELT"]),
        ("Motorhaube", ["THING"]),
        ("Kurbelbolzen", ["CRANK"]),
        ("Kurbelhaube", ["CRANK+THING"]),
        ("Wagenheber", ["BELT"]),
        ("onthe", [""]),
    ],
)
def test_classes_of_words(lexicon: Lexicon, text: str, expected: list[str]) -> None:
    assert classes(lexicon, text) == expected


def test_a_word_of_two_classes_has_a_sign_of_both() -> None:
    lexicon = Lexicon({"A": {"lift"}, "B": {"lift", "other"}}, {}, set())
    assert lexicon.of("lift") in set(lexicon.signs("A")) & set(lexicon.signs("B"))
    assert lexicon.of("other") not in lexicon.signs("A")


def test_a_joined_word_has_the_place_of_all_its_pieces(lexicon: Lexicon) -> None:
    signs, places = lexicon.encoded(pieces("the l i f t, on"))
    assert places[:2] == [(0, 3), (4, 11)]
    assert len(signs) == len(places) == 4


def test_words_that_are_not_known_have_one_sign(lexicon: Lexicon) -> None:
    assert lexicon.of("spoon") == lexicon.of("x" * 1000) == UNKNOWN


def test_there_is_no_class_without_a_name(lexicon: Lexicon) -> None:
    with pytest.raises(KeyError):
        lexicon.signs("NONE")


def test_a_language_of_compounds_takes_no_word_apart() -> None:
    assert Lexicon(CLASSES, SMALL, set(), joined=False).of("liftthecar") == UNKNOWN


def test_memory_of_words_has_an_end(lexicon: Lexicon) -> None:
    for number in range((1 << 16) + 10):
        lexicon.of(f"w{number}w")
    assert len(lexicon._known) < 1 << 16
    assert classes(lexicon, "the car,") == ["THE", "CAR", ""]
