"""Hazards of a library's own entries."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]

TOOLS = "multimeter: {name: Multimeter, price: 25}\ncrimper: {%s}\n"
ACCESS = "glovebox: {open: 5 min, close: 5 min, %s}\n"
CHECKS = "at-rest: {title: Measure, results: {low: {expect: Low}}, %s}\n"
SETTINGS = "title: T\nlanguage: %s\ncurrency: EUR\nlabour_rate: 95\nareas: {cabin: {title: Cabin, implies: [%s]}}\n"


@pytest.mark.parametrize(
    ("kind", "text", "line", "said"),
    [
        (
            "tools",
            TOOLS % "name: Trolley jack",
            2,
            "`jack` calls for the hazard `lifting`, which the tool `crimper`",
        ),
        ("tools", TOOLS % "name: C, note: For the timing belt.", 2, "`timing belt` calls for the hazard `timing`"),
        (
            "access",
            ACCESS % "name: Car jacked up",
            1,
            "`Car jacked` calls for the hazard `lifting`, which the access job",
        ),
        ("access", ACCESS % "name: G, note: With the wheel off.", 1, "`wheel off` calls for the hazard `lifting`"),
        ("checks", CHECKS % "do: Crawl under the car.", 1, "`Crawl under` calls for the hazard `lifting`"),
        ("checks", CHECKS % "preconditions: [Car on ramps]", 1, "`on ramps` calls for the hazard `lifting`"),
        (
            "checks",
            CHECKS.replace("Low}", "On stands}") % "time: 0",
            1,
            "`On stands` calls for the hazard `lifting`",
        ),
    ],
)
def test_an_entry_names_the_hazards_that_its_words_call_for(
    findings_of: Found, kind: str, text: str, line: int, said: str
) -> None:
    (finding,) = (one for one in findings_of({f"catalogue/{kind}.yaml": text}) if one.rule != "unused-entry")
    assert (finding.file, finding.rule) == (f"library/catalogue/{kind}.yaml", "hazard-word")
    assert finding.line == line
    assert finding.text[finding.column - 1 :].startswith(said.split("`")[1])
    assert finding.message.startswith(said)
    assert finding.hint.startswith("add `hazards: [")


@pytest.mark.parametrize("answer", ["hazards: [lifting]", "no_hazards: {lifting: It lifts the dog.}"])
@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("tools", TOOLS % "name: Trolley jack, %s"),
        ("access", ACCESS % "name: Car jacked up, %s"),
        ("checks", CHECKS % "do: Crawl under the car., %s"),
    ],
)
def test_the_hazard_or_an_answer_settles_it(findings_of: Found, kind: str, text: str, answer: str) -> None:
    found = findings_of({f"catalogue/{kind}.yaml": text % answer})
    assert {one.rule for one in found} <= {"unused-entry"}


def test_a_check_has_the_hazards_of_its_tools(findings_of: Found) -> None:
    files = {
        "catalogue/tools.yaml": TOOLS % "name: C, hazards: [lifting]",
        "catalogue/checks.yaml": CHECKS % "do: Jack it up., tools: [crimper]",
    }
    assert {one.rule for one in findings_of(files)} <= {"unused-entry"}


def test_what_a_check_says_to_do_is_read_as_markdown(findings_of: Found) -> None:
    found = findings_of({"catalogue/checks.yaml": CHECKS % "do: Use the j&#97;ck."})
    assert "hazard-word" in {one.rule for one in found}


def test_an_entry_does_not_both_name_and_deny_a_hazard(findings_of: Found) -> None:
    text = TOOLS % "name: C, hazards: [lifting], no_hazards: {lifting: No.}"
    (finding,) = findings_of({"catalogue/tools.yaml": text})
    assert (finding.rule, finding.line, finding.column) == ("hazard-denied", 2, 53)
    assert finding.message == "`lifting` is both a hazard of the tool `crimper` and denied"


def test_an_entry_denies_hazards_that_there_are(findings_of: Found) -> None:
    (finding,) = findings_of({"catalogue/tools.yaml": TOOLS % "name: C, no_hazards: {liftin: No.}"})
    assert (finding.rule, finding.line, finding.column) == ("unknown-hazard", 2, 33)
    assert finding.hint == "did you mean `lifting`?"


def test_an_area_implies_hazards_that_there_are(findings_of: Found) -> None:
    (finding,) = findings_of({"library.yaml": SETTINGS % ("en", "liftin")})
    assert (finding.file, finding.rule, finding.line, finding.column) == (
        "library/library.yaml",
        "unknown-hazard",
        5,
        41,
    )
    assert finding.hint == "did you mean `lifting`?"


def test_a_language_without_words_is_a_warning(findings_of: Found) -> None:
    (finding,) = findings_of({"library.yaml": SETTINGS % ("fr", "")})
    assert (finding.rule, finding.severity, finding.line, finding.column) == ("no-hazard-words", "warning", 2, 11)
    assert finding.message.startswith("no hazard words are built in for the language `fr`")
