"""Catalogue and settings: files that every playbook leans on."""

from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from builder.read.catalogue import CatalogueFiles, read_settings
from builder.read.findings import Finding
from builder.read.folder import Folder
from builder.read.hazards import BUILT_IN

Found = Callable[..., list[Finding]]

SETTINGS: Final = "title: T\ncurrency: EUR\nlabour_rate: 95\nareas: {cabin: Cabin}\n"


def only(findings: list[Finding]) -> Finding:
    (finding,) = findings
    return finding


def test_settings_have_defaults(make_library: Callable[..., Path]) -> None:
    file, findings = read_settings(Folder(make_library({"library.yaml": SETTINGS}), "library"))
    assert file
    settings = file.settings
    assert settings
    assert (settings.language, settings.owner_hour, settings.site_url, findings) == ("en", 0, None, [])


@pytest.mark.parametrize(
    ("text", "rule", "line", "column", "message"),
    [
        (None, "no-settings", 1, 1, "the library has no library.yaml"),
        ("", "empty-file", 1, 1, "the file is empty"),
        ("- a\n", "shape", 1, 1, "this must be a mapping"),
        (SETTINGS.replace("currency: EUR\n", ""), "missing-key", 1, 1, "`currency` is missing"),
        (SETTINGS.replace("areas: {cabin: Cabin}\n", ""), "missing-key", 1, 1, "`areas` is missing"),
        (SETTINGS.replace("{cabin: Cabin}", "{}"), "shape", 4, 8, "`areas` is empty"),
        (SETTINGS.replace("{cabin: Cabin}", "[cabin]"), "shape", 4, 8, "`areas` must be a mapping"),
        (SETTINGS.replace("Cabin}", "[]}"), "notation", 4, 16, "`cabin`: this must be text"),
        (SETTINGS.replace("EUR", "euro"), "notation", 2, 11, "`currency`: `euro` is not an ISO 4217 currency"),
        (SETTINGS.replace("95", "-1"), "notation", 3, 14, "`labour_rate`: `-1` is negative"),
        (SETTINGS.replace("}", ", catalogue: C}"), "no-area", 4, 23, "`catalogue` cannot be an area"),
        (SETTINGS + "titel: x\n", "unknown-key", 5, 1, "unknown key `titel`"),
        (SETTINGS + "language: klingon\n", "notation", 5, 11, "`language`: `klingon` is not a language that is known"),
        (SETTINGS + "site_url: example.org\n", "notation", 5, 11, "`site_url`: `example.org` is not a web address"),
    ],
)
def test_bad_settings_have_one_finding(
    findings_of: Found, text: str | None, rule: str, line: int, column: int, message: str
) -> None:
    finding = only(findings_of({"library.yaml": text}))
    assert (finding.file, finding.severity) == ("library/library.yaml", "error")
    assert (finding.rule, finding.line, finding.column, finding.message) == (rule, line, column, message)


def test_hazards_that_always_exist_need_no_file(make_library: Callable[..., Path]) -> None:
    catalogue = CatalogueFiles(Folder(make_library({"catalogue/hazards.yaml": None}), "library")).catalogue
    assert set(catalogue.hazards) == {"timing", "lifting"}


def test_a_library_sharpens_the_words_of_such_a_hazard(make_library: Callable[..., Path]) -> None:
    sharper = "timing: {name: Belt, words: [rubber band]}\nlifting: {signal: danger, avoid: Use four stands.}\n"
    files = CatalogueFiles(Folder(make_library({"catalogue/hazards.yaml": sharper}), "library"))
    timing, lifting = files.catalogue.hazards["timing"], files.catalogue.hazards["lifting"]
    assert files.findings == []
    assert (timing.name, timing.harm, timing.words) == ("Belt", BUILT_IN["timing"]["harm"], ("rubber band",))
    assert (lifting.name, lifting.avoid, lifting.words) == ("Lifting the car", "Use four stands.", ())


@pytest.mark.parametrize(
    ("file", "text", "rule", "line", "column", "message"),
    [
        ("tools", "- a\n", "shape", 1, 1, "the file must be a mapping"),
        ("tools", "a: [\n", "syntax", 1, 5, "the `[` in column 4 is not closed: a `]` is missing"),
        ("tools", "# nothing\n", "empty-file", 1, 1, "the file is empty"),
        ("tools", "multimeter: 25\ncrimper: {name: C}\n", "shape", 1, 13, "this must be a mapping"),
        ("tools", "multimeter: {name: M}\ncrimper: {}\n", "missing-key", 2, 10, "`name` is missing"),
        ("tools", "multimeter: {name: M, usual: yes}\ncrimper: {name: C}\n", "notation", 1, 30, "`usual`: `yes`"),
        ("tools", "multimeter: {name: M}\ncrimper: {name: C, prise: 1}\n", "unknown-key", 2, 20, "unknown key `prise`"),
        ("hazards", "timing: {signal: notice}\nhot-parts: {name: H, signal: caution, harm: h, avoid: a}\n",
         "signal-weaker", 1, 18, "the signal word of `timing` cannot be weaker than `warning`"),
        ("hazards", "lifting: {signal: loud}\nhot-parts: {name: H, signal: caution, harm: h, avoid: a}\n",
         "notation", 1, 19, "`signal` must be `danger`, `warning`, `caution` or `notice`"),
        ("access", "glovebox: {name: G, open: 5 min, close: 5 min, hazards: [cold]}\n",
         "unknown-hazard", 1, 1, "the access job `glovebox` names the hazard `cold`, which is not in the catalogue"),
        ("parts", "fan-resistor: {name: R, price: x}\nresistor-plug: {name: R, price: 1}\n"
         "speed-switch: {name: S, price: 1}\n", "notation", 1, 32, "`price`: `x` is not an amount of money"),
    ],
)  # fmt: skip
def test_a_bad_entry_has_one_finding_and_playbooks_that_name_it_have_none(
    findings_of: Found, file: str, text: str, rule: str, line: int, column: int, message: str
) -> None:
    finding = only(findings_of({f"catalogue/{file}.yaml": text}))
    assert (finding.file, finding.severity) == (f"library/catalogue/{file}.yaml", "error")
    assert (finding.rule, finding.line, finding.column) == (rule, line, column)
    assert finding.message.startswith(message)


def test_a_bad_name_is_found(findings_of: Found) -> None:
    files = {"catalogue/tools.yaml": "multimeter: {name: M}\ncrimper: {name: C}\nBad Tool: {name: B}\n"}
    finding = only(findings_of(files))
    assert (finding.rule, finding.line, finding.column) == ("notation", 3, 1)
    assert finding.message == "`Bad Tool` is not a name"


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        *((name, "the files are tools.yaml, parts.yaml, access") for name in ("tool.yaml", "more.YAML")),
        *((name, "name it `tools.yaml`") for name in ("tools.yml", "Tools.yaml")),
    ],
)
def test_files_that_are_none_of_the_catalogue_are_found(findings_of: Found, name: str, hint: str) -> None:
    finding = only(findings_of({f"catalogue/{name}": "a: {name: A}\n"}))
    assert (finding.file, finding.rule) == (f"library/catalogue/{name}", "stray-file")
    assert finding.hint.startswith(hint)


def test_what_nobody_uses_is_a_warning(findings_of: Found) -> None:
    tools = "multimeter: {name: M}\ncrimper: {name: C}\nawl: {name: A}\n"
    finding = only(findings_of({"catalogue/tools.yaml": tools}))
    assert (finding.rule, finding.line, finding.column, finding.severity) == ("unused-entry", 3, 1, "warning")
    assert finding.message == "nothing uses `awl`"


def test_a_hazard_of_an_access_job_in_use_is_used(findings_of: Found) -> None:
    hazards = "".join(f"{name}: {{name: H, signal: caution, harm: h, avoid: a}}\n" for name in ("hot-parts", "sharp"))
    access = "glovebox: {name: G, open: 5 min, close: 5 min, hazards: [sharp]}\n"
    assert findings_of({"catalogue/hazards.yaml": hazards, "catalogue/access.yaml": access}) == []


def test_of_use_nothing_is_said_while_there_are_errors(found: Found) -> None:
    """A name that is misspelt would make its entry look unused."""
    assert only(found("[crimper]", "[crimpper]")).rule == "unknown-tool"
