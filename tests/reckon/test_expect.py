"""Expectations by one pass over the graph, against closed forms and against sums in fractions that go forwards."""

from collections import defaultdict
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.expect import expect, settled, wasted
from tests.sweep import EXAMPLES

CAUSES = {"worn": "60%", "loose": "30%"}
SHARES = {"worn": 0.6, "loose": 0.3, "unlisted": 0.1}


@pytest.fixture(scope="module")
def tall(ladder):
    """A ladder whose detours cost 3, need a puller and the wheel off; an ending by cause follows."""

    def tall(rungs, **detour):
        by_cause = {"worn": "20%", "loose": "5%", "otherwise": "1%"}
        playbook = ladder(
            rungs,
            lambda i: by_cause,
            CAUSES,
            rung=lambda i: {"cost": "1", "time": "2 min"},
            detour=lambda i: {"cost": "3", **detour},
        )
        top = {
            "results": {
                "seen": {"next": "mend", "chance": {"worn": "90%", "otherwise": "20%"}},
                "unseen": {"next": {"playbook": "other"}, "chance": "rest"},
            }
        }
        steps = {**playbook["steps"], "top": top}
        return {**playbook, "steps": steps, "endings": {"mend": {"cost": "100", "settles": ["worn"]}}}

    return tall


YES = {"worn": 0.2, "loose": 0.05, "unlisted": 0.01}
SEEN = {"worn": 0.9, "loose": 0.2, "unlisted": 0.2}


def over_causes(figure):
    return sum(share * figure(cause) for cause, share in SHARES.items())


@pytest.mark.parametrize("rungs", [1, 7, 60, 99])
def test_ladder_agrees_with_its_closed_form(rungs, tall, reckon):
    model = reckon(tall(rungs, tools=["puller"], access=["wheel"]))
    puller, wheel = 320 / 6, 31

    def once(cause):
        """Chance of at least one detour."""
        return 1 - (1 - YES[cause]) ** rungs

    def on_the_way(cause):
        return rungs * (1 + 3 * YES[cause]) + puller * once(cause)

    minutes = over_causes(lambda cause: 2 * rungs + wheel * once(cause))
    expected = expect(model)
    assert expected.money == pytest.approx(over_causes(lambda c: on_the_way(c) + 100 * SEEN[c]), rel=1e-12)
    assert expected.minutes == pytest.approx(minutes, rel=1e-12)
    assert expected.shop_money == pytest.approx(
        over_causes(lambda c: rungs * (1 + 3 * YES[c]) + 100 * SEEN[c]) + minutes, rel=1e-12
    )
    assert settled(model) == pytest.approx(0.6 * 0.9, rel=1e-12)
    # What comes after the ladder does not hang on the way up, so a wrong end wastes all that the way has cost.
    assert wasted(model) == pytest.approx(
        sum(SHARES[c] * SEEN[c] * (on_the_way(c) + 100) for c in ("loose", "unlisted")), rel=1e-12
    )


@pytest.mark.parametrize("rungs", [1, 60])
def test_access_job_costs_money_only_where_the_shop_alone_needs_it(rungs, tall, reckon):
    playbook = tall(rungs, access=["wheel"], who="shop")
    paid = expect(reckon(playbook)).money
    playbook["endings"]["mend"]["access"] = ["wheel"]
    partly = expect(reckon(playbook)).money
    without = over_causes(lambda c: rungs * (1 + 3 * YES[c]) + 100 * SEEN[c])

    def once(cause):
        return 1 - (1 - YES[cause]) ** rungs

    assert paid == pytest.approx(without + 31 * over_causes(once), rel=1e-12)
    # The owner mends with the wheel off: then only paths that end in the hand-over pay the shop for it.
    assert partly == pytest.approx(without + 31 * over_causes(lambda c: once(c) * (1 - SEEN[c])), rel=1e-12)


def test_expected_figures_are_plain_numbers_of_the_bill(reckon, tall):
    expected = expect(reckon(tall(1)))
    # rung 1 + detour 3 × (0.6 × 0.2 + 0.3 × 0.05 + 0.1 × 0.01 = 0.136) + 100 × (0.54 + 0.06 + 0.02)
    assert expected.money == pytest.approx(1 + 0.408 + 62)
    assert expected.minutes == pytest.approx(2)
    assert expected.shop_money == pytest.approx(1 + 0.408 + 62 + 2)


@settings(max_examples=80 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_every_path_stops_somewhere(data, playbooks, reckon):
    model = reckon(data.draw(playbooks(odds=True, most_steps=12)))
    stops = [row for row, edges in zip(model.reach, model.graph.edges, strict=True) if not edges]
    # Thirds written as 33.33 % lose 0.01 points a step.
    assert sum(map(sum, stops)) == pytest.approx(1, abs=12 * 1e-4 + 1e-9)


class Forwards:
    """Expected figures of a ready playbook in whole fractions, carried forwards from the start, cause by cause.

    Of what is paid once it keeps, at every node, the chance of having met a user, and of having met an owner.
    """

    def __init__(self, reckoning):
        self.graph, self.bill, self.odds = reckoning.graph, reckoning.bill, reckoning.odds
        self.causes = range(len(self.odds.causes))

    def carry(self, cause, mark):
        """Chance of each node and set of marks met on the way; ``mark`` gives the mark of a node, or None."""
        chances = [defaultdict(Fraction) for _ in self.graph.nodes]
        chances[0][frozenset()] = Fraction(self.odds.shares[cause], self.odds.share_unit)
        for i, edges in enumerate(self.graph.edges):
            met = defaultdict(Fraction)
            for marks, chance in chances[i].items():
                met[marks | {mark(i)} - {None}] += chance
            chances[i] = met
            for e, edge in enumerate(edges):
                for marks, chance in met.items():
                    share = Fraction(self.odds.chances[i][e][cause], self.odds.unit)
                    chances[edge.target][marks] += chance * share
        return chances

    def ends(self, mark):
        """Pairs of the marks met and the chance, over causes and places where paths stop."""
        for cause in self.causes:
            chances = self.carry(cause, mark)
            for i, edges in enumerate(self.graph.edges):
                if not edges:
                    yield from chances[i].items()

    def met(self, needs):
        """Chance of a path that meets a node that needs a thing, and of one where all such nodes are the shop's."""

        def mark(i):
            return ("shop" if self.bill.items[i].shop else "owner") if needs(i) else None

        ends = list(self.ends(mark))
        return (
            sum(chance for marks, chance in ends if marks),
            sum(chance for marks, chance in ends if marks == {"shop"}),
        )

    def expected(self):
        def mean(amount):
            low, likely, high = map(Fraction, amount)
            return (low + 4 * likely + high) / 6

        rate = Fraction(self.bill.rate)
        money = shop_money = minutes = Fraction(0)
        items = self.bill.items
        for i, item in enumerate(items):
            come = self.met(lambda j, i=i: j == i)[0]
            parts = sum(count * mean(self.bill.parts[part]) for part, count in item.parts.items())
            money += come * (mean(item.cost) + parts + (mean(item.time) * rate if item.shop else 0))
            shop_money += come * (mean(item.cost) + parts + mean(item.time) * rate)
            minutes += come * mean(item.time)
        for tool, price in self.bill.tools.items():
            money += mean(price) * self.met(lambda j, tool=tool: tool in items[j].tools)[0]
        for job, times in self.bill.access.items():
            anyone, shop_alone = self.met(lambda j, job=job: job in items[j].access)
            opening = sum(map(mean, times))
            money += opening * rate * shop_alone
            shop_money += opening * rate * anyone
            minutes += opening * anyone
        return float(money), float(shop_money), float(minutes)


@settings(max_examples=25 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_expected_agrees_with_sums_that_go_forwards(data, playbooks, reckon):
    reckoning = reckon(data.draw(playbooks(odds=True, most_steps=10)))
    assert expect(reckoning) == pytest.approx(Forwards(reckoning).expected(), rel=1e-9, abs=1e-9)


def wide(rows):
    """Rows of four steps, each leading to two steps of the next row or, rarely, out; costs and needs vary."""
    access, tools = (["cover"], ["wheel"], []), (["puller"], ["meter"], ["wrench"], [])
    steps = {}
    for i in range(rows * 4):
        row, place = divmod(i, 4)
        last = row + 1 == rows
        on = [f"s{(row + 1) * 4 + (place + turn) % 4}" for turn in (0, 1)] if not last else ["mend", "leave"]
        steps[f"s{i}"] = {
            "cost": str(i % 7),
            "time": f"{i % 5}-{i % 5 + i % 3} min",
            "who": "shop" if i % 3 == 1 else "owner",
            "access": access[i % 5 % 3] if i % 29 == 0 else [],
            "tools": tools[i % 4] if i % 31 == 0 else [],
            "results": {
                "left": {"next": on[0], "chance": {"worn": f"{30 + i % 40}%", "otherwise": "55.5%"}},
                "out": {"next": "mend", "chance": {"loose": "0.4%", "otherwise": "0.2%"}},
                "right": {"next": on[1], "chance": "rest"},
            },
        }
    causes = {name: {"share": share} for name, share in CAUSES.items()}
    endings = {"mend": {"cost": "50", "settles": ["loose"], "access": ["cover"]}, "leave": {}}
    return {"causes": causes, "steps": steps, "endings": endings}


def test_playbook_of_two_hundred_steps_agrees_with_sums_that_go_forwards(reckon):
    reckoning = reckon(wide(25))
    assert len(reckoning.graph.nodes) > 90
    assert reckoning.graph.path_count > 2**24
    assert expect(reckoning) == pytest.approx(Forwards(reckoning).expected(), rel=1e-9)


def test_settled_and_wasted_of_two_hundred_steps(reckon):
    reckoning = reckon(wide(49))
    graph, odds = reckoning.graph, reckoning.odds
    assert graph.path_count > 2**48
    forwards = Forwards(reckoning)
    mend = graph.number["ending", "mend"]
    mended = [sum(forwards.carry(cause, lambda i: None)[mend].values()) for cause in forwards.causes]
    right = mended[odds.causes.index("loose")]
    assert settled(reckoning) == pytest.approx(float(right), rel=1e-12)
    assert 0 < wasted(reckoning) < expect(reckoning).money
