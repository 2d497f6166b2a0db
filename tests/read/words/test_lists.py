"""Sentences as editors and owners write them, dangerous and innocent, in both languages.

Each list was written before it was measured. Of the first, the odd lines were tuned on; of the others nothing was until
they had been measured once, and then they were tuned on as well. What was found at that first time, of how many:

| list | style | English | German | false alarms |
| --- | --- | --- | --- | --- |
| first, even lines | workshop notes | 48 of 50 | 47 of 50 | 0 of 100 |
| second | garage slang, forum, manual, dialect | 55 of 90 | 71 of 90 | 0 of 120 |
| third | plain, with harder innocent ones | 34 of 45 | 37 of 45 | 2 of 120 |
| fourth | plain | 42 of 45 | 43 of 45 | 0 of 80 |
| fifth, dangerous only | plain | 26 of 30 | 28 of 30 | |

Common practice of their writer, no source.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from builder.read.words.calls import caller

LISTS: Final = Path(__file__).with_name("lists")
HALVES: Final = {"odd": slice(0, None, 2), "even": slice(1, None, 2)}
FOUND: Final = 0.9
"""Share of the dangerous sentences of a half of a list that must be found at least; of all lists, more."""
FOUND_OF_ALL: Final = 0.95
ALARMED: Final = 0.1


def lines(kind: str) -> Iterator[tuple[str, str, list[str]]]:
    for path in sorted(LISTS.glob(f"*.{kind}.txt")):
        name, language, _, _ = path.name.split(".")
        yield name, language, path.read_text(encoding="utf-8").splitlines()


def halves(kind: str) -> list[object]:
    return [
        pytest.param(language, listed[part], id=f"{name}-{language}-{half}")
        for name, language, listed in lines(kind)
        for half, part in HALVES.items()
    ]


def found(language: str, sentence: str) -> bool:
    """Whether a sentence `hazard: text` calls for its hazard."""
    hazard, text = sentence.split(": ", 1)
    return hazard in {call.hazard for call in caller(language).calls(text)}


@pytest.mark.parametrize(("language", "sentences"), halves("dangerous"))
def test_dangerous_sentences_are_found(language: str, sentences: list[str]) -> None:
    missed = [sentence for sentence in sentences if not found(language, sentence)]
    assert len(missed) <= (1 - FOUND) * len(sentences), missed


@pytest.mark.parametrize("language", ["en", "de"])
def test_of_all_dangerous_sentences_few_are_missed(language: str) -> None:
    sentences = [line for _, spoken, listed in lines("dangerous") if spoken == language for line in listed]
    missed = [sentence for sentence in sentences if not found(language, sentence)]
    assert len(sentences) > 250
    assert len(missed) <= (1 - FOUND_OF_ALL) * len(sentences), missed


@pytest.mark.parametrize(("language", "sentences"), halves("innocent"))
def test_innocent_sentences_raise_few_alarms(language: str, sentences: list[str]) -> None:
    alarmed = [sentence for sentence in sentences if caller(language).calls(sentence)]
    assert len(alarmed) <= ALARMED * len(sentences), alarmed


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_german_library_is_read_with_english_words_too(language: str) -> None:
    assert caller(language).calls("Jack up the car.")
    assert bool(caller(language).calls("Den Wagen aufbocken.")) is (language == "de")


# What the words decide where a sentence could be taken either way.
DECIDED: Final = {
    "reading a timing light beside a running engine opens nothing": (False, "The timing light shows 10 degrees."),
    "the timing marks under a strobe are ignition timing": (False, "Point the strobe at the timing marks."),
    "the timing marks without one are the timing drive": (True, "The timing marks must meet."),
    "a pit raises no car": (False, "Look at the exhaust over a pit."),
    "who is under the car is in danger over a pit too": (True, "Look at it from under the car over a pit."),
    "a puddle under the car is seen from beside it": (False, "A puddle under the car is the first sign."),
    "wheel nuts that are tightened hold the wheel": (False, "Tighten the wheel nuts again after 50 km."),
    "wheel nuts that are removed do not": (True, "Remove the wheel nuts."),
    "the auxiliary belt is not the timing drive": (False, "Take the auxiliary belt off."),
    "a sensor at the camshaft is not the timing drive": (False, "Unplug the sensor on the camshaft."),
    "the camshaft is": (True, "Unplug the sensor and take the camshafts out."),
    "the valve timing's solenoid is not": (False, "Test the solenoid of the variable valve timing."),
    "a word within such a phrase stays what it is": (True, "Take the lamp and the jack to the timing marks."),
    "a gap of a phrase may hold a comma": (True, "Raise, with a helper, the front of the car."),
    "a phrase ends with its sentence": (False, "Raise it. The car is cold."),
    "the battery of the car is not the car": (False, "Lift the car battery out."),
    "a part of the car is not the car": (False, "Lift the back of the seat."),
    "nor is what belongs to it": (False, "Lift the car's bonnet."),
    "a jack for phones is none": (False, "Plug it into the headphone jack."),
    "but a jack beside a radio is": (True, "Turn the radio off and fetch the jack."),
}


@pytest.mark.parametrize(("dangerous", "text"), DECIDED.values(), ids=DECIDED)
def test_a_sentence_that_could_be_taken_either_way_is_decided(dangerous: bool, text: str) -> None:
    assert bool(caller("en").calls(text)) is dangerous
