"""Words that call for a hazard, and the answer to them."""

from collections.abc import Callable
from typing import Final

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
        (("cost: 0", "mishap: {what: The jack slips, chance: 1%, cost: 1000}"), 20),
        (("access: [glovebox]", "reading: {of: Height on the jack, unit: mm}"), 21),
    ],
)
def test_every_text_of_a_step_or_ending_is_looked_at(found: Found, pieces: tuple[str, str], line: int) -> None:
    (finding,) = [one for one in found(*pieces) if one.rule != "range-alone"]
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


@pytest.mark.parametrize(
    "written", ["tim\u00ading belt", "timing b\u200belt", "timing&#x200b; belt", "timing be&shy;lt"]
)
def test_an_invisible_character_hides_no_word(found: Found, written: str) -> None:
    assert sorted(one.rule for one in found(DO, f"do: Cover the {written}.")) == ["hazard-word", "invisible-character"]


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
    assert (
        finding.hint == "delete the one that is wrong; a hazard may come from an access job, a tool or a common check"
    )


def test_a_finding_tells_the_first_place_and_up_to_three_words(found: Found) -> None:
    do = "do: |\n      Look first.\n\n      Take the **jack**, a hoist, a trolley jack, axle stands and a creeper."
    (finding,) = found(DO, do)
    assert (finding.line, finding.column) == (37, 18)
    assert finding.message.startswith("`jack`, `hoist`, `axle stands` call for the hazard `lifting`, which the step")


@pytest.mark.parametrize(
    ("pieces", "line", "word"),
    [
        (("title: Cabin fan runs on the top speed only", "title: Clonk on the jack"), 2, "jack"),
        (("summary: Speeds 1 to 3 are dead", "summary: On axle stands speeds 1 to 3 are dead"), 5, "axle stands"),
        (("conditions: [any temperature", "conditions: [wheels off the ground"), 6, "wheels off"),
        (("preconditions: [Battery above 12.4 V]", "preconditions: [Car on axle stands]"), 8, "axle stands"),
        (("name: Worn speed switch", "name: Stretched timing chain"), 12, "timing chain"),
        (("share: 15%", "share: 15%, note: Seen with the wheel off"), 12, "wheel off"),
        (("vehicles:", "also: [no fan on the hoist]\nvehicles:"), 3, "hoist"),
    ],
)
def test_every_text_of_a_playbook_is_looked_at(found: Found, pieces: tuple[str, str], line: int, word: str) -> None:
    (finding,) = found(*pieces)
    assert (finding.rule, finding.line) == ("hazard-word", line)
    assert finding.text[finding.column - 1 :].startswith(word)
    assert finding.message.endswith("which no step and no ending of the playbook names")
    assert "at the top of the playbook with `no_hazards: {" in finding.hint


CONDITION = ("preconditions: [Battery above 12.4 V]", "preconditions: [Car on axle stands]")


@pytest.mark.parametrize(
    "pieces",
    [
        ("hazards: [hot-parts]", "hazards: [hot-parts, lifting]"),
        ("causes:", "no_hazards: {lifting: It stands there.}\ncauses:"),
    ],
)
def test_a_step_with_the_hazard_or_an_answer_settles_the_texts_of_a_playbook(
    found: Found, pieces: tuple[str, str]
) -> None:
    assert found(*CONDITION, *pieces) == []


def test_a_playbook_does_not_deny_what_its_steps_name(found: Found) -> None:
    denial = ("causes:", "no_hazards: {hot-parts: They are cold.}\ncauses:")
    (finding,) = found(*denial)
    assert (finding.rule, finding.line) == ("hazard-denied", 9)
    assert finding.message == "the playbook denies `hot-parts`, which is a hazard of a step or an ending"


def test_a_playbook_denies_hazards_that_there_are(found: Found) -> None:
    (finding,) = found("causes:", "no_hazards: {hot-partz: They are cold.}\ncauses:")
    assert (finding.rule, finding.line, finding.hint) == ("unknown-hazard", 9, "did you mean `hot-parts`?")


PARTS = "fan-resistor: {name: R, price: 18-45}\nspeed-switch: {name: S, price: 30-60}\n"


def test_a_part_that_calls_for_a_hazard_asks_it_of_the_work_that_needs_the_part(findings_of: Found) -> None:
    parts = f"{PARTS}resistor-plug: {{name: Timing belt, price: 12}}\n"
    (finding,) = findings_of({"catalogue/parts.yaml": parts})
    assert (finding.file, finding.rule, finding.line) == ("library/cabin/fan.yaml", "hazard-word", 41)
    assert finding.message == "`Timing belt` calls for the hazard `timing`, which the ending `new-plug` does not name"


def test_a_part_may_answer_for_all_its_work(findings_of: Found) -> None:
    answer = "no_hazards: {timing: Of a mower.}"
    parts = f"{PARTS}resistor-plug: {{name: Timing belt, price: 12, {answer}}}\n"
    assert findings_of({"catalogue/parts.yaml": parts}) == []


def test_a_hazard_of_a_tool_settles_it(findings_of: Found, playbook: Callable[..., str]) -> None:
    tools = "multimeter: {name: M}\ncrimper: {name: C, hazards: [lifting]}\n"
    files = {"catalogue/tools.yaml": tools, "cabin/fan.yaml": playbook("title: Fit a repair plug", "title: Jack it up")}
    assert findings_of(files) == []


CHECK = "at-rest: {title: Measure on axle stands, %s results: {low: {expect: Low}, high: {expect: High}}}\n"
TAKEN = (
    "    title: Measure the resistor\n    do: Measure every stage.\n",
    "    do: Measure every stage.\n    hazards: []\n    check: at-rest\n",
)


def test_a_step_cannot_take_the_words_of_a_check_and_leave_its_hazards(
    findings_of: Found, playbook: Callable[..., str]
) -> None:
    files = {"catalogue/checks.yaml": CHECK % "hazards: [lifting],", "cabin/fan.yaml": playbook(*TAKEN)}
    (finding,) = (one for one in findings_of(files) if one.rule == "hazard-word")
    assert (finding.file, finding.line) == ("library/cabin/fan.yaml", 35)
    assert finding.message.startswith("`axle stands` calls for the hazard `lifting`, which the step")


LOOKED: Final = (
    "at-rest: {title: Look at it, hazards: [hot-parts, lifting], results: {low: {expect: Low}, high: {expect: High}}}\n"
)


def test_a_step_that_leaves_out_a_hazard_of_its_check_says_why(
    findings_of: Found, playbook: Callable[..., str]
) -> None:
    def found(answer: str) -> list[str]:
        pieces = TAKEN[0], TAKEN[1].replace("hazards: []", answer)
        files = {"catalogue/checks.yaml": LOOKED, "cabin/fan.yaml": playbook(*pieces)}
        return [one.message for one in findings_of(files) if one.rule == "hazard-dropped"]

    said = [
        f"the step `measure-resistor` leaves out the hazard `{name}` of the check `at-rest`"
        for name in ("hot-parts", "lifting")
    ]
    assert found("hazards: []") == said
    assert found("hazards: [lifting]") == said[:1]
    assert found("hazards: []\n    no_hazards: {lifting: Only looked at., hot-parts: It is cold.}") == []
    assert found("time: 5 min") == []


def test_a_step_that_only_looks_answers_the_word_and_has_no_hazard(found: Found) -> None:
    looking = "hazards: []\n    no_hazards: {timing: It is read in the service book.}"
    assert found("do: Measure every stage.", f"do: Look up when the timing belt was renewed.\n    {looking}") == []


SETTINGS = "title: T\nlanguage: %s\ncurrency: EUR\nlabour_rate: 95\nareas: {cabin: {title: Cabin, implies: [%s]}}\n"


def test_an_area_that_implies_a_hazard_asks_it_of_every_step_and_ending(findings_of: Found) -> None:
    found = findings_of({"library.yaml": SETTINGS % ("en", "lifting")})
    assert {one.rule for one in found} == {"hazard-implied"}
    assert [one.line for one in found] == [15, 32, 41, 42, 44]
    assert found[0].message == (
        "the step `look-at-plug` does not name the hazard `lifting`, which work in the area `cabin` implies"
    )


@pytest.mark.parametrize("settles", ["hazards: [hot-parts, lifting]", "no_hazards: {lifting: It stands.}"])
def test_the_hazard_or_an_answer_settles_what_an_area_implies(
    findings_of: Found, playbook: Callable[..., str], settles: str
) -> None:
    pieces = ["    hazards: [hot-parts]\n", "", "    do: Measure every stage.\n", f"    {settles}\n"]
    pieces += ["    cost: 0\n", f"    {settles}\n"]
    for cause in ("plug", "resistor", "switch"):
        pieces += [f"settles: [{cause}],", f"settles: [{cause}], {settles},"]
    files = {"library.yaml": SETTINGS % ("en", "lifting"), "cabin/fan.yaml": playbook(*pieces)}
    assert {one.rule for one in findings_of(files)} <= {"unused-entry"}


def test_a_hazard_that_a_playbook_denies_is_not_idle(findings_of: Found, playbook: Callable[..., str]) -> None:
    cold = "cold: {name: Cold, signal: notice, harm: Chills., avoid: Dress., words: [frost]}\n"
    hot = "hot-parts: {name: Hot parts, signal: caution, harm: Burns., avoid: Let it cool.}\n"
    book = playbook("[Battery above 12.4 V]", "[No frost]\nno_hazards: {cold: It is summer.}")
    assert findings_of({"catalogue/hazards.yaml": hot + cold, "cabin/fan.yaml": book}) == []


def test_a_german_library_is_read_in_german(findings_of: Found, playbook: Callable[..., str]) -> None:
    files = {"library.yaml": SETTINGS % ("de-AT", ""), "cabin/fan.yaml": playbook(DO, "do: Das Auto vorn aufbocken.")}
    (finding,) = findings_of(files)
    assert (finding.rule, finding.line) == ("hazard-word", 34)
