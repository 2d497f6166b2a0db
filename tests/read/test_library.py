"""Library: everything read, every finding of the run, in order."""

from collections.abc import Callable
from functools import partial
from multiprocessing.pool import ThreadPool
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.read.findings import Finding, in_order
from builder.read.library import read_library
from builder.read.reading import Appraisal, Reading

Found = Callable[..., list[Finding]]
Playbook = Callable[..., str]


def handing_over(playbook: Playbook, slug: str) -> str:
    return playbook(
        *("next: new-plug", f"next: {{playbook: {slug}}}"),
        *("  new-plug:     {title: Fit a repair plug, settles: [plug], time: 30-60 min, parts: [resistor-plug], "
          "tools: [crimper]}\n", ""),
        *("    tools: [multimeter]", "    tools: [multimeter, crimper]\n    parts: [resistor-plug]"),
    )  # fmt: skip


def test_a_sound_library_has_no_findings_and_all_its_records(make_library: Callable[..., Path]) -> None:
    read = read_library(make_library())
    library, findings = read.library, read.findings
    assert library
    assert findings == ()
    assert list(library.playbooks) == ["fan"]
    assert library.playbooks["fan"].area == "cabin"
    assert set(library.catalogue.hazards) == {"hot-parts", "timing", "lifting"}


def test_findings_of_all_files_come_in_one_run_sorted_by_file_and_line(findings_of: Found, playbook: Playbook) -> None:
    broken = playbook("cost: 0", "cost: x", "share: 70%", "share: x")
    findings = findings_of({
        "library.yaml": "title: T\ncurrency: EUR\nlabour_rate: x\nareas: {cabin: Cabin}\n",
        "catalogue/tools.yaml": "multimeter: {name: M, price: x}\ncrimper: {name: C}\n",
        "cabin/fan.yaml": broken,
        "cabin/air.yaml": broken,
        "cabin/Bad.yaml": "",
    })  # fmt: skip
    assert [(one.file, one.line) for one in findings] == [
        ("library/cabin/Bad.yaml", 1),
        ("library/cabin/air.yaml", 10),
        ("library/cabin/air.yaml", 20),
        ("library/cabin/fan.yaml", 10),
        ("library/cabin/fan.yaml", 20),
        ("library/catalogue/tools.yaml", 1),
        ("library/library.yaml", 3),
    ]
    assert findings == in_order(findings)


def test_one_broken_playbook_does_not_take_the_others_away(
    make_library: Callable[..., Path], playbook: Playbook
) -> None:
    read = read_library(make_library({"cabin/air.yaml": "a: [", "cabin/fan.yaml": playbook()}))
    library, findings = read.library, read.findings
    assert library
    assert [one.rule for one in findings] == ["syntax"]
    assert list(library.playbooks) == ["fan"]


def test_a_hand_over_leads_to_another_playbook(findings_of: Found, playbook: Playbook) -> None:
    assert findings_of({"cabin/air.yaml": handing_over(playbook, "fan")}) == []


def test_hand_overs_that_go_round_are_warnings_at_each(findings_of: Found, playbook: Playbook) -> None:
    files = {"cabin/fan.yaml": handing_over(playbook, "air"), "cabin/air.yaml": handing_over(playbook, "fan")}
    assert [(one.file, one.line, one.column, one.rule, one.severity, one.message) for one in findings_of(files)] == [
        (
            "library/cabin/air.yaml",
            27,
            15,
            "handover-ring",
            "warning",
            "hand-overs go round in a ring: air → fan → air",
        ),
        (
            "library/cabin/fan.yaml",
            27,
            15,
            "handover-ring",
            "warning",
            "hand-overs go round in a ring: fan → air → fan",
        ),
    ]


def test_a_playbook_that_hands_over_to_itself_goes_round(findings_of: Found, playbook: Playbook) -> None:
    (finding,) = findings_of({"cabin/fan.yaml": handing_over(playbook, "fan")})
    assert finding.message == "hand-overs go round in a ring: fan → fan"


def test_old_slugs_lead_to_one_playbook_and_are_the_slug_of_none(findings_of: Found, playbook: Playbook) -> None:
    claims = playbook("format: 1", "format: 1\nwas: [blower, fan]")
    findings = findings_of(
        {"cabin/air.yaml": claims, "cabin/fan.yaml": playbook("format: 1", "format: 1\nwas: [blower]")}
    )
    assert [(one.file, one.line, one.column, one.rule, one.message) for one in findings] == [
        ("library/cabin/air.yaml", 2, 15, "was-taken", "the old slug `fan` is the slug of a playbook"),
        (
            "library/cabin/fan.yaml",
            2,
            7,
            "was-taken",
            "the old slug `blower` is claimed twice; first in library/cabin/air.yaml",
        ),
    ]


def test_playbooks_read_at_the_same_time_give_the_same(make_library: Callable[..., Path], playbook: Playbook) -> None:
    root = make_library({f"cabin/p-{i}.yaml": playbook("cost: 0", f"cost: {'x' * (i % 3)}") for i in range(50)})
    with ThreadPool(4) as pool:

        def run(function: Any, things: Any, shared: Any) -> Any:
            return pool.imap(partial(function, shared), things)

        assert read_library(root, run=run) == read_library(root)


def test_advice_is_asked_only_of_playbooks_without_errors(
    make_library: Callable[..., Path], playbook: Playbook
) -> None:
    asked = []

    def appraise(reading: Reading) -> Appraisal:
        asked.append(reading.path)
        return Appraisal(reading.playbook, found="what was found")

    root = make_library({"cabin/air.yaml": playbook("cost: 0", "cost: x")})
    read = read_library(root, appraise=appraise)
    assert asked == ["cabin/fan.yaml"]
    assert read.found == {"fan": "what was found"}


# Pieces from which a hostile or hurried author might make a file, so that the search soon gets behind the parser.
PIECES = [
    *("format: 1\n", "title: ", "steps:\n", "  a:\n", "    results:\n", "endings: {}\n", "causes: ", "start: a\n"),
    *(
        "{",
        "}",
        "[",
        "]",
        ": ",
        "- ",
        "? ",
        ",",
        "\n",
        "  ",
        "&a ",
        "*a",
        "!!map ",
        "---\n",
        "|\n",
        '"',
        "'",
        "\\",
        "#",
    ),
    *("chance: rest", "50%", "{plug: 95%}", "next: a", "{playbook: x}", "PT1H", "10-20 min", "\0", "\t", "\u202e", "٣"),
]


@given(st.lists(st.sampled_from(PIECES) | st.text(max_size=3), max_size=30).map("".join), st.integers(0, 44))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_gives_findings_within_the_file_and_raises_nothing(
    make_library: Callable[..., Path], playbook: Playbook, text: str, line: int
) -> None:
    lines = playbook().splitlines(keepends=True)
    for content in (text, "".join([*lines[:line], text, *lines[line + 1 :]])):
        root = make_library({"cabin/fan.yaml": content.encode("utf-8", "surrogatepass")})
        count = len(content.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
        for finding in read_library(root, "library").findings:
            if finding.file.endswith("fan.yaml"):
                assert 1 <= finding.line <= count
                assert finding.column >= 1


@given(st.data())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_a_library_with_any_value_changed_raises_nothing(
    make_library: Callable[..., Path], playbook: Playbook, data: st.DataObject
) -> None:
    lines = playbook().splitlines()
    number = data.draw(st.integers(0, len(lines) - 1))
    key, _, _ = lines[number].partition(":")
    value = data.draw(st.sampled_from(["", "[]", "{}", "x", "[x]", "{x: y}", "'\\0'", "~", "0", "100%", "rest", "*a"]))
    lines[number] = f"{key}: {value}"
    read_library(make_library({"cabin/fan.yaml": "\n".join(lines)}))
