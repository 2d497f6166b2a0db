"""A text is what it looks like, and never like a warning of the site."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]
FindingsOf = Callable[..., list[Finding]]

DO = "do: Measure every stage."


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: Cabin fan", "title: DANGER Cabin fan"),
        ("summary: Speeds", "summary: WARNING, speeds"),
        ("[any temperature,", "[CAUTION any temperature,"),
        ("[Battery above 12.4 V]", "[VORSICHT Batterie]"),
        ("name: Burnt fan", "name: GEFAHR Burnt fan"),
        ("title: Look at the resistor plug", "title: ⚠ Look at the resistor plug"),
        ("[Fan off for ten minutes]", "[WARNUNG Fan off]"),
        ("expect: Plastic and pins", "expect: DANGER plastic and pins"),
        ("trial: ten minutes", "trial: CAUTION ten minutes"),
        (DO, "do: DANGER measure."),
        (DO, "do: |\n      Measure.\n\n      DANGER! Measure."),
        (DO, "do: |\n      Measure.\\\n      DANGER! Measure."),
        (DO, "do: |\n      - Measure.\n      - **DANGER** Measure."),
        (DO, "do: |\n      > DANGER"),
        (DO, "do: |\n      # DANGER"),
        (DO, "do: '`DANGER` measure.'"),
        (DO, "do: '&#68;ANGER measure.'"),
        (DO, "do: '[DANGER](fan.yaml) measure.'"),
        (DO, "do: |\n      ```\n      +--------+\n      | DANGER |\n      ```"),
        (DO, "do: |\n      | a | b |\n      | - | - |\n      | 1 | DANGER |"),
        (DO, "do: |\n      | Danger |\n      | - |\n      | 1 |"),
    ],
)
def test_a_text_that_begins_like_a_panel_is_found(found: Found, old: str, new: str) -> None:
    (finding,) = found(old, new)
    assert (finding.rule, finding.severity) == ("signal-word", "error")
    assert "hazards: […]" in finding.hint


@pytest.mark.parametrize(
    "new",
    [
        "do: The lamp says DANGER in red.",
        "do: Danger lurks here.",
        "do: |\n      Measure at the plug. The lamp says\n      WARNING and goes out.",
        "do: |\n      | a |\n      | - |\n      | Danger |",
    ],
)
def test_signal_words_in_a_sentence_are_let_pass(found: Found, new: str) -> None:
    assert found(DO, new) == []


def test_texts_of_settings_and_catalogue_count_too(findings_of: FindingsOf) -> None:
    files = {
        "library.yaml": (
            "title: DANGER\nlanguage: en-GB\ncurrency: EUR\nlabour_rate: 95\nowner_hour: 15\n"
            "notice: WARNING, all of it\nareas: {cabin: {title: CAUTION}}\n"
        ),
        "catalogue/hazards.yaml": (
            "hot-parts: {name: DANGER, signal: caution, harm: WARNING burns., avoid: Let it cool., words: [scald]}\n"
        ),
        "catalogue/parts.yaml": (
            "fan-resistor: {name: R, price: 18-45}\nresistor-plug: {name: P, price: 12, note: NOTICE}\n"
            "speed-switch: {name: S, price: 30-60}\n"
        ),
    }
    found = findings_of(files)
    assert [(one.file.rpartition("/")[2], one.line) for one in found] == [
        ("hazards.yaml", 1),
        ("hazards.yaml", 1),
        ("parts.yaml", 2),
        ("library.yaml", 1),
        ("library.yaml", 6),
        ("library.yaml", 7),
    ]
    assert {one.rule for one in found} == {"signal-word"}


@pytest.mark.parametrize(
    ("entity", "rule"),
    [
        ("&#x202e;", "bidi-control"),
        ("&#8238;", "bidi-control"),
        ("&#x2066;", "bidi-control"),
        ("&#x202D;", "bidi-control"),
        ("&rlm;", "bidi-control"),
        ("&ZeroWidthSpace;", "invisible-character"),
        ("&shy;", "invisible-character"),
        ("&zwj;", "invisible-character"),
        ("&#xE0061;", "invisible-character"),
    ],
)
def test_an_entity_brings_in_nothing_that_a_file_may_not_hold(found: Found, entity: str, rule: str) -> None:
    (finding,) = found(DO, f"do: 'Measure {entity} it.'")
    assert (finding.rule, finding.line, finding.column, finding.severity) == (rule, 34, 9, "error")
    assert finding.message.endswith("written as an entity")


@pytest.mark.parametrize("piled", ["a\u0300\u0301\u0302\u0303", "!\u20e4", "P\u20e0", "x\u20dd"])
def test_marks_that_pile_up_are_found(found: Found, piled: str) -> None:
    (finding,) = found(DO, f"do: Measure {piled} it.")
    assert (finding.rule, finding.column) == ("piled-marks", 17)


@pytest.mark.parametrize("word", ["mức", "mu\u031b\u0301c", "שָּׁלוֹם", "क्षेत्र", "1\u20e3"])
def test_marks_that_spelling_needs_are_let_pass(found: Found, word: str) -> None:
    assert found(DO, f"do: Measure {word} it.") == []
