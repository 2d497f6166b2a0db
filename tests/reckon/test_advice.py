"""Warnings that only the numbers show, asked of playbooks as editors write them."""

import pytest

from builder.read.findings import WARNING
from builder.read.library import read_library
from builder.reckon.advice import ADVICE, information
from builder.reckon.reckoning import reckoning_of

HEAD = """
format: 1
title: X
symptom: {summary: What is seen}
causes:
  worn: {name: Worn, share: 60%}
  loose: {name: Loose, share: 40%}
"""

SOUND = """
start: look
steps:
  look:
    title: Look
    time: 5 min
    results:
      yes: {expect: Seen, chance: {worn: 90%, otherwise: 10%}, next: mend}
      no: {expect: Not seen, chance: rest, next: tighten}
endings:
  mend: {title: Mend, time: 5 min, settles: [worn]}
  tighten: {title: Tighten, time: 5 min, settles: [loose]}
"""

TWO_STEPS = """
start: first
steps:
  first:
    title: First
    time: %s
    cost: %s
    hazards: %s
    results:
      yes: {expect: Seen, chance: {worn: 90%%, otherwise: 10%%}, next: mend}
      no: {expect: Not seen, chance: rest, next: second}
  second:
    title: Second
    time: %s
    cost: %s
    who: %s
    results:
      yes: {expect: Seen, chance: {worn: %s, otherwise: 5%%}, next: mend}
      no: {expect: Not seen, chance: rest, next: tighten}
endings:
  mend: {title: Mend, time: 5 min, settles: [worn]}
  tighten: {title: Tighten, time: 5 min, settles: [loose]}
"""


def two_steps(time="5 min", cost=20, hazards="[]", later_time="5 min", later_cost=5, who="owner", sees="95%"):
    """A first step and a second one that by itself would tell more of the cause."""
    return TWO_STEPS % (time, cost, hazards, later_time, later_cost, who, sees)


@pytest.fixture
def read(tmp_path):
    """Reads a playbook with all advice."""

    def read(playbook, head=HEAD):
        (tmp_path / "catalogue").mkdir()
        (tmp_path / "all").mkdir()
        settings = "title: T\ncurrency: EUR\nlabour_rate: 60\nowner_hour: 12\nareas: {all: All}\n"
        (tmp_path / "library.yaml").write_text(settings, encoding="utf-8")
        (tmp_path / "all" / "x.yaml").write_text(head + playbook, encoding="utf-8")
        return read_library(tmp_path, advice=ADVICE)

    return read


@pytest.fixture
def advice(read):
    """The rules of all findings, and the message of the first."""

    def advice(playbook, head=HEAD):
        findings = read(playbook, head).findings
        assert all(finding.severity == WARNING for finding in findings)
        return [finding.rule for finding in findings], (findings[0].message if findings else "")

    return advice


def test_sound_playbook_gets_no_advice(advice):
    assert advice(SOUND) == ([], "")


def test_cause_that_no_ending_puts_right(advice):
    rules, message = advice(SOUND.replace("settles: [loose]", ""))
    assert rules == ["cause-unsettled"]
    assert "`loose`" in message


def test_cause_without_shares_may_be_unsettled_too(advice):
    head = HEAD.replace(", share: 60%", "").replace(", share: 40%", "")
    assert advice(SOUND.replace("settles: [loose]", ""), head)[0] == ["cause-unsettled"]


def test_ending_that_settles_all_leaves_no_cause_unsettled(advice):
    assert advice(SOUND.replace("settles: [loose]", "settles: all"))[0] == []


def test_ending_that_is_mostly_wrong(advice):
    rules, message = advice(SOUND.replace("{worn: 90%, otherwise: 10%}", "{worn: 20%, otherwise: 50%}"))
    # `yes`: worn 0.6 × 0.2 = 0.12, loose 0.4 × 0.5 = 0.20, so mending is right in 0.12/0.32 = 37.5 %; `no`: worn
    # 0.48, loose 0.20, so tightening is right in 0.20/0.68 = 29 %.
    assert rules == ["ending-mostly-wrong", "ending-mostly-wrong"]
    assert "`mend`" in message
    assert "38 %" in message


def test_result_that_cannot_happen(advice):
    playbook = SOUND.replace("      no:", "      odd: {expect: Odd, chance: 0%, next: mend}\n      no:")
    rules, message = advice(playbook)
    assert rules == ["result-never"]
    assert "`odd`" in message


def test_step_that_tells_nothing(advice):
    playbook = SOUND.replace("start: look", "start: wait").replace(
        "steps:",
        "steps:\n  wait:\n    title: Wait\n    time: 1 min\n    results:\n"
        "      long: {expect: Long, chance: 30%, next: look}\n      short: {expect: Short, chance: rest, next: look}",
    )
    rules, message = advice(playbook)
    assert rules == ["step-tells-nothing"]
    assert "`wait`" in message


def test_dear_step_before_a_cheaper_one_that_tells_as_much(advice):
    # 20 + 1 for the time against 5 + 1: more than twice
    rules, message = advice(two_steps())
    assert rules == ["dear-first"]
    assert "`first`" in message
    assert "`second`" in message


@pytest.mark.parametrize(
    "sound",
    [
        # The second step costs as much.
        {"later_cost": 20},
        # Dearer, but not twice as dear: 10 + 1 against 5 + 1.
        {"cost": 10},
        # The second step is the workshop's.
        {"who": "shop"},
        # The second step tells far less.
        {"sees": "15%"},
        # The second step takes the owner an hour, which is worth 12.
        {"later_time": "1 h"},
    ],
)
def test_dear_step_that_may_come_first(sound, advice):
    assert advice(two_steps(**sound))[0] == []


def test_time_weighs_by_what_an_hour_is_worth(advice):
    # Two hours at 12 against 5 + 1.
    assert advice(two_steps(time="2 h", cost=0))[0] == ["dear-first"]


def test_lifting_before_a_step_without_it(advice):
    rules, message = advice(two_steps(cost=5, hazards="[lifting]"))
    assert rules == ["dear-first"]
    assert "lifting" in message


def test_information_in_bits(read):
    """A step that splits two equal halves cleanly tells 1 bit; one that says nothing tells 0 (Shannon 1948)."""
    even = HEAD.replace("60%", "50%").replace("40%", "50%")
    library = read(SOUND.replace("{worn: 90%, otherwise: 10%}", "{worn: 100%, otherwise: 0%}"), even).library
    model = reckoning_of(library.playbooks["x"], library.catalogue, library.settings)
    assert information(model, model.reach[0], 0) == pytest.approx(1)
    assert information(model, (1.0, 0.0, 0.0), 0) == pytest.approx(0)
    assert information(model, (0.0, 0.0, 0.0), 0) == 0
    # 0.25 and 0.75: the entropy is 2 − 0.75 × log2(3).
    assert information(model, (0.25, 0.75, 0.0), 0) == pytest.approx(2 - 0.75 * 1.584962500721156)
