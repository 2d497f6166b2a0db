"""What a stranger writes is no command to a runner, in whatever form findings are printed."""

import json
from pathlib import Path

import pytest

from builder.read.findings import Finding
from builder.report.annotations import FORMATS
from builder.report.text import as_text, inert

COMMANDS = (
    "##[error]x",
    "a ##[group]x",
    "##vso[task.setvariable variable=a]b",
    "::error::x",
    " ::warning::x",
    "###[x]",
)


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_is_left(command: str) -> None:
    shown = inert(command)
    assert "##[" not in shown
    assert "##vso[" not in shown
    assert not shown.lstrip().startswith("::")
    assert len(shown) == len(command)


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("form", ["text", *FORMATS])
def test_no_form_of_findings_carries_one(form: str, command: str) -> None:
    finding = Finding(f"{command}.yaml", 1, 1, "alias", f"m {command}\x1b[0m\u202e", f"h {command}", "error", command)
    shown = as_text(finding).plain if form == "text" else FORMATS[form]([finding], Path.cwd())
    # A runner that has found its own command at the beginning of a line looks for no other in it.
    assert form == "github" or not ("##[" in shown or "##vso[" in shown)
    assert "\x1b" not in shown
    assert "\u202e" not in shown
    own = "::error file=" if form == "github" else ""
    assert all(not line.lstrip().startswith("::") or line.startswith(own or "!") for line in shown.splitlines())


def test_json_says_the_same_as_before() -> None:
    finding = Finding("a.yaml", 1, 1, "alias", "m ##[error]x", "", "error", "##[error]")
    (read,) = json.loads(FORMATS["json"]([finding], Path.cwd()))
    assert (read["message"], read["text"]) == ("m ##[error]x", "##[error]")
