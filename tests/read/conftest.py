"""The library of the tests: small and sound, made anew for each test, which may replace files or add some."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest

from builder.read.findings import Finding
from builder.read.library import read_library
from tests.publish.conftest import committed_library, run_git, small_library

__all__ = ["committed_library", "run_git", "small_library"]

PLAYBOOK: Final = """\
format: 1
title: Cabin fan runs on the top speed only
vehicles: [Tamarin 1.6]
symptom:
  summary: Speeds 1 to 3 are dead, speed 4 is normal.
  conditions: [any temperature, engine on or off]
  codes: []
preconditions: [Battery above 12.4 V]
causes:
  resistor: {name: Burnt fan resistor, share: 70%}
  plug:     {name: Melted resistor plug, share: 10%}
  switch:   {name: Worn speed switch, share: 15%}
start: look-at-plug
steps:
  look-at-plug:
    title: Look at the resistor plug
    do: Pull the plug behind the glovebox. Look for brown plastic and loose pins.
    preconditions: [Fan off for ten minutes]
    time: 10-20 min
    cost: 0
    access: [glovebox]
    hazards: [hot-parts]
    results:
      browned:
        expect: A pin is loose or the plastic is brown
        chance: {plug: 95%, otherwise: 3%}
        next: new-plug
      clean:
        expect: Plastic and pins look new
        chance: rest
        next: measure-resistor
  measure-resistor:
    title: Measure the resistor
    do: Measure every stage.
    time: {low: 5 min, likely: 16 min, high: 20 min}
    tools: [multimeter]
    results:
      open:     {expect: One stage reads open, chance: {resistor: 97%, otherwise: 1%}, next: new-resistor}
      in-range: {expect: All stages within 20 % of the marking, chance: rest, next: new-switch}
endings:
  new-plug:     {title: Fit a repair plug, settles: [plug], time: 30-60 min, parts: [resistor-plug], tools: [crimper]}
  new-resistor: {title: Fit a new resistor, settles: [resistor], time: 15-30 min, parts: [fan-resistor],
                 prove: {trial: ten minutes on speed 1, shows: 60%}}
  new-switch:   {title: Fit a new speed switch, settles: [switch], time: 1 h, parts: [speed-switch]}
"""
"""A playbook without findings; its lines count from 1 as an editor shows them."""

FILES: Final[dict[str, str]] = {
    "library.yaml": (
        "title: T\nlanguage: en-GB\ncurrency: EUR\nlabour_rate: 95\nowner_hour: 15\nleast_saving: 100\n"
        "areas: {cabin: Cabin}\n"
    ),
    "catalogue/tools.yaml": (
        "multimeter: {name: Multimeter, price: 25, usual: true}\n"
        "crimper: {name: Crimping pliers, price: 20-40, borrow: 5}\n"
    ),
    "catalogue/parts.yaml": (
        "fan-resistor: {name: R, price: 18-45}\n"
        "resistor-plug: {name: P, price: 12}\n"
        "speed-switch: {name: S, price: 30-60}\n"
    ),
    "catalogue/access.yaml": ("glovebox: {name: Glovebox out, open: 5 min, close: 5-10 min}\n"),
    "catalogue/hazards.yaml": (
        "hot-parts: {name: Hot parts, signal: caution, harm: Burns., avoid: Let it cool., words: [scald]}\n"
    ),
    "cabin/fan.yaml": PLAYBOOK,
}

Files = dict[str, str | bytes | None]


def write_files(root: Path, files: dict[str, Any]) -> None:
    """Writes texts and bytes as they are, line ends included; ``None`` writes nothing."""
    for name, content in files.items():
        if content is not None:
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode())


@pytest.fixture
def make_library(tmp_path: Path) -> Callable[..., Path]:
    """Makes the library and gives its folder; ``files`` replace or add files, ``None`` leaves one out."""

    def make(files: Files | None = None) -> Path:
        root = tmp_path / "library"
        write_files(root, {**FILES, **(files or {})})
        return root

    return make


@pytest.fixture(scope="session")
def playbook() -> Callable[..., str]:
    """The playbook with pieces of its text replaced: old, new, old, new …; each old piece must be there."""

    def change(*pieces: str) -> str:
        text = PLAYBOOK
        for old, new in zip(pieces[::2], pieces[1::2], strict=True):
            assert old in text, old
            text = text.replace(old, new)
        return text

    return change


@pytest.fixture
def findings_of(make_library: Callable[..., Path]) -> Callable[..., list[Finding]]:
    """The findings of the library with some files replaced; it is shown as ``library``."""

    def findings(files: Files | None = None) -> list[Finding]:
        return list(read_library(make_library(files), "library").findings)

    return findings


@pytest.fixture
def found(findings_of: Callable[..., list[Finding]], playbook: Callable[..., str]) -> Callable[..., list[Finding]]:
    """The findings of the library with pieces of its playbook replaced."""

    def found(*pieces: str) -> list[Finding]:
        return findings_of({"cabin/fan.yaml": playbook(*pieces)})

    return found


@pytest.fixture(scope="session")
def brief() -> Callable[..., list[tuple[str, int, int, str]]]:
    """Rule, line, column and severity of findings."""

    def brief(findings: list[Finding]) -> list[tuple[str, int, int, str]]:
        return [(one.rule, one.line, one.column, one.severity) for one in findings]

    return brief
