"""Words that call for a hazard, and the answer to them."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]

DO = "do: Measure every stage."


def test_a_word_calls_for_its_hazard(found: Found) -> None:
    (finding,) = found(DO, "do: Put a Jack under it.")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("hazard-word", 34, 15, "error")
    assert finding.message == "`Jack` calls for the hazard `lifting`, which the step `measure-resistor` does not name"
    assert finding.hint == "add `hazards: [lifting]`, or answer with `no_hazards: {lifting: why it does not apply}`"


@pytest.mark.parametrize(
    ("pieces", "line"),
    [
        (("title: Measure the resistor", "title: Jack and measure"), 33),
        (("preconditions: [Fan off for ten minutes]", "preconditions: [Car on ramps]"), 18),
        (("expect: One stage reads open", "expect: The jack slips"), 38),
        (("title: Fit a repair plug", "title: Raise the car and fit a plug"), 41),
        (("trial: ten minutes on speed 1", "trial: on axle stands"), 43),
    ],
)
def test_every_text_of_a_step_or_ending_is_looked_at(found: Found, pieces: tuple[str, str], line: int) -> None:
    (finding,) = found(*pieces)
    assert (finding.rule, finding.line) == ("hazard-word", line)


# How a word may be written so that it reads the same, by accident (emphasis, line ends, a soft hyphen that was pasted)
# or so that a reviewer's search does not find it.
@pytest.mark.parametrize(
    "written",
    [
        "do: Cover the timing **belt**.",
        "do: Cover the *timing* belt.",
        "do: Cover the timing-belt.",
        "do: Cover the TIMING\u00a0BELT.",
        "do: Cover the tim\u00ading belt.",
        "do: Cover the timing b\u200belt.",
        "do: Cover the [timing](fan.yaml) belt.",
        "do: Cover the t&#105;ming belt.",
        "do: Cover the `timing belt`.",
        'do: "Cover the timing\\x20belt."',
        'do: "Cover the t\\u0069ming belt."',
        "do: >\n      Cover the timing\n      belt.",
        "do: |\n      Cover the timing\n      belt.",
    ],
)
def test_a_word_is_found_however_it_is_written(found: Found, written: str) -> None:
    assert [one.rule for one in found(DO, written)] == ["hazard-word"]


@pytest.mark.parametrize("written", ["do: Hijack the jacket.", "do: The belt. Timing matters.", "do: '[it](fan.yaml)'"])
def test_other_words_call_for_nothing(found: Found, written: str) -> None:
    assert found(DO, written) == []


def test_words_of_the_librarys_own_hazards_count(found: Found) -> None:
    (finding,) = found(DO, "do: It will scald you.")
    assert "calls for the hazard `hot-parts`" in finding.message


@pytest.mark.parametrize("answer", ["hazards: [lifting]", "no_hazards: {lifting: No car is raised.}"])
def test_a_hazard_or_an_answer_settles_it(found: Found, answer: str) -> None:
    assert found(DO, f"do: Look for the jack.\n    {answer}") == []


def test_a_hazard_of_an_access_job_settles_it(findings_of: Found, playbook: Callable[..., str]) -> None:
    access = "glovebox: {name: G, open: 5 min, close: 5 min, hazards: [lifting]}\n"
    files = {"catalogue/access.yaml": access, "cabin/fan.yaml": playbook("Pull the plug", "Use the jack")}
    assert findings_of(files) == []


def test_a_hazard_is_not_both_named_and_denied(found: Found) -> None:
    (finding,) = found("hazards: [hot-parts]", "hazards: [hot-parts]\n    no_hazards: {hot-parts: cold}")
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("hazard-denied", 23, 18, "error")
    assert finding.message == "`hot-parts` is both a hazard of `look-at-plug` and denied"
    assert finding.hint == "delete the one that is wrong; a hazard may come from an access job"
