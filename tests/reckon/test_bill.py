"""Each rule of what a path costs, on its own. The labour rate is 60 an hour, so a minute of labour costs 1."""

import pytest

from builder.reckon.amounts import add_up
from builder.reckon.bill import path_bill


@pytest.fixture
def bill(reckon):
    """The bill of the one path through steps that follow each other, and its sums."""

    def bill(*steps, ending=None, **how):
        names = [f"step-{i}" for i in range(len(steps))]
        nexts = [*names[1:], "end"]
        chain = {
            name: {**step, "results": {"on": {"next": after}}}
            for name, step, after in zip(names, steps, nexts, strict=True)
        }
        reckoning = reckon({"steps": chain, "endings": {"end": ending or {}}}, **how)
        made = path_bill(reckoning.bill, range(len(steps) + 1))
        return made, add_up(made.money), add_up(made.shop_money), add_up(made.minutes)

    return bill


def test_cost_of_every_step_and_of_the_ending(bill):
    _, money, shop_money, minutes = bill({"cost": "2"}, {"cost": "4-10"}, ending={"cost": "1"})
    # 2 + 4 + 1, 2 + 7 + 1, 2 + 10 + 1; spread (10 − 4)/6 = 1
    assert money == shop_money == (7, 10, 13, 10, 1)
    assert minutes == (0, 0, 0, 0, 0)


def test_owner_pays_no_labour_for_work_of_their_own(bill):
    _, money, shop_money, minutes = bill({"time": "20-40 min"})
    assert money.mean == 0
    assert shop_money == minutes == (20, 30, 40, 30, pytest.approx(20 / 6))


def test_tools_of_a_basic_kit_cost_nothing(bill):
    made, money, shop_money, _ = bill({"tools": ["wrench"]})
    assert made.tools == ["wrench"]
    assert money.high == shop_money.high == 0


def test_tool_is_paid_once_a_path(bill):
    made, money, _, _ = bill({"tools": ["puller", "meter"]}, {"tools": ["puller"]}, ending={"tools": ["puller"]})
    # puller 40/50/80, mean 320/6; meter 25
    assert made.tools == ["meter", "puller"]
    assert money == (65, 75, 105, pytest.approx(320 / 6 + 25), pytest.approx(40 / 6))


def test_workshop_charges_no_tools(bill):
    assert bill({"tools": ["puller"]})[2].high == 0


def test_tool_named_by_a_shop_step_is_paid_too(bill):
    # Only the workshop's own price leaves tools out; a step names what has to be bought.
    assert bill({"tools": ["meter"], "who": "shop"})[1].mean == 25


def test_three_of_a_part_are_one_amount_three_times(bill):
    made, money, shop_money, _ = bill({"parts": {"bulb": "3"}})
    # bulb 3/6/9: mean 6, spread 1; three: mean 18, spread 3
    assert made.parts == {"bulb": 3}
    assert money == shop_money == (9, 18, 27, 18, 3)


def test_the_same_part_at_two_steps_adds_up(bill):
    made, money, _, _ = bill({"parts": ["bulb"]}, {"parts": {"bulb": "2", "seal": "1"}})
    assert made.parts == {"bulb": 3, "seal": 1}
    assert money == (13.5, 22.5, 31.5, 22.5, 3)


def test_a_part_named_twice_in_a_list_counts_twice(bill):
    assert bill({"parts": ["seal", "seal"]})[1].mean == 9


def test_labour_of_shop_steps_and_endings(bill):
    _, money, shop_money, minutes = bill(
        {"time": "30 min", "who": "shop"}, {"time": "7 min"}, ending={"time": "1 h", "who": "shop"}
    )
    # 90 min at the shop's rate of 1 a minute
    assert money.mean == 90
    assert shop_money.mean == minutes.mean == 97


def test_labour_follows_the_rate(bill):
    _, money, shop_money, minutes = bill({"time": "30-60 min", "who": "shop"}, rate="90")
    assert money == shop_money == (45, 67.5, 90, 67.5, 7.5)
    assert minutes == (30, 45, 60, 45, 5)


def test_access_job_is_paid_once_a_path(bill):
    _, money, shop_money, minutes = bill({"access": ["cover"]}, {"access": ["cover"]}, ending={"access": ["cover"]})
    # open 5, close 10/13/16 with spread 1
    assert minutes == shop_money == (15, 18, 21, 18, 1)
    assert money.mean == 0


def test_opening_and_closing_are_two_amounts(bill, catalogue):
    access = {"cover": {"name": "Cover", "open": "0-18 min", "close": "0-24 min"}}
    minutes = bill({"access": ["cover"]}, catalogue={**catalogue, "access": access})[3]
    # spreads 3 and 4, together 5
    assert minutes == (0, 21, 42, 21, 5)


def test_two_access_jobs_both_count(bill):
    # cover 18; wheel: open 10/16/22, close 15
    assert bill({"access": ["cover", "wheel"]})[3].mean == 18 + 31


@pytest.mark.parametrize(
    ("first", "second", "labour"),
    [
        ("owner", "owner", 0),
        ("owner", "shop", 0),
        ("shop", "owner", 0),
        # 5 + 13 minutes at 1 a minute
        ("shop", "shop", 18),
    ],
)
def test_access_job_is_the_owners_unless_all_who_need_it_are_the_shops(bill, first, second, labour):
    _, money, shop_money, minutes = bill(
        {"access": ["cover"], "who": first}, {}, ending={"access": ["cover"], "who": second}
    )
    assert money.mean == labour
    assert shop_money.mean == minutes.mean == 18


def test_each_access_job_has_its_own_owner(bill):
    money = bill({"access": ["cover", "wheel"], "who": "shop"}, {"access": ["wheel"]})[1]
    assert money == (15, 18, 21, 18, 1)


def test_owners_step_elsewhere_does_not_make_the_job_the_owners(bill):
    assert bill({"access": ["cover"], "who": "shop"}, {"time": "9 min"})[1].mean == 18


def test_whole_price_of_a_path(bill):
    made, money, shop_money, minutes = bill(
        {"cost": "2", "time": "10 min", "tools": ["meter"], "access": ["cover"], "hazards": ["lifting"]},
        ending={"cost": "3", "time": "20 min", "who": "shop", "parts": ["seal"], "access": ["cover", "wheel"]},
    )
    # cost 5, seal 4.50, meter 25, ending's labour 20, wheel off by the shop 31; the cover is the owner's
    assert money.mean == pytest.approx(5 + 4.5 + 25 + 20 + 31)
    assert minutes.mean == 10 + 20 + 18 + 31
    assert shop_money.mean == 5 + 4.5 + 79
    assert made.hazards == ["hot", "lifting"]


def test_access_job_brings_its_hazards(bill):
    assert bill({"access": ["cover"]})[0].hazards == ["hot"]


def test_hand_over_costs_nothing_by_itself(reckon):
    reckoning = reckon({"steps": {"a": {"cost": "8", "results": {"on": {"next": {"playbook": "other"}}}}}})
    assert add_up(path_bill(reckoning.bill, [0, 1]).money).mean == 8


def test_nothing_is_done_nothing_is_owed(bill):
    made, money, shop_money, minutes = bill({})
    assert money == shop_money == minutes == (0, 0, 0, 0, 0)
    assert (made.tools, made.parts, made.hazards) == ([], {}, [])


def test_hazards_of_a_tool_count_wherever_it_is_needed(reckon, catalogue):
    stands = {"name": "Stands", "price": "40", "hazards": ["lifting"]}
    base = {**catalogue, "tools": {**catalogue["tools"], "stands": stands}}
    step = {"tools": ["stands"], "results": {"seen": {"next": "end"}}}
    bill = reckon({"steps": {"look": step}, "endings": {"end": {}}}, catalogue=base).bill
    assert [item.hazards for item in bill.items] == [{"lifting"}, set()]


@pytest.mark.parametrize(
    ("wait", "hours"),
    [("12 h", 12), ("1 night", 24), ("2 nights", 48), ("1-3 days", 48), ("1 week", 168), ("P2D", 48), ("PT36H", 36)],
)
def test_waits_are_hours_and_cost_nothing(reckon, wait, hours):
    steps = {"park": {"wait": wait, "time": "5 min", "results": {"seen": {"next": "end"}}}}
    reckoning = reckon({"steps": steps, "endings": {"end": {"wait": "6 h"}}})
    bill = path_bill(reckoning.bill, [0, 1])
    assert add_up(bill.wait).mean == hours + 6
    assert add_up(bill.minutes).mean == 5
    assert add_up(bill.money).mean == 0
