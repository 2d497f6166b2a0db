"""What can hurt, before and after: each thing that an issue or a reviewer would ask for, in words."""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from builder.compare.compare import Comparison, compare
from builder.read.library import LibraryRead
from builder.read.linked import Linked, linked_files
from builder.report.markdown import UNCHANGED, as_markdown

Plain = dict[str, Any]
Edit = Callable[[Plain, Plain], Any]

RICH: Plain = {
    "no_hazards": {"lifting": "It stands."},
    "preconditions": ["Stop here and have it towed if it leaks", "Key out"],
    "causes": {"wear": {"share": "60%"}, "dirt": {"share": "30%"}},
    "steps": {
        "look": {
            "do": "Leave the valve shut. See [this](a.pdf) and ![it](b.png).",
            "hazards": ["hot"],
            "no_hazards": {"lifting": "Only looked at."},
            "preconditions": ["Engine cold", "Rings off"],
            "mishap": {"what": "It sprays", "chance": "3%", "cost": "10-40"},
            "results": {
                "bad": {"chance": {"wear": "80%", "otherwise": "10%"}, "next": "renew"},
                "good": {"chance": "rest", "next": "listen"},
            },
        },
        "listen": {
            "do": "Listen well.",
            "after": {"look": ["good"]},
            "results": {"hums": {"chance": "100%", "next": "leave"}},
        },
    },
    "endings": {
        "renew": {"settles": ["wear"], "who": "shop", "prove": {"trial": "ten starts", "shows": "60%"}},
        "leave": {},
    },
}


@pytest.fixture
def told(side: Callable[..., LibraryRead], catalogue: Plain) -> Callable[[Edit], list[tuple[Any, ...]]]:
    """What is told of an edit: what it is, of what, before, after, and whether it can hurt."""

    def told(edit: Edit) -> list[tuple[Any, ...]]:
        playbook, base = deepcopy(RICH), deepcopy(catalogue)
        edit(playbook, base)
        words = compare(side({"x": RICH}), side({"x": playbook}, base=base)).words
        return [(one.what, one.name, one.before, one.after, one.grave) for one in words]

    return told


def put(*way: Any) -> Edit:
    """An edit that puts the last of its words where the others lead."""

    def edit(playbook: Plain, base: Plain) -> None:
        *parents, last, value = way
        for key in parents:
            playbook = playbook[key]
        playbook[last] = value

    return edit


CASES: dict[str, tuple[Edit, tuple[Any, ...]]] = {
    "hazard gone": (put("steps", "look", "hazards", []), ("hazards", "look", ("hot",), (), True)),
    "hazard through what it needs": (
        put("steps", "listen", "access", ["wheel"]),
        ("hazards", "listen", (), ("lifting",), True),
    ),
    "hazard denied": (
        put("endings", "renew", "no_hazards", {"hot": "It is cold."}),
        ("no_hazards", "renew", (), ("hot: It is cold.",), True),
    ),
    "another reason": (
        put("steps", "look", "no_hazards", {"lifting": "I say so."}),
        ("no_hazards", "look", ("lifting: Only looked at.",), ("lifting: I say so.",), True),
    ),
    "another reason above": (
        put("no_hazards", {"lifting": "I say so."}),
        ("no_hazards", "", ("lifting: It stands.",), ("lifting: I say so.",), True),
    ),
    "precondition of the playbook gone": (
        put("preconditions", ["Key out"]),
        ("preconditions", "", ("Stop here and have it towed if it leaks",), (), True),
    ),
    "precondition weaker": (
        put("steps", "look", "preconditions", ["Engine warm", "Rings off"]),
        ("preconditions", "look", ("Engine cold",), ("Engine warm",), True),
    ),
    "preconditions in another order": (
        put("steps", "look", "preconditions", ["Rings off", "Engine cold"]),
        ("preconditions", "look", ("Engine cold", "Rings off"), ("Rings off", "Engine cold"), True),
    ),
    "proof weaker": (
        put("endings", "renew", "prove", "shows", "90%"),
        (
            "prove",
            "renew",
            ("ten starts: shows in 60 % of the trials",),
            ("ten starts: shows in 90 % of the trials",),
            True,
        ),
    ),
    "another trial": (
        put("endings", "renew", "prove", "trial", "one start"),
        (
            "prove",
            "renew",
            ("ten starts: shows in 60 % of the trials",),
            ("one start: shows in 60 % of the trials",),
            True,
        ),
    ),
    "proof gone": (
        lambda playbook, base: playbook["endings"]["renew"].pop("prove"),
        ("prove", "renew", ("ten starts: shows in 60 % of the trials",), (), True),
    ),
    "for the owner now": (put("endings", "renew", "who", "owner"), ("who", "renew", ("shop",), ("owner",), True)),
    "after less": (
        put("steps", "listen", "after", {"look": []}),
        ("after", "listen", ("look: good",), ("look: any result",), True),
    ),
    "mishap likelier": (
        put("steps", "look", "mishap", "chance", "30%"),
        (
            "mishap",
            "look",
            ("It sprays: chance 3 %, costs 10-40",),
            ("It sprays: chance 30 %, costs 10-40",),
            True,
        ),
    ),
    "shut became open": (
        put("steps", "look", "do", "Leave the valve open. See [this](a.pdf) and ![it](b.png)."),
        ("text", "look", ("Leave the valve shut.",), ("Leave the valve open.",), True),
    ),
    "expectation of dangerous work": (
        put("steps", "look", "results", "bad", "expect", "It boils."),
        ("text", "look", ("bad",), ("It boils.",), True),
    ),
    "title of dangerous work": (put("steps", "look", "title", "Gaze"), ("text", "look", ("look",), ("Gaze",), True)),
    "text of harmless work": (
        put("steps", "listen", "do", "Listen badly."),
        ("text", "listen", ("Listen well.",), ("Listen badly.",), False),
    ),
    "title of the playbook": (put("title", "It squeaks"), ("text", "", ("X",), ("It squeaks",), False)),
    "answer of a tool": (
        lambda playbook, base: base["tools"]["meter"].update(no_hazards={"hot": "No."}),
        ("no_hazards", "meter", (), ("hot: No.",), True),
    ),
    "hazard of an access job": (
        lambda playbook, base: base["access"]["wheel"].update(hazards=[]),
        ("hazards", "wheel", ("lifting",), (), True),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_what_can_hurt_is_told_before_and_after(told: Callable[[Edit], list[tuple[Any, ...]]], name: str) -> None:
    edit, expected = CASES[name]
    assert told(edit) == [expected]


@pytest.mark.parametrize("name", CASES)
def test_none_of_it_is_nothing_in_substance(side: Callable[..., LibraryRead], catalogue: Plain, name: str) -> None:
    playbook, base = deepcopy(RICH), deepcopy(catalogue)
    CASES[name][0](playbook, base)
    comment = as_markdown(compare(side({"x": RICH}), side({"x": playbook}, base=base)))
    assert UNCHANGED.strip() not in comment
    heading = "### What can hurt" if CASES[name][1][-1] else "### Other words"
    assert comment.index(heading) < (comment.index("**Playbooks:**") if CASES[name][1][-1] else len(comment))


def test_a_link_and_a_picture_that_changed_are_told(told: Callable[[Edit], list[tuple[Any, ...]]]) -> None:
    edit = put("steps", "look", "do", "Leave the valve shut. See [this](c.pdf) and ![it](d.png).")
    assert told(edit) == [
        ("pictures", "look", ("b.png",), ("d.png",), True),
        ("links", "look", ("a.pdf",), ("c.pdf",), True),
        ("text", "look", ("See [this](a.pdf) and ![it](b.png).",), ("See [this](c.pdf) and ![it](d.png).",), True),
    ]


def test_a_step_that_is_gone_says_what_it_said_of_danger(told: Callable[[Edit], list[tuple[Any, ...]]]) -> None:
    def edit(playbook: Plain, base: Plain) -> None:
        del playbook["steps"]["look"], playbook["steps"]["listen"]["after"]

    found = told(edit)
    assert ("preconditions", "look", ("Engine cold", "Rings off"), (), True) in found
    assert ("mishap", "look", ("It sprays: chance 3 %, costs 10-40",), (), True) in found


@pytest.mark.parametrize(
    ("old", "new", "what", "before", "after"),
    [
        ({"notice": "Ask a shop. Mind it."}, {"notice": "Mind it."}, "notice", ("Ask a shop.",), ()),
        ({"language": "de"}, {"language": "en"}, "language", ("de",), ("en",)),
        ({"areas": {"y": {"title": "Y", "implies": ["hot"]}}}, {}, "implies", ("hot",), ()),
    ],
)
def test_settings_that_say_something_of_danger_are_told(
    side: Callable[..., LibraryRead], worn: Plain, old: Plain, new: Plain, what: str, before: Any, after: Any
) -> None:
    def with_settings(change: Plain) -> LibraryRead:
        read = side({"x": worn})
        assert read.library
        settings = type(read.library.settings).model_validate(
            {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"y": "Y"}, **change}
        )
        return replace(read, library=read.library.model_copy(update={"settings": settings}))

    [one] = compare(with_settings(old), with_settings(new)).words
    assert (one.what, one.before, one.after, one.grave) == (what, before, after, True)


def test_a_picture_with_other_contents_is_told_with_its_sizes(change: Callable[..., Comparison]) -> None:
    before = change(lambda playbook, base: None)
    old = replace(before.old, files={"y/b.png": Linked(1234, "a")})
    new = replace(before.new, files={"y/b.png": Linked(5678, "b")})
    comment = as_markdown(compare(old, new))
    assert "- the file `y/b.png`: what it holds: **before:** `1,234 bytes` **now:** `5,678 bytes`" in comment
    assert as_markdown(compare(old, old)) == UNCHANGED


def test_files_that_playbooks_lead_to_are_seen(side: Callable[..., LibraryRead], tmp_path: Path) -> None:
    (tmp_path / "y").mkdir()
    (tmp_path / "y" / "a.pdf").write_bytes(b"12345")
    (tmp_path / "secret").write_bytes(b"1")
    playbook = deepcopy(RICH)
    playbook["steps"]["listen"]["do"] = (
        "[a](../../secret) [b](x.yaml) [c](#look) [d](https://example.org/x) [e](%00.png)"
    )
    library = side({"x": playbook}).library
    assert library
    assert {name: one.size for name, one in linked_files(library, tmp_path).items()} == {"y/a.pdf": 5}


def test_markdown_that_is_shown_otherwise_has_changed(change: Callable[..., Comparison]) -> None:
    def with_do(text: str) -> Edit:
        return lambda playbook, base: playbook["steps"]["look"].update(do=text)

    first = change(with_do("One.\n\nTwo  three."))
    second = change(with_do("One. Two\nthree."))
    third = change(with_do("One.\n\n\nTwo\nthree."))
    assert not compare(first.new, second.new).is_empty
    assert compare(first.new, third.new).is_empty


def test_common_checks_and_codes_that_changed_are_no_nothing(
    side: Callable[..., LibraryRead], catalogue: Plain, worn: Plain
) -> None:
    base = deepcopy(catalogue)
    base["checks"] = {"rest": {"title": "Rest", "results": {"on": {"expect": "On"}}}}
    base["codes"] = {"P0128": {"means": "Cold"}}
    other = deepcopy(base)
    other["checks"]["rest"]["title"], other["codes"]["P0128"]["means"] = "Rests", "Hot"
    told = compare(side({"x": worn}, base=base), side({"x": worn}, base=other)).base
    assert [(one.kind, one.name, one.fields) for one in told] == [
        ("check", "rest", ("title",)),
        ("code", "P0128", ("means",)),
    ]
