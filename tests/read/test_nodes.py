"""Nodes: strict YAML as text with places."""

from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from builder.read.findings import Finding
from builder.read.nodes import MAX_DEPTH, Node, parse_nodes
from builder.read.source import Source, blank


def parse(text: str) -> tuple[Any, list[Finding]]:
    node, findings = parse_nodes(Source("file.yaml", text))
    return node.plain() if node else None, findings


def tree(text: str) -> Node:
    node, findings = parse_nodes(Source("file.yaml", text))
    assert node
    assert not findings
    return node


def places(text: str) -> list[tuple[str, int, int]]:
    return [(one.rule, one.line, one.column) for one in parse(text)[1]]


# YAML 1.1 reads each of these as something else than text (yaml.org/type: bool, int, float, null, timestamp, merge).
GUESSED = [
    "no",
    "Yes",
    "on",
    "1:30",
    "010",
    "0x1F",
    "1e3",
    "~",
    "null",
    "1_000",
    ".inf",
    ".NaN",
    "2001-01-01",
    "<<",
    "=",
]


@pytest.mark.parametrize("text", GUESSED)
def test_no_value_is_guessed(text: str) -> None:
    assert parse(f"a: {text}\n") == ({"a": text}, [])


@pytest.mark.parametrize("text", GUESSED)
def test_no_key_is_guessed(text: str) -> None:
    assert parse(f"{text}: a\n") == ({text: "a"}, [])


# Everything but what no file may hold: control characters, what nobody sees, what turns the direction of writing.
WANTED = st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn", "Co"])).map(blank)


@given(st.recursive(WANTED, lambda inner: st.lists(inner) | st.dictionaries(WANTED, inner), max_leaves=12))
def test_what_another_writer_wrote_is_read(value: Any) -> None:
    """Written by PyYAML with every text in double quotes, so that nothing is guessed there either."""
    written = yaml.dump(value, default_style='"', allow_unicode=True, sort_keys=False)
    assert parse(written) == (value, [])


@given(st.text())
def test_any_text_gives_findings_within_the_file_and_raises_nothing(text: str) -> None:
    source = Source("file.yaml", text)
    for finding in parse_nodes(source)[1]:
        assert 1 <= finding.line <= len(source.lines)
        assert 1 <= finding.column <= len(source.lines[finding.line - 1]) + 1


def test_places_count_from_one_in_characters() -> None:
    root = tree("ä: [ö,\n    ü]\n")
    assert [(item.line, item.column, item.text) for item in root.entries["ä"].items] == [(1, 5, "ö"), (2, 5, "ü")]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_line_end_counts_one_line(end: str) -> None:
    root = tree(f"a: 1{end}b: 2{end}c:{end}  d: 3{end}")
    place = root.at(("c", "d"))
    assert (place.line, place.column, place.text) == (4, 6, "3")


def test_start_and_end_are_offsets_in_the_text() -> None:
    text = "a: one\nb: 'two'\n"
    node = tree(text).entries["b"]
    assert text[node.start : node.end] == "'two'"


def test_a_location_leads_to_its_node_or_as_far_as_it_goes() -> None:
    root = tree("a:\n  b: [x, y]\n")
    assert root.at(("a", "b", 1)).text == "y"
    assert root.at(("a", "nothing", "further")) is root.entries["a"]
    assert root.key_at(("a", "b")).column == 3


@pytest.mark.parametrize(
    ("text", "rule", "line", "column"),
    [
        ("a: 1\na: 2\n", "duplicate-key", 2, 1),
        ("a: {b: 1, b: 2}\n", "duplicate-key", 1, 11),
        ("a: &x 1\n", "anchor", 1, 4),
        ("a: *x\n", "alias", 1, 4),
        ("a: !!int 1\n", "tag", 1, 4),
        ("a: !own 1\n", "tag", 1, 4),
        ("a: 1\n---\nb: 2\n", "many-documents", 2, 1),
        ("? [a]\n: b\n", "odd-key", 1, 3),
        ("? {a: b}\n: b\n", "odd-key", 1, 3),
        ("a: b: c\n", "syntax", 1, 4),
        ("a: [b\n", "syntax", 1, 6),
        ("a: 'b\n", "syntax", 1, 4),
        ("a: %b\n", "syntax", 1, 4),
        ("a: `b`\n", "syntax", 1, 4),
        ("", "empty-file", 1, 1),
        ("# only this\n", "empty-file", 1, 1),
        ('a: "\\u202e"\n', "bidi-control", 1, 4),
        ('a: "\\0"\n', "control-character", 1, 4),
        ('a: "\\e[31m"\n', "control-character", 1, 4),
        ('a: "\\u200b"\n', "invisible-character", 1, 4),
    ],
)
def test_what_is_not_allowed_has_a_finding_at_its_place(text: str, rule: str, line: int, column: int) -> None:
    assert places(text) == [(rule, line, column)]


def test_a_duplicate_key_names_the_first_line_and_the_first_value_stays() -> None:
    value, (finding,) = parse("a: 1\nb: 2\na: 3\n")
    assert value == {"a": "1", "b": "2"}
    assert finding.message == "`a` stands twice; first on line 1"
    assert finding.hint == "keep one of the two"


def test_an_escaped_control_character_does_not_get_into_the_value() -> None:
    value, findings = parse('a: "x\\0y\\u202ez"\n')
    assert value == {"a": "x y z"}
    assert {one.message for one in findings} == {
        "control character U+0000, written as an escape",
        "bidirectional control character U+202E makes text look other than it is, written as an escape",
    }


def test_an_alias_is_followed_nowhere() -> None:
    value, findings = parse("a: &x [1, 2]\nb: *x\n")
    assert value == {"a": ["1", "2"], "b": ""}
    assert [one.rule for one in findings] == ["anchor", "alias"]


@pytest.mark.parametrize("opening", ["- ", "[", "{a: "])
def test_depth_has_a_limit(opening: str) -> None:
    closing = {"- ": "x", "[": "x" + "]" * MAX_DEPTH, "{a: ": "x" + "}" * MAX_DEPTH}[opening]
    assert parse(opening * MAX_DEPTH + closing)[1] == []
    deeper = closing + closing[-1] if closing != "x" else closing
    assert [rule for rule, *_ in places(opening * (MAX_DEPTH + 1) + deeper)] == ["too-deep"]


def test_what_comes_after_a_too_deep_piece_is_still_read() -> None:
    value, findings = parse("a: " + "[" * 50 + "]" * 50 + "\nb: 1\nb: 2\n")
    assert [one.rule for one in findings] == ["too-deep", "duplicate-key"]
    assert value["b"] == "1"


def test_a_syntax_error_keeps_what_was_found_before_it() -> None:
    assert [rule for rule, *_ in places("a: &x 1\nb: [\n")] == ["anchor", "syntax"]


def test_lost_entries_are_known() -> None:
    node, _ = parse_nodes(Source("file.yaml", "a: 1\na: 2\nb: *x\nc: {d: 1, d: 2}\n"))
    assert node
    assert node.lost == {"a", "b"}
    assert node.entries["c"].is_torn
    assert not node.entries["a"].is_torn
