"""Folder: which files of a library are playbooks, and what does not belong."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from builder.read.findings import Finding
from builder.read.folder import Folder, list_playbooks

AREAS = ["cooling", "cabin"]


def listed(root: Path) -> tuple[list[str], list[Finding]]:
    listing = list_playbooks(Folder(root, "library"), AREAS)
    return [file.name for file in listing.files], listing.findings


def said(findings: list[Finding]) -> list[tuple[str, str, str]]:
    assert all((one.line, one.column, one.severity) == (1, 1, "error") and one.hint for one in findings)
    return [(one.file, one.rule, one.message) for one in findings]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    for name in ("cabin/b.yaml", "cabin/a.yaml", "cooling/z.yaml", "catalogue/tools.yaml", "library.yaml"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    return tmp_path


def test_playbooks_are_in_the_order_of_areas_and_slugs(root: Path) -> None:
    assert listed(root) == (["library/cooling/z.yaml", "library/cabin/a.yaml", "library/cabin/b.yaml"], [])


@pytest.mark.parametrize(
    ("path", "rule", "message"),
    [
        ("cabin/Fan.yaml", "bad-slug", "`Fan` is not a slug"),
        ("cabin/a b.yaml", "bad-slug", "`a b` is not a slug"),
        ("cabin/fan.en.yaml", "bad-slug", "`fan.en` is not a slug"),
        ("cabin/ä.yaml", "bad-slug", "`ä` is not a slug"),
        ("cabin/fan\n.yaml", "bad-slug", "`fan\n` is not a slug"),
        ("cabin/fan.yml", "stray-file", "the file ends in `.yml`"),
        ("cabin/fan.YAML", "stray-file", "the file ends in `.YAML`"),
        ("fan.yaml", "stray-file", "this file is in no area"),
        ("Library.yaml", "stray-file", "this file is in no area"),
    ],
)
def test_files_that_do_not_belong(root: Path, path: str, rule: str, message: str) -> None:
    (root / path).touch()
    files, findings = listed(root)
    assert len(files) == 3
    assert said(findings) == [(f"library/{path}", rule, message)]


def test_a_folder_that_is_no_area_is_found_if_it_holds_yaml(root: Path) -> None:
    (root / "colling").mkdir()
    assert listed(root)[1] == []
    (root / "colling/x.yml").touch()
    (finding,) = listed(root)[1]
    assert said([finding]) == [("library/colling", "no-area", "the folder `colling` is no area")]
    assert finding.hint == "did you mean `cooling`?"


def test_a_folder_within_an_area_is_found_if_it_holds_yaml(root: Path) -> None:
    (root / "cabin/pictures").mkdir()
    (root / "cabin/pictures/x.png").touch()
    assert listed(root)[1] == []
    (root / "cabin/pictures/x.yaml").touch()
    message = "a folder within an area holds YAML files"
    assert said(listed(root)[1]) == [("library/cabin/pictures", "stray-file", message)]


def test_a_slug_that_is_used_twice_names_the_first(root: Path) -> None:
    (root / "cabin/z.yaml").touch()
    files, findings = listed(root)
    assert "library/cabin/z.yaml" not in files
    message = "the slug `z` is used twice; first in library/cooling/z.yaml"
    assert said(findings) == [("library/cabin/z.yaml", "slug-twice", message)]


def test_hidden_files_are_passed_over(root: Path) -> None:
    for name in (".x.yaml", "cabin/.#x.yaml", "cabin/.x.yaml.swp"):
        (root / name).touch()
    assert listed(root)[1] == []


def test_a_link_that_leads_round_to_itself_is_no_folder(root: Path) -> None:
    (root / "around").symlink_to("around")
    (root / "cabin/around").symlink_to("around")
    assert listed(root)[1] == []


@pytest.mark.parametrize("make", [lambda path: path.symlink_to("cabin"), lambda path: path.touch()])
def test_an_area_that_is_no_folder_is_found(root: Path, make: Callable[[Path], None]) -> None:
    shutil.rmtree(root / "cabin")
    make(root / "cabin")
    assert said(listed(root)[1]) == [("library/cabin", "stray-file", "the area `cabin` is no folder")]


def test_an_area_outside_the_library_is_not_looked_into(root: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (elsewhere / "secret.yaml").touch()
    shutil.rmtree(root / "cabin")
    (root / "cabin").symlink_to(elsewhere)
    files, findings = listed(root)
    assert files == ["library/cooling/z.yaml"]
    message = "the area `cabin` is a symbolic link that leaves the library"
    assert said(findings) == [("library/cabin", "link-outside", message)]


def test_what_looks_like_a_playbook_by_an_odd_name_is_found(findings_of: Callable[..., list[Finding]]) -> None:
    odd = ("cabin/.air.yaml", "cabin/heat.yml", "cabin/cold.YAML", "cabin/warm.yaml.txt", "catalogue/tools.yml")
    found = findings_of(dict.fromkeys(odd, "title: T\n"))
    assert [(one.file.removeprefix("library/"), one.rule, one.hint) for one in found] == [
        ("cabin/.air.yaml", "stray-file", "name it `air.yaml`, or delete it"),
        ("cabin/cold.YAML", "stray-file", "let it end in `.yaml`"),
        ("cabin/heat.yml", "stray-file", "let it end in `.yaml`"),
        ("cabin/warm.yaml.txt", "stray-file", "let it end in `.yaml`"),
        ("catalogue/tools.yml", "stray-file", "name it `tools.yaml`"),
    ]


@pytest.mark.parametrize("name", [".#fan.yaml", "._fan.yaml", ".fan.yaml.swp", ".DS_Store", "fan.yaml~", "notes.txt"])
def test_what_editors_and_systems_leave_behind_is_passed_over(
    findings_of: Callable[..., list[Finding]], name: str
) -> None:
    assert findings_of({f"cabin/{name}": "x"}) == []


def test_settings_of_an_odd_name_are_recognised(findings_of: Callable[..., list[Finding]]) -> None:
    (found, *_) = findings_of({"library.yaml": None, "library.yml": "title: T\n"})
    assert (found.rule, found.hint) == ("no-settings", "name `library.yml` so")
