"""Cheap checks before dear parts: common practice, no source.

Facts of the trade that nobody here looked up: cleaning a solenoid-operated valve takes no more than about 10 minutes;
a repair behind the timing drive takes an experienced owner 6 to 8 hours and special tools for 500 and more; a pair of
the parts that the valves drive costs a little over 1,000 and each alone over 500; swapping two identical valves shows
in one step whether the fault goes with the valve. The shares are the test's own.
"""

import pytest

from builder.reckon.totals import totals_of

TOOLS = "special-tools: {name: Locking and holding tools, price: {low: 500, likely: 550, high: 660}}\n"
PARTS = "driven-part: {name: Valve-driven part, price: {low: 505, likely: 515, high: 555}}\n"
TOOLS_MEAN = (500 + 4 * 550 + 660) / 6
PART_MEAN = (505 + 4 * 515 + 555) / 6

CAUSES = """
causes:
  valve-a: {{name: Dirty valve on side A, share: {valve_a}%}}
  valve-b: {{name: Dirty valve on side B, share: {valve_b}%}}
  part-a: {{name: Worn part on side A, share: {part_a}%}}
  part-b: {{name: Worn part on side B, share: {part_b}%}}
"""

CHECKS_FIRST = (
    CAUSES
    + """
start: swap-valves
steps:
  swap-valves:
    title: Swap the two valves
    time: 10-20 min
    results:
      follows: {{expect: The fault goes to the other side, chance: {{valve-a: 100%, valve-b: 100%, otherwise: 0%}},
                 next: clean-valve}}
      a-stays: {{expect: It stays on side A, chance: {{part-a: 100%, otherwise: 0%}}, next: one-side-a}}
      b-stays: {{expect: It stays on side B, chance: rest, next: one-side-b}}
endings:
  clean-valve: {{title: Clean the valve, time: 5-10 min, cost: 8, settles: [valve-a, valve-b]}}
  one-side-a: {{title: New part on side A, time: 6-8 h, hazards: [timing], tools: [special-tools],
               parts: [driven-part], settles: [part-a]}}
  one-side-b: {{title: New part on side B, time: 6-8 h, hazards: [timing], tools: [special-tools],
               parts: [driven-part], settles: [part-b]}}
"""
)

BOTH_AT_ONCE = (
    CAUSES
    + """
start: both-sides
steps:
  both-sides:
    title: New parts on both sides
    time: 6-8 h
    hazards: [timing]
    tools: [special-tools]
    parts: {{driven-part: 2}}
    results:
      gone: {{expect: The fault is gone, chance: {{part-a: 100%, part-b: 100%, otherwise: 0%}}, next: done}}
      still: {{expect: The fault is still there, chance: rest, next: clean-valves}}
endings:
  done: {{title: Drive, settles: [part-a, part-b]}}
  clean-valves: {{title: Clean the valves, time: 5-10 min, cost: 8, settles: [valve-a, valve-b]}}
"""
)


@pytest.fixture
def both_ways(library_of):
    """Totals of the checks first and of both parts at once, for shares in per cent."""

    def both_ways(**shares):
        playbooks = {"checks-first": CHECKS_FIRST.format(**shares), "both-at-once": BOTH_AT_ONCE.format(**shares)}
        library = library_of(playbooks, tools=TOOLS, parts=PARTS)
        return [totals_of(slug, library) for slug in playbooks]

    return both_ways


def test_figures_are_those_of_the_trade():
    assert TOOLS_MEAN == 560
    assert PART_MEAN == 520
    assert 1000 < 2 * 505 <= 2 * PART_MEAN < 1100


def test_checks_first_save_more_than_a_thousand(both_ways):
    checks, both = both_ways(valve_a=35, valve_b=25, part_a=25, part_b=15)
    assert checks.settled == both.settled == pytest.approx(1)
    # 60 % end with 8 for cleaner, 40 % with tools 560 and one part 520
    assert checks.expected.money == pytest.approx(0.6 * 8 + 0.4 * 1080)
    # tools 560 and two parts 520 in every case, and still 8 for cleaner in 60 %
    assert both.expected.money == pytest.approx(560 + 1040 + 0.6 * 8)
    # 1604.80 − 436.80
    assert both.expected.money - checks.expected.money == pytest.approx(1168)


def test_checks_first_save_hours(both_ways):
    checks, both = both_ways(valve_a=35, valve_b=25, part_a=25, part_b=15)
    # 15 min for the swap, 7.5 min of cleaning in 60 %, 7 h in 40 %
    assert checks.expected.minutes == pytest.approx(15 + 0.6 * 7.5 + 0.4 * 420)
    assert both.expected.minutes == pytest.approx(420 + 0.6 * 7.5)
    assert both.expected.minutes - checks.expected.minutes == pytest.approx(237)


@pytest.mark.parametrize("valves", [0, 10, 50, 90, 100])
def test_checks_first_save_whatever_the_shares(valves, both_ways):
    parts = 100 - valves
    shares = {"valve_a": valves, "valve_b": 0, "part_a": parts / 2, "part_b": parts / 2}
    checks, both = both_ways(**shares)
    # A part less where a part is worn, and tools and two parts less where only a valve is dirty.
    saved = parts / 100 * 520 + valves / 100 * (560 + 1040)
    assert both.expected.money - checks.expected.money == pytest.approx(saved)


def test_half_of_all_owners_spend_next_to_nothing(both_ways):
    checks, both = both_ways(valve_a=35, valve_b=25, part_a=25, part_b=15)
    assert checks.spend_within["50"] == 8
    assert both.spend_within["50"] == pytest.approx(1608)


def test_both_ways_carry_the_hazard_of_the_timing_drive(both_ways):
    checks, both = both_ways(valve_a=35, valve_b=25, part_a=25, part_b=15)
    assert "timing" in checks.hazards
    assert "timing" in both.hazards
    assert not checks.paths[0].hazards
