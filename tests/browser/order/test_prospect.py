"""What one screen of the walk is told: the best next thing, all others, limits, and the way as written."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final

import pytest

from builder.reckon.order.problem import Item, Problem
from builder.reckon.order.search import Search
from builder.reckon.order.shape import Shape, Target, written_shape

ENOUGH: Final = 20_000
"""Nodes that prove the best order of a short playbook."""

SHORT: Final = ("slow-warm-up", "fan-on-top-speed-only", "headlamp-flickers", "clonk-over-bumps")


def near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-8, abs=1e-8)


@pytest.fixture(scope="module")
def proven(models: Any, maker: Any, engine: Any) -> list[tuple[Any, Any]]:
    """Cases of short playbooks with what the browser says once its search is done."""
    made = maker(8)
    cases = [made.case(slug, ENOUGH, ask="prospect") for slug in SHORT for _ in range(5)]
    return list(zip(cases, engine(models, [case.asked for case in cases])["told"], strict=True))


def test_the_best_is_what_the_builder_proves(proven: list[tuple[Any, Any]]) -> None:
    for case, shown in proven:
        root = Search(case.problem, case.evidence).solve(ENOUGH)
        assert shown["proven"]
        assert shown["cost"] == near(root.high / root.whole)
        assert shown["best"]["inTheEnd"] == near(shown["cost"])
        assert shown["odds"] == near([weight / root.whole for weight in root.weights])
        over = next(thing for thing in shown["things"] if thing["kind"] == "professional")
        assert shown["handOver"] == over["inTheEnd"] == over["workshop"]


def test_each_thing_costs_what_the_builder_says_of_doing_it_first(proven: list[tuple[Any, Any]]) -> None:
    seen = 0
    for case, shown in proven:
        search = Search(case.problem, case.evidence)
        root, problem = search.root, case.problem
        assert shown["things"] == sorted(shown["things"], key=lambda thing: thing["inTheEnd"])
        for thing in shown["things"]:
            if thing["kind"] == "professional":
                continue
            names = [item.name for item in (problem.steps if thing["kind"] == "step" else problem.endings)]
            number = names.index(thing["name"])
            action = search.step(root, number) if thing["kind"] == "step" else search.repair(root, number)
            for node in search.open(root, action).after:
                search.solve(10 * ENOUGH, node)
            assert thing["inTheEnd"] == near(action.high / root.whole)
            paid = (root.dues.steps if thing["kind"] == "step" else root.dues.endings)[number]
            assert (thing["own"]["cost"], thing["own"]["money"]) == near((paid.cost, paid.money))
            come = [one for one in thing["results"] if one["odds"] is not None]
            assert [one["chance"] for one in come] == near([node.whole / root.whole for node in action.after])
            for one, node in zip(come, action.after, strict=True):
                assert one["odds"] == near([weight / node.whole for weight in node.weights])
                assert one["inTheEnd"] == near(node.high / node.whole)
            seen += 1
    assert seen > 40


def test_what_is_kept_from_the_owner_is_said_and_never_offered(proven: list[tuple[Any, Any]], models: Any) -> None:
    why = set()
    for case, shown in proven:
        model, limits = models[case.slug], case.asked["settings"]["limits"]
        nodes = {one["name"]: one for one in model["nodes"] if one["kind"] != "handover"}
        for thing in shown["things"]:
            if thing["kind"] != "professional" and not nodes[thing["name"]]["shop"]:
                node = nodes[thing["name"]]
                assert thing["name"] not in limits["aside"]
                assert not {*node["hazards"]} & {*limits["without"]}
                assert not {*node["tools"]} & {*limits["lacking"]}
                assert thing["own"]["money"] <= limits.get("budget", float("inf")) - 30
        offered = {thing["name"] for thing in shown["things"]}
        assert not offered & {one["name"] for one in shown["barred"]}
        why |= {one["why"] for one in shown["barred"]}
    assert {"aside", "hazard", "tool", "budget"} <= why


def test_time_that_is_left_today_bars_nothing_and_marks_what_is_too_long(models: Any, maker: Any, engine: Any) -> None:
    case = maker(3).case("clonk-over-bumps", ask="prospect")
    plain = {**case.asked, "settings": {**case.asked["settings"], "limits": {}}}
    short = {**case.asked, "settings": {**case.asked["settings"], "limits": {"minutes": 10}}}
    free, bound = engine(models, [plain, short])["told"]
    assert free["cost"] == bound["cost"]
    assert [thing["today"] for thing in bound["things"]] == [thing["own"]["minutes"] <= 10 for thing in free["things"]]
    assert all(thing["today"] for thing in free["things"])
    assert bound["best"]["today"] or not any(
        thing["today"] for thing in bound["things"] if thing["kind"] != "professional"
    )


def test_what_it_costs_to_do_without_a_step_or_a_repair(models: Any, maker: Any, engine: Any) -> None:
    made = maker(11)
    cases = []
    for slug in SHORT:
        case = made.case(slug, ENOUGH, ask="without")
        free = [item.name for item in (*case.problem.steps, *case.problem.endings)]
        cases.append((case, {**case.asked, "name": made.chance.choice(free)}))
    told = engine(models, [asked for _, asked in cases])["told"]
    for (case, asked), shown in zip(cases, told, strict=True):
        aside = asked["settings"]["limits"]["aside"]
        costs = []
        for names in ([name for name in aside if name != asked["name"]], [*aside, asked["name"]]):
            costs.append(best_without(models, case, asked, names))
        assert [shown["cost"], shown["costWithout"]] == near(costs)
        assert shown["dearer"] == near(costs[1] - costs[0])
        assert shown["dearer"] >= -1e-6
        assert 0 <= shown["settledWithout"] <= 1 + 1e-9


def best_without(models: Any, case: Any, asked: Any, names: list[str]) -> float:
    """The builder's best cost where these are set aside, and what the other limits bar."""
    limits = asked["settings"]["limits"]
    nodes = {one["name"]: one for one in models[case.slug]["nodes"] if one["kind"] != "handover"}

    def is_out(name: str) -> bool:
        node = nodes[name]
        owners = {*node["hazards"]} & {*limits["without"]} or {*node["tools"]} & {*limits["lacking"]}
        return name in names or (not node["shop"] and bool(owners))

    barred = frozenset(s for s, item in enumerate(case.problem.steps) if is_out(item.name))
    closed = frozenset(e for e, item in enumerate(case.problem.endings) if is_out(item.name))
    root = Search(case.problem, replace(case.evidence, barred=barred, closed=closed)).solve(ENOUGH)
    return root.high / root.whole


def written_ways(
    problem: Problem, shape: Shape, case: Any
) -> Iterator[tuple[list[Item], list[int], Target, list[float]]]:
    """Every way of the written order from what is known: work done, ending, weights of the causes there."""
    evidence = case.evidence
    known = dict(enumerate(evidence.results(len(problem.steps))))
    root = Search(problem, evidence).root

    def go(target: Target, done: list[Item], weights: list[float]) -> Iterator[Any]:
        if target.kind == "step" and known[target.number] >= 0:
            yield from go(shape.ways[target.number][known[target.number]], done, weights)
        elif target.kind == "step" and target.number not in evidence.barred:
            item = problem.steps[target.number]
            for way, row in zip(shape.ways[target.number], problem.chances[target.number], strict=True):
                after = [w * chance for w, chance in zip(weights, row, strict=True)]
                if any(after):
                    yield from go(way, [*done, item], after)
        elif target.kind == "ending" and target.number not in {*evidence.failed, *evidence.closed}:
            yield [*done, problem.endings[target.number]], problem.settles[target.number], target, weights
        else:
            yield done, (False,) * len(weights), target, weights

    yield from go(Target("step", shape.start), [], list(root.weights))


def test_the_written_order_from_what_is_known_is_the_sum_over_its_ways(
    models: Any, maker: Any, engine: Any, demo: Any
) -> None:
    made = maker(5)
    cases = [made.case(slug, ask="written") for slug in models for _ in range(3)]
    told = engine(models, [case.asked for case in cases])["told"]
    for case, shown in zip(cases, told, strict=True):
        problem, evidence = case.problem, case.evidence
        shape = written_shape(demo.playbooks[case.slug], problem)
        assert shape
        whole = sum(Search(problem, evidence).root.weights)
        cost = right = 0.0
        for done, settled, _, weights in written_ways(problem, shape, case):
            own = {fee for item in done for fee in item.own} | bits(evidence.own)
            shop = ({fee for item in done for fee in item.shop} | bits(evidence.shop)) - own
            fees = sum(problem.fees[k].own for k in own - bits(evidence.own))
            fees += sum(problem.fees[k].shop for k in shop)
            left = sum(w * bill for w, bill, ok in zip(weights, problem.bills, settled, strict=True) if not ok)
            cost += sum(weights) * (sum(item.cost for item in done) + fees) + left
            right += sum(w for w, ok in zip(weights, settled, strict=True) if ok)
        # What only a shop has opened so far is paid for: it costs no more where it stays so.
        cost -= whole * sum(problem.fees[k].shop for k in bits(evidence.shop))
        assert shown["inTheEnd"] == near(cost / whole), case.asked
        assert shown["settled"] == near(right / whole)


def bits(fees: int) -> set[int]:
    return {k for k in range(fees.bit_length()) if fees >> k & 1}


def test_which_causes_a_step_tells_apart(models: Any, maker: Any, engine: Any) -> None:
    case = maker(2).case("fan-on-top-speed-only")
    model = models[case.slug]
    steps = [one for one in model["nodes"] if one["kind"] == "step"]
    nothing = {**case.asked["evidence"], "seen": {}, "failed": []}
    told = engine(models, [{**case.asked, "ask": "tells", "name": one["name"], "evidence": nothing} for one in steps])
    for step, shown in zip(steps, told["told"], strict=True):
        for one in shown:
            shares = {}
            for result in step["results"]:
                weights = [share * chance for share, chance in zip(model["prior"], result["chance"], strict=True)]
                shares[result["name"]] = weights[one["cause"]] / sum(weights)
            assert one["now"] == near(model["prior"][one["cause"]])
            assert (one["most"], one["least"]) == near((max(shares.values()), min(shares.values())))
            assert shares[one["up"]] == near(one["most"])
        moves = [one["most"] - one["least"] for one in shown]
        assert moves == sorted(moves, reverse=True)
    assert any(told["told"])
