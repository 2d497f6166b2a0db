"""Shares and chances: complete, and adding up."""

from collections.abc import Callable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]

BY_CAUSE = "{plug: 95%, otherwise: 3%}"
CLEAN = "chance: rest\n        next: measure-resistor"


def chance(first: str, second: str) -> tuple[str, str, str, str]:
    """Other chances for the two results of the first step."""
    return BY_CAUSE, first, CLEAN, CLEAN.replace("rest", second)


def test_shares_above_all_are_an_error_at_the_causes(found: Found) -> None:
    (finding,) = found("share: 70%", "share: 75.05%")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("share-sum", 9, 1, "error")
    assert finding.message == "the shares of the causes add up to 100.05 %"
    assert finding.hint == "lower them to 100 % at most; what is left over is `unlisted`"


def test_shares_that_make_up_all_leave_nothing_unlisted(found: Found) -> None:
    assert found("share: 70%", "share: 75%") == []


def test_a_share_that_is_missing_is_an_error_at_its_cause(found: Found) -> None:
    (finding,) = found(", share: 15%", "")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("share-partial", 12, 3, "error")
    assert finding.message == "the cause `switch` has no share, but others have"
    assert finding.hint == "give each one a share, or none"


def test_without_any_share_there_is_nothing_to_find(found: Found) -> None:
    assert found(", share: 70%", "", ", share: 10%", "", ", share: 15%", "") == []


@pytest.mark.parametrize(("share", "rules"), [("50%", []), ("49.99%", ["unlisted-large"]), ("0%", ["unlisted-large"])])
def test_much_that_is_unlisted_is_a_warning(found: Found, share: str, rules: list[str]) -> None:
    findings = found("share: 70%", f"share: {share}")
    assert [one.rule for one in findings] == rules
    assert all((one.line, one.column, one.severity) == (9, 1, "warning") for one in findings)


def test_what_is_unlisted_is_said_in_percent(found: Found) -> None:
    (finding,) = found("share: 70%", "share: 10%")
    assert finding.message == "65 % of the cases have a cause that the playbook does not name"


def test_a_chance_that_is_missing_is_an_error_at_its_result(found: Found) -> None:
    (finding,) = found("        chance: rest\n", "")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("chance-partial", 28, 7, "error")
    assert finding.message == "the result `clean` has no chance, but others of `look-at-plug` have"
    assert finding.hint == "write `chance: rest`, or a percentage"


def test_a_step_may_give_no_chances_at_all(found: Found) -> None:
    assert found(f"        chance: {BY_CAUSE}\n", "", "        chance: rest\n", "") == []


def test_a_chance_speaks_for_every_cause(found: Found) -> None:
    (finding,) = found(BY_CAUSE, "{plug: 95%, switch: 3%}")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("chance-otherwise", 26, 17, "error")
    assert finding.message == "the chance does not say what holds for `resistor`, `unlisted`"
    assert finding.hint == "add `otherwise: …` for all causes that are not named"


def test_where_nothing_is_unlisted_a_chance_need_not_speak_for_it(found: Found) -> None:
    named = "{plug: 95%, switch: 3%, resistor: 3%}"
    assert [one.rule for one in found(BY_CAUSE, named)] == ["chance-otherwise"]
    assert found(BY_CAUSE, named, "share: 70%", "share: 75%") == []


def test_unlisted_may_be_named(found: Found) -> None:
    assert found(BY_CAUSE, "{plug: 95%, switch: 3%, resistor: 3%, unlisted: 50%}") == []


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        (BY_CAUSE, "90%", "for `resistor` 93 %, for `plug` 185 %, for `switch` 93 %, for `unlisted` 93 %"),
        (BY_CAUSE, "{plug: 5%, otherwise: 96%}", "for `resistor` 99 %, for `switch` 99 %, for `unlisted` 99 %"),
        ("50%", "49.94%", "for `resistor` 99.94 %"),
        ("50%", "50.06%", "for `resistor` 100.06 %"),
        ("0%", "0%", "for `resistor` 0 %, for `plug` 0 %"),
    ],
)
def test_chances_add_up_for_every_cause(found: Found, first: str, second: str, said: str) -> None:
    (finding,) = found(*chance(first, second))
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("chance-sum", 23, 5, "error")
    assert finding.message.startswith(f"the chances of the step `look-at-plug` do not add up to 100 %: {said}")
    assert finding.hint == "mend the percentages, or write `chance: rest` at one result"


@pytest.mark.parametrize(("first", "second"), [("50%", "49.95%"), ("50%", "50.05%"), ("100%", "0%"), ("0%", "rest")])
def test_a_twentieth_of_a_point_is_let_pass(found: Found, first: str, second: str) -> None:
    assert found(*chance(first, second)) == []


def test_the_rest_cannot_be_less_than_nothing(found: Found) -> None:
    again = "{expect: x, chance: {plug: 6%, otherwise: 0%}, next: new-plug}"
    step = f"      again: {again}\n      clean:"
    (finding,) = found("      clean:", step)
    assert finding.rule == "chance-sum"
    assert finding.message.endswith("for `plug` 101 %")


def test_the_rest_stands_once(found: Found) -> None:
    (finding,) = found(BY_CAUSE, "rest")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("chance-sum", 30, 17, "error")
    assert finding.message == "`rest` stands twice in the step `look-at-plug`"
    assert finding.hint == "only one result can be the rest"


@given(st.integers(0, 10**6))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30)
def test_whatever_adds_up_exactly_is_let_pass(found: Found, part: int) -> None:
    """Percentages with four decimals, which have no exact binary form."""
    written = [f"{share // 10**4}.{share % 10**4:04}%" for share in (part, 10**6 - part)]
    assert found(*chance(*written)) == []
