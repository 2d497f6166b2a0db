"""What the cost in the end is made up of: hand-made figures, and the kinds add up for any playbook."""

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.order.makeup import Makeup, makeup_of
from builder.reckon.order.shape import written_shape
from builder.reckon.reckoning import Reckoning

RISKY: dict[str, Any] = {
    "causes": {"wear": {"share": "60%"}, "dirt": {"share": "40%"}},
    "steps": {
        "look": {
            "time": "30 min",
            "cost": "2",
            "tools": ["meter"],
            "results": {
                "worn": {"chance": {"wear": "100%", "otherwise": "0%"}, "next": "renew"},
                "dirty": {"chance": "rest", "next": "stop"},
            },
        },
    },
    "endings": {
        "renew": {
            "settles": ["wear"],
            "time": "60 min",
            "parts": {"seal": "2"},
            "access": ["wheel"],
            "mishap": {"what": "A stud shears.", "chance": "5%", "cost": "80"},
        },
        "clean": {"settles": ["dirt"], "time": "15 min"},
        "stop": {"who": "shop", "time": "10 min"},
    },
}


def made_up(reckoning: Reckoning) -> Makeup:
    problem = reckoning.problem
    shape = written_shape(reckoning.playbook, problem) if problem else None
    assert problem
    assert shape
    return makeup_of(problem, shape)


def test_each_kind_is_what_it_is(reckon: Callable[..., Reckoning]) -> None:
    made = made_up(reckon(RISKY, owner_hour="20", avoid_danger="50"))
    # By hand: 60 % go to `renew`, 40 % to `stop`, whose dirt a workshop then cleans for 15 after 30 min of diagnosis.
    wheel = (16 + 15) / 60  # hours, the mean of 10 to 22 minutes and 15 minutes
    assert made.hours == pytest.approx(0.5 * 20 + 0.6 * (1 + wheel) * 20)
    assert made.spent == pytest.approx(2)
    assert made.parts == pytest.approx(0.6 * 9)
    assert made.tools == pytest.approx(25)
    assert made.workshop == pytest.approx(0.4 * 10)
    assert made.mishap == pytest.approx(0.6 * 0.05 * 80)
    assert made.danger == pytest.approx(0.6 * 50)
    assert made.professional == pytest.approx(0.4 * made_bill(reckon))


def made_bill(reckon: Callable[..., Reckoning]) -> float:
    """What a professional takes for dirt."""
    problem = reckon(RISKY).problem
    assert problem
    return problem.bills[problem.causes.index("dirt")]


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_the_kinds_add_up_to_the_cost_in_the_end(
    reckon: Callable[..., Reckoning], playbooks: Callable[..., Any], data: st.DataObject
) -> None:
    reckoning = reckon(data.draw(playbooks(odds=True)), owner_hour="20", avoid_danger="50")
    assert sum(made_up(reckoning)) == pytest.approx(reckoning.in_the_end, rel=1e-9, abs=1e-9)
