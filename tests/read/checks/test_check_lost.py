"""What YAML or Markdown would lose has a finding that shows it."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]
FindingsOf = Callable[..., list[Finding]]

DO = "do: Measure every stage."
TITLE = "title: Measure the resistor"


@pytest.mark.parametrize(
    ("written", "lost"),
    [
        ("do: Pull plug #3 and raise the car on a jack.", "#3 and raise the car on a jack."),
        ("do: Pull plug  #3 and stop.", "#3 and stop."),
        ("do: Pull plug # 3 and stop.", "# 3 and stop."),
    ],
)
def test_text_behind_a_cutting_sign_is_shown(found: Found, written: str, lost: str) -> None:
    (finding,) = found(DO, written)
    assert (finding.rule, finding.line, finding.severity) == ("cut-text", 34, "error")
    assert finding.column == 5 + written.index("#")
    assert finding.message == f"the text ends before ` #`: `{lost}` would be lost"
    assert "quotes" in finding.hint


@pytest.mark.parametrize("written", ["do: Measure every stage.  # with care", "do: 'Measure it.' # with care"])
def test_a_comment_behind_a_text_is_shown(found: Found, written: str) -> None:
    (finding,) = found(DO, written)
    assert (finding.rule, finding.line, finding.severity) == ("comment-behind", 34, "warning")
    assert "`# with care`" in finding.message


@pytest.mark.parametrize(
    "pieces",
    [
        ("share: 70%}", "share: 70%} # counted"),
        ("cost: 0\n", "cost: 0  # nothing\n"),
        ("time: 10-20 min", "time: 10-20 min # a guess"),
        (DO, "# a line of its own\n    do: Measure every stage."),
        (DO, "do: 'Measure #3.'"),
        (DO, "do: Measure#3."),
        (DO, "do: |\n      Measure #3.\n      # Heading"),
    ],
)
def test_other_comments_and_signs_are_let_pass(found: Found, pieces: tuple[str, str]) -> None:
    assert found(*pieces) == []


def test_texts_of_settings_and_catalogue_count_too(findings_of: FindingsOf) -> None:
    files = {
        "library.yaml": (
            "title: T #1 of two\nlanguage: en-GB\ncurrency: EUR\nlabour_rate: 95\nowner_hour: 15\n"
            "areas:\n  cabin: Cabin #2\n"
        ),
        "catalogue/access.yaml": "glovebox:\n  name: Glovebox #3\n  open: 5 min\n  close: 5-10 min\n",
    }
    rules = [(one.file, one.line, one.rule) for one in findings_of(files)]
    assert rules == [
        ("library/catalogue/access.yaml", 2, "cut-text"),
        ("library/library.yaml", 1, "cut-text"),
        ("library/library.yaml", 7, "cut-text"),
    ]


@pytest.mark.parametrize("quote", ["'", '"'])
def test_quotes_that_swallow_an_entry_show_it(found: Found, quote: str) -> None:
    (finding,) = found(TITLE, f"title: {quote}Measure the resistor\n    hazards: [lifting]{quote}")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("swallowed-line", 34, 5, "error")
    assert (
        finding.message == "the line `hazards: [lifting]" + quote + "` would be part of the text that begins on line 33"
    )


def test_quotes_that_swallow_an_item_show_it(found: Found) -> None:
    (finding,) = found(
        "preconditions: [Fan off for ten minutes]",
        'preconditions:\n      - "Fan off for ten minutes\n      - Car on level ground"',
    )
    assert (finding.rule, finding.line, finding.column) == ("swallowed-line", 20, 7)


def test_a_block_that_swallows_a_field_shows_it(found: Found) -> None:
    (finding,) = found(DO, "do: |\n      Measure every stage.\n      hazards: [hot-parts]")
    assert (finding.rule, finding.line, finding.column) == ("swallowed-line", 36, 7)
    assert "indent it less" in finding.hint


@pytest.mark.parametrize(
    "written",
    [
        'do: "Measure every\n      stage."',
        'do: "Measure every stage.\n      Note: when cold."',
        "do: |\n      Measure every stage.\n      good: above 3 V\n      - one",
    ],
)
def test_texts_on_several_lines_are_let_pass(found: Found, written: str) -> None:
    assert found(DO, written) == []


@pytest.mark.parametrize(
    ("markdown", "lost"),
    [
        ('See [it](fan.yaml "raise the bonnet").', "raise the bonnet"),
        ("[//]: # (raise the bonnet)\n\nMeasure.", "[//]: # (raise the bonnet)"),
        ("[a]: fan.yaml\n[a]: other.yaml\n\nSee [a].", "[a]: other.yaml"),
        ("```raise the bonnet\n1 2\n```", "raise the bonnet"),
        ("| a | b |\n| - | - |\n| 1 | 2 | raise | the bonnet |", "raise | the bonnet"),
        ("a | b\n--- | ---\n1 | 2 | raise the bonnet", "raise the bonnet"),
    ],
)
def test_what_markdown_hides_is_shown(found: Found, markdown: str, lost: str) -> None:
    block = "".join(f"\n      {line}".rstrip(" ") for line in markdown.split("\n"))
    findings = found(DO, f"do: |{block}")
    assert [one.rule for one in findings] == ["hidden-text"]
    assert f"`{lost}`" in findings[0].message


@pytest.mark.parametrize(
    "markdown",
    [
        "See [it][a].\n\n[a]: fan.yaml",
        "```\n1 2\n```",
        "| a | b |\n| - | - |\n| 1 | 2 \\| 3 |",
        "a | b\n--- | ---\n1 | 2",
    ],
)
def test_markdown_that_shows_all_of_itself_is_let_pass(found: Found, markdown: str) -> None:
    block = "".join(f"\n      {line}".rstrip(" ") for line in markdown.split("\n"))
    assert found(DO, f"do: |{block}") == []


def test_long_losses_are_shortened(found: Found) -> None:
    (finding,) = found(DO, "do: Pull plug #" + "3 " * 100)
    assert finding.message.count("3 ") == 39
    assert "…`" in finding.message
