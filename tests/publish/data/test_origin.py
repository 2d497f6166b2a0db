"""The origin of a playbook: its text, and places in it that are where the browser counts them."""

import json
from pathlib import Path
from typing import Any

import pytest

from builder.publish.data.origin import origin_file, origin_of
from builder.read.nodes import parse_nodes
from builder.read.source import Source
from tests.demo import demo_library

ROOT = Path(__file__).resolve().parents[3] / "playbooks"
PLAYBOOKS = sorted(path for path in ROOT.glob("*/*.yaml") if path.parent.name != "catalogue")


def said(text: str, tree: list[Any]) -> Any:
    """What a tree says of a text whose places count UTF-16 units."""
    units = text.encode("utf-16-le")

    def piece(start: int, end: int) -> str:
        return units[2 * start : 2 * end].decode("utf-16-le")

    if len(tree) == 4:
        for key, start, _ in tree[2]:
            assert piece(start, start + len(key)).strip("\"'").startswith(key[:1])
        return {key: said(text, node) for key, _, node in tree[2]}
    if len(tree) == 3 and isinstance(tree[2], list):
        return [said(text, node) for node in tree[2]]
    return tree[2] if len(tree) == 3 else piece(*tree)


def plain(text: str) -> Any:
    node, _ = parse_nodes(Source("", text))
    assert node is not None
    return node.plain()


@pytest.mark.parametrize("path", PLAYBOOKS, ids=lambda path: path.stem)
def test_an_origin_says_what_the_file_says(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    origin = origin_of(Source(path.name, text))
    assert origin is not None
    assert origin["text"] == text
    assert said(text, origin["tree"]) == plain(text)


def test_places_behind_wide_characters_count_both_halves() -> None:
    text = 'title: 🔧 wrench 🔧\nalso: ["🔧", b]\nlast: "x\\u00e4"\n'
    origin = origin_of(Source("", text))
    assert origin is not None
    assert said(text, origin["tree"]) == {"title": "🔧 wrench 🔧", "also": ["🔧", "b"], "last": "xä"}


def test_line_ends_of_other_systems_become_plain_ones() -> None:
    origin = origin_of(Source("", "title: A\r\nsymptom: {summary: S}\r\n"))
    assert origin is not None
    assert origin["text"] == "title: A\nsymptom: {summary: S}\n"


@pytest.mark.parametrize("text", ["", "- a\n", "just text", "a: [", "# only a comment"])
def test_what_is_no_mapping_has_no_origin(text: str) -> None:
    assert origin_of(Source("", text)) is None


def test_the_file_hands_over_path_text_and_tree(tmp_path: Path) -> None:
    library = demo_library()
    book = library.playbooks["headlamp-flickers"]
    made = origin_file(ROOT, book)
    assert made is not None
    kind, slug, origin = json.loads("[" + made.removeprefix("droplight.take(").removesuffix(");\n") + "]")
    assert (kind, slug, origin["path"]) == ("origin", "headlamp-flickers", "electrics/headlamp-flickers.yaml")
    assert origin_file(tmp_path, book) is None
