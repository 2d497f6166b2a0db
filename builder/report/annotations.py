"""Findings for machines: JSON, SARIF 2.1.0 and the annotations of a workflow.

Much of the text is from strangers; each format is written so that no text can leave its field.
"""

import json
import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from builder import __version__
from builder.format.rules import all_rules
from builder.format.rules.rule import Rule
from builder.read.findings import ERROR, Finding
from builder.report.text import printable

SARIF_SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
TOOL: Final = "droplight"

LONGEST_LINE: Final = 1000
"""Characters of an offending line that JSON gives at most."""

Write = Callable[[Sequence[Finding], Path], str]
"""Findings as text, given the root of the repository that the files are shown from."""


def as_json(findings: Sequence[Finding], root: Path) -> str:
    """A list of findings as they are, places as in the text report; pure ASCII, so that it is safe to show anywhere."""
    listed = [{**asdict(finding), "text": finding.text[:LONGEST_LINE]} for finding in findings]
    return _inert(json.dumps(listed, indent=2)) + "\n"


def as_sarif(findings: Sequence[Finding], root: Path) -> str:
    """A SARIF log (OASIS, Static Analysis Results Interchange Format 2.1.0) of one run; pure ASCII.

    Columns count characters, which SARIF calls Unicode code points.
    """
    rules = sorted(all_rules(), key=lambda rule: rule.name)
    numbers = {rule.name: number for number, rule in enumerate(rules)}
    run = {
        "tool": {"driver": {"name": TOOL, "version": __version__, "rules": [_rule(rule) for rule in rules]}},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, numbers[finding.rule], root) for finding in findings],
    }
    return _inert(json.dumps({"version": "2.1.0", "$schema": SARIF_SCHEMA, "runs": [run]}, indent=2)) + "\n"


def as_annotations(findings: Sequence[Finding], root: Path) -> str:
    """One workflow command a finding: ``::error file=…,line=…,col=…,title=…::message``."""
    return "".join(_annotation(finding, root) for finding in findings)


FORMATS: Final[Mapping[str, Write]] = {"json": as_json, "sarif": as_sarif, "github": as_annotations}


def _inert(text: str) -> str:
    """JSON in which no text of a stranger is a command to the runner that prints it: ``##`` stands in strings alone."""
    return text.replace("##", "#\\u0023")


def _address(finding: Finding, root: Path) -> str:
    """The file of a finding as seen from the root, with ``/`` on every system."""
    return Path(os.path.relpath(finding.file, root)).as_posix()


def _rule(rule: Rule) -> dict[str, Any]:
    wrong, right = ("\n".join(map(printable, example.shown.splitlines())) for example in (rule.wrong, rule.right))
    return {
        "id": rule.name,
        "shortDescription": {"text": _sarif_text(rule.says)},
        "help": {"text": _sarif_text(f"{rule.says}\n\nWrong:\n\n{wrong}\n\nRight:\n\n{right}\n")},
        "defaultConfiguration": {"level": rule.severity},
    }


def _result(finding: Finding, index: int, root: Path) -> dict[str, Any]:
    uri = quote(os.fsencode(_address(finding, root)), safe="/")
    region = {"startLine": finding.line, "startColumn": finding.column}
    return {
        "ruleId": finding.rule,
        "ruleIndex": index,
        "level": finding.severity,
        "message": {"text": _sarif_text(_said(finding))},
        "locations": [{"physicalLocation": {"artifactLocation": {"uri": uri}, "region": region}}],
    }


def _sarif_text(text: str) -> str:
    """Text that holds no placeholder (braces doubled, section 3.11.5) and no link (``](`` taken apart, 3.11.6)."""
    return text.replace("{", "{{").replace("}", "}}").replace("](", "] (")


def _said(finding: Finding) -> str:
    """Message and hint on one line."""
    return printable(f"{finding.message}: {finding.hint}" if finding.hint else finding.message)


def _annotation(finding: Finding, root: Path) -> str:
    properties = {
        "file": os.fsencode(_address(finding, root)).decode(errors="replace"),
        "line": str(finding.line),
        "col": str(finding.column),
        "title": f"{TOOL} {finding.rule}",
    }
    said = ",".join(f"{name}={_property(value)}" for name, value in properties.items())
    level = "error" if finding.severity == ERROR else "warning"
    return f"::{level} {said}::{_data(_said(finding))}\n"


def _data(text: str) -> str:
    """Text as the message of a workflow command; the percent sign first, since the others are written with it."""
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
