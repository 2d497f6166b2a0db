"""Calls: what a text calls for, with the words and their places."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.words.calls import Call, caller, has_words

OWN = (("hot", ("scald", "hot engine", "exhaust manifold")), ("gas", ("12 V+", "高圧", "a.c (b)")))


def told(text: str, language: str = "en") -> list[tuple[str, str]]:
    return [(call.hazard, call.words) for call in caller(language, OWN).calls(text)]


def test_a_call_says_the_words_as_written_and_where() -> None:
    text = "First raise  the\nfront of the car. Then look at the Timing-Belt."
    first, second = caller("en").calls(text)
    assert first == Call(6, 33, "lifting", "raise the front of the car")
    assert text[first.start : first.end] == "raise  the\nfront of the car"
    assert (second.hazard, second.words) == ("timing", "Timing-Belt")


def test_calls_for_one_hazard_do_not_overlap() -> None:
    calls = caller("en").calls("Jack the car up and take the wheel off.")
    assert [call.words for call in calls] == ["Jack", "wheel off"]


def test_nor_do_those_of_two_lexicons() -> None:
    calls = caller("en", (("lifting", ("jack up",)),)).calls("Now jack up.")
    assert [call.words for call in calls] == ["jack"]


def test_a_german_compound_is_not_taken_for_the_words_in_it() -> None:
    assert caller("de").calls("Der Heber klemmt.")
    assert not caller("de").calls("Der Fensterheber und der Dachheber klemmen.")


@pytest.mark.parametrize(
    "text",
    [
        "It will scald.",
        "SCALDED",
        "a hot-engine",
        "hot\nengines",
        "h0t engine",
        "hot e\u200bngine",
        "exhuast manifold",
        "hоt engine",
    ],
)
def test_words_of_a_librarys_own_hazards_are_found_in_their_forms(text: str) -> None:
    assert "hot" in {hazard for hazard, _ in told(text)}


@pytest.mark.parametrize("text", ["a hot cup and an engine", "scalp", "an engine that is hot", "exhaust"])
def test_other_words_are_not(text: str) -> None:
    assert told(text) == []


def test_signs_between_words_mean_nothing_and_languages_without_spaces_are_found() -> None:
    assert told("at 12 V now") == [("gas", "12 V")]
    assert told("この高圧の管") == [("gas", "高圧")]
    assert told("a c b") == [("gas", "a c b")]


def test_own_words_are_inflected_by_the_language_of_the_library() -> None:
    own = (("hot", ("rot",)),)
    assert caller("de", own).calls("im roten Öl")
    assert not caller("fr", own).calls("im roten Öl")


def test_own_hazards_without_words_call_for_nothing() -> None:
    assert caller("en", (("hot", ()), ("gas", ("--",)))).calls("hot gas --") == []


@pytest.mark.parametrize(("language", "known"), [("de-AT", True), ("de", True), ("EN-us", True), ("fr", False)])
def test_a_language_is_known_by_its_name_without_the_country(language: str, known: bool) -> None:
    assert has_words(language) is known


def test_without_words_of_its_language_a_library_is_read_in_english() -> None:
    assert caller("fr").calls("the jack")


def test_never_takes_its_own_words_only() -> None:
    assert told("Put the phone jack down and use the jack.") == [("lifting", "jack")]


PIECES = ("jack", "raise", "the", "car", "wheel", "off", ",", ". ", "\n\n", "é", "'s", "x", "Zahn", "riemen")


@given(text=st.lists(st.sampled_from(PIECES), max_size=20).map(" ".join))
def test_places_of_calls_lie_in_the_text(text: str) -> None:
    for call in caller("de", OWN).calls(text):
        assert 0 <= call.start < call.end <= len(text)
        assert " ".join(text[call.start : call.end].split()) == call.words


@given(text=st.text())
def test_any_text_can_be_read(text: str) -> None:
    caller("de", OWN).calls(text)
