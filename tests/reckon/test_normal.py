"""Chances are normalised exactly under each cause, so that no error grows from step to step; shares stay in [0, 1]."""

import ast
import builtins
import json
from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.read.notation import Chance
from builder.read.records import Result, Step
from builder.reckon.amounts import add_up
from builder.reckon.bill import path_bill, way_means
from builder.reckon.odds import step_chances
from builder.reckon.paths import every_path
from builder.reckon.reckoning import Reckoning
from builder.reckon.standing import result_chances, standings
from builder.reckon.totals import Totals, totals, totals_of
from tests.demo import demo_library
from tests.sweep import EXAMPLES

ROOT = Path(__file__).resolve().parents[2]
Plain = dict[str, Any]
CAUSES: Plain = {"fuse": {"share": "50%"}, "lamp": {"share": "30%"}}


def row(steps: int, first: Any, second: Any, settles: str = "all") -> Plain:
    """Steps in a row whose two results both lead on."""
    book: Plain = {"causes": CAUSES, "steps": {}, "endings": {"end": {"settles": settles}}}
    for s in range(steps):
        ahead = f"s{s + 1}" if s + 1 < steps else "end"
        book["steps"][f"s{s}"] = {
            "results": {"a": {"chance": first, "next": ahead}, "b": {"chance": second, "next": ahead}}
        }
    return book


def shares_of(made: Totals) -> list[float | None]:
    """Every share and chance of some totals."""
    paths = [share for path in made.paths for share in (path.chance, path.settled, *(path.causes or {}).values())]
    return [made.settled, made.listed_chance, *(made.causes or {}).values(), *paths]


@pytest.mark.parametrize("steps", [1, 40, 100, 200])
@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("60%", "40.05%"),
        ("60%", "39.95%"),
        ({"fuse": "90.04%", "otherwise": "20%"}, {"fuse": "10%", "otherwise": "80.03%"}),
    ],
)
def test_what_adds_up_only_roughly_stays_100_per_cent(
    steps: int, first: Any, second: Any, total: Callable[..., Totals]
) -> None:
    """A sum of 100.05 % at each of 100 steps once made 105.1 % of all cases settled."""
    made = total(row(steps, first, second))
    assert made.settled == pytest.approx(1.0, abs=1e-12)
    assert all(share is None or 0.0 <= share <= 1.0 for share in shares_of(made))
    if steps == 1:
        assert made.listed_chance == 1.0


def test_a_chance_is_divided_by_the_sum_of_its_step(reckon: Callable[..., Reckoning]) -> None:
    odds = reckon(row(1, "60%", "40.05%")).given_odds
    chances = [[Fraction(chance, odds.unit) for chance in edge] for edge in odds.chances[0]]
    assert chances == [[Fraction(6000, 10005)] * 3, [Fraction(4005, 10005)] * 3]


PARTS = st.integers(0, 10_000)


@given(st.data(), st.integers(2, 4), st.integers(1, 3))
def test_under_each_cause_chances_add_up_to_exactly_1(data: st.DataObject, results: int, named: int) -> None:
    """Of any chances that the checks let pass, and of any others as well."""
    causes = [f"c{c}" for c in range(named)]
    made = {}
    for r in range(results):
        table = {cause: Fraction(data.draw(PARTS), 10_000) for cause in causes}
        made[f"r{r}"] = Result.model_construct(expect="x", chance=Chance(table, None))
    if data.draw(st.booleans()):
        made["r0"] = Result.model_construct(expect="x", chance=Chance({}, None, rest=True))
    chances = step_chances(Step.model_construct(results=made), causes) or []
    for column in zip(*chances, strict=True):
        assert sum(column, Fraction(0)) in (0, 1)
        assert all(0 <= chance <= 1 for chance in column)


@settings(max_examples=30 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_no_share_leaves_0_to_1(data: st.DataObject, playbooks: Any, reckon: Callable[..., Reckoning]) -> None:
    reckoning = reckon(data.draw(playbooks()))
    made = totals(reckoning, "EUR")
    assert all(share is None or 0.0 <= share <= 1.0 for share in shares_of(made))
    if reckoning.odds:
        stood = standings(reckoning)
        seen = [share for one in stood for share in (one.reached, one.right, *(one.causes or {}).values())]
        seen += [share for row in result_chances(reckoning) for share in row]
        assert all(share is None or 0.0 <= share <= 1.0 for share in seen)


@settings(max_examples=30 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_means_of_a_way_are_those_of_its_bill_to_the_last_digit(
    data: st.DataObject, playbooks: Any, reckon: Callable[..., Reckoning]
) -> None:
    reckoning = reckon(data.draw(playbooks()))
    for path in every_path(reckoning.graph, reckoning.odds):
        bill = path_bill(reckoning.bill, path.nodes)
        assert way_means(reckoning.bill, path.nodes) == (add_up(bill.money).mean, add_up(bill.minutes).mean)


def test_a_row_of_steps_that_hardly_ever_happens_is_no_division_by_nothing(total: Callable[..., Totals]) -> None:
    """0.000001 % at each of 200 steps is below every float; what is below is 0, and nothing fails."""
    book = row(200, "0.000001%", "rest", settles="all")
    made = total(book)
    assert all(share is None or 0.0 <= share <= 1.0 for share in shares_of(made))


# -- Every Python ------------------------------------------------------------------------------------------------------


def by_turns(numbers: Iterable[Any], start: Any = 0) -> Any:
    """The built-in ``sum`` up to Python 3.11: one after the other."""
    for number in numbers:
        start = start + number
    return start


def compensated(numbers: Iterable[Any], start: Any = 0) -> Any:
    """The built-in ``sum`` from Python 3.12 on, for floats: Neumaier's (its notes on what is new say so)."""
    listed = list(numbers)
    if not any(isinstance(number, float) for number in listed):
        return by_turns(listed, start)
    whole, lost = float(start), 0.0
    for number in map(float, listed):
        new = whole + number
        lost += (whole - new) + number if abs(whole) >= abs(number) else (number - new) + whole
        whole = new
    return whole + lost


def test_the_two_sums_differ_at_all() -> None:
    assert by_turns([0.1] * 10) != compensated([0.1] * 10)


def test_figures_do_not_depend_on_the_python(monkeypatch: pytest.MonkeyPatch) -> None:
    """The totals of every playbook of the demo, digit by digit, under the ``sum`` of old and of new Pythons."""
    library = demo_library()
    said = []
    for way in (by_turns, compensated):
        monkeypatch.setattr(builtins, "sum", way)
        said.append(json.dumps([totals_of(slug, library).as_json() for slug in library.playbooks]))
        monkeypatch.undo()
    assert said[0] == said[1]


@pytest.mark.parametrize("room", ["reckon", "compare"])
def test_the_built_in_sum_stands_nowhere_where_floats_may_come(room: str) -> None:
    """It adds floats in another way from Python 3.12 on; ``math.fsum`` and the helpers of ``amounts`` do not."""
    found = []
    for file in sorted((ROOT / "builder" / room).glob("*.py")):
        if file.name == "amounts.py":
            continue
        calls = [node.func for node in ast.walk(ast.parse(file.read_text())) if isinstance(node, ast.Call)]
        found += [f"{file}:{call.lineno}" for call in calls if isinstance(call, ast.Name) and call.id == "sum"]
    assert not found
