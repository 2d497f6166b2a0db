"""Bad input within a file: each gives a finding at its place through the command, and never a traceback."""

import os
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import Result

Check = Callable[..., Result]
Playbook = Callable[..., str]

PLACE = re.compile(
    r"^(?P<file>[^\n]*?):(?P<line>\d+):(?P<column>\d+): (?:error|warning): [^\n]* \[(?P<rule>[a-z0-9-]+)\]$", re.M
)


def findings(result: Result) -> list[tuple[str, int, int, str]]:
    """File, line, column and rule of every finding that the command showed."""
    shown = [match.groups() for match in PLACE.finditer(result.stderr)]
    assert result.stdout == ""
    assert result.exit_code == (1 if ": error: " in result.stderr else 0)
    return [(file, int(line), int(column), rule) for file, line, column, rule in shown]


def rules(result: Result) -> list[str]:
    return [rule for *_, rule in findings(result)]


def test_the_library_that_is_attacked_is_sound(check: Check) -> None:
    assert findings(check()) == []


@pytest.mark.parametrize(
    ("old", "new", "rule", "line", "column"),
    [
        ("cost: 0", "cost: 0\n    cost: 5", "duplicate-key", 21, 5),
        ("cost: 0", "cost: &money 0", "anchor", 20, 11),
        ("cost: 0", "cost: *money", "alias", 20, 11),
        ("cost: 0", "cost: !!python/object/apply:os.system ['touch pwned']", "tag", 20, 11),
        ("cost: 0", "cost: !!int 0", "tag", 20, 11),
        ("cost: 0", "cost: ! 0", "tag", 20, 11),
        ("cost: 0", "cost: !!binary AAAA", "tag", 20, 11),
        ("cost: 0", "<<: {cost: 5}", "unknown-key", 20, 5),
        ("cost: 0", "__proto__: 5", "unknown-key", 20, 5),
        ("cost: 0", "constructor: 5", "unknown-key", 20, 5),
        ("cost: 0", "slug: x", "unknown-key", 20, 5),
        ("cost: 0", "cost:\t0", "tab", 20, 10),
        ("cost: 0", "cost: \0" + "0", "control-character", 20, 11),
        ("cost: 0", "cost: 0 # \x1b[2J", "control-character", 20, 15),
        ("Measure every", "Mea\u202esure every", "bidi-control", 34, 12),
        ("Measure every", "Mea\u2066sure every", "bidi-control", 34, 12),
        ("do: Measure every stage.", 'do: "Mea\\u202esure"', "bidi-control", 34, 9),
        ("do: Measure every stage.", 'do: "Mea\\0sure"', "control-character", 34, 9),
        ("do: Measure every stage.", 'do: "Mea\\x1b[31msure"', "control-character", 34, 9),
        ("do: Measure every stage.", "do: Mea &#x202e; sure", "bidi-control", 34, 9),
        ("do: Measure every stage.", "do: Mea\ufeffsure", "control-character", 34, 12),
        ("do: Measure every stage.", "do: Mea\uffffsure", "control-character", 34, 12),
        ("cost: 0", "cost: " + "[" * 41 + "]" * 41, "too-deep", 20, 48),
        ("cost: 0", "cost: " + "9" * 10**5, "notation", 20, 11),
        ("cost: 0", "cost: -5", "notation", 20, 11),
        ("cost: 0", "cost: .nan", "notation", 20, 11),
        ("cost: 0", "cost: NaN", "notation", 20, 11),
        ("cost: 0", "cost: .inf", "notation", 20, 11),
        ("cost: 0", "cost: 1e309", "notation", 20, 11),
        ("cost: 0", "cost: 0x10", "notation", 20, 11),
        ("cost: 0", "cost: １２", "notation", 20, 11),
        ("cost: 0", "cost: ٣", "notation", 20, 11),
        ("10-20 min", "１０-20 min", "notation", 19, 11),
        ("10-20 min", "PT٣M", "notation", 19, 11),
        ("share: 70%", "share: ٧٠%", "notation", 10, 47),
        ("share: 70%", "share: 70％", "notation", 10, 47),
        ("[speed-switch]", "{speed-switch: ٣}", "notation", 44, 101),
        ("[speed-switch]", "{speed-switch: " + "1" * 10**5 + "}", "notation", 44, 101),
        ("codes: []", "codes: [P０128]", "bad-code", 7, 11),
        ("  new-switch:", "  __proto__:", "notation", 44, 3),
        ("  switch:   {", "  unlisted:   {", "notation", 12, 3),
        ("tools: [crimper]", "tools: [--lost--]", "unknown-tool", 41, 110),
        ("tools: [crimper]", "tools: [__proto__]", "notation", 41, 110),
        ("title: Measure the resistor", "title: ''", "notation", 33, 12),
        ("Measure every", "Measure <script>alert(1)</script> every", "raw-html", 34, 17),
        ("Measure every", "Measure <img src=x onerror=alert(1)> every", "raw-html", 34, 17),
        ("Measure every", "Do [it](javascript:alert(1)) every", "bad-link", 34, 17),
        ("Measure every", "Do [it](jAvAsCrIpT:alert) every", "bad-link", 34, 17),
        ("Measure every", "Do [it](data:text/html;base64,AA) every", "bad-link", 34, 17),
        ("do: Measure every", "do: '[Measure](java&#10;script:alert) every'\n    note: ", "bad-link", 34, 9),
        ("Measure every", "<javascript:alert> every", "bad-link", 34, 10),
        ("do: Measure every", "do: Do [it](//example.org) every", "bad-link", 34, 17),
        ("do: Measure every", "do: Do [it](../../etc/passwd) every", "bad-link", 34, 17),
        ("do: Measure every", "do: Do [it](%2e%2e/%2E%2E/etc/passwd) every", "bad-link", 34, 17),
        ("do: Measure every", "do: Do [it](..%2f..%2fetc%2fpasswd) every", "bad-link", 34, 17),
        ("do: Measure every", "do: Do [it](..\\\\..\\\\etc\\\\passwd) every", "bad-link", 34, 9),
        ("do: Measure every", "do: Do [it](fan.yaml%00.png) every", "bad-link", 34, 17),
        ("do: Measure every", "do: Do ![it](https://example.org/spy.png) every", "bad-link", 34, 18),
    ],
)
def test_bad_input_is_found_at_its_place(
    check: Check, playbook: Playbook, old: str, new: str, rule: str, line: int, column: int
) -> None:
    found = findings(check({"cabin/fan.yaml": playbook(old, new)}))
    assert ("library/cabin/fan.yaml", line, column, rule) in found


def test_a_tag_that_asks_for_a_command_runs_none(
    check: Check, playbook: Playbook, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    proof = tmp_path / "pwned"
    calls: list[object] = []
    monkeypatch.setattr(os, "system", calls.append)
    tags = [
        f"!!python/object/apply:os.system ['touch {proof}']",
        f"!!python/object/new:os.system ['touch {proof}']",
        f"!!python/object/apply:subprocess.Popen [['touch', '{proof}']]",
        "!!python/name:os.system x",
        "!!python/module:os x",
    ]
    for tag in tags:
        assert "tag" in rules(check({"cabin/fan.yaml": playbook("cost: 0", f"cost: {tag}")}))
        assert "tag" in rules(check({"library.yaml": f"title: {tag}\n"}))
    assert calls == []
    assert not proof.exists()


def test_template_syntax_and_markup_of_the_terminal_are_shown_as_they_are(check: Check, playbook: Playbook) -> None:
    result = check({"cabin/fan.yaml": playbook("start: look-at-plug", 'start: "{{ 7*7 }}[red]x[/red]"')})
    assert "`{{ 7*7 }}[red]x[/red]` is not a name" in result.stderr


def test_a_second_document_is_found(check: Check, playbook: Playbook) -> None:
    assert findings(check({"cabin/fan.yaml": playbook() + "---\ntitle: Two\n"})) == [
        ("library/cabin/fan.yaml", 45, 1, "many-documents")
    ]


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("", "empty-file"),
        ("# only a comment\n", "empty-file"),
        ("\n \n\n", "empty-file"),
        ("---\n", "shape"),
        ("- a\n", "shape"),
        ("text\n", "shape"),
        ("null\n", "shape"),
        ("{", "syntax"),
        ("}", "syntax"),
        ("%YAML 9.9\n---\na: b\n", "syntax"),
        ("\ta: b\n", "tab"),
        ("@", "syntax"),
        ("[" * 100_000, "syntax"),
        ("{a: " * 100_000, "syntax"),
        ("- " * 100_000, "syntax"),
        ("? " * 100_000, "syntax"),
        ("a: " * 100_000, "syntax"),
        (":" * 500_000, "syntax"),
        ("a" * 1_000_001, "too-big"),
        ("a: !" + "x" * 100_000 + " b\n", "tag"),
        ("&" + "a" * 5_000 + " b: c\n", "syntax"),
    ],
)
def test_a_file_that_is_no_playbook(check: Check, text: str, rule: str) -> None:
    assert rule in rules(check({"cabin/fan.yaml": text}))


@pytest.mark.parametrize(
    ("data", "line", "column"),
    [
        ("format: 1\ntitle: café\n".encode("latin-1"), 2, 11),
        (b"format: 1\ntitle: \xc0\xaf\n", 2, 8),
        (b"format: 1\ntitle: \xed\xa0\x80\n", 2, 8),
        (b"format: 1\ntitle: \xf5\x80\x80\x80\n", 2, 8),
        ("format: 1\n".encode("utf-16"), 1, 1),
        ("format: 1\n".encode("utf-32"), 1, 1),
    ],
)
def test_what_is_not_utf8(check: Check, data: bytes, line: int, column: int) -> None:
    assert ("library/cabin/fan.yaml", line, column, "not-utf8") in findings(check({"cabin/fan.yaml": data}))


def test_aliases_that_multiply_are_not_followed(check: Check, playbook: Playbook) -> None:
    """The "billion laughs": nine lists of nine of the one before, 9^9 texts if anyone followed them."""
    names = "abcdefghi"
    laughs = ["a: &a [ha, ha, ha, ha, ha, ha, ha, ha, ha]"]
    laughs += [f"{after}: &{after} [{', '.join([f'*{before}'] * 9)}]" for before, after in pairwise(names)]
    result = check({"cabin/fan.yaml": playbook("format: 1", "format: 1\n" + "\n".join(laughs))})
    assert {"alias", "anchor"} <= set(rules(result))


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_places_are_right_with_every_line_end_and_mark(check: Check, playbook: Playbook, end: str, mark: str) -> None:
    text = mark + playbook("format: 1", "format: x", "share: 15%", "share: 15", "start: look", "start: *look").replace(
        "\n", end
    )
    assert findings(check({"cabin/fan.yaml": text})) == [
        ("library/cabin/fan.yaml", 1, 9, "notation"),
        ("library/cabin/fan.yaml", 12, 46, "notation"),
        ("library/cabin/fan.yaml", 13, 8, "alias"),
    ]


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_a_syntax_error_after_wide_characters_is_at_its_place(check: Check, end: str) -> None:
    assert findings(check({"cabin/fan.yaml": f"title: 😀ä{end}vehicles: [😀, b{end}start: @x{end}"})) == [
        ("library/cabin/fan.yaml", 3, 8, "syntax")
    ]


def test_a_very_long_line_is_shown_around_its_mistake(check: Check, playbook: Playbook) -> None:
    codes = " " * 140_000 + "P012"
    result = check({"cabin/fan.yaml": playbook("codes: []", f"codes: [{codes}]")})
    ((_, line, column, rule),) = findings(result)
    assert (line, column, rule) == (7, 11 + 140_000, "bad-code")
    assert "»P012]" in result.stderr.splitlines()[1]
    assert len(result.stderr.splitlines()[1]) < 120


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("vehicles:", "".join(f"k{i}: 1\n" for i in range(5_000)) + "vehicles:"),
        ("{plug: 95%", "{" + "".join(f"c{i}: 1%, " for i in range(5_000)) + "plug: 95%"),
        ("Measure every", "Do " + " ".join(f"[a](b{i})" for i in range(1_000))),
        ("title: Measure", "".join(f"cost: {i}\n    " for i in range(5_000)) + "title: Measure"),
        ("title: Measure", "\t\n" * 20_000 + "    title: Measure"),
    ],
)
def test_a_flood_of_mistakes_is_told_in_part(check: Check, playbook: Playbook, old: str, new: str) -> None:
    result = check({"cabin/fan.yaml": playbook(old, new)})
    assert 0 < len(findings(result)) < 1000
    assert "mend these first" in result.stderr
    assert len(result.stderr) < 10**6


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("codes: []", "codes: [" + "x, " * 20_000 + "]"),
        ("tools: [crimper]", "tools: [" + ", ".join(f"t{i}" for i in range(10_000)) + "]"),
    ],
)
def test_a_flood_of_entries_is_one_finding(check: Check, playbook: Playbook, old: str, new: str) -> None:
    result = check({"cabin/fan.yaml": playbook(old, new)})
    assert rules(result) == ["too-many"]
    assert len(result.stderr) < 2000


def test_a_line_of_a_million_unknown_keys_is_told_in_part(check: Check, playbook: Playbook) -> None:
    """They once made 99 MB of findings."""
    keys = ", ".join(f"k{i}" for i in range(40_000))
    result = check({"cabin/fan.yaml": playbook("symptom:", "{" + keys + "}: x\nsymptom:")})
    assert 0 < len(findings(result)) < 1000
    result = check({"cabin/fan.yaml": playbook("cost: 0", "cost: 0, " + ", ".join(f"k{i}: 1" for i in range(24_000)))})
    assert len(result.stderr) < 10**6


def test_a_message_cites_no_more_than_can_be_read(check: Check, playbook: Playbook) -> None:
    assert len(check({"cabin/fan.yaml": playbook("cost: 0", "cost: " + "9" * 10**5)}).stderr) < 2000


@pytest.mark.parametrize("steering", ["\x1b[31m", "\x9b31m", "\x07", "\x1b]0;x\x07", "\u202e"])
def test_nothing_in_a_file_steers_the_terminal(check: Check, playbook: Playbook, steering: str) -> None:
    result = check({"cabin/fan.yaml": playbook("start: look", f"start: no{steering}")})
    assert result.exit_code == 1
    assert all(char.isprintable() for line in result.stderr.split("\n") for char in line)


def test_many_mistakes_of_one_file_are_told_in_one_run_and_no_others(check: Check, playbook: Playbook) -> None:
    result = check({"cabin/fan.yaml": playbook(
        *("cost: 0", "cost: -1"),
        *("next: measure-resistor", "next: [measure-resistor]"),
        *("time: {low: 5 min", "time: {low: 5"),
        *("share: 15%", "share: 15"),
        *("tools: [crimper]", "tools: crimper"),
        *("shows: 60%", "shows: 160%"),
        *("vehicles:", "vehicle:"),
    )})  # fmt: skip
    assert [(line, rule) for _, line, _, rule in findings(result)] == [
        (3, "unknown-key"),
        (12, "notation"),
        (20, "notation"),
        (31, "notation"),
        (35, "notation"),
        (41, "shape"),
        (43, "notation"),
    ]
