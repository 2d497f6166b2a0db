"""Numbers and paths before and after: those of the totals, and paths counted as sets of all paths would."""

from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compare.compare import Comparison, compare
from builder.read.library import LibraryRead
from builder.read.records import Playbook
from builder.reckon.totals import totals_of

Plain = dict[str, Any]


def every_path(playbook: Playbook) -> Iterator[tuple[str, ...]]:
    """All paths, by walking the records: names of steps, results and the end in turn."""

    def walk(name: str, trail: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        for key, result in playbook.steps[name].results.items():
            after = result.next.name or f"playbook {result.next.playbook}"
            longer = (*trail, name, key)
            yield from walk(after, longer) if after in playbook.steps else [(*longer, after)]

    return walk(playbook.start, ())


@given(data=st.data())
def test_counts_of_paths_are_those_of_sets(
    side: Callable[..., LibraryRead], playbooks: Callable[..., st.SearchStrategy[Plain]], data: st.DataObject
) -> None:
    sides = [side({"x": data.draw(playbooks())}) for _ in range(2)]
    before, after = (set(every_path(one.playbooks["x"])) for one in sides)
    for one in compare(*sides).changed:
        assert (one.paths.added, one.paths.removed) == (len(after - before), len(before - after))
        assert one.paths.compared == len(before & after)


def test_numbers_are_those_of_the_totals(change: Callable[..., Comparison]) -> None:
    comparison = change(lambda playbook, base: base["tools"]["meter"].update(price="100"))
    [one] = comparison.changed
    assert one.differences == ()
    for numbers, side in ((one.before, comparison.old), (one.after, comparison.new)):
        totals = totals_of("x", side.library)
        assert numbers == (totals.path_count, totals.expected, totals.settled, totals.wasted)
    # The meter is needed on two of the three paths; each of them costs 75 more.
    moves = {move.end: move.after.money - move.before.money for move in one.paths.shown}
    assert moves == pytest.approx({"clean": 75, "hand-over": 75})
    assert (one.paths.compared, one.paths.changed) == (3, 2)


def test_the_labour_rate_moves_what_a_workshop_does(change: Callable[..., Comparison]) -> None:
    comparison = change(lambda playbook, base: None, rate="90")
    [one] = comparison.changed
    assert [difference.fields for difference in comparison.base] == [("labour_rate",)]
    assert [(move.end, move.after.money - move.before.money) for move in one.paths.shown] == [("hand-over", 30)]


def test_paths_beyond_counting_are_counted(ladder: Callable[..., Plain], side: Callable[..., LibraryRead]) -> None:
    """Taking one detour of a ladder away leaves the half of its paths."""
    old = ladder(60, lambda i: "30%", {"only": "100%"})
    new = deepcopy(old)
    del new["steps"]["rung-7"]["results"]["yes"], new["steps"]["rung-7"]["results"]["no"]["chance"]
    del new["steps"]["detour-7"]
    [one] = compare(side({"x": old}), side({"x": new})).changed
    assert (one.paths.added, one.paths.removed) == (0, 2**59)
