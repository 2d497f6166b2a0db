"""Findings: their order, and the hints that they give."""

from builder.read import limits
from builder.read.findings import COMPARABLE, Finding, has_errors, in_order, near_miss


def test_findings_are_sorted_by_file_line_and_column_each_once() -> None:
    later = Finding("b.yaml", 1, 1, "rule", "message")
    line_two = Finding("a.yaml", 2, 1, "rule", "message")
    line_ten = Finding("a.yaml", 10, 1, "rule", "message")
    column_two = Finding("a.yaml", 2, 2, "another", "message")
    assert in_order([later, line_ten, line_two, column_two, line_two]) == [line_two, column_two, line_ten, later]


def test_a_rule_speaks_only_so_often_in_one_file() -> None:
    flood = [Finding("a.yaml", line, 1, "rule", "message", "hint") for line in range(1, 2 * limits.FOUND.most)]
    other = [Finding("a.yaml", 1, 1, "another", "message"), Finding("b.yaml", 1, 1, "rule", "message")]
    listed = in_order([*flood, *other])
    assert len(listed) == limits.FOUND.most + 2
    last = listed[-2]
    assert (last.line, last.hint) == (
        limits.FOUND.most,
        "mend these first; there may be more of this kind in this file",
    )


def test_warnings_are_no_errors() -> None:
    warning = Finding("a.yaml", 1, 1, "rule", "message", severity="warning")
    assert not has_errors([warning])
    assert has_errors([warning, Finding("a.yaml", 1, 1, "rule", "message")])


def test_a_near_miss_names_the_closest_word() -> None:
    assert near_miss("multimetre", ["multimeter", "crimper"]) == "did you mean `multimeter`?"


def test_without_one_a_short_list_is_given_in_order() -> None:
    assert near_miss("zzz", ["crimper", "awl"]) == "known: `awl`, `crimper`"


def test_a_long_list_is_not_given() -> None:
    assert near_miss("zzz", map(str, range(9))) == ""
    assert near_miss("zzz", []) == ""


def test_among_very_many_words_no_near_miss_is_looked_for() -> None:
    assert near_miss("word-x", (f"word-{i}" for i in range(COMPARABLE + 1))) == ""
