"""What the form writes: YAML that says what was meant, and files in which only that has changed which was changed."""

import json
from copy import deepcopy
from pathlib import Path
from typing import Any, Final

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page
from ruamel.yaml import YAML

from builder.format.fields import FormField, form_records
from builder.publish.data.origin import origin_of
from builder.read.nodes import parse_nodes
from builder.read.source import Source, blank
from tests.sweep import EXAMPLES

WRITE: Final = """pairs => {
    // A tree that comes as pairs, through the form's book and back, as a new file.
    const tree = (value) => typeof value === "string" ? value : Array.isArray(value) ? value.map(tree)
        : new Map(value.map.map(([key, inner]) => [key, tree(inner)]));
    const { bookOf, treeOfBook, named } = droplight.book;
    const through = (one) => treeOfBook(named(bookOf(tree(one), filled.records)), filled.records);
    return pairs.map((one) => droplight.yaml.entries(through(one), ""));
}"""

PATCH: Final = """pairs => {
    // Origins, each with the tree that the file shall say.
    const tree = (value) => typeof value === "string" ? value : Array.isArray(value) ? value.map(tree)
        : new Map(value.map.map(([key, inner]) => [key, tree(inner)]));
    return pairs.map(([origin, one]) => droplight.patch.patched(origin, tree(one)));
}"""

SAME: Final = """slug => droplight.data.held(`data/origin/${slug}.js`, "origin", slug).then((origin) => {
    const { bookOf, treeOfBook, named } = droplight.book;
    const { treeOf, patched } = droplight.patch;
    const tree = treeOfBook(named(bookOf(treeOf(origin.text, origin.tree), filled.records)), filled.records);
    return [patched(origin, tree), droplight.yaml.entries(tree, "")];
})"""


def read(text: str) -> Any:
    """What a file says, as the library reads it."""
    node, findings = parse_nodes(Source("file", text))
    assert not findings, (findings, text)
    assert node is not None
    return node.plain()


@pytest.mark.parametrize("how", ["file", "anew"])
def test_every_playbook_of_the_demo_goes_through_the_form_unchanged(
    how: str, scripts: Page, playbook_files: dict[str, Path]
) -> None:
    for slug, path in playbook_files.items():
        text = path.read_text(encoding="utf-8")
        patched, written = scripts.evaluate(SAME, slug)
        if how == "file":
            assert patched == text, slug
        else:
            assert read(written) == read(text), slug
            assert list(read(written)["steps"]) == list(read(text)["steps"])


# -- Documents of the form -------------------------------------------------------------------------------------------

NAMES: Final = st.sampled_from(
    [
        "plug",
        "fan-motor",
        "no",
        "null",
        "on",
        "y",
        "0",
        "00",
        "-",
        "--",
        "-a",
        "1e3",
        "0x1f",
        "12-30",
        "constructor",
        "x2",
    ]
)
LETTERS: Final = "aZ9 äß語🔧 :#-,.'\"[]{}&*!|>%@`?=~<\\/()\u0301°Ω½"
ODD: Final = [
    "no",
    "null",
    "~",
    "1:30",
    "- x",
    "a: b",
    "# c",
    "a #b",
    "{a}",
    "[b]",
    '"q"',
    "'s",
    "*x",
    "&y",
    "!z",
    "|",
    ">",
]
ODD_TOO: Final = [
    "@",
    "`",
    "%",
    "?",
    ":",
    "a:",
    "-",
    "--- x",
    "... y",
    "0x1F",
    "1e3",
    "{{x}}",
    "<<",
    "=",
    "a  b",
    "\\n",
]
TEXTS: Final = st.sampled_from(ODD + ODD_TOO) | st.text(LETTERS, min_size=1, max_size=12).map(
    lambda text: text.strip() or "x"
)
LINES: Final = st.lists(TEXTS, min_size=2, max_size=4).map(lambda lines: "\n".join(lines).strip())
"""Texts of one line and of several, without what a file may not hold; the form takes blanks off both ends."""

PERCENTS: Final = st.integers(0, 100).map(lambda number: f"{number}%")
AMOUNTS: Final = st.sampled_from(["0", "5 min", "10-20 min", "PT1H30M", "12.50", "1.5 h", "2 nights"])


def value_of(field: FormField, records: dict[str, list[FormField]]) -> st.SearchStrategy[Any]:
    """Values of a field as a file may hold them, in every form that the notation has."""
    three = st.fixed_dictionaries({"low": AMOUNTS, "likely": AMOUNTS, "high": AMOUNTS})
    kinds: dict[str, st.SearchStrategy[Any]] = {
        "text": TEXTS | LINES | LINES.map(lambda text: text + "\n"),
        "name": NAMES,
        "format": st.just("1"),
        "percent": PERCENTS,
        "money": AMOUNTS | three,
        "time": AMOUNTS | three,
        "wait": AMOUNTS | three,
        "chance": PERCENTS | st.just("rest") | st.dictionaries(NAMES, PERCENTS, min_size=1, max_size=3),
        "next": NAMES | st.fixed_dictionaries({"playbook": NAMES}),
        "parts": st.lists(NAMES, max_size=3) | st.dictionaries(NAMES, st.just("2"), min_size=1, max_size=3),
        "settles": st.just("all") | st.lists(NAMES, max_size=3),
        "after": st.lists(NAMES, max_size=3)
        | st.dictionaries(NAMES, st.lists(NAMES, max_size=2), min_size=1, max_size=2),
        "answers": st.dictionaries(NAMES, TEXTS, max_size=2),
        "list": st.lists(TEXTS if field.of != "name" else NAMES, max_size=3),
        "choice": st.sampled_from(field.options or ("best",)),
        "range": st.sampled_from(["below 12.4", "12.4-12.6", "above -3"]),
        "month": st.just("2026-03"),
        "count": st.just("24"),
    }
    if field.kind == "record":
        return record_of(field.of, records)
    if field.kind == "map":
        return st.dictionaries(NAMES, st.deferred(lambda: record_of(field.of, records)), min_size=1, max_size=2)
    return kinds[field.kind]


def record_of(name: str, records: dict[str, list[FormField]]) -> st.SearchStrategy[Any]:
    """A record with some of the fields that it may have; at least one, since an empty one is nothing to write."""
    fields = {field.name: st.deferred(lambda field=field: value_of(field, records)) for field in records[name]}

    @st.composite
    def made(draw: st.DrawFn) -> dict[str, Any]:
        chosen = draw(st.lists(st.sampled_from(list(fields)), min_size=1, max_size=3, unique=True))
        return {key: draw(fields[key]) for key in chosen}

    return made()


RECORDS: Final = form_records()


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """A playbook as a form may hold it, whole or not: the order of its keys is the file's."""
    whole = {"format": "1", "symptom": draw(record_of("Symptom", RECORDS))}
    fields = {field.name: field for field in RECORDS["Playbook"] if field.name not in (*whole, "order")}
    for name in draw(st.lists(st.sampled_from(list(fields)), max_size=3, unique=True)):
        whole[name] = draw(value_of(fields[name], RECORDS))
    for name in ("steps", "causes", "endings"):
        whole.setdefault(name, draw(value_of(fields[name], RECORDS)))
    for step in whole["steps"].values():
        step.setdefault("results", draw(st.dictionaries(NAMES, record_of("Result", RECORDS), min_size=1, max_size=2)))
    return whole


def ordered(tree: Any) -> Any:
    """A tree in which the order of keys counts."""
    if isinstance(tree, dict):
        return [(key, ordered(value)) for key, value in tree.items()]
    return [ordered(value) for value in tree] if isinstance(tree, list) else tree


@settings(max_examples=60 * EXAMPLES, deadline=None)
@given(made=documents())
def test_what_is_written_anew_says_what_the_form_holds(made: dict[str, Any], scripts: Page, as_pairs: Any) -> None:
    (text,) = scripts.evaluate(WRITE, [as_pairs(made)])
    assert ordered(read(text)) == ordered(made), text
    assert YAML(typ="safe").load(text) is not None  # another reader, of YAML 1.2, takes it as well


def test_what_no_file_may_hold_is_taken_out_of_what_is_typed(scripts: Page) -> None:
    places = [*range(0xD800), *range(0xE000, 0x11000), 0x1F527, 0x1D173, 0xE0001, 0xF0000]
    texts = [
        around.format(chr(place)) for place in places for around in ("a{}b", "\U0001f469{}\U0001f527", "\u0915{}\u0937")
    ]
    texts = [text for text in texts if "\r" not in text and "\n" not in text]
    shown = scripts.evaluate("texts => texts.map(droplight.notation.clean)", texts)
    wrong = [text for text, one in zip(texts, shown, strict=True) if one != blank(text)]
    assert wrong == []


# -- Files that are changed ------------------------------------------------------------------------------------------


@st.composite
def changes(draw: st.DrawFn) -> tuple[str, dict[str, Any]]:
    """A file and what it shall say instead: keys that changed, came and went."""
    one, other = draw(documents()), draw(documents())
    old = yaml.safe_dump(one, sort_keys=False, allow_unicode=True, width=draw(st.sampled_from([60, 1000])))
    new = deepcopy(one)
    for name in draw(st.lists(st.sampled_from(list(other)), max_size=3, unique=True)):
        new[name] = other[name]
    for name in draw(st.lists(st.sampled_from([key for key in new if key not in ("format", "symptom")]), max_size=2)):
        new.pop(name, None)
    for part in ("steps", "endings", "causes"):
        for inner in new.get(part, {}).values():
            if draw(st.booleans()):
                inner["title" if part != "causes" else "name"] = draw(TEXTS | LINES)
    return (old, new) if new else (old, one)


@settings(max_examples=60 * EXAMPLES, deadline=None)
@given(made=changes())
def test_a_changed_file_says_what_the_form_holds(made: tuple[str, Any], scripts: Page, as_pairs: Any) -> None:
    old, new = made
    (text,) = scripts.evaluate(PATCH, [[origin_of(Source("file", old)), as_pairs(new)]])
    assert ordered(read(text)) == ordered(new), (old, text)


LAID_OUT: Final = """\
# Head of the file.

format: 1   # one so far
title: Horn is silent
# Written by hand.
symptom:
  summary: Nothing is heard.   # at all
  conditions:
    # by day
    - cold
    - wet   # rain
causes:
  fuse:   {name: Blown fuse,   share: 60%}   # count of 2025
  horn:   {name: Dead horn,    share: 30%}
  # the rest is unlisted

# ---- Steps ----
start: look
steps:
  look:
    title: Look at the fuse
    do: |
      Pull it out.
      # not a comment
    time: {low: 1 min, likely: 2 min,
           high: 5 min}   # quick
    results:
      blown: {expect: Wire is gone, chance: {fuse: 95%, otherwise: 1%}, next: new-fuse}  # clear
      whole:
        expect: "Wire is there"   # quoted
        chance: rest
        next: new-horn
# ---- Endings ----
endings:
  # cheap
  new-fuse: {title: Fit a fuse, settles: [fuse], time: 5 min}
  # dear
  new-horn:
    title: Fit a horn
    settles: [horn]
# The end.
"""


def changed(scripts: Page, as_pairs: Any, change: Any) -> str:
    tree = read(LAID_OUT)
    change(tree)
    (text,) = scripts.evaluate(PATCH, [[origin_of(Source("file", LAID_OUT)), as_pairs(tree)]])
    assert ordered(read(text)) == ordered(tree)
    return str(text)


def lines_of(text: str) -> list[str]:
    return text.splitlines()


@pytest.mark.parametrize(
    ("change", "gone", "come"),
    [
        (lambda t: None, [], []),
        (
            lambda t: t.update(title="Horn is dumb"),
            ["title: Horn is silent"],
            ["title: Horn is dumb"],
        ),
        (
            lambda t: t["causes"]["fuse"].update(share="55%"),
            ["  fuse:   {name: Blown fuse,   share: 60%}   # count of 2025"],
            ["  fuse:   {name: Blown fuse,   share: 55%}   # count of 2025"],
        ),
        (
            lambda t: t["causes"].update(wire={"name": "Torn wire", "share": "5%"}),
            [],
            ["  wire: {name: Torn wire, share: 5%}"],
        ),
        (
            lambda t: t["symptom"].update(conditions=["cold", "hot", "wet"]),
            [],
            ["    - hot"],
        ),
        (
            lambda t: t["steps"]["look"].update(do="Push it in.\n"),
            ["    do: |", "      Pull it out.", "      # not a comment"],
            ["    do: |", "      Push it in."],
        ),
        (
            lambda t: t["steps"]["look"].update(time="3 min"),
            ["    time: {low: 1 min, likely: 2 min,", "           high: 5 min}   # quick"],
            ["    # quick", "    time: 3 min"],
        ),
        (
            lambda t: t["steps"]["look"]["results"]["whole"].update(expect="It is there"),
            ['        expect: "Wire is there"   # quoted'],
            ["        expect: It is there   # quoted"],
        ),
        (
            lambda t: t["endings"].pop("new-horn"),
            ["  # dear", "  new-horn:", "    title: Fit a horn", "    settles: [horn]"],
            [],
        ),
    ],
    ids=["nothing", "title", "share", "cause", "condition", "text", "amount", "quoted", "ending"],
)
def test_only_the_lines_that_say_it_change(
    change: Any, gone: list[str], come: list[str], scripts: Page, as_pairs: Any
) -> None:
    before, after = lines_of(LAID_OUT), lines_of(changed(scripts, as_pairs, change))
    if gone == ["    do: |", "      Pull it out.", "      # not a comment"]:
        gone, come = gone[1:], ["      Push it in."] if "    do: |" in after else come
    assert [line for line in before if line not in after] == gone
    assert [line for line in after if line not in before] == come


def test_a_file_in_braces_is_changed_as_well(scripts: Page, as_pairs: Any) -> None:
    tree = {"format": "1", "title": "A", "symptom": {"summary": "S"}}
    text = json.dumps(tree)
    (same,) = scripts.evaluate(PATCH, [[origin_of(Source("file", text)), as_pairs(tree)]])
    assert same == text
    (other,) = scripts.evaluate(PATCH, [[origin_of(Source("file", text)), as_pairs({**tree, "title": "B: c"})]])
    assert read(other) == {**tree, "title": "B: c"}
