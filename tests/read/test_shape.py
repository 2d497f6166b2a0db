"""Shape: every mismatch a finding at its place, and one mistake hides no other and makes none up."""

from collections.abc import Callable

import pytest

from builder.read.findings import Finding

Found = Callable[..., list[Finding]]
Brief = Callable[[list[Finding]], list[tuple[str, int, int, str]]]

RESULTS = "results:\n      browned:"


def only(findings: list[Finding]) -> Finding:
    (finding,) = findings
    return finding


@pytest.mark.parametrize(
    ("pieces", "rule", "line", "column", "message", "hint"),
    [
        (("    cost: 0", "    kost: 0"), "unknown-key", 20, 5, "unknown key `kost`", "did you mean `cost`?"),
        (("cost: 0", "cost: 1O"), "notation", 20, 11, "`cost`: `1O` is not an amount of money", "write a plain number"),
        (("cost: 0", "cost: -1"), "notation", 20, 11, "`cost`: `-1` is negative", "write 0 or more"),
        (("low: 5 min", "low: 5"), "notation", 35, 17, "`time`: the time `5` needs a unit", "write `5 min` or `5 h`"),
        (
            ("high: 20 min", "hihg: 20 min"),
            "notation",
            35,
            46,
            "`time`: unknown key `hihg` in an amount",
            "the keys are",
        ),
        (("plug: 95%", "plug: 95"), "notation", 26, 24, "`chance`: `95` is not a percentage", "write `95%`"),
        (
            ("share: 70%", "share: most"),
            "notation",
            10,
            47,
            "`share`: `most` is not a percentage",
            "write a percentage",
        ),
        (("[glovebox]", "glovebox"), "shape", 21, 13, "`access` must be a list", "write `[glovebox]`"),
        (("[glovebox]", "[{a: b}]"), "notation", 21, 14, "`access`: this must be text", "write one line of text"),
        (("[glovebox]", "[Glove box]"), "notation", 21, 14, "`access`: `Glove box` is not a name", "write `glove-box`"),
        (
            ("next: new-plug", "next: New plug"),
            "unknown-next",
            27,
            15,
            "`next`: no step or ending `New plug`",
            "write `new-plug`",
        ),
        (("next: new-plug", "next: [x]"), "notation", 27, 15, "`next`: this leads nowhere", "name a step or an ending"),
        (("      browned:", "      Browned:"), "notation", 24, 7, "`Browned` is not a name", "write `browned`"),
        (("format: 1", "format: one"), "notation", 1, 9, "`format` must be `1`", "write `1`"),
        (
            ("cost: 0", "who: me"),
            "notation",
            20,
            10,
            "`who` must be `owner` or `shop`",
            "write `owner` or `shop`",
        ),
        (
            ("    title: Measure the resistor\n", ""),
            "missing-key",
            32,
            3,
            "`title` is missing in `measure-resistor`",
            "add",
        ),
        (("start: look-at-plug\n", ""), "missing-key", 1, 1, "`start` is missing", "name the first step"),
        (("format: 1\n", ""), "missing-key", 1, 1, "`format` is missing", "write `format: 1`"),
        (
            ("format: 1", "format: 1\nslug: x"),
            "unknown-key",
            2,
            1,
            "unknown key `slug`",
            "delete it; known here: `accept`, ",
        ),
        (
            ("{trial: ten minutes on speed 1, shows: 60%}", "often"),
            "shape",
            43,
            25,
            "`prove` must be a mapping",
            "write",
        ),
    ],
)
def test_a_mismatch_is_one_finding_at_its_place(
    found: Found, pieces: tuple[str, str], rule: str, line: int, column: int, message: str, hint: str
) -> None:
    finding = only(found(*pieces))
    assert (finding.file, finding.severity) == ("library/cabin/fan.yaml", "error")
    assert (finding.rule, finding.line, finding.column, finding.message) == (rule, line, column, message)
    assert finding.hint.startswith(hint)


def test_a_misspelt_key_that_must_be_there_is_one_finding(found: Found) -> None:
    finding = only(found("title: Cabin fan", "titel: Cabin fan"))
    assert (finding.rule, finding.line, finding.hint) == ("unknown-key", 2, "did you mean `title`?")


def cut(playbook: str, first: str, after: str) -> str:
    """The playbook without what stands from one top-level key to another."""
    start = playbook.index(f"\n{first}:") + 1
    end = playbook.index(f"\n{after}:") + 1 if after else len(playbook)
    return playbook[:start] + playbook[end:]


@pytest.mark.parametrize(
    ("section", "after", "instead", "rule", "message"),
    [
        ("steps", "endings", "", "missing-key", "`steps` is missing"),
        ("steps", "endings", "steps: {}\n", "shape", "`steps` is empty"),
        ("steps", "endings", "steps: [a]\n", "shape", "`steps` must be a mapping"),
        ("endings", "", "endings: [a]\n", "shape", "`endings` must be a mapping"),
        ("causes", "start", "causes: [a]\n", "shape", "`causes` must be a mapping"),
        ("symptom", "preconditions", "", "missing-key", "`symptom` is missing"),
        ("symptom", "preconditions", "symptom: bad\n", "shape", "`symptom` must be a mapping"),
    ],
)
def test_a_section_that_is_lost_brings_no_further_findings(
    findings_of: Found,
    playbook: Callable[..., str],
    section: str,
    after: str,
    instead: str,
    rule: str,
    message: str,
) -> None:
    finding = only(findings_of({"cabin/fan.yaml": cut(playbook(), section, after) + instead}))
    assert (finding.rule, finding.message) == (rule, message)


@pytest.mark.parametrize("text", ["- a\n- b\n", "just text\n", "~\n"])
def test_a_file_that_is_no_mapping_has_one_finding(findings_of: Found, text: str) -> None:
    finding = only(findings_of({"cabin/fan.yaml": text}))
    assert (finding.rule, finding.line, finding.column) == ("shape", 1, 1)


def test_results_must_be_there(found: Found, brief: Brief) -> None:
    assert brief(found(RESULTS, "results: {}\n    unknown:\n      browned:"))[0] == ("shape", 23, 14, "error")


def test_a_key_with_the_name_of_a_mark_is_a_key_like_another(found: Found) -> None:
    """``[key]`` is how pydantic marks that the key of a mapping is at fault."""
    messages = [one.message for one in found("      browned:", "      '[key]':")]
    assert messages == ["`[key]` is not a name"]


def test_values_that_had_a_finding_get_no_second_one(found: Found, brief: Brief) -> None:
    findings = found(
        *("share: 15%", "share: *x"),
        *("plug: 95%", "plug: *x"),
        *("time: 1 h", "time: {low: *x, likely: 1 h, high: 2 h}"),
        *("[crimper]", "*x"),
        *("next: new-plug", "next: *x"),
    )
    assert [one.rule for one in findings] == ["alias"] * 5


def test_many_mistakes_are_all_found_in_one_run_and_nothing_else(found: Found, brief: Brief) -> None:
    findings = found(
        *("format: 1", "format: x"),
        *("codes: []", "codes: [P012]"),
        *("share: 15%", "share: 15"),
        *("time: 10-20 min", "time: 20-10 min"),
        *("hazards: [hot-parts]", "hazards: hot-parts"),
        *("      browned:", "      Browned:"),
        *("tools: [multimeter]", "tools: [multimetre]"),
        *("settles: [resistor]", "settle: [resistor]"),
        *("shows: 60%", "shows: often"),
        *("parts: [speed-switch]", "parts: {speed-switch: many}"),
    )
    assert brief(findings) == [
        ("notation", 1, 9, "error"),
        ("bad-code", 7, 11, "error"),
        ("notation", 12, 46, "error"),
        ("notation", 19, 11, "error"),
        ("shape", 22, 14, "error"),
        ("notation", 24, 7, "error"),
        ("unknown-tool", 36, 13, "error"),
        ("unknown-key", 42, 45, "error"),
        ("notation", 43, 64, "error"),
        ("notation", 44, 101, "error"),
    ]


# Each of these takes something out of the record that a check then misses; none may be blamed on the author.
@pytest.mark.parametrize(
    ("pieces", "rule"),
    [
        (("next: new-plug", "next: [new-plug]"), "notation"),
        (("next: measure-resistor", "next: {playbok: x}"), "notation"),
        (("time: 10-20 min", "time: soon"), "notation"),
        (("      clean:", "      Clean:"), "notation"),
        (("      clean:", "      browned:"), "duplicate-key"),
        (("chance: {plug: 95%, otherwise: 3%}", "chance: 3"), "notation"),
        (("{plug: 95%, otherwise: 3%}", "{plugg: 95%, otherwise: 3%}"), "unknown-cause"),
        (("share: 15%", "share: x"), "notation"),
        (("share: 70%", "share: x"), "notation"),
        (("switch:   {name: Worn speed switch, share: 15%}", "switch: worn"), "shape"),
        (("hazards: [hot-parts]", "hazards: [lifting, Bad]", "Pull the plug", "Jack it up"), "notation"),
        (("hazards: [hot-parts]", "hazards: lifting", "Pull the plug", "Jack it up"), "shape"),
        (("hazards: [hot-parts]", "hazards: [liftin]", "Pull the plug", "Jack it up"), "unknown-hazard"),
        (("access: [glovebox]", "access: [wheel]", "Pull the plug", "Jack it up"), "unknown-access"),
        (("hazards: [hot-parts]", "no_hazards: {lifting: ''}", "Pull the plug", "Jack it up"), "notation"),
    ],
)
def test_one_mistake_is_one_finding(found: Found, pieces: tuple[str, ...], rule: str) -> None:
    assert only(found(*pieces)).rule == rule
