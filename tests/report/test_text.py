"""Report: findings as text for people."""

import pytest

from builder.read.findings import Finding
from builder.report.text import LONGEST, WIDTH, as_text, printable, summary


def text_of(column: int = 1, line: str = "", message: str = "message", file: str = "a.yaml", hint: str = "") -> str:
    return as_text(Finding(file, 3, column, "rule", message, hint, text=line)).plain


def test_a_finding_names_its_place_severity_rule_and_hint_and_shows_the_line() -> None:
    assert text_of(4, "a: b c", "no tool `b`", hint="did you mean `c`?") == (
        "a.yaml:3:4: error [rule] no tool `b`\n"
        "  3 | a: b c\n"
        "    |    ^\n"
        "  = did you mean `c`?\n"
    )  # fmt: skip


def test_without_a_line_there_is_no_excerpt_and_without_a_hint_no_hint() -> None:
    assert text_of() == "a.yaml:3:1: error [rule] message\n"


@pytest.mark.parametrize("column", [1, 49, 50, 51, 500, 999, 1000])
def test_a_long_line_is_shown_around_the_caret(column: int) -> None:
    line = "".join(chr(0x4E00 + i) for i in range(1000))  # every character another, none of them a control
    _, excerpt, caret, _ = text_of(column, line).split("\n")
    shown = excerpt.removeprefix("  3 | ")
    assert len(shown) == WIDTH
    assert shown[caret.removeprefix("    | ").index("^")] == line[column - 1]


def test_a_caret_behind_the_end_of_a_line_stays_near_it() -> None:
    assert text_of(7, "a: b c").splitlines()[2] == "    |       ^"


@pytest.mark.parametrize("steering", ["\x1b[31m", "\x9b", "\0", "\u202e", "\r", "\n", "\udcff", "\u2028", "\x07"])
def test_nothing_steers_the_terminal(steering: str) -> None:
    text = text_of(1, f"a{steering}b", f"a{steering}b", f"a{steering}b", f"a{steering}b")
    assert all(char.isprintable() for line in text.split("\n") for char in line)
    assert len(text.splitlines()) == 4


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
