"""The way through a playbook."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding
from builder.read.limits import STEPS

Found = Callable[..., list[Finding]]


def test_a_name_is_a_step_or_an_ending(found: Found) -> None:
    (finding,) = found(
        "  new-plug:     {title", "  measure-resistor:     {title", "next: new-plug", "next: measure-resistor"
    )
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("name-twice", 41, 3, "error")
    assert finding.message == "`measure-resistor` is a step and an ending"
    assert finding.hint == "rename one of the two"


def test_next_names_a_step_or_an_ending(found: Found) -> None:
    (finding,) = found("next: new-plug", "next: new-plugg")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("unknown-next", 27, 15, "error")
    assert finding.message == "`next`: no step or ending `new-plugg`"
    assert finding.hint == "did you mean `new-plug`?"


@pytest.mark.parametrize("start", ["look-at-plugg", "new-plug", "--lost--"])
def test_start_names_a_step(found: Found, start: str) -> None:
    (finding,) = found("start: look-at-plug", f"start: {start}")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("unknown-next", 13, 8, "error")
    assert finding.message == f"no step `{start}` to start from"


def test_a_circle_is_one_finding_with_its_arrows(found: Found) -> None:
    (finding,) = found("next: new-resistor", "next: look-at-plug", "next: new-switch", "next: look-at-plug")
    assert (finding.rule, finding.line, finding.severity) == ("circle", 39, "error")
    assert finding.message == (
        "the steps go round in a circle: `look-at-plug` → `measure-resistor` (clean), "
        "`measure-resistor` → `look-at-plug` (open), `measure-resistor` → `look-at-plug` (in-range)"
    )
    assert finding.hint == "let one of these results lead onwards, to a step that is not among them or to an ending"


def test_a_step_that_leads_to_itself_goes_round(found: Found) -> None:
    (finding,) = found("next: new-resistor", "next: measure-resistor")
    assert finding.message == "the steps go round in a circle: `measure-resistor` → `measure-resistor` (open)"


def test_circles_apart_are_findings_apart(found: Found) -> None:
    loops = "".join(
        f"  {one}: {{title: T, time: 1 min, results: {{on: {{expect: x, next: {other}}}}}}}\n"
        for one, other in (("a-1", "a-2"), ("a-2", "a-1"), ("b-1", "b-2"), ("b-2", "b-3"), ("b-3", "b-1"))
    )
    assert [one.message.count("→") for one in found("endings:", f"{loops}endings:")] == [2, 3]


def test_ways_that_part_and_meet_again_are_no_circle(found: Found) -> None:
    assert [one.rule for one in found("next: new-plug", "next: measure-resistor")] == ["unreachable"]


def test_a_circle_that_nothing_leads_to_is_found_too(found: Found) -> None:
    loop = "  turn:\n    title: Turn\n    time: 1 min\n    results: {on: {expect: x, next: turn}}\nendings:"
    assert [one.rule for one in found("endings:", loop)] == ["circle"]


def test_every_step_and_ending_is_reached(found: Found) -> None:
    (finding,) = found("endings:", "endings:\n  leave-it: {title: Leave it}")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("unreachable", 41, 3, "error")
    assert finding.message == "no path reaches the ending `leave-it`"
    assert finding.hint == "let a result lead to it with `next: leave-it`, or delete it"


def test_a_chain_as_long_as_a_file_allows_is_walked(findings_of: Found, playbook: Callable[..., str]) -> None:
    count = STEPS.most
    steps = "".join(
        f"  s-{i}: {{title: T, time: 1 min, results: {{on: {{expect: x, next: s-{i + 1}}}}}}}\n" for i in range(count)
    )
    text = playbook()
    head = text[: text.index("start:")]
    chain = (
        f"{head}start: s-0\nsteps:\n{steps}endings:\n  s-{count}: {{title: T, settles: all, parts: [fan-resistor]}}\n"
    )
    assert not [one for one in findings_of({"cabin/fan.yaml": chain}) if one.severity == "error"]
