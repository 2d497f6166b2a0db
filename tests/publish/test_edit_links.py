"""“Improve this page”: links from a page to the file, and from a step or ending to its line."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote, urlsplit
from xml.etree import ElementTree as ET

import pytest

from builder.publish.pages.edits import Edits, edits_of
from builder.read.findings import Finding
from builder.read.library import read_library

ROOT: Final = Path(__file__).resolve().parents[2]
EDIT_URL: Final = "https://example.org/edit/"
SETTINGS: Final = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}

WriteLibrary = Callable[..., Path]


@pytest.fixture
def read(tmp_path: Path, write_library: WriteLibrary, horn: dict[str, Any]) -> Callable[[str], Any]:
    """The library of one playbook with an ``edit_url``, and its findings."""

    def read(edit_url: str) -> Any:
        return read_library(write_library(tmp_path, {"area/horn": horn}, {**SETTINGS, "edit_url": edit_url}), "library")

    return read


@pytest.fixture
def edits(read: Callable[[str], Any]) -> Callable[[str], Edits]:
    def edits(edit_url: str) -> Edits:
        library = read(edit_url)
        assert library.findings == ()
        found = edits_of(library.library, library.playbooks["horn"])
        assert found is not None
        return found

    return edits


def links_of(page: ET.Element) -> dict[str, list[str]]:
    """Addresses of the links to the host, by the id of the card they stand in; ``""`` for the page's own."""
    cards = {link: card.get("id", "") for card in page.iter("article") for link in card.iter("a")}
    found: dict[str, list[str]] = {}
    for link in page.iter("a"):
        if link.get("rel") and "".join(link.itertext()).startswith("Improve this "):
            found.setdefault(cards.get(link, ""), []).append(link.get("href", ""))
    return found


def test_every_step_and_ending_of_the_demo_leads_to_the_line_of_its_name(demo_pages: dict[str, ET.Element]) -> None:
    """Seen from the file: the line that an address names is the one that begins with the name of the step."""
    books = {path.stem: path for path in ROOT.glob("playbooks/*/*.yaml") if path.parent.name != "catalogue"}
    assert len(books) > 10
    for slug, path in books.items():
        page = demo_pages[f"playbook/{slug}.html"]
        lines = path.read_text(encoding="utf-8").splitlines()
        links = links_of(page)
        assert links.pop("") == [f"{EDIT_URL}{path.parent.name}/{path.name}"]
        cards = [card.get("id", "") for card in page.iter("article") if "card" in card.get("class", "").split()]
        assert sorted(links) == sorted(cards)
        for card, (address,) in links.items():
            place, _, line = address.partition("#L")
            assert place == f"{EDIT_URL}{path.parent.name}/{path.name}"
            name = card.partition("-")[2]
            assert re.match(rf"  {re.escape(name)}\s*:", lines[int(line) - 1]), (slug, card, line)


def test_a_pattern_with_a_place_for_the_line_gets_it_there(edits: Callable[[str], Edits]) -> None:
    found = edits("https://example.org/edit?file={path}&line={line}")
    assert found.page == "https://example.org/edit?file=area/horn.yaml&line=1"
    assert re.fullmatch(r"https://example\.org/edit\?file=area/horn\.yaml&line=\d+", found.work["look"])
    lines = [int(address.rpartition("=")[2]) for address in found.work.values()]
    assert sorted(lines) == lines
    assert len(set(lines)) == len(lines) == 4


def test_a_pattern_that_has_an_anchor_gets_no_other(edits: Callable[[str], Edits]) -> None:
    found = edits("https://example.org/edit#file={path}")
    assert set(found.work.values()) == {found.page} == {"https://example.org/edit#file=area/horn.yaml"}


def test_an_address_leads_back_to_the_path_of_the_file(edits: Callable[[str], Edits]) -> None:
    found = edits(EDIT_URL + "{path}")
    assert {unquote(urlsplit(link).path) for link in (found.page, *found.work.values())} == {"/edit/area/horn.yaml"}


def test_without_a_pattern_no_page_offers_an_edit(
    small_library: Path, tmp_path: Path, run_builder: Callable[..., Any]
) -> None:
    done = run_builder("build", "--library", small_library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    assert "Improve this page" not in (tmp_path / "site/playbook/horn.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("edit_url", "message"),
    [
        ("https://example.org/edit/", "no `{path}`"),
        ("https://example.org/edit/{line}", "no `{path}`"),
        ("https://example.org/edit/{path}/{slug}", "braces that stand for nothing"),
        ("https://example.org/edit/{path}}", "braces that stand for nothing"),
    ],
)
def test_a_pattern_that_leads_nowhere_is_a_finding(read: Callable[[str], Any], edit_url: str, message: str) -> None:
    findings: tuple[Finding, ...] = read(edit_url).findings
    (finding,) = findings
    assert (finding.rule, finding.severity) == ("edit-url", "error")
    assert message in finding.message
    assert edit_url in finding.text


@pytest.mark.parametrize("edit_url", ["javascript:alert('{path}')", "https://example.org/ {path}", "{path}"])
def test_what_is_no_web_address_is_refused(read: Callable[[str], Any], edit_url: str) -> None:
    assert {finding.rule for finding in read(edit_url).findings} == {"notation"}


def test_an_address_cannot_leave_its_attribute(
    tmp_path: Path, write_library: WriteLibrary, horn: dict[str, Any], run_builder: Callable[..., Any]
) -> None:
    url = """https://example.org/{path}?"onclick='alert(1)'<b>"""
    library = write_library(tmp_path / "library", {"area/horn": horn}, {**SETTINGS, "edit_url": url})
    done = run_builder("build", "--library", library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    page = (tmp_path / "site/playbook/horn.html").read_text(encoding="utf-8")
    assert "https://example.org/area/horn.yaml?&#34;onclick=&#39;alert(1)&#39;&lt;b&gt;" in page
    assert "<b>#L" not in page


@pytest.mark.parametrize("url", ["https://example.org/new?file={path}&text={text}", "https://example.org/new"])
def test_where_a_new_file_begins_may_take_path_and_text(
    tmp_path: Path, write_library: WriteLibrary, horn: Any, url: str
) -> None:
    library = write_library(tmp_path, {"area/horn": horn}, {**SETTINGS, "new_url": url})
    assert read_library(library, "library").findings == ()


def test_where_a_new_file_begins_has_no_other_braces(tmp_path: Path, write_library: WriteLibrary, horn: Any) -> None:
    library = write_library(tmp_path, {"area/horn": horn}, {**SETTINGS, "new_url": "https://example.org/{line}"})
    (finding,) = read_library(library, "library").findings
    assert (finding.rule, finding.message) == ("edit-url", "`new_url` has braces that stand for nothing")
