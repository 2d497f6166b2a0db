"""Records: what each field takes, and what it says where it does not."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from builder.read.findings import Finding
from builder.read.notation import Amount
from builder.read.records import Ending, Next, Playbook, Result, Step, Tool
from builder.read.records.values import (
    CauseName,
    Currency,
    Figure,
    Identifier,
    Language,
    Quantity,
    Text,
    WebAddress,
    YesOrNo,
)

PLAYBOOK: dict[str, Any] = {
    "slug": "x",
    "area": "y",
    "format": "1",
    "title": "X",
    "symptom": {"summary": "x"},
    "start": "a",
    "steps": {"a": {"title": "A", "results": {"r": {"expect": "e", "next": "z"}}}},
}


def value_of(kind: Any, written: Any) -> Any:
    return TypeAdapter(kind).validate_python(written)


def message_of(kind: Any, written: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        value_of(kind, written)
    (error,) = caught.value.errors()
    assert error["type"] == "notation"
    assert error["ctx"]["hint"]
    return str(error["ctx"]["message"])


@given(st.from_regex(r"[a-z0-9-]{1,20}", fullmatch=True))
def test_names_are_taken_as_they_are(name: str) -> None:
    assert value_of(Identifier, name) == name


@pytest.mark.parametrize(
    "name",
    ["Bad", "a b", "a_b", "__proto__", " a", "a ", "a\n", "ä", "ａ", "а", "../x", "a/b", "a.b", "[key]", "{{x}}"],
)
def test_what_is_no_name(name: str) -> None:
    assert message_of(Identifier, name) == f"`{name}` is not a name"


@pytest.mark.parametrize("written", [[], {}, None, 1])
def test_what_is_no_text(written: Any) -> None:
    assert message_of(Text, written) == "this must be text"


@pytest.mark.parametrize("written", ["", " ", "\n", "\u00a0"])
def test_empty_text_is_refused(written: str) -> None:
    assert message_of(Text, written) == "this is empty"


def test_text_keeps_what_it_says() -> None:
    assert value_of(Text, " {{ 7*7 }} ${x} %s \n") == "{{ 7*7 }} ${x} %s"


@pytest.mark.parametrize("name", ["all", "otherwise", "rest", "unlisted"])
def test_words_of_the_notation_are_no_causes(name: str) -> None:
    assert message_of(CauseName, name) == f"`{name}` has a meaning of its own"


@pytest.mark.parametrize(("written", "count"), [("1", 1), ("012", 12), ("999", 999)])
def test_quantities(written: str, count: int) -> None:
    assert value_of(Quantity, written) == count


@pytest.mark.parametrize("written", ["0", "000", "1000", "-1", "+1", "1.5", "1e2", "٣", "１", "²", "9" * 10**6])
def test_what_is_no_quantity(written: str) -> None:
    assert message_of(Quantity, written) == f"`{written}` is not a quantity"


@pytest.mark.parametrize(("written", "value"), [("true", True), ("false", False)])
def test_yes_or_no(written: str, value: bool) -> None:
    assert value_of(YesOrNo, written) is value


@pytest.mark.parametrize("written", ["yes", "no", "True", "1", "on"])
def test_what_is_neither_yes_nor_no(written: str) -> None:
    assert message_of(YesOrNo, written) == f"`{written}` is neither `true` nor `false`"


@pytest.mark.parametrize("written", ["en", "en-GB", "de", "pt_BR", "zh-Hant-TW"])
def test_languages(written: str) -> None:
    """Browsers know them with hyphens only (BCP 47)."""
    assert value_of(Language, written) == written.replace("_", "-")


@pytest.mark.parametrize("written", ["xx", "en-XX-YY", "en GB", 'en"><script>', "en.utf8@x", "../../en", "e", "９９"])
def test_what_is_no_language(written: str) -> None:
    assert message_of(Language, written) == f"`{written}` is not a language that is known"


# ISO 4217 codes of well-known currencies (from memory).
@pytest.mark.parametrize("written", ["EUR", "USD", "GBP", "JPY", "CHF"])
def test_currencies(written: str) -> None:
    assert value_of(Currency, written) == written


@pytest.mark.parametrize("written", ["eur", "€", "EU", "EURO", "XXY"])
def test_what_is_no_currency(written: str) -> None:
    assert message_of(Currency, written) == f"`{written}` is not an ISO 4217 currency"


@pytest.mark.parametrize("written", ["https://example.org/a/{path}", "http://example.org"])
def test_web_addresses(written: str) -> None:
    assert value_of(WebAddress, written) == written


@pytest.mark.parametrize(
    "written",
    ["example.org", "javascript:x", "//example.org", "https://a b", "ftp://a", "data:x", "https://", "http://["],
)
def test_what_is_no_web_address(written: str) -> None:
    assert message_of(WebAddress, written) == f"`{written}` is not a web address"


def test_figures_are_plain_numbers() -> None:
    assert value_of(Figure, "12.50") == 12.5
    assert message_of(Figure, "NaN") == "`NaN` is not an amount of money"


def test_a_list_of_parts_counts_each() -> None:
    ending = value_of(Ending, {"title": "T", "parts": ["bulb", "seal", "bulb"]})
    assert ending.parts == {"bulb": 2, "seal": 1}


def test_parts_with_quantities() -> None:
    assert value_of(Ending, {"title": "T", "parts": {"bulb": "3"}}).parts == {"bulb": 3}


def test_a_list_has_no_more_of_a_part_than_a_quantity_may_say() -> None:
    with pytest.raises(ValidationError, match="`bulb` stands here 1000 times"):
        value_of(Ending, {"title": "T", "parts": ["bulb"] * 1000})


def test_an_ending_settles_what_it_lists_or_all() -> None:
    some = value_of(Ending, {"title": "T", "settles": ["plug"]})
    whole = value_of(Ending, {"title": "T", "settles": "all"})
    none = value_of(Ending, {"title": "T"})
    assert [one.puts_right("plug") for one in (some, whole, none)] == [True, True, False]
    assert not some.puts_right("fuse")


def test_next_names_a_step_or_a_playbook() -> None:
    assert value_of(Result, {"expect": "e", "next": "a"}).next == Next(name="a")
    assert value_of(Result, {"expect": "e", "next": {"playbook": "b"}}).next == Next(playbook="b")


@pytest.mark.parametrize("written", [["a"], {}, {"step": "a"}])
def test_next_leads_somewhere(written: Any) -> None:
    with pytest.raises(ValidationError, match="this leads nowhere"):
        value_of(Result, {"expect": "e", "next": written})


def test_a_step_costs_nothing_and_is_the_owners_unless_it_says_so() -> None:
    step = value_of(Step, {"title": "T", "results": {"r": {"expect": "e", "next": "a"}}})
    assert (step.time, step.cost, step.who, step.parts) == (Amount(0, 0, 0), Amount(0, 0, 0), "owner", {})


def test_a_tool_has_a_price_and_may_be_lent() -> None:
    tool = value_of(Tool, {"name": "T", "price": "20-40", "borrow": "5"})
    assert (tool.price, tool.borrow, tool.usual) == (Amount(20, 30, 40), Amount(5, 5, 5), False)


def test_records_are_frozen_and_know_their_keys() -> None:
    tool = value_of(Tool, {"name": "T"})
    with pytest.raises(ValidationError, match="frozen"):
        tool.name = "U"
    with pytest.raises(ValidationError, match="Extra inputs"):
        value_of(Tool, {"name": "T", "prise": "1"})


def test_shares_leave_the_remainder_to_unlisted() -> None:
    causes = {"plug": {"name": "P", "share": "70%"}, "fuse": {"name": "F", "share": "25%"}}
    shares = value_of(Playbook, {**PLAYBOOK, "causes": causes}).shares
    assert shares == {"plug": Fraction(70, 100), "fuse": Fraction(25, 100), "unlisted": Fraction(5, 100)}
    assert list(shares) == ["plug", "fuse", "unlisted"]


@pytest.mark.parametrize(
    "causes", [{}, {"plug": {"name": "P"}}, {"a": {"name": "A", "share": "1%"}, "b": {"name": "B"}}]
)
def test_without_every_share_there_are_none(causes: Any) -> None:
    assert value_of(Playbook, {**PLAYBOOK, "causes": causes}).shares is None


def test_work_is_steps_and_endings(found: Any) -> None:
    playbook = value_of(Playbook, {**PLAYBOOK, "endings": {"z": {"title": "Z"}}})
    assert list(playbook.work()) == ["a", "z"]
    assert found() == list[Finding]()
