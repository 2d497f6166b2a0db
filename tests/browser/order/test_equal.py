"""One truth: the browser's engine of the order and the builder's find the same, node by node."""

from math import fsum
from typing import Any, Final

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.order.policy import chosen
from builder.reckon.order.search import Search
from tests.sweep import EXAMPLES

BODIES: Final = 32
"""Bodies of evidence for each playbook of the demo, more than 500 in all."""


def near(value: Any) -> Any:
    return pytest.approx(value, rel=1e-9, abs=1e-9)


def reckoned(case: Any) -> dict[str, Any]:
    """The builder's answer to what :file:`drive.js` calls ``search``."""
    search = Search(case.problem, case.evidence)
    root = search.solve(case.asked["effort"])
    action, _ = chosen(search, root)
    return {
        "odds": [weight / root.whole for weight in root.weights],
        "cost": root.high / root.whole,
        "bound": root.low / root.whole,
        "first": [action.kind, action.number],
        "nodes": search.effort,
    }


def assert_same(engine: Any, models: Any, cases: list[Any]) -> None:
    told = engine(models, [case.asked for case in cases])["told"]
    for case, shown in zip(cases, told, strict=True):
        found = reckoned(case)
        for key in ("odds", "cost", "bound"):
            assert shown[key] == near(found[key]), (key, case.asked)
        assert [shown["first"], shown["nodes"]] == [found["first"], found["nodes"]], case.asked


def test_from_the_start_of_every_playbook(engine: Any, models: Any, maker: Any) -> None:
    cases = []
    for slug in models:
        case = maker(0).case(slug, 600)
        nothing = {"seen": {}, "failed": [], "paid": {"tools": [], "access": [], "shop": [], "dangers": []}}
        plain = {**case.asked, "evidence": {**nothing, "spent": {"money": 0, "minutes": 0}}}
        plain["settings"] = {**plain["settings"], "limits": {}}
        cases.append(type(case)(slug, case.problem, type(case.evidence)(), plain))
    assert_same(engine, models, cases)


def test_after_500_bodies_of_evidence(engine: Any, models: Any, maker: Any) -> None:
    made = maker(1)
    cases = [made.case(slug, made.chance.choice([10, 30, 100])) for slug in models for _ in range(BODIES * EXAMPLES)]
    assert len(cases) > 500
    assert_same(engine, models, cases)


@settings(max_examples=10, deadline=None)
@given(st.lists(st.lists(st.floats(-1e12, 1e12)), min_size=40, max_size=80))
def test_sums_are_rounded_once(engine: Any, lists: list[list[float]]) -> None:
    assert engine({}, [], lists)["sums"] == [fsum(one) for one in lists]
