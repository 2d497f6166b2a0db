"""What is lost: it has one finding at its place, hides nothing else, and nothing takes a stand-in for what was read."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import yaml

from builder.read.findings import ERROR, Finding
from builder.read.library import read_library
from tests.read.conftest import write_files
from tests.read.everything import FILES

Brief = Callable[[list[Finding]], list[tuple[str, int, int, str]]]


@pytest.fixture
def everything(tmp_path: Path) -> Path:
    """The library that says everything."""
    write_files(tmp_path, FILES)
    return tmp_path


@pytest.fixture
def errors(everything: Path) -> Callable[[str, str], list[Finding]]:
    """The errors of the library with another text in one of its files, which then has its own text again."""

    def errors(name: str, text: str) -> list[Finding]:
        (everything / name).write_text(text, encoding="utf-8")
        findings = read_library(everything, "library").findings
        (everything / name).write_text(FILES[name], encoding="utf-8")
        return [finding for finding in findings if finding.severity == ERROR]

    return errors


def test_the_library_that_says_everything_is_sound(everything: Path) -> None:
    assert read_library(everything, "library").findings == ()


def values(text: str) -> Iterator[tuple[yaml.Node, str, str]]:
    """Every value of a file, with what stands before it and after it."""
    waiting = [yaml.compose(text)]
    while waiting:
        node = waiting.pop()
        entries = node.value if isinstance(node, yaml.MappingNode) else []
        waiting += [value for _, value in entries] + (node.value if isinstance(node, yaml.SequenceNode) else [])
        head, tail = text[: node.start_mark.index], text[node.end_mark.index :]
        if node.start_mark.line < node.end_mark.line and getattr(node, "flow_style", True) is False:
            # A block ends where the next key begins; its value goes on the line of its own key.
            head, tail = f"{head.rstrip()} " if head else "", f"\n{' ' * node.end_mark.column}{tail}"
        yield node, head, tail


@pytest.mark.parametrize("name", FILES)
def test_whatever_is_lost_is_one_finding(errors: Callable[[str, str], list[Finding]], name: str) -> None:
    for node, head, tail in values(FILES[name]):
        found = errors(name, f"{head}*x{tail}")
        assert [one.rule for one in found] == ["alias"], (node.start_mark.line + 1, found)
        line = head.count("\n") + 1
        assert (found[0].line, found[0].column) == (line, len(head) - head.rfind("\n"))


@pytest.mark.parametrize("name", FILES)
def test_whatever_has_the_wrong_shape_is_one_finding(errors: Callable[[str, str], list[Finding]], name: str) -> None:
    for node, head, tail in values(FILES[name]):
        found = errors(name, f"{head}[[x]]{tail}")
        assert len(found) == 1, (node.start_mark.line + 1, found)
        assert found[0].file == f"library/{name}"


@pytest.mark.parametrize(
    ("field", "rule"),
    [
        ("codes", "bad-code"),
        ("access", "unknown-access"),
        ("hazards", "unknown-hazard"),
        ("tools", "unknown-tool"),
        ("settles", "unknown-cause"),
        ("rest-volts", "unknown-after"),
    ],
)
def test_a_lost_item_moves_no_finding_of_those_behind_it(
    errors: Callable[[str, str], list[Finding]], brief: Brief, field: str, rule: str
) -> None:
    name = "cabin/fan.yaml"
    *_, match = re.finditer(rf"\b{field}: \[", FILES[name])
    begin = match.end()
    text = f"{FILES[name][:begin]}*x, zzz, {FILES[name][begin:]}"
    line = text.count("\n", 0, begin) + 1
    column = begin - text.rfind("\n", 0, begin)
    assert brief(errors(name, text)) == [("alias", line, column, "error"), (rule, line, column + 4, "error")]


def test_what_was_lost_of_the_catalogue_is_known(everything: Path) -> None:
    (everything / "catalogue/tools.yaml").write_text("- a\n", encoding="utf-8")
    (everything / "catalogue/parts.yaml").write_text("Fan Resistor: {name: N, price: 1}\nplug: {}\n", encoding="utf-8")
    unread = read_library(everything).unread
    assert unread.kinds == {"tools"}
    assert unread.entries == {("parts", "fan-resistor"), ("parts", "plug")}
    assert unread.may_hold("tools", "anything")
    assert not unread.may_hold("parts", "anything")


def test_a_name_that_a_catalogue_may_mean_is_not_unknown(errors: Callable[[str, str], list[Finding]]) -> None:
    found = errors("catalogue/tools.yaml", FILES["catalogue/tools.yaml"].replace("crimper:", "Crimper:"))
    assert [(one.rule, one.message) for one in found] == [("notation", "`Crimper` is not a name")]


def test_playbooks_that_cannot_be_read_are_named(everything: Path) -> None:
    (everything / "cabin/other.yaml").write_text("a: [", encoding="utf-8")
    (everything / "cabin/list.yaml").write_text("- a\n", encoding="utf-8")
    (everything / "garage").mkdir()
    (everything / "garage/door.yaml").write_text("a: 1\n", encoding="utf-8")
    read = read_library(everything)
    assert read.unreadable == {"other", "list", "door"}
    assert (list(read.playbooks), read.sound) == (["fan"], None)


@pytest.mark.parametrize(
    ("name", "sound"),
    [
        ("cabin/fan.yaml", {"fan": False, "other": True}),
        ("library.yaml", {"fan": False, "other": False}),
        ("catalogue/codes.yaml", {"fan": False, "other": False}),
    ],
)
def test_numbers_rest_on_files_without_errors(everything: Path, name: str, sound: dict[str, bool]) -> None:
    (everything / name).write_text(f"{FILES[name]}zzz: 1\n", encoding="utf-8")
    read = read_library(everything, "library/")
    assert {slug: read.is_sound(slug) for slug in read.playbooks} == sound


def test_a_lost_item_moves_no_hazard_word_behind_it(errors: Callable[[str, str], list[Finding]], brief: Brief) -> None:
    name = "cabin/fan.yaml"
    text = FILES[name].replace("  conditions: [", "  conditions: [*x, the timing belt squeals, ")
    assert brief(errors(name, text)) == [("alias", 8, 16, "error"), ("hazard-word", 8, 24, "error")]
