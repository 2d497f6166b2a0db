"""Renames: those that are said, those that are only seen, and the finding that these get."""

from collections.abc import Callable
from copy import deepcopy
from typing import Any

from builder.compare.compare import Comparison, compare
from builder.compare.renames import renames, works
from builder.read.library import LibraryRead

Plain = dict[str, Any]


def step(title: str, **more: Any) -> Plain:
    return {"title": title, "results": {"on": {"expect": "It is on", "next": "end"}}, **more}


def book(**steps: Plain) -> Plain:
    return {"steps": {name.replace("_", "-"): one for name, one in steps.items()}, "endings": {"end": {}}}


def test_a_step_that_says_what_it_was_is_the_same_step(side: Callable[..., LibraryRead]) -> None:
    old = side({"x": book(look=step("Look at the plug"))}).playbooks["x"]
    new = side({"x": book(peer=step("Something else", was=["look"]))}).playbooks["x"]
    assert works(old, new) == {"end": "end", "look": "peer"}
    assert [(one.kind, one.was, one.name, one.said) for one in renames(old, new)] == [("steps", "look", "peer", True)]


def test_a_step_with_nearly_the_same_words_is_taken_for_the_same(side: Callable[..., LibraryRead]) -> None:
    old = side({"x": book(look=step("Look at the plug", do="Pull it. Leave it shut."))}).playbooks["x"]
    new = side({"x": book(peer=step("Look at the plug", do="Pull it. Leave it open."))}).playbooks["x"]
    assert works(old, new)["look"] == "peer"
    assert [one.said for one in renames(old, new)] == [False]


def test_another_step_is_another_step(side: Callable[..., LibraryRead]) -> None:
    old = side({"x": book(look=step("Look at the plug"))}).playbooks["x"]
    new = side({"x": book(measure=step("Measure the supply voltage"))}).playbooks["x"]
    assert works(old, new) == {"end": "end"}
    assert list(renames(old, new)) == []


def test_each_rename_that_is_not_said_is_a_finding(side: Callable[..., LibraryRead], worn: Plain) -> None:
    new = deepcopy(worn)
    shake = new["steps"].pop("shake")
    shake["title"] = "shake"
    new["steps"]["rock"] = shake
    new["steps"]["look"]["results"]["good"]["next"] = "rock"
    new["endings"]["renew-it"] = {"title": "renew", **new["endings"].pop("renew")}
    bad = new["steps"]["look"]["results"].pop("bad")
    new["steps"]["look"]["results"]["worn-out"] = {"expect": "bad", **bad, "next": "renew-it"}
    found = compare(side({"x": worn}), side({"x": new})).new_findings
    assert {(one.rule, one.severity, one.file) for one in found} == {("renamed", "warning", "playbooks/y/x.yaml")}
    assert [one.message.split("`")[1::2] for one in found] == [
        ["rock", "shake"],
        ["renew-it", "renew"],
        ["worn-out", "bad"],
    ]
    assert [one.hint.split("`")[1] for one in found] == ["was: [shake]", "was: [renew]", "was: [bad]"]


def test_a_playbook_that_does_not_say_what_it_was_has_a_finding(side: Callable[..., LibraryRead], worn: Plain) -> None:
    [finding] = compare(side({"old": worn}), side({"new": worn})).new_findings
    assert finding.message == "the playbook `new` seems to be what was `old`, and does not say so"
    assert finding.hint.startswith("add `was: [old]` to it")


def test_a_rename_that_is_said_is_none(side: Callable[..., LibraryRead], worn: Plain) -> None:
    new = deepcopy(worn)
    new["was"] = ["old"]
    new["steps"]["rock"] = {**new["steps"].pop("shake"), "was": ["shake"]}
    new["steps"]["look"]["results"]["good"]["next"] = "rock"
    assert compare(side({"old": worn}), side({"new": new})).new_findings == []


def test_a_renamed_step_is_compared_with_what_it_was(change: Callable[..., Comparison]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        look = playbook["steps"].pop("look")
        del look["hazards"]
        playbook["steps"] = {"glance": {**look, "title": "look"}, **playbook["steps"]}

    told = [(one.what, one.name, one.before, one.after) for one in change(edit).words]
    assert told == [("hazards", "glance", ("hot",), ())]
