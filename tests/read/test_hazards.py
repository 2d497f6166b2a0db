"""Hazards that always exist."""

from builder.read.hazards import BANNER, BUILT_IN, SIGNALS
from builder.read.records import Hazard


def test_the_hazards_that_always_exist_are_sound_and_carry_the_banner() -> None:
    assert set(BUILT_IN) == set(BANNER) == {"timing", "lifting"}
    for entry in BUILT_IN.values():
        assert Hazard.model_validate(entry).signal in ("danger", "warning")


def test_signal_words_are_those_of_ansi_z535_6_in_its_order() -> None:
    """ANSI Z535.6-2011, section 4: danger, warning, caution, notice (from memory)."""
    assert SIGNALS == ("danger", "warning", "caution", "notice")
