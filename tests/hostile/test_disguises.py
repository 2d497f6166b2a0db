"""Every disguise of a word and every imitation of a warning, in every text field of a library: each has a finding."""

from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest

from builder.read.catalogue import RECORDS
from builder.read.library import read_library
from builder.read.nodes import Node, parse_nodes
from builder.read.records import Playbook, Settings
from builder.read.source import Source
from builder.read.texts import prose_of
from tests.disguises import IMITATIONS, MARKUP, WORDS, catalogue, playbook, settings

PASSING: Final = frozenset({"signal-word", "invisible-character", "bidi-control", "control-character", "piled-marks"})
UNJUDGED: Final = frozenset({"no_hazards", "accept", "notice", "vehicles", "codes", "areas", "hazards"})
"""Fields that speak of no work: answers, names of cars, what hazards and codes mean, the library's own names."""


def write(root: Path, write_library: Callable[..., Path], text: str) -> Path:
    return write_library(root, {"area/book": playbook(text)}, settings(text), catalogue(text))


def fields(root: Path) -> Iterator[tuple[str, int, str]]:
    """File, line and field of every text of the library."""
    for path in sorted(root.rglob("*.yaml")):
        source = Source(path.relative_to(root).as_posix(), path.read_text(encoding="utf-8"))
        node, _ = parse_nodes(source)
        assert node
        kind: Any = {"library": Settings, "book": Playbook}.get(path.stem)
        for one in [node] if kind else node.entries.values():
            for prose in prose_of(kind or RECORDS[path.stem], one):
                keys = field_of(source.lines, prose.node, path.stem)
                if path.stem != "hazards" or "cold" not in keys.split("."):
                    yield source.name, prose.node.line, keys


def field_of(lines: list[str], node: Node, stem: str) -> str:
    """The keys above a line, by its indentation, of what matters here."""
    keys = [stem]
    depth = len(lines[node.line - 1]) - len(lines[node.line - 1].lstrip())
    for line in reversed(lines[: node.line]):
        indent = len(line) - len(line.lstrip())
        if indent <= depth and ":" in line:
            keys.append(line.strip().split('"')[1])
            depth = indent - 1
    return ".".join(keys)


def test_the_library_has_every_text_field(tmp_path: Path, write_library: Callable[..., Path]) -> None:
    """Each field of each record type that is text, or a list or mapping of texts, is said somewhere."""
    root = write(tmp_path / "library", write_library, "It is so")
    said = {key for _, _, keys in fields(root) for key in keys.split(".")}
    assert text_fields() <= said


def text_fields() -> set[str]:
    found: set[str] = set()
    seen: list[Any] = [Settings, Playbook, *RECORDS.values()]
    for kind in seen:
        for name, field in kind.model_json_schema()["properties"].items():
            notation = str(field)
            if "'notation': 'text'" in notation and "'$ref'" not in notation:
                found.add(name)
        for shape in kind.model_json_schema().get("$defs", {}).values():
            for key, field in shape.get("properties", {}).items():
                if "'notation': 'text'" in str(field) and "'$ref'" not in str(field):
                    found.add(key)
    return found - {"slug", "area"}


def test_a_harmless_text_has_no_finding_in_any_field(tmp_path: Path, write_library: Callable[..., Path]) -> None:
    root = write(tmp_path / "library", write_library, "It is so")
    assert {one.rule for one in read_library(root, "library").findings} <= {"unused-entry", "same-words"}


@pytest.mark.parametrize("text", IMITATIONS.values(), ids=IMITATIONS)
def test_an_imitation_has_a_finding_in_every_text_field(
    tmp_path: Path, write_library: Callable[..., Path], text: str
) -> None:
    root = write(tmp_path / "library", write_library, text)
    found = {(one.file, one.line) for one in read_library(root, "library").findings if one.rule in PASSING}
    missed = [place for place in fields(root) if (f"library/{place[0]}", place[1]) not in found]
    assert missed == []


@pytest.mark.parametrize("text", WORDS.values(), ids=WORDS)
def test_a_disguised_word_has_a_finding_wherever_work_is_spoken_of(
    tmp_path: Path, write_library: Callable[..., Path], text: str
) -> None:
    """One finding for each hazard and piece of work, so that fields are tried one by one."""
    said = list(fields(write(tmp_path / "all", write_library, "It is so")))
    judged = [place for place in said if not UNJUDGED & set(place[2].split(".")) and place[2] != "library.title"]
    assert len(judged) > 25
    missed: list[str] = []
    root = write(tmp_path / "library", write_library, "It is so")
    for file, line, keys in judged:
        path = root / file
        before = path.read_text(encoding="utf-8")
        lines = before.split("\n")
        lines[line - 1] = lines[line - 1].replace("It is so", text)
        path.write_text("\n".join(lines), encoding="utf-8")
        rules = Counter(one.rule for one in read_library(root, "library").findings)
        missed += [] if rules["hazard-word"] else [keys]
        path.write_text(before, encoding="utf-8")
    assert missed == []


@pytest.mark.parametrize("text", MARKUP.values(), ids=MARKUP)
def test_markup_that_is_no_markdown_of_ours_has_a_finding_or_is_only_text(
    tmp_path: Path, write_library: Callable[..., Path], text: str
) -> None:
    root = write(tmp_path / "library", write_library, text)
    read = read_library(root, "library")
    raw = {one.rule for one in read.findings if one.file.endswith("book.yaml")}
    assert not text.startswith("<") or "raw-html" in raw


def test_there_are_enough_ways() -> None:
    assert len(WORDS) + len(IMITATIONS) + len(MARKUP) >= 80
    assert len(IMITATIONS) >= 40
