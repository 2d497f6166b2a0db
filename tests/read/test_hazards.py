"""Hazards: those that always exist, and how their words are found."""

import pytest

from builder.read.hazards import ALWAYS, BANNER, SIGNALS, word_pattern
from builder.read.records import Hazard


def found(words: tuple[str, ...], text: str) -> str | None:
    pattern = word_pattern(words)
    assert pattern
    match = pattern.search(text)
    return match[0] if match else None


def test_the_hazards_that_always_exist_are_sound_and_carry_the_banner() -> None:
    assert set(ALWAYS) == set(BANNER) == {"timing", "lifting"}
    for entry in ALWAYS.values():
        assert Hazard.model_validate(entry).words


def test_signal_words_are_those_of_ansi_z535_6_in_its_order() -> None:
    """ANSI Z535.6-2011, section 4: danger, warning, caution, notice (from memory)."""
    assert SIGNALS == ("danger", "warning", "caution", "notice")


@pytest.mark.parametrize(
    "text",
    [
        "a jack",
        "Jack it",
        "JACKS",
        "(jack)",
        "jack-stand",
        "trolley jack.",
        "axle\n  stand",
        "Axle-stands",
        "raise the car",
    ],
)
def test_words_are_found_in_any_case_across_lines_and_hyphens(text: str) -> None:
    assert found(ALWAYS["lifting"]["words"], text)


@pytest.mark.parametrize("text", ["jacket", "hijack", "axles stand", "blackjacks", ""])
def test_parts_of_words_are_not_found(text: str) -> None:
    assert found(ALWAYS["lifting"]["words"], text) is None


def test_the_longest_word_is_found_first() -> None:
    assert found(("timing", "timing belt"), "the timing belt") == "timing belt"


def test_signs_of_patterns_in_words_are_plain_signs() -> None:
    assert found(("a.c (b)",), "abc (b)") is None
    assert found(("12 V+",), "to 12 V+") == "12 V+"


@pytest.mark.parametrize("words", [(), ("",), ("  ",)])
def test_no_words_find_nothing(words: tuple[str, ...]) -> None:
    assert word_pattern(words) is None
