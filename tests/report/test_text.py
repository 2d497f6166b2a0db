"""Report: findings as text for people."""

import pytest

from builder.read.findings import LONGEST, Finding
from builder.report.text import MARK, WIDTH, as_text, printable, summary


def text_of(column: int = 1, line: str = "", message: str = "message", file: str = "a.yaml", hint: str = "") -> str:
    return as_text(Finding(file, 3, column, "rule", message, hint, text=line)).plain


def test_a_finding_names_its_place_severity_and_rule_and_shows_the_line_and_what_to_do() -> None:
    assert text_of(6, "  a: b c", "no tool `b`", hint="did you mean `c`?") == (
        "a.yaml:3:6: error: no tool `b` [rule]\n"
        "    here:  a: »b c\n"
        "    mend:  did you mean `c`?\n"
    )  # fmt: skip


def test_text_to_write_has_a_label_of_its_own() -> None:
    assert text_of(1, "time: 5", "no unit", hint="write `5 min` or `5 h`").splitlines()[1:] == [
        "    here:  »time: 5",
        "    write: `5 min` or `5 h`",
    ]


def test_without_a_line_there_is_no_excerpt_and_without_a_hint_no_advice() -> None:
    assert text_of() == "a.yaml:3:1: error: message [rule]\n"


@pytest.mark.parametrize("column", [1, 49, 50, 51, 500, 999, 1000])
def test_a_long_line_is_shown_around_the_mark(column: int) -> None:
    line = "".join(chr(0x4E00 + i) for i in range(1000))  # every character another, none of them a control
    excerpt = text_of(column, line).split("\n")[1].removeprefix("    here:  ")
    assert len(excerpt) == WIDTH + len(MARK)
    assert excerpt[excerpt.index(MARK) + 1] == line[column - 1]


@pytest.mark.parametrize("column", [7, 8, 99])
def test_a_mark_behind_the_end_of_a_line_stands_at_its_end(column: int) -> None:
    assert text_of(column, "a: b c").splitlines()[1] == "    here:  a: b c»"


@pytest.mark.parametrize("column", [1, 3])
def test_a_mark_within_the_indentation_stands_before_the_text(column: int) -> None:
    assert text_of(column, "    a: b").splitlines()[1].lstrip(" ").removeprefix("here:").lstrip(" ") == (
        "»" + " " * (5 - column) + "a: b"
    )


@pytest.mark.parametrize("steering", ["\x1b[31m", "\x9b", "\0", "\u202e", "\r", "\n", "\udcff", "\u2028", "\x07"])
def test_nothing_steers_the_terminal(steering: str) -> None:
    text = text_of(1, f"a{steering}b", f"a{steering}b", f"a{steering}b", f"a{steering}b")
    assert all(char.isprintable() for line in text.split("\n") for char in line)
    assert len(text.splitlines()) == 3


def test_markup_of_the_terminal_library_is_text() -> None:
    assert "[red]x[/red]" in text_of(message="[red]x[/red]")


def test_a_message_that_cites_a_whole_file_is_cut() -> None:
    assert len(text_of(message="x" * 10**6, hint="y" * 10**6)) < 3 * LONGEST


def test_printable_keeps_columns() -> None:
    assert printable("a\tb\x1bc") == "a b c"


@pytest.mark.parametrize(
    ("severities", "said"),
    [
        ([], "no findings"),
        (["error"], "1 error"),
        (["warning", "warning"], "2 warnings"),
        (["warning", "error", "error"], "2 errors, 1 warning"),
    ],
)
def test_summary(severities: list[str], said: str) -> None:
    assert summary(Finding("a", 1, 1, "r", "m", severity=one) for one in severities) == said
