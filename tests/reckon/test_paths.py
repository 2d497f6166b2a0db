"""Listings of paths beyond counting: the right ones, in the right order, told apart exactly."""

from fractions import Fraction
from itertools import combinations
from math import comb

import pytest

from builder.reckon.paths import LISTED, every_path, listed_paths

SIX = {f"cause-{c}": "16%" for c in range(6)}
ONE = {"worn": "100%"}


def by_cause(*percentages):
    """Chance of `yes` by cause, the last one for the unlisted cause."""
    *named, otherwise = (f"{percentage}%" for percentage in percentages)
    return {**{f"cause-{c}": chance for c, chance in enumerate(named)}, "otherwise": otherwise}


def choices(path):
    """What was chosen at the rungs, and nothing of the detours."""
    return tuple(result for result in path.results if result != "done")


def with_yes(rungs, at):
    """The results of the path with `yes` at these rungs alone."""
    results = []
    for i in range(rungs):
        results += ["yes", "done"] if i in at else ["no"]
    return tuple(results)


def first_of(rungs, counts, most=LISTED):
    """The first paths where those with so many `yes` come in this order, and by names where they have as many."""
    listed = []
    for count in counts:
        listed += sorted(with_yes(rungs, set(at)) for at in combinations(range(rungs), count))
    return listed[:most]


def listed_chance(chance_of_yes, share, rungs, counts):
    """The chance of the first paths in exact fractions, where `yes` has one chance a cause at every rung."""
    left, total = LISTED, Fraction(0)
    for count in counts:
        taken = min(left, comb(rungs, count))
        total += taken * sum(
            w * p**count * (1 - p) ** (rungs - count) for w, p in zip(share, chance_of_yes, strict=True)
        )
        left -= taken
    return total


@pytest.mark.parametrize("rungs", [60, 100])
def test_likeliest_paths_of_one_cause(rungs, total, ladder):
    made = total(ladder(rungs, lambda i: "10%", ONE))
    assert made.path_count == 2**rungs
    assert made.spend_within is None
    assert [path.results for path in made.paths] == first_of(rungs, (0, 1, 2) if rungs < 200 else (0, 1))
    chance = listed_chance([Fraction(1, 10)], [1], rungs, (0, 1, 2))
    assert made.listed_chance == pytest.approx(float(chance), rel=1e-14)
    assert made.paths[0].chance == pytest.approx(0.9**rungs, rel=1e-12)


@pytest.mark.parametrize("rungs", [60, 100])
def test_where_all_paths_tie_their_names_decide(rungs, total, ladder):
    made = total(ladder(rungs, lambda i: "50%", ONE))
    # `no` comes before `yes`, so names count upwards like binary numbers: the last rungs change first.
    upwards = [{rungs - 1 - bit for bit in range(8) if number >> bit & 1} for number in range(LISTED)]
    assert [path.results for path in made.paths] == [with_yes(rungs, at) for at in upwards]
    assert made.listed_chance == 200 / 2**rungs


@pytest.mark.parametrize("rungs", [60, 100])
def test_likeliest_paths_of_six_causes_that_lean_the_same_way(rungs, total, ladder):
    percentages = (10, 11, 12, 13, 14, 15, 20)
    made = total(ladder(rungs, lambda i: by_cause(*percentages), SIX))
    assert [path.results for path in made.paths] == first_of(rungs, (0, 1, 2) if rungs < 200 else (0, 1))
    shares = [Fraction(16, 100)] * 6 + [Fraction(4, 100)]
    chance = listed_chance([Fraction(p, 100) for p in percentages], shares, rungs, (0, 1, 2))
    assert made.listed_chance == pytest.approx(float(chance), rel=1e-12)


def test_likeliest_paths_of_six_causes_that_lean_both_ways(total, ladder):
    percentages = (5, 15, 25, 75, 85, 95, 50)
    made = total(ladder(60, lambda i: by_cause(*percentages), SIX))
    # 5 % and 95 % mirror each other, and so on inwards: as many `yes` as `no` elsewhere tie.
    listed = [results for count in (0, 1) for results in sorted(first_of(60, (count, 60 - count)))]
    assert [path.results for path in made.paths[:122]] == listed
    # Of the thousands that tie after these, any are as good.
    shares = [Fraction(16, 100)] * 6 + [Fraction(4, 100)]
    chance = listed_chance([Fraction(p, 100) for p in percentages], shares, 60, (0, 60, 1, 59, 2))
    assert made.listed_chance == pytest.approx(float(chance), rel=1e-12)


@pytest.mark.parametrize("percentages", [(48, 48.7, 49.4, 50.1, 50.8, 51.5, 50), (49, 49.5, 50, 50.5, 51, 51.5, 50)])
def test_likeliest_paths_of_six_causes_that_hardly_differ(percentages, total, ladder):
    made = total(ladder(60, lambda i: by_cause(*percentages), SIX))
    chances = [Fraction(str(p)) / 100 for p in percentages]
    shares = [Fraction(16, 100)] * 6 + [Fraction(4, 100)]

    def chance_of(count):
        return sum(w * p**count * (1 - p) ** (60 - count) for w, p in zip(shares, chances, strict=True))

    counts = sorted(range(61), key=chance_of, reverse=True)[:3]
    assert [path.results for path in made.paths] == first_of(60, counts)


def test_chances_that_differ_in_the_ninth_digit_are_told_apart(total, ladder):
    # Rung i has `yes` at 50 % less i + 1 millionths: the fewer and the earlier, the likelier.
    rungs = 60
    made = total(ladder(rungs, lambda i: f"{50 - (i + 1) / 1e6:.6f}%", ONE))

    def chance(path):
        product = Fraction(1)
        for i, choice in enumerate(choices(path)):
            yes = Fraction(50_000_000 - i - 1, 100_000_000)
            product *= yes if choice == "yes" else 1 - yes
        return product

    order = [(-chance(path), path.results) for path in made.paths]
    assert order == sorted(order)
    assert choices(made.paths[0]) == ("no",) * rungs
    # A single `yes` loses the factor (1 − 2d)/(1 + 2d) at a rung 50 % − d; the least loss is that of rung 0.
    assert choices(made.paths[1]) == ("yes", *("no",) * (rungs - 1))
    least = min(map(chance, made.paths))
    # Flipping the first rungs costs least: nothing that is left out may be likelier.
    listed = {path.results for path in made.paths}
    near = [set(at) for count in (1, 2, 3) for at in combinations(range(14), count)]
    left_out = [at for at in near if with_yes(rungs, at) not in listed]

    def chance_of(at):
        product = Fraction(1)
        for i in range(rungs):
            yes = Fraction(50_000_000 - i - 1, 100_000_000)
            product *= yes if i in at else 1 - yes
        return product

    assert all(chance_of(at) <= least for at in left_out)


def no_chance(i):
    return None


def test_ladder_without_odds_lists_the_cheapest(total, ladder):
    # Detour i costs i + 1: the cheapest are all `no`, then detours by their sum.
    made = total(ladder(60, no_chance, ONE, detour=lambda i: {"cost": str(i + 1)}))
    assert made.path_count == 2**60
    assert len(made.paths) == LISTED
    small = [set(at) for count in range(6) for at in combinations(range(24), count) if sum(i + 1 for i in at) < 24]
    cheapest = sorted((sum(i + 1 for i in at), with_yes(60, at)) for at in small)[:LISTED]
    assert [(path.money.mean, path.results) for path in made.paths] == cheapest


@pytest.mark.parametrize("rungs", [60, 100])
def test_ladder_without_odds_whose_paths_all_cost_the_same(rungs, total, ladder):
    made = total(ladder(rungs, no_chance, ONE, rung=lambda i: {"cost": "0.10"}))
    assert len(made.paths) == LISTED
    results = [path.results for path in made.paths]
    assert results == sorted(results)
    assert results[0] == with_yes(rungs, ())


def test_dear_tool_at_the_end_of_all_paths_does_not_mislead(total, ladder):
    top = {"tools": ["puller"]}
    made = total(ladder(60, no_chance, ONE, detour=lambda i: {"cost": "2"}, top=top))
    assert [path.results for path in made.paths] == first_of(60, (0, 1, 2))
    assert made.paths[0].money.mean == pytest.approx(320 / 6)


def test_dear_tool_that_the_cheap_looking_way_needs(total, ladder):
    # Each detour is free but needs the puller (mean 53.33), once a path; without it every rung costs 1 more by a step.
    playbook = ladder(20, no_chance, ONE, detour=lambda i: {"tools": ["puller"]})
    for i in range(20):
        up = playbook["steps"][f"rung-{i}"]["results"]["no"]["next"]
        playbook["steps"][f"rung-{i}"]["results"]["no"] = {"next": f"plain-{i}"}
        playbook["steps"][f"plain-{i}"] = {"cost": "1", "results": {"done": {"next": up}}}
    made = total(playbook)
    # All plain: 20. Else 53.33 and 1 for each plain rung.
    assert choices(made.paths[0]) == ("no",) * 20
    plain = [sum(choice == "no" for choice in choices(path)) for path in made.paths]
    assert plain == [20, 0] + [1] * 20 + [2] * 178
    assert [path.money.mean for path in made.paths[:3]] == pytest.approx([20, 320 / 6, 320 / 6 + 1])


def test_dear_tool_is_met_exactly_in_the_expected_money(total, ladder):
    made = total(ladder(60, lambda i: "10%", ONE, detour=lambda i: {"tools": ["puller"]}))
    assert made.expected.money == pytest.approx(320 / 6 * (1 - 0.9**60), rel=1e-12)


def test_few_paths_are_all_listed(reckon, ladder):
    reckoning = reckon(ladder(7, lambda i: "30%", ONE))
    listed = listed_paths(reckoning.graph, reckoning.bill, reckoning.odds)
    assert len(listed) == 2**7
    assert set(listed) == set(every_path(reckoning.graph, reckoning.odds))


@pytest.mark.parametrize("odds", [True, False])
def test_search_and_sorting_give_the_same_order(odds, reckon, ladder):
    def detour(i):
        return {"cost": str(i % 3), "tools": ["puller"] if i % 4 == 0 else []}

    playbook = ladder(
        9, (lambda i: by_cause(40 + i, 30, 60, 50, 45, 55, 10)) if odds else no_chance, SIX, detour=detour
    )
    reckoning = reckon(playbook)
    searched = listed_paths(reckoning.graph, reckoning.bill, reckoning.odds)
    everything = listed_paths(reckoning.graph, reckoning.bill, reckoning.odds, most=2**9)
    assert reckoning.graph.path_count == len(everything) == 2**9
    assert searched == everything[:LISTED]


@pytest.mark.parametrize("rungs", [60, 100])
def test_causes_that_lean_differently_at_every_rung_still_end(rungs, total, ladder):
    made = total(ladder(rungs, lambda i: by_cause(*(f"{40 + (c * 7 + i * 3) % 20}.{c}" for c in range(6)), 50), SIX))
    assert len({path.results for path in made.paths}) == LISTED
    chances = [path.chance for path in made.paths]
    assert chances == sorted(chances, reverse=True)
    assert made.listed_chance == pytest.approx(sum(chances), rel=1e-9)
