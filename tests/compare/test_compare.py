"""A comparison as a whole: findings that come, go and stay, and what cannot be read hides nothing."""

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest

from builder.compare.compare import compare
from builder.read.findings import WARNING, Finding
from builder.read.library import LibraryRead

Plain = dict[str, Any]


def found(file: str, line: int, message: str, **more: Any) -> Finding:
    return Finding(file, line, 1, "rule", message, **more)


def test_a_finding_that_moved_is_not_new(side: Callable[..., LibraryRead], worn: Plain) -> None:
    before = (
        found("playbooks/y/x.yaml", 3, "`a` stands twice; first on line 2"),
        found("playbooks/y/x.yaml", 9, "mended"),
    )
    after = (
        found("playbooks/y/x.yaml", 5, "`a` stands twice; first on line 4"),
        found("playbooks/y/x.yaml", 7, "`a` stands twice; first on line 4"),
        found("playbooks/y/x.yaml", 8, "odd", severity=WARNING),
    )
    comparison = compare(side({"x": worn}, before), side({"x": worn}, after))
    assert comparison.kept == [after[0]]
    assert comparison.new_findings == list(after[1:])
    assert comparison.gone_findings == [before[1]]


def test_a_playbook_that_cannot_be_read_any_more_is_not_removed(side: Callable[..., LibraryRead], worn: Plain) -> None:
    old = side({"x": worn, "z": worn})
    new = side({"z": worn}, (found("playbooks/y/x.yaml", 1, "not YAML"),), frozenset({"x"}))
    comparison = compare(old, new)
    assert (comparison.unreadable, comparison.removed, comparison.losses) == (["x"], [], [])


def test_a_library_that_cannot_be_read_hides_nothing(side: Callable[..., LibraryRead], worn: Plain) -> None:
    old, broken = side({"x": worn}), LibraryRead(None, (found("playbooks/library.yaml", 1, "not YAML"),), "playbooks")
    after = compare(old, broken)
    assert (after.unreadable, after.removed, after.is_empty) == (["x"], [], False)
    assert compare(broken, old).added == ["x"]


@pytest.mark.parametrize("file", ["y/x.yaml", "catalogue/parts.yaml", "library.yaml"])
def test_numbers_that_rest_on_errors_are_not_reckoned(side: Callable[..., LibraryRead], worn: Plain, file: str) -> None:
    new = deepcopy(worn)
    new["causes"]["wear"]["share"] = "50%"
    [one] = compare(side({"x": worn}), side({"x": new}, (found(f"playbooks/{file}", 1, "wrong"),))).changed
    assert one.before is not None
    assert (one.after, one.paths) == (None, None)
