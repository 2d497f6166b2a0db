"""Verdicts: what the best order saves of the playbook's cost, and the first changes by name."""

from collections.abc import Callable
from typing import Any

import pytest

from builder.reckon.order.orders import Orders, orders_of
from builder.reckon.order.verdict import Parting, Verdict, verdict_of

DEAR_FIRST: dict[str, Any] = {
    "causes": {"wear": {"share": "50%"}, "dirt": {"share": "50%"}},
    "start": "strip",
    "steps": {
        "look": {
            "cost": "1",
            "results": {
                "worn": {"chance": {"wear": "100%", "otherwise": "0%"}, "next": "renew"},
                "dirty": {"chance": "rest", "next": "clean"},
            },
        },
        "strip": {
            "cost": "60",
            "results": {
                "worn": {"chance": {"wear": "90%", "otherwise": "10%"}, "next": "renew"},
                "unclear": {"chance": "rest", "next": "look"},
            },
        },
    },
    "endings": {
        "renew": {"settles": ["wear"], "cost": "10"},
        "clean": {"settles": ["dirt"], "cost": "3"},
        "stop": {"cost": "0"},
    },
}


def judged(library: Any) -> tuple[Verdict, Orders]:
    playbook = library.playbooks["x"]
    orders = orders_of(playbook, library.catalogue, library.settings)
    assert orders
    return verdict_of(playbook, orders), orders


def test_a_dear_first_step_is_told_by_its_name(make_library: Callable[..., Any]) -> None:
    verdict, orders = judged(make_library(DEAR_FIRST))
    assert orders.best == pytest.approx(1 + 5 + 1.5)  # by hand: look, which tells all, then the right repair
    assert verdict.cost == orders.written
    assert verdict.saves == pytest.approx(verdict.cost - orders.best)
    assert not verdict.is_cheapest
    assert verdict.partings[0].after is None
    assert verdict.partings[0].written == ("step", "strip")
    assert verdict.partings[0].better == ("step", "look")
    assert all(isinstance(one, Parting) and one.saves > 0 for one in verdict.partings)


def test_an_order_that_cannot_be_cheaper_is_said_to_be_proven(make_library: Callable[..., Any]) -> None:
    without = {name: step for name, step in DEAR_FIRST["steps"].items() if name != "strip"}
    verdict, _ = judged(make_library({**DEAR_FIRST, "start": "look", "steps": without}))
    assert verdict.is_cheapest
    assert verdict.saves == pytest.approx(0)
    assert verdict.partings == ()


def test_an_order_that_is_worked_out_is_judged_as_it_is_shown(make_library: Callable[..., Any]) -> None:
    plain = {key: value for key, value in DEAR_FIRST.items() if key != "start"}
    steps = {
        name: {
            **step,
            "results": {
                key: {k: v for k, v in result.items() if k != "next"} for key, result in step["results"].items()
            },
        }
        for name, step in plain["steps"].items()
    }
    verdict, orders = judged(make_library({**plain, "order": "best", "start": None, "steps": steps}))
    assert orders.written is None
    assert verdict.cost == orders.playbook_shaped
    assert verdict.going_on is None
    assert verdict.partings == ()
