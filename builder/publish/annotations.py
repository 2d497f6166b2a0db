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
from builder.read.findings import ERROR, Finding
from builder.read.report import printable

SARIF_SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
TOOL: Final = "droplight"

RULES: Final[Mapping[str, str]] = {
    "alias": "YAML aliases are not read: every value is written out.",
    "anchor": "YAML anchors are not read: every value is written out.",
    "bad-code": "A trouble code has the form of SAE J2012 and ISO 15031-6.",
    "bad-link": "A link leads to a file of the library, to a step of the playbook, or openly elsewhere.",
    "bad-slug": "The name of a playbook's file is its address: small letters, digits and hyphens.",
    "bidi-control": "Characters that turn the direction of text can make it look other than it is.",
    "broken-link": "A symbolic link leads to a file.",
    "cause-unsettled": "Every cause has an ending that puts it right.",
    "chance-otherwise": "A chance by cause says what holds for the causes that it does not name.",
    "chance-partial": "Where one result of a step has a chance, all have.",
    "chance-sum": "For every cause, the chances of a step's results add up to 100 %.",
    "circle": "Steps lead onwards and never go round in a circle.",
    "control-character": "Control characters have no place in a playbook.",
    "dear-first": "Of two steps that tell as much, the cheaper and safer one comes first.",
    "duplicate-key": "A key stands once in a mapping.",
    "empty-file": "A file of the library holds something.",
    "ending-mostly-wrong": "An ending is right in most of the cases that reach it.",
    "handover-ring": "Hand-overs do not lead back to where they started.",
    "hazard-denied": "A hazard is either named or denied, not both.",
    "hazard-word": "Words that call for a hazard stand only where the hazard is named or denied with a reason.",
    "link-outside": "A symbolic link stays within the library.",
    "many-documents": "A file holds one YAML document.",
    "missing-key": "What the format requires is there.",
    "name-twice": "A step and an ending have different names.",
    "no-area": "A folder with playbooks is an area that the settings name.",
    "no-settings": "A library has settings.",
    "no-time": "Every step says how long it takes.",
    "not-a-file": "A file of the library is a regular file.",
    "not-utf8": "Files are UTF-8 text.",
    "notation": "Amounts, times, percentages and names are written in the notation of the format.",
    "odd-key": "Keys are plain text.",
    "prove-never": "A proof counts on a fault that shows now and then.",
    "raw-html": "Text is Markdown; raw HTML is not.",
    "result-never": "Every result can be seen under some cause.",
    "shape": "A value is text, a list or a mapping, as the format says.",
    "share-partial": "Either every cause has a share, or none.",
    "share-sum": "The shares of the causes add up to at most 100 %.",
    "signal-weaker": "The signal words of the hazards that always exist cannot be weakened.",
    "slug-twice": "The slug of a playbook is unique in the library.",
    "step-tells-nothing": "A step changes the odds, or leads to different places.",
    "stray-file": "YAML files lie where the library looks for them.",
    "syntax": "A file is YAML.",
    "tab": "Spaces indent, tabs do not.",
    "tag": "YAML tags are not read: every value is text.",
    "too-big": "A file is small enough to be read by people.",
    "too-deep": "A file is nested no deeper than a playbook needs.",
    "unknown-access": "Access jobs that are named are in the catalogue.",
    "unknown-cause": "Causes that are named are causes of the playbook.",
    "unknown-hazard": "Hazards that are named are in the catalogue.",
    "unknown-key": "Keys are those of the format.",
    "unknown-next": "A result leads to a step or an ending of the playbook.",
    "unknown-part": "Parts that are named are in the catalogue.",
    "unknown-playbook": "A hand-over leads to a playbook of the library.",
    "unknown-tool": "Tools that are named are in the catalogue.",
    "unlisted-large": "The causes that a playbook names cover most of the cases.",
    "unreachable": "Every step and every ending can be reached from the start.",
    "unused-entry": "Everything in the catalogue is used.",
}
"""What each rule asks for, by its id."""

Write = Callable[[Sequence[Finding], Path], str]
"""Findings as text, given the root of the repository that the files are shown from."""


def as_json(findings: Sequence[Finding], root: Path) -> str:
    """A list of findings as they are, places as in the text report; pure ASCII, so that it is safe to show anywhere."""
    return json.dumps([asdict(finding) for finding in findings], indent=2) + "\n"


def as_sarif(findings: Sequence[Finding], root: Path) -> str:
    """A SARIF log (OASIS, Static Analysis Results Interchange Format 2.1.0) of one run; pure ASCII.

    Columns count characters, which SARIF calls Unicode code points.
    """
    rules = sorted({*RULES, *(finding.rule for finding in findings)})
    run = {
        "tool": {"driver": {"name": TOOL, "version": __version__, "rules": [_rule(rule) for rule in rules]}},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, rules.index(finding.rule), root) for finding in findings],
    }
    return json.dumps({"version": "2.1.0", "$schema": SARIF_SCHEMA, "runs": [run]}, indent=2) + "\n"


def as_annotations(findings: Sequence[Finding], root: Path) -> str:
    """One workflow command a finding: ``::error file=…,line=…,col=…,title=…::message``."""
    return "".join(_annotation(finding, root) for finding in findings)


FORMATS: Final[Mapping[str, Write]] = {"json": as_json, "sarif": as_sarif, "github": as_annotations}


def repository_of(library: Path) -> Path:
    """The folder that paths are shown from: the repository around the library, else the folder that holds it."""
    place = Path(os.path.abspath(library))  # noqa: PTH100 - a link within the repository stays where it is
    return next((folder for folder in (place, *place.parents) if (folder / ".git").exists()), place.parent)


def _address(finding: Finding, root: Path) -> str:
    """The file of a finding as seen from the root, with ``/`` on every system."""
    return Path(os.path.relpath(finding.file, root)).as_posix()


def _rule(rule: str) -> dict[str, Any]:
    says = RULES.get(rule, f"Rule {rule}.")
    return {
        "id": rule,
        "shortDescription": {"text": says},
        "help": {"text": f"{says} The finding says how to mend it."},
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
