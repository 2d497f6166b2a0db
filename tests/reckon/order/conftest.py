"""Random problems of the order, small enough to go through every policy."""

from typing import Any

import pytest
from hypothesis import strategies as st

from builder.reckon.order.problem import Fee, Item, Problem

PRICES = st.sampled_from([0.0, 1.0, 2.5, 4.0, 10.0, 30.0])


@st.composite
def problems(draw: st.DrawFn, steps: int = 3, repairs: int = 2, causes: int = 3) -> Problem:
    """A problem of at most so many steps, repairs and causes, with fees that they share, and some that need others."""
    step_count = draw(st.integers(0, steps))
    cause_count = draw(st.integers(1, causes))
    fees = draw(st.lists(st.tuples(PRICES, PRICES), max_size=3))
    names = range(len(fees))
    weights = draw(st.lists(st.integers(0, 5), min_size=cause_count, max_size=cause_count).filter(any))

    def item(name: str) -> Item:
        own = draw(st.sets(st.sampled_from(names), max_size=2)) if fees else set()
        shop = draw(st.sets(st.sampled_from(names), max_size=1)) if fees else set()
        return Item(name, draw(PRICES), tuple(sorted(own)), tuple(sorted(shop - own)), _after(draw, step_count, name))

    items = [item(f"step-{s}") for s in range(step_count)]
    endings = [item(f"repair-{e}") for e in range(draw(st.integers(0, repairs)))]
    settles = [tuple(draw(st.booleans()) for _ in range(cause_count)) for _ in endings]
    chances = [_chances(draw, cause_count) for _ in items]
    return Problem(
        causes=tuple(f"cause-{c}" for c in range(cause_count)),
        weights=tuple(weight / sum(weights) for weight in weights),
        bills=tuple(draw(st.sampled_from([5.0, 20.0, 60.0])) for _ in range(cause_count)),
        fees=tuple(Fee(f"fee-{k}", own, shop) for k, (own, shop) in enumerate(fees)),
        steps=tuple(items),
        results=tuple(tuple(f"result-{r}" for r in range(len(rows))) for rows in chances),
        chances=tuple(chances),
        endings=(*endings, Item("hand-over", draw(PRICES), (), (), ())),
        settles=(*settles, (False,) * cause_count),
    )


def _after(draw: Any, steps: int, name: str) -> tuple[tuple[int, frozenset[int]], ...]:
    """Now and then an item must come after an earlier step, with its first result."""
    own = int(name.rpartition("-")[2]) if name.startswith("step") else steps
    if own and draw(st.integers(0, 3)) == 0:
        return ((draw(st.integers(0, own - 1)), frozenset({0})),)
    return ()


def _chances(draw: Any, causes: int) -> tuple[tuple[float, ...], ...]:
    count = draw(st.integers(1, 3))
    columns = []
    for _ in range(causes):
        column = draw(st.lists(st.integers(0, 4), min_size=count, max_size=count).filter(any))
        columns.append([part / sum(column) for part in column])
    return tuple(tuple(column[r] for column in columns) for r in range(count))


@pytest.fixture(scope="session")
def random_problems() -> Any:
    """Strategies for small problems, by the most steps, repairs and causes."""
    return problems
