"""The trade's words: the built-in lists are sound, a theme can add its own, and only what is of use is shipped."""

from pathlib import Path

import pytest

from builder.publish.data.terms import stems_of
from builder.publish.data.trade import Trade, trade_of
from builder.publish.pages.theme import ThemeError

LANGUAGES = ("en", "de")


def test_every_language_has_its_own_words_and_a_variety_takes_those_of_its_language() -> None:
    assert trade_of("en-US") is not trade_of("de")
    assert trade_of("de-AT") == trade_of("de")
    assert trade_of("fr") == Trade()


@pytest.mark.parametrize(
    ("language", "one", "other"),
    [
        ("en", "headlamp", "headlight"),
        ("en", "petrol", "gas"),
        ("en", "tyre", "tire"),
        ("en", "bonnet", "hood"),
        ("en", "crank", "turn over"),
        ("de", "springt nicht an", "startet nicht"),
        ("de", "kühlmittel", "kühlwasser"),
        ("de", "quietscht", "pfeift"),
    ],
)
def test_words_of_one_meaning_stand_together(language: str, one: str, other: str) -> None:
    phrase = one.replace("ü", "u")
    assert any({phrase, other.replace("ü", "u")} <= set(group) for group in trade_of(language).same)


@pytest.mark.parametrize("language", LANGUAGES)
def test_filler_neither_means_nor_negates_anything(language: str) -> None:
    trade = trade_of(language)
    stems = stems_of([*trade.texts(), *trade.filler, *trade.negations], language)
    filler = {stems[word] for word in trade.filler}
    alone = {phrase for group in (*trade.same, *trade.akin) for phrase in group if " " not in phrase}
    assert [phrase for phrase in sorted(alone) if stems[phrase] in filler] == []
    assert [word for word in trade.negations if stems[word] in filler] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_meaning_has_several_phrases(language: str) -> None:
    trade = trade_of(language)
    assert len(trade.same) > 200
    assert [group for group in (*trade.same, *trade.akin) if len(group) < 2] == []


def test_a_theme_adds_to_the_words(tmp_path: Path) -> None:
    (tmp_path / "trade").mkdir()
    (tmp_path / "trade" / "en.yaml").write_text("same: ['widget, gadget']\nreach: {before: 1}\n", encoding="utf-8")
    trade = trade_of("en-GB", tmp_path)
    assert trade.same[-1] == ("widget", "gadget")
    assert trade.same[:-1] == trade_of("en").same
    assert (trade.reach.before, trade.filler) == (1, trade_of("en").filler)


@pytest.mark.parametrize(
    ("text", "says"),
    [("alike: [x]", "alike"), ("same: 3", "same"), ("same: [", "en.yaml"), ("reach: {before: x}", "reach.before")],
)
def test_words_of_a_theme_that_cannot_be_read_are_its_fault(text: str, says: str, tmp_path: Path) -> None:
    (tmp_path / "trade").mkdir()
    (tmp_path / "trade" / "en.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(ThemeError, match=says):
        trade_of("en", tmp_path)


def trade(**parts: object) -> Trade:
    return Trade.model_validate({"negations": "not", **parts})


def test_only_meanings_that_the_library_speaks_of_are_of_use() -> None:
    own = trade(same=["headlamp, headlight", "boot, trunk", "no start, not start"])
    stems = stems_of([*own.texts(), "not"], "en")
    assert own.within(stems, {"headlamp", "start"}).same == (("headlamp", "headlight"), ("no start", "not start"))


def test_a_word_is_known_by_the_compound_that_it_is_a_part_of() -> None:
    own = trade(same=["riemen, gurt"], joints=("", "s"))
    stems = stems_of(own.texts(), "de")
    assert own.within(stems, {"zahnriem"}).same
    assert not own.model_copy(update={"joints": ()}).within(stems, {"zahnriem"}).same
