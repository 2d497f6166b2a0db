"""Likely causes: what keeps a playbook from being YAML is told at its own line, in these words."""

from collections.abc import Callable
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.findings import Finding
from builder.read.nodes import parse_nodes
from builder.read.source import Source
from tests.read.conftest import PLAYBOOK, Files

FindingsOf = Callable[[Files], list[Finding]]

TITLE: Final = "title: Cabin fan runs on the top speed only"
DO: Final = "do: Measure every stage."
EXPECT: Final = "expect: One stage reads open,"
CONDITIONS: Final = "conditions: [any temperature, engine on or off]"
OPEN: Final = "open:     {expect: One stage reads open, chance: {resistor: 97%, otherwise: 1%}, next: new-resistor}"

QUOTE: Final = "a quote opens and closes within a text, so the text ends there"
UNCLOSED: Final = "a quote opens here and is not closed"
COLON: Final = "a text that holds a colon needs quotes"
CONFLICT: Final = "a mark of a merge conflict stands here"
CLOSES_NOTHING: Final = "this `}` closes nothing"


def begins(sign: str) -> str:
    return f"a text that begins with {sign} needs quotes"


@pytest.mark.parametrize(
    ("old", "new", "place", "message", "hint"),
    [
        (TITLE, 'title: "Cabin" fan runs', "2:8", QUOTE, """write `'"Cabin" fan runs'`"""),
        (DO, 'do: "Good" is every stage.', "34:9", QUOTE, """write `'"Good" is every stage.'`"""),
        (EXPECT, 'expect: "One" stage reads open,', "38:26", QUOTE, """write `'"One" stage reads open'`"""),
        (TITLE, "title: 'tis the fan", "2:8", UNCLOSED, """write `"'tis the fan"`"""),
        (TITLE, 'title: "Cabin fan runs', "2:8", UNCLOSED, 'write `"Cabin fan runs"`'),
        (TITLE, "title: *urgent* fan", "2:8", begins("an asterisk"), 'write `"*urgent* fan"`'),
        (TITLE, "title: @home fan", "2:8", begins("an at sign"), 'write `"@home fan"`'),
        (TITLE, "title: `fan` dead", "2:8", begins("a backtick"), 'write `"`fan` dead"`'),
        (TITLE, "title: %5 fan", "2:8", begins("a percent sign"), 'write `"%5 fan"`'),
        (TITLE, "title: [draft] fan dead", "2:8", begins("a bracket"), 'write `"[draft] fan dead"`'),
        (EXPECT, "expect: *One stage,", "38:26", begins("an asterisk"), 'write `"*One stage"`'),
        (CONDITIONS, "conditions:\n    - *cold*\n    - hot", "7:7", begins("an asterisk"), 'write `"*cold*"`'),
        (TITLE, "title: Cabin fan: dead", "2:8", COLON, 'write `"Cabin fan: dead"`'),
        (DO, "do: Note: measure. # now", "34:9", COLON, 'write `"Note: measure."`'),
        (TITLE, "title:Cabin fan", "2:7", "a space is missing behind the colon", "write `title: Cabin fan`"),
        ("    cost: 0", "    cost:0", "20:10", "a space is missing behind the colon", "write `cost: 0`"),
        (TITLE, "title Cabin fan", "2:6", "a colon is missing behind `title`", "write `title: Cabin fan`"),
        ("    cost: 0", "    cost 0", "20:9", "a colon is missing behind `cost`", "write `cost: 0`"),
        ("\nsteps:\n", "\nsteps\n", "14:6", "a colon is missing behind `steps`", "write `steps:`"),
        (
            "reads open, chance",
            "reads open chance",
            "38:47",
            "a comma is missing before `chance:`",
            "write `expect: One stage reads open, chance: …`",
        ),
        (
            "next: new-resistor}",
            "next: new-resistor",
            "38:106",
            "the `{` in column 17 is not closed: a `}` is missing",
            f"write `{OPEN}`",
        ),
        (
            "hazards: [hot-parts]",
            "hazards: [hot-parts",
            "22:24",
            "the `[` in column 14 is not closed: a `]` is missing",
            "write `hazards: [hot-parts]`",
        ),
        (
            "next: new-resistor}",
            "next: new-resistor}}",
            "38:107",
            CLOSES_NOTHING,
            "delete it, or add the bracket that it closes",
        ),
        (
            "    cost: 0",
            "   cost: 0",
            "20:4",
            "this line is indented by 3 spaces, and fits none of the lines above",
            "indent it by 4, as those that it belongs to",
        ),
        (
            "    cost: 0",
            "      cost: 0",
            "20:7",
            "this line stands deeper than the one above, which has its text already",
            "indent it by 4, or put the text into quotes where it goes on here",
        ),
        (
            DO,
            "do: |\n    Measure every stage.",
            "35:5",
            "the text of `do` stands no deeper than `do` itself",
            "indent it by 6 spaces or more",
        ),
        (
            "    cost: 0",
            "<<<<<<< HEAD\n    cost: 0\n=======\n    cost: 5\n>>>>>>> other",
            "20:1",
            CONFLICT,
            "keep one of the two versions, and delete the marks",
        ),
    ],
)
def test_a_slip_is_told_at_its_own_line(
    old: str, new: str, place: str, message: str, hint: str, findings_of: FindingsOf
) -> None:
    assert old in PLAYBOOK
    assert [(one.rule, f"{one.line}:{one.column}", one.message, one.hint) for one in findings_of(
        {"cabin/fan.yaml": PLAYBOOK.replace(old, new)}
    )] == [("syntax", place, message, hint)]  # fmt: skip


def test_a_tab_in_the_indentation_is_one_finding(findings_of: FindingsOf) -> None:
    (found,) = findings_of({"cabin/fan.yaml": PLAYBOOK.replace("    cost: 0", "\tcost: 0")})
    assert (found.rule, found.line) == ("tab", 20)


def test_a_quoted_text_of_several_lines_is_not_blamed_for_what_comes_after(findings_of: FindingsOf) -> None:
    text = PLAYBOOK.replace(DO, 'do: "Measure\n      every stage."').replace("    cost: 0", "    cost 0")
    assert [one.line for one in findings_of({"cabin/fan.yaml": text})] == [20]
    later = PLAYBOOK.replace("do: Pull the plug", 'do: "Pull\n      the plug').replace("loose pins.", 'loose pins."')
    broken = later.replace("next: new-resistor}", "next: new-resistor}}")
    assert [(one.line, one.message) for one in findings_of({"cabin/fan.yaml": broken})] == [(39, CLOSES_NOTHING)]


@given(st.text(alphabet=" \n:-'\"[]{},*#|>abc&%@`", max_size=80))
def test_any_text_is_read_or_has_a_finding_within_it(text: str) -> None:
    source = Source("a.yaml", text)
    root, findings = parse_nodes(source)
    assert root is not None or findings
    assert all(1 <= one.line <= len(source.lines) and one.hint for one in findings)
