"""Every rule of the table: its wrong example gives it, its right example gives nothing, and none is missing."""

import ast
import re
from pathlib import Path
from typing import Final

import pytest

from builder.format import worked
from builder.format.rules import all_rules
from builder.format.rules.rule import Example, Rule
from builder.read import source as source_module
from builder.read.findings import Finding
from builder.read.library import read_library
from builder.read.shape import RULES as SHAPE_RULES
from builder.reckon.advice import appraise

ROOT: Final = Path(__file__).resolve().parents[2]
RULES: Final = list(all_rules())
KEY: Final = re.compile(r"^([\w-]+|\[[^]]*\])\s*:", re.MULTILINE)
"""A key that stands at the beginning of a line."""


def spliced(text: str, at: tuple[str, ...], change: str, depth: int = 0) -> str:
    """A YAML text in block style in which a change takes the place of the same keys of the mapping at a place."""
    pad = "  " * depth
    blocks = re.split(rf"(?m)^(?={pad}[\w-]+:)", text)
    if at:
        place = next(i for i, block in enumerate(blocks) if block.startswith(f"{pad}{at[0]}:"))
        blocks[place] = spliced(blocks[place], at[1:], change, depth + 1)
        return "".join(blocks)
    changed = set(KEY.findall(change))
    kept = [block for block in blocks if block.lstrip().split(":")[0] not in changed]
    return "".join([*kept, *(f"{pad}{line}\n" for line in change.splitlines())])


def put(example: Example, root: Path) -> None:
    """The worked library with the change of an example."""
    files = dict(worked.LIBRARY)
    if not example.file:
        listing = example.text.splitlines()
        files = {name: text for name, text in files.items() if name in listing or name in worked.CATALOGUE}
        for line in listing:
            place(root, line)
    else:
        files[example.file] = spliced(files[example.file], example.at, example.whole)
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode(example.encoding if name == example.file else "utf-8"))


def place(root: Path, line: str) -> None:
    """One line of a listing, as :class:`Example` explains it."""
    name, _, target = line.removesuffix(" (empty)").partition(" -> ")
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    if target:
        path.symlink_to(target)
    elif name.endswith("/"):
        path.mkdir()
    else:
        path.write_text("" if line.endswith(" (empty)") else worked.PLAYBOOK, encoding="utf-8")


def findings_of(example: Example, root: Path) -> list[Finding]:
    put(example, root)
    return list(read_library(root, "library", appraise).findings)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_wrong_example_gives_the_rule_and_no_other(rule: Rule, tmp_path: Path) -> None:
    found = findings_of(rule.wrong, tmp_path)
    assert {finding.rule for finding in found} == {rule.name} | rule.beside, found
    assert {finding.severity for finding in found if finding.rule == rule.name} == {rule.severity}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_right_example_gives_no_finding(rule: Rule, tmp_path: Path) -> None:
    assert findings_of(rule.right, tmp_path) == []


def test_worked_library_gives_no_finding(tmp_path: Path) -> None:
    for name, text in worked.LIBRARY.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    read = read_library(tmp_path, "library", appraise)
    library, found = read.library, read.findings
    assert found == ()
    assert library is not None
    assert list(library.playbooks) == ["horn-is-mute", "washer-sprays-nothing", "wipers-smear"]


def rules_in_code() -> set[str]:
    """Every rule that the sources give a finding: the first plain name among what the call is given."""
    rules = {rule for _, rule, *_ in source_module.UNWANTED} | set(SHAPE_RULES.values())
    paths = [*sorted((ROOT / "builder/read").rglob("*.py")), ROOT / "builder/reckon/advice.py"]
    for path in paths:
        for call in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(call, ast.Call):
                rules |= rule_of(call)
    return rules


def rule_of(call: ast.Call) -> set[str]:
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    said = {one.value.value for one in call.keywords if one.arg == "rule" and isinstance(one.value, ast.Constant)}
    if name == "NotationError":
        return {str(rule) for rule in said}
    if name not in ("Finding", "finding", "report", "_report", "_unknown"):
        return set()
    given = [one.value for one in call.args if isinstance(one, ast.Constant) and isinstance(one.value, str)]
    names = [word for word in given if re.fullmatch("[a-z0-9]+(-[a-z0-9]+)*", word)]
    return set(names[:1])


def test_table_has_exactly_the_rules_of_the_code() -> None:
    assert {rule.name for rule in RULES} == rules_in_code()


def test_each_rule_stands_once() -> None:
    names = [rule.name for rule in RULES]
    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_each_rule_is_explained_in_a_sentence(rule: Rule) -> None:
    assert rule.says.endswith(".")
    assert "\n" not in rule.says
    assert rule.wrong != rule.right
    assert rule.wrong.shown.strip()
    assert rule.right.shown.strip()
