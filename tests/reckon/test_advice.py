"""Warnings that only the numbers show, asked of playbooks as editors write them."""

from itertools import product

import pytest

from builder.read.findings import WARNING
from builder.read.library import read_library
from builder.reckon.advice import appraise, effort_for
from builder.reckon.order.changes import information
from builder.reckon.order.problem import Target
from builder.reckon.order.shape import Shape, cost_of, is_sound

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


FAR = "least_saving: 1000\n"
"""No other order is worth a word."""


def two_steps(time="5 min", cost=20, hazards="[]", later_time="5 min", later_cost=5, who="owner", sees="95%"):
    """A first step and a second one that by itself would tell more of the cause."""
    return TWO_STEPS % (time, cost, hazards, later_time, later_cost, who, sees)


@pytest.fixture
def read(tmp_path):
    """Reads a playbook with all advice."""

    def read(playbook, head=HEAD, settings=""):
        (tmp_path / "catalogue").mkdir(exist_ok=True)
        (tmp_path / "all").mkdir(exist_ok=True)
        said = f"title: T\ncurrency: EUR\nlabour_rate: 60\nowner_hour: 12\nareas: {{all: All}}\n{settings}"
        (tmp_path / "library.yaml").write_text(said, encoding="utf-8")
        (tmp_path / "all" / "x.yaml").write_text(head + playbook, encoding="utf-8")
        return read_library(tmp_path, appraise=appraise)

    return read


@pytest.fixture
def advice(read):
    """The rules of all findings, and the message of the first."""

    def advice(playbook, head=HEAD, settings=""):
        findings = read(playbook, head, settings).findings
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
    rules, message = advice(SOUND.replace("{worn: 90%, otherwise: 10%}", "{worn: 20%, otherwise: 50%}"), settings=FAR)
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


def saving_of(read, playbook=None, settings=""):
    """What is written, and what another order that a playbook may be written in costs, of two steps."""
    orders = read(playbook or two_steps(), settings=settings).found["x"]
    return orders.written, orders.playbook_shaped


def every_shape(problem):
    """All shapes of a playbook, sound or not."""
    steps = [Target("step", s) for s in range(len(problem.steps))]
    endings = [Target("ending", e) for e in range(len(problem.endings))]
    for start in range(len(problem.steps)):
        for flat in product([*steps, *endings], repeat=sum(map(len, problem.results))):
            targets = iter(flat)
            yield Shape(start, tuple(tuple(next(targets) for _ in way) for way in problem.results))


def test_dear_step_before_a_cheaper_one(advice, read):
    # The written order by hand, with hours at 12, so that 5 min are 1. Shares 0.6 worn, 0.4 loose; `first` says yes at
    # 0.9 and 0.1, `second` at 0.95 and 0.05. A wrong repair costs 1 and then a professional 90 + 5.
    wrong = 0.6 * 0.1 * 0.05 + 0.4 * 0.1 + 0.4 * 0.9 * 0.05
    written = 21 + (0.6 * 0.1 + 0.4 * 0.9) * 6 + 1 + 95 * wrong
    problem = read(two_steps()).found["x"].problem
    shaped = min(cost_of(problem, shape) for shape in every_shape(problem) if is_sound(problem, shape))
    assert saving_of(read) == (pytest.approx(written), pytest.approx(shaped))
    rules, message = advice(two_steps())
    assert rules == ["dear-order"]
    assert f"saves {100 * (written - shaped) / written:.0f} %" in message


def test_hint_names_the_first_change(read):
    (finding,) = read(two_steps()).findings
    assert "first, `second` rather than `first`" in finding.hint
    assert "it costs 6.00 there instead of 21" in finding.hint


def test_saving_that_is_worth_no_word(advice, read):
    written, other = saving_of(read)
    assert advice(two_steps(), settings=f"least_saving: {written - other + 0.01:.2f}\n")[0] == []
    assert advice(two_steps(), settings=f"least_saving: {written - other - 0.01:.2f}\n")[0] == ["dear-order"]


def test_share_that_is_worth_no_word(advice, read):
    """From 5 % on: what all must pay is raised until the same saving is less."""
    for cost, rules in ((0, ["dear-order"]), (300, [])):
        book = two_steps().replace("time: 5 min, settles", f"time: 5 min, cost: {cost}, settles")
        written, other = saving_of(read, book)
        assert written - other > 5
        assert ((written - other) / written >= 0.05) == bool(rules)
        assert advice(book)[0] == rules


def test_danger_is_spared_where_it_is_worth_something(advice, read):
    book = two_steps(cost=5, hazards="[lifting]")
    assert advice(book)[0] == []
    assert advice(book, settings="avoid_danger: 40\n")[0] == ["dear-order"]


def test_orders_are_compared_only_with_odds(advice):
    head = HEAD.replace(", share: 60%", "").replace(", share: 40%", "")
    assert advice(two_steps(), head)[0] == []


def test_playbook_that_costs_more_than_handing_over_at_once(advice, read):
    book = two_steps(cost=90)
    found = read(book).found["x"]
    assert found.at_once == pytest.approx(95)
    assert found.written > 95
    assert advice(book)[0] == ["dear-order", "dear-playbook"]


def test_answers_stay_warnings_that_are_right(advice):
    reason = "accept: {dear-order: A reason.}\n"
    assert advice(reason + two_steps())[0] == []
    assert advice(reason + two_steps(cost=5))[0] == ["accept-idle"]


def test_answer_of_a_step_is_of_what_stands_in_it(advice):
    wrong = SOUND.replace("{worn: 90%, otherwise: 10%}", "{worn: 20%, otherwise: 50%}")
    answered = wrong.replace("mend: {", "mend: {accept: {ending-mostly-wrong: It is cheap.}, ")
    rules, message = advice(answered, settings=FAR)
    assert rules == ["ending-mostly-wrong"]
    assert "`tighten`" in message
    elsewhere = wrong.replace("title: Look", "title: Look\n    accept: {ending-mostly-wrong: It is cheap.}")
    assert sorted(advice(elsewhere, settings=FAR)[0]) == ["accept-idle", "ending-mostly-wrong", "ending-mostly-wrong"]


def test_errors_cannot_be_answered(read):
    rules = [
        finding.rule
        for finding in read("accept: {unknown-next: No.}\n" + SOUND.replace("next: mend", "next: x")).findings
    ]
    assert "unknown-next" in rules
    assert "accept-idle" not in rules


def test_fewer_orders_are_tried_where_there_are_more_playbooks():
    efforts = [effort_for(playbooks) for playbooks in (1, 50, 51, 500, 501, 10_000)]
    assert efforts[0] == efforts[1]
    assert efforts[2] == efforts[3]
    assert efforts[4] == efforts[5]
    assert efforts[0].nodes > efforts[2].nodes > efforts[4].nodes


def test_information_in_bits():
    """A step that splits two equal halves cleanly tells 1 bit; one that says nothing tells 0 (Shannon 1948)."""
    clean = ((1.0, 0.0), (0.0, 1.0))
    assert information((0.5, 0.5), clean) == pytest.approx(1)
    assert information((2.0, 2.0), clean) == pytest.approx(1)
    assert information((1.0, 0.0), clean) == pytest.approx(0)
    assert information((0.0, 0.0), clean) == 0
    assert information((0.5, 0.5), ((0.3, 0.3), (0.7, 0.7))) == pytest.approx(0)
    # 0.25 and 0.75: the entropy is 2 − 0.75 × log2(3).
    assert information((0.25, 0.75), clean) == pytest.approx(2 - 0.75 * 1.584962500721156)


def row_of(steps: int, order: str = "") -> str:
    """Steps with four results each, one after the other; ``order`` instead of the start and the ways."""
    lines = [order or "start: s0", "steps:"]
    for i in range(steps):
        after = f"s{i + 1}" if i + 1 < steps else "tighten"
        lines.append(f"  s{i}: {{title: Look {i}, time: 5 min, results: {{")
        for key, chance, target in (
            ("a", "{worn: 40%, otherwise: 1%}", "mend"),
            ("b", "{loose: 10%, otherwise: 2%}", after),
            ("c", "10%", after),
            ("d", "rest", "leave"),
        ):
            way = "" if order else f", next: {target}"
            lines.append(f"    {key}: {{expect: {key}, chance: {chance}{way}}},")
        lines.append("  }}")
    endings = SOUND[SOUND.index("endings:") :] + "  leave: {title: Hand over, who: shop, time: 1 h}\n"
    return "\n".join([*lines, endings])


@pytest.mark.parametrize(("steps", "looked_for"), [(37, True), (38, False)])
def test_orders_of_very_large_playbooks_are_not_looked_for(read, steps, looked_for):
    """Of four results each: 148 and 152 in all, with 150 as the most."""
    found = read("\n" + row_of(steps))
    assert found.sound, found.findings
    assert bool(found.found.get("x")) is looked_for


@pytest.mark.parametrize(
    ("steps", "shares", "why"), [(38, True, "more than 150 results"), (2, False, "no shares, or no chances")]
)
def test_an_order_that_cannot_be_worked_out_is_told_where_it_is_asked_for(read, steps, shares, why):
    head = HEAD if shares else HEAD.replace(", share: 60%", "").replace(", share: 40%", "")
    found = read("\n" + row_of(steps, "order: best"), head)
    (finding,) = [one for one in found.findings if one.severity == "error"]
    assert (finding.rule, finding.line) == ("no-order", head.count("\n") + 2)
    assert why in finding.message
    assert "write `start` and every `next`" in finding.hint
