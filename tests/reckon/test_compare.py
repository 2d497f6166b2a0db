"""What a change means: warnings that are lost, paths that come and go, and nothing where nothing says otherwise."""

from collections.abc import Callable, Iterator
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.checks.hazards import hazards_of
from builder.read.findings import WARNING, Finding
from builder.read.records import Library, Playbook
from builder.reckon.compare import Comparison, Side, compare
from builder.reckon.totals import totals_of

Plain = dict[str, Any]
Make = Callable[..., Library]

BASE: Plain = {
    "causes": {"wear": {"share": "60%"}, "dirt": {"share": "30%"}},
    "steps": {
        "look": {
            "time": "5-10 min",
            "hazards": ["hot"],
            "results": {
                "bad": {"chance": {"wear": "80%", "otherwise": "10%"}, "next": "renew"},
                "good": {"chance": "rest", "next": "shake"},
            },
        },
        "shake": {
            "time": "10 min",
            "access": ["wheel"],
            "tools": ["meter"],
            "results": {
                "loose": {"chance": {"dirt": "90%", "otherwise": "5%"}, "next": "clean"},
                "firm": {"chance": "rest", "next": "hand-over"},
            },
        },
    },
    "endings": {
        "renew": {"settles": ["wear"], "parts": {"bulb": "2"}, "time": "1 h"},
        "clean": {"settles": ["dirt"], "hazards": ["hot"], "time": "20 min"},
        "hand-over": {"who": "shop", "time": "1 h"},
    },
}


@pytest.fixture(scope="session")
def side(make_library: Make, catalogue: Plain) -> Callable[..., Side]:
    """Makes a side of a comparison from playbooks by slug."""

    def side(
        playbooks: dict[str, Plain], findings: tuple[Finding, ...] = (), base: Plain = catalogue, **how: Any
    ) -> Side:
        made = {}
        for slug, playbook in playbooks.items():
            library = make_library({**playbook, "slug": slug}, catalogue=base, **how)
            made[slug] = library.playbooks["x"]
        whole = Library.model_construct(settings=library.settings, catalogue=library.catalogue, playbooks=made)
        return Side(whole, list(findings), "playbooks")

    return side


@pytest.fixture(scope="session")
def change(side: Callable[..., Side], catalogue: Plain) -> Callable[..., Comparison]:
    """Compares the base playbook with what an edit makes of it and of the catalogue."""

    def change(edit: Callable[[Plain, Plain], Any], **how: Any) -> Comparison:
        playbook, base = deepcopy(BASE), deepcopy(catalogue)
        edit(playbook, base)
        return compare(side({"x": BASE}), side({"x": playbook}, base=base, **how))

    return change


def told(comparison: Comparison) -> list[tuple[str, str, tuple[str, ...]]]:
    return [(loss.kind, loss.hazard, tuple(place.name for place in loss.places)) for loss in comparison.losses]


def test_the_same_library_has_no_change(change: Callable[..., Comparison]) -> None:
    assert change(lambda playbook, base: None).is_empty


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
    "left to the owner": (drop("endings", "hand-over", "who"), [("owner", "", ("hand-over",))]),
}


@pytest.mark.parametrize("name", LOSSES)
def test_every_way_of_warning_less_is_a_loss(change: Callable[..., Comparison], name: str) -> None:
    edit, expected = LOSSES[name]
    assert told(change(edit)) == expected


def test_a_word_that_no_longer_calls_for_a_hazard_is_a_loss(side: Callable[..., Side], catalogue: Plain) -> None:
    before, after = deepcopy(catalogue), deepcopy(catalogue)
    before["hazards"]["hot"]["words"] = ["hot  engine", "scald"]
    after["hazards"]["hot"]["words"] = ["Hot engine"]
    [loss] = compare(side({"x": BASE}, base=before), side({"x": BASE}, base=after)).losses
    assert (loss.kind, loss.hazard, loss.name) == ("words", "hot", "scald")


def test_a_step_that_was_renamed_cannot_drop_its_hazard_unseen(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        step = playbook["steps"].pop("look")
        del step["hazards"]
        playbook["steps"] = {"glance": step, **playbook["steps"]}

    [loss] = change(edit).losses
    assert (loss.kind, loss.hazard) == ("place", "hot")
    assert [(place.name, place.gone) for place in loss.places] == [("look", True)]


@pytest.mark.parametrize("says", [True, False], ids=["says what it was", "is known by its steps"])
def test_a_playbook_that_was_renamed_cannot_drop_its_hazards_unseen(side: Callable[..., Side], says: bool) -> None:
    new = deepcopy(BASE)
    del new["steps"]["look"]["hazards"], new["endings"]["clean"]["hazards"]
    if says:
        new["was"] = ["old"]
        new["endings"]["hand-over-to-shop"] = new["endings"].pop("hand-over")
        new["steps"]["shake"]["results"]["firm"]["next"] = "hand-over-to-shop"
    comparison = compare(side({"old": BASE}), side({"new": new}))
    assert (comparison.added, comparison.removed) == ([], [])
    assert [(one.was, one.slug) for one in comparison.changed] == [("old", "new")]
    assert told(comparison) == [("playbook", "hot", ("look", "clean"))]


def test_a_playbook_that_is_removed_takes_its_warnings_with_it(side: Callable[..., Side]) -> None:
    other = {"steps": {"ask": {"results": {"yes": {"next": "leave"}}}}, "endings": {"leave": {}}}
    comparison = compare(side({"x": BASE, "z": other}), side({"z": other}))
    assert comparison.removed == ["x"]
    assert told(comparison) == [
        ("removed-playbook", "lifting", ("shake",)),
        ("removed-playbook", "hot", ("look", "clean")),
    ]


def test_the_gravest_loss_comes_first(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        drop("steps", "look", "hazards")(playbook, base)
        drop("endings", "hand-over", "who")(playbook, base)
        drop("steps", "shake", "access")(playbook, base)

    assert [loss.hazard for loss in change(edit).losses] == ["lifting", "hot", ""]


@pytest.mark.parametrize("name", sorted(set(LOSSES) - {"other words of what it does"}))
def test_taking_a_loss_back_is_a_gain(side: Callable[..., Side], catalogue: Plain, name: str) -> None:
    playbook, base = deepcopy(BASE), deepcopy(catalogue)
    edit, expected = LOSSES[name]
    edit(playbook, base)
    comparison = compare(side({"x": playbook}, base=base), side({"x": BASE}))
    assert comparison.losses == []
    assert [(gain.kind, gain.hazard) for gain in comparison.gains] == [loss[:2] for loss in expected]


def every_path(playbook: Playbook) -> Iterator[tuple[str, ...]]:
    """All paths, by walking the records: names of steps, results and the end in turn."""

    def walk(name: str, trail: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
        for key, result in playbook.steps[name].results.items():
            after = result.next.name or f"playbook {result.next.playbook}"
            longer = (*trail, name, key)
            yield from walk(after, longer) if after in playbook.steps else [(*longer, after)]

    return walk(playbook.start, ())


@given(data=st.data())
def test_counts_of_paths_and_losses_are_those_of_sets(
    side: Callable[..., Side], playbooks: Callable[..., st.SearchStrategy[Plain]], data: st.DataObject
) -> None:
    sides = [side({"x": data.draw(playbooks())}) for _ in range(2)]
    old, new = (one.playbooks["x"] for one in sides)
    comparison = compare(*sides)
    before, after = set(every_path(old)), set(every_path(new))
    for one in comparison.changed:
        assert (one.paths.added, one.paths.removed) == (len(after - before), len(before - after))
        assert one.paths.compared == len(before & after)
    named = [
        {
            (name, hazard)
            for name, work in one.playbooks["x"].work().items()
            for hazard in hazards_of(work, one.catalogue)
        }
        for one in sides
    ]
    lost = [
        (place.name, loss.hazard)
        for loss in comparison.losses
        if loss.kind in ("place", "playbook")
        for place in loss.places
    ]
    assert sorted(lost) == sorted(named[0] - named[1])


def turned_round(value: Any) -> Any:
    """The same said in another order: keys and names backwards, white space in texts."""
    if isinstance(value, dict):
        return {key: turned_round(item) for key, item in reversed(value.items())}
    if isinstance(value, list):
        return value[::-1]
    return value


@given(data=st.data())
def test_order_and_spacing_are_no_change(
    side: Callable[..., Side], playbooks: Callable[..., st.SearchStrategy[Plain]], data: st.DataObject
) -> None:
    playbook = data.draw(playbooks())
    spaced = {**turned_round(playbook), "start": "step-0", "title": "A  title"}
    comparison = compare(side({"x": {**playbook, "title": "A title", "start": "step-0"}}), side({"x": spaced}))
    assert comparison.is_empty


def test_another_way_of_writing_an_amount_is_no_change(change: Callable[..., Comparison]) -> None:
    assert change(lambda playbook, base: playbook["endings"]["renew"].update(time="PT60M")).is_empty


def test_numbers_are_those_of_the_totals(change: Callable[..., Comparison]) -> None:
    comparison = change(lambda playbook, base: base["tools"]["meter"].update(price="100"))
    [one] = comparison.changed
    assert one.differences == ()
    for numbers, side in ((one.before, comparison.old), (one.after, comparison.new)):
        totals = totals_of("x", side.library)
        assert numbers == (totals.path_count, totals.expected, totals.settled, totals.wasted)
    # The meter is needed on two of the three paths; each of them costs 75 more.
    moves = {move.end: move.after.money - move.before.money for move in one.paths.moves}
    assert moves == pytest.approx({"clean": 75, "hand-over": 75})
    assert (one.paths.compared, one.paths.changed) == (3, 2)


def test_the_labour_rate_moves_what_a_workshop_does(change: Callable[..., Comparison]) -> None:
    comparison = change(lambda playbook, base: None, rate="90")
    [one] = comparison.changed
    assert [difference.fields for difference in comparison.base] == [("labour_rate",)]
    assert [(move.end, move.after.money - move.before.money) for move in one.paths.moves] == [("hand-over", 30)]


def test_paths_beyond_counting_are_counted(ladder: Callable[..., Plain], side: Callable[..., Side]) -> None:
    """Taking one detour of a ladder away leaves the half of its paths."""
    old = ladder(60, lambda i: "30%", {"only": "100%"})
    new = deepcopy(old)
    del new["steps"]["rung-7"]["results"]["yes"], new["steps"]["rung-7"]["results"]["no"]["chance"]
    del new["steps"]["detour-7"]
    [one] = compare(side({"x": old}), side({"x": new})).changed
    assert (one.paths.added, one.paths.removed) == (0, 2**59)


def test_what_changed_is_said_by_field(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        playbook["causes"]["dirt"]["share"] = "20%"
        playbook["steps"]["look"]["results"]["bad"]["chance"] = {"wear": "70%", "otherwise": "10%"}
        playbook["endings"]["renew"]["title"] = "Renew it"

    [one] = change(edit).changed
    assert [(what.kind, what.name, what.how, what.fields) for what in one.differences] == [
        ("cause", "dirt", "changed", ("share",)),
        ("step", "look", "changed", ("results.bad.chance",)),
        ("ending", "renew", "changed", ("title",)),
    ]


def found(file: str, line: int, message: str, **more: Any) -> Finding:
    return Finding(file, line, 1, "rule", message, **more)


def test_a_finding_that_moved_is_not_new(side: Callable[..., Side]) -> None:
    before = (
        found("playbooks/y/x.yaml", 3, "`a` stands twice; first on line 2"),
        found("playbooks/y/x.yaml", 9, "mended"),
    )
    after = (
        found("playbooks/y/x.yaml", 5, "`a` stands twice; first on line 4"),
        found("playbooks/y/x.yaml", 7, "`a` stands twice; first on line 4"),
        found("playbooks/y/x.yaml", 8, "odd", severity=WARNING),
    )
    comparison = compare(side({"x": BASE}, before), side({"x": BASE}, after))
    assert comparison.kept == [after[0]]
    assert comparison.new_findings == list(after[1:])
    assert comparison.gone_findings == [before[1]]


def test_a_playbook_that_cannot_be_read_any_more_is_not_called_removed(side: Callable[..., Side]) -> None:
    old = side({"x": BASE, "z": BASE})
    new = side({"z": BASE}, (found("playbooks/y/x.yaml", 1, "not YAML"),))
    comparison = compare(old, new)
    assert (comparison.unreadable, comparison.removed, comparison.losses) == (["x"], [], [])


def test_a_library_that_cannot_be_read_hides_nothing(side: Callable[..., Side]) -> None:
    old, broken = side({"x": BASE}), Side(None, [found("playbooks/library.yaml", 1, "not YAML")], "playbooks")
    after = compare(old, broken)
    assert (after.unreadable, after.removed, after.is_empty) == (["x"], [], False)
    assert compare(broken, old).added == ["x"]


@pytest.mark.parametrize("file", ["y/x.yaml", "catalogue/parts.yaml", "library.yaml"])
def test_numbers_that_rest_on_errors_are_not_reckoned(side: Callable[..., Side], file: str) -> None:
    new = deepcopy(BASE)
    new["causes"]["wear"]["share"] = "50%"
    [one] = compare(side({"x": BASE}), side({"x": new}, (found(f"playbooks/{file}", 1, "wrong"),))).changed
    assert one.before is not None
    assert (one.after, one.paths) == (None, None)
