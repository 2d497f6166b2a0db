"""What warns less: every way of losing a warning is seen, none can get lost in a renaming, the gravest comes first."""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.compare.compare import Comparison, compare
from builder.read.library import LibraryRead
from builder.read.reading import Unread
from builder.report.markdown import as_markdown

Plain = dict[str, Any]


def told(comparison: Comparison) -> list[tuple[str, str, tuple[str, ...]]]:
    return [(loss.kind, loss.hazard, tuple(place.name for place in loss.places)) for loss in comparison.losses]


def drop(*way: str) -> Callable[[Plain, Plain], Any]:
    """An edit that deletes a key of the playbook."""

    def edit(playbook: Plain, base: Plain) -> None:
        *parents, last = way
        for key in parents:
            playbook = playbook[key]
        del playbook[last]

    return edit


LOSSES = {
    "named at one step less": (drop("steps", "look", "hazards"), [("place", "hot", ("look",))]),
    "named nowhere any more": (drop("steps", "shake", "access"), [("playbook", "lifting", ("shake",))]),
    "the access job lost it": (
        lambda playbook, base: base["access"]["wheel"].update(hazards=[]),
        [("job", "lifting", ()), ("playbook", "lifting", ("shake",))],
    ),
    "a weaker signal word": (
        lambda playbook, base: base["hazards"]["hot"].update(signal="notice"),
        [("signal", "hot", ())],
    ),
    "left the catalogue": (
        lambda playbook, base: base["hazards"].pop("hot"),
        [("hazard", "hot", ())],
    ),
    "other words of what it does": (
        lambda playbook, base: base["hazards"]["lifting"].update(avoid="Be quick."),
        [("wording", "lifting", ())],
    ),
    "denied": (
        lambda playbook, base: playbook["endings"]["renew"].update(no_hazards={"lifting": "It stands."}),
        [("denied", "lifting", ("renew",))],
    ),
    "denied for the playbook": (
        lambda playbook, base: playbook.update(no_hazards={"lifting": "Nothing is raised."}),
        [("denied-playbook", "lifting", ())],
    ),
    "denied for an access job": (
        lambda playbook, base: base["access"]["wheel"].update(no_hazards={"hot": "It is cold."}),
        [("denied-entry", "hot", ())],
    ),
    "left to the owner": (drop("endings", "hand-over", "who"), [("owner", "", ("hand-over",))]),
}


@pytest.mark.parametrize("name", LOSSES)
def test_every_way_of_warning_less_is_a_loss(change: Callable[..., Comparison], name: str) -> None:
    edit, expected = LOSSES[name]
    assert told(change(edit)) == expected


def test_a_word_that_no_longer_calls_for_a_hazard_is_a_loss(
    side: Callable[..., LibraryRead], catalogue: Plain, worn: Plain
) -> None:
    before, after = deepcopy(catalogue), deepcopy(catalogue)
    before["hazards"]["hot"]["words"] = ["hot  engine", "scald"]
    after["hazards"]["hot"]["words"] = ["Hot engine"]
    [loss] = compare(side({"x": worn}, base=before), side({"x": worn}, base=after)).losses
    assert (loss.kind, loss.hazard, loss.name) == ("words", "hot", "scald")


def test_a_tool_that_no_longer_carries_a_hazard_is_a_loss(
    side: Callable[..., LibraryRead], catalogue: Plain, worn: Plain
) -> None:
    before = deepcopy(catalogue)
    before["tools"]["jack"] = {"name": "Jack", "hazards": ["lifting"]}
    after = deepcopy(before)
    del after["tools"]["jack"]["hazards"]
    [loss] = compare(side({"x": worn}, base=before), side({"x": worn}, base=after)).losses
    assert (loss.kind, loss.hazard, loss.name) == ("tool", "lifting", "jack")


def test_a_step_that_was_renamed_cannot_drop_its_hazard_unseen(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        step = playbook["steps"].pop("look")
        del step["hazards"]
        playbook["steps"] = {"glance": step, **playbook["steps"]}

    [loss] = change(edit).losses
    assert (loss.kind, loss.hazard) == ("place", "hot")
    assert [(place.name, place.gone) for place in loss.places] == [("look", True)]


@pytest.mark.parametrize("says", [True, False], ids=["says what it was", "is known by its steps"])
def test_a_playbook_that_was_renamed_cannot_drop_its_hazards_unseen(
    side: Callable[..., LibraryRead], worn: Plain, says: bool
) -> None:
    new = deepcopy(worn)
    del new["steps"]["look"]["hazards"], new["endings"]["clean"]["hazards"]
    if says:
        new["was"] = ["old"]
        new["endings"]["hand-over-to-shop"] = new["endings"].pop("hand-over")
        new["steps"]["shake"]["results"]["firm"]["next"] = "hand-over-to-shop"
    comparison = compare(side({"old": worn}), side({"new": new}))
    assert (comparison.added, comparison.removed) == ([], [])
    assert [(one.was, one.slug) for one in comparison.changed] == [("old", "new")]
    assert told(comparison) == [("playbook", "hot", ("look", "clean"))]


def test_a_playbook_that_is_removed_takes_its_warnings_with_it(side: Callable[..., LibraryRead], worn: Plain) -> None:
    other = {"steps": {"ask": {"results": {"yes": {"next": "leave"}}}}, "endings": {"leave": {}}}
    comparison = compare(side({"x": worn, "z": other}), side({"z": other}))
    assert comparison.removed == ["x"]
    assert told(comparison) == [
        ("removed-playbook", "lifting", ("shake",)),
        ("removed-playbook", "hot", ("look", "clean")),
    ]


@pytest.mark.parametrize(
    ("unread", "unclear"),
    [
        (Unread(frozenset({"hazards", "access"})), [("hazards", "hot"), ("hazards", "lifting"), ("access", "wheel")]),
        (
            Unread(entries=frozenset({("hazards", "hot"), ("access", "wheel")})),
            [("hazards", "hot"), ("access", "wheel")],
        ),
    ],
)
def test_what_cannot_be_read_is_named_and_is_no_loss(
    side: Callable[..., LibraryRead], catalogue: Plain, worn: Plain, unread: Unread, unclear: list[tuple[str, str]]
) -> None:
    base = deepcopy(catalogue)
    del base["hazards"]["hot"], base["access"]["wheel"]["hazards"]
    new = replace(side({"x": worn}, base=base), unread=unread)
    comparison = compare(side({"x": worn}), new)
    assert [entry for entry in comparison.unclear if entry[1] in ("hot", "lifting", "wheel")] == unclear
    assert comparison.losses == []
    assert "- `wheel` in `access.yaml` **cannot be read in full**" in as_markdown(comparison)


def test_the_gravest_loss_comes_first(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        drop("steps", "look", "hazards")(playbook, base)
        drop("endings", "hand-over", "who")(playbook, base)
        drop("steps", "shake", "access")(playbook, base)

    assert [loss.hazard for loss in change(edit).losses] == ["lifting", "hot", ""]


@pytest.mark.parametrize("name", sorted(set(LOSSES) - {"other words of what it does"}))
def test_taking_a_loss_back_is_a_gain(
    side: Callable[..., LibraryRead], catalogue: Plain, worn: Plain, name: str
) -> None:
    playbook, base = deepcopy(worn), deepcopy(catalogue)
    edit, expected = LOSSES[name]
    edit(playbook, base)
    comparison = compare(side({"x": playbook}, base=base), side({"x": worn}))
    assert comparison.losses == []
    assert [(gain.kind, gain.hazard) for gain in comparison.gains] == [loss[:2] for loss in expected]


@given(data=st.data())
def test_places_of_losses_are_those_of_sets(
    side: Callable[..., LibraryRead], playbooks: Callable[..., st.SearchStrategy[Plain]], data: st.DataObject
) -> None:
    sides = [side({"x": data.draw(playbooks())}) for _ in range(2)]
    before, after = (
        {
            (name, hazard)
            for name, work in one.playbooks["x"].work().items()
            for hazard in one.catalogue.hazards_of(work)
        }
        for one in sides
    )
    lost = [
        (place.name, loss.hazard)
        for loss in compare(*sides).losses
        if loss.kind in ("place", "playbook")
        for place in loss.places
    ]
    assert sorted(lost) == sorted(before - after)
