"""The feed of changed playbooks and the sitemap, read by a feed reader's library and by the standards."""

import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree as ET

import feedparser
import pytest

from builder.publish.hosting.feed import MOST, feed_of
from builder.read.history import History
from builder.read.library import read_library

RunGit = Callable[..., str]
Run = Callable[..., Any]

ATOM: Final = "{http://www.w3.org/2005/Atom}"
SITE: Final = "https://example.org/cars/"
RFC_3339: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")


@pytest.fixture
def build(tmp_path: Path, run_builder: Run) -> Callable[[Path], Path]:
    def build(library: Path) -> Path:
        done = run_builder("build", "--library", library, "--out", tmp_path / "site")
        assert done.returncode == 0, done.stderr
        return tmp_path / "site"

    return build


def edit(library: Path, run_git: RunGit, name: str, date: str, old: str = "No sound", new: str = "Not a sound") -> None:
    """Change a file and commit it."""
    path = library / name
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    run_git(library, "commit", "--quiet", "--all", "--message=next", date=date)


def test_a_feed_reader_reads_the_feed(committed_library: Path, run_git: RunGit, build: Callable[[Path], Path]) -> None:
    """By feedparser, strictly: ``bozo`` is 0 only if the XML is well formed and its encoding as declared."""
    edit(committed_library, run_git, "area/hooter.yaml", "2024-02-02T12:00:00+02:00")
    read = feedparser.parse((build(committed_library) / "feed.xml").read_bytes())
    assert (read.bozo, read.version) == (0, "atom10")
    assert (read.feed.title, read.feed.id, read.feed.updated) == (
        "Test library",
        f"{SITE}feed.xml",
        "2024-02-02T10:00:00Z",
    )
    assert [(link.rel, link.href) for link in read.feed.links] == [
        ("self", f"{SITE}feed.xml"),
        ("alternate", f"{SITE}index.html"),
    ]
    first, second = read.entries
    assert (first.link, first.updated, first.summary) == (
        f"{SITE}playbook/hooter.html",
        "2024-02-02T10:00:00Z",
        "Not a sound at all.",
    )
    assert (second.link, second.updated) == (f"{SITE}playbook/horn.html", "2024-01-01T00:00:00Z")


def test_the_feed_has_what_the_standard_asks_for(committed_library: Path, build: Callable[[Path], Path]) -> None:
    """RFC 4287, 4.1.1 and 4.1.2: one id, title and updated each, an author, at most one alternate link of a kind."""
    root = ET.parse(build(committed_library) / "feed.xml").getroot()
    entries = root.findall(f"{ATOM}entry")
    assert root.tag == f"{ATOM}feed"
    assert len(root.findall(f"{ATOM}author/{ATOM}name")) == 1
    for element in (root, *entries):
        for name in ("id", "title", "updated"):
            (found,) = element.findall(f"{ATOM}{name}")
            assert found.text
            assert found.text == found.text.strip()
        assert RFC_3339.fullmatch(element.findtext(f"{ATOM}updated") or "")
        assert len(element.findall(f"{ATOM}link[@rel='alternate']")) == 1
    assert len({entry.findtext(f"{ATOM}id") for entry in entries}) == len(entries) == 2
    assert "Hooter & <horn>" in [entry.findtext(f"{ATOM}title") for entry in entries]
    assert root.findtext(f"{ATOM}updated") == max(entry.findtext(f"{ATOM}updated") or "" for entry in entries)


def test_every_page_leads_to_the_feed(committed_library: Path, build: Callable[[Path], Path]) -> None:
    site = build(committed_library)
    link = re.compile(r'<link rel="alternate" type="application/atom\+xml" title="[^"]+" href="([^"]+)">')
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 20
    for page in pages:
        (target,) = link.findall(page.read_text(encoding="utf-8"))
        assert (page.parent / target).resolve() == site / "feed.xml"


def test_a_clone_of_the_same_commit_gives_the_same_feed(
    committed_library: Path, tmp_path: Path, run_git: RunGit, build: Callable[[Path], Path]
) -> None:
    edit(committed_library, run_git, "area/hooter.yaml", "2024-02-02T12:00:00+02:00")
    before = (build(committed_library) / "feed.xml").read_bytes()
    run_git(tmp_path, "clone", "--quiet", str(committed_library.parent), "clone")
    assert (build(tmp_path / "clone/playbooks") / "feed.xml").read_bytes() == before


def test_a_playbook_that_is_in_no_commit_is_left_out(committed_library: Path, build: Callable[[Path], Path]) -> None:
    shutil.copy(committed_library / "area/horn.yaml", committed_library / "area/new.yaml")
    read = feedparser.parse((build(committed_library) / "feed.xml").read_bytes())
    assert {entry.link for entry in read.entries} == {f"{SITE}playbook/{slug}.html" for slug in ("horn", "hooter")}


def test_without_an_address_of_the_site_there_is_no_feed(
    committed_library: Path, run_git: RunGit, build: Callable[[Path], Path]
) -> None:
    edit(committed_library, run_git, "library.yaml", "2024-02-02T12:00:00Z", f'"{SITE}"', '"https://example.org"')
    assert "https://example.org/feed.xml" in (build(committed_library) / "feed.xml").read_text(encoding="utf-8")
    settings = (committed_library / "library.yaml").read_text(encoding="utf-8").replace('"site_url"', '"notice"')
    (committed_library / "library.yaml").write_text(settings, encoding="utf-8")
    site = build(committed_library)
    assert not (site / "feed.xml").exists()
    assert "atom+xml" not in (site / "index.html").read_text(encoding="utf-8")


def test_the_newest_come_first_and_not_more_than_a_reader_can_take(
    tmp_path: Path, write_library: Callable[..., Path], horn: dict[str, Any]
) -> None:
    slugs = [f"horn-{number:02}" for number in range(MOST + 10)]
    settings = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}, "site_url": SITE}
    root = write_library(tmp_path, {f"area/{slug}": horn for slug in slugs}, settings)
    library = read_library(root).library
    assert library is not None
    changed = {f"area/{slug}.yaml": 1_700_000_000 + number // 2 for number, slug in enumerate(slugs)}
    entries = feed_of(library, History("0" * 40, changed=changed))
    pages = [entry.page.rpartition("/")[2].removesuffix(".html") for entry in entries]
    newest = sorted(slugs, key=lambda slug: (-changed[f"area/{slug}.yaml"], slug))
    assert pages == newest[:MOST]
    assert len(pages) == MOST


def test_ids_stay_when_a_playbook_gets_another_slug(
    committed_library: Path, run_git: RunGit, build: Callable[[Path], Path]
) -> None:
    """RFC 4287, section 4.2.6: an id must not change when the entry moves."""

    def links() -> dict[str, str]:
        read = feedparser.parse((build(committed_library) / "feed.xml").read_bytes())
        return {entry.id: entry.link for entry in read.entries}

    before = links()
    run_git(committed_library, "mv", "area/horn.yaml", "area/klaxon.yaml")
    was = '"was": ["horn"],\n"symptom"'
    edit(committed_library, run_git, "area/klaxon.yaml", "2024-02-02T12:00:00Z", '"symptom"', was)
    after = links()
    assert after.keys() == before.keys()
    assert after[before[f"{SITE}playbook/horn.html"]] == f"{SITE}playbook/klaxon.html"


def test_the_sitemap_names_every_playbook(committed_library: Path, build: Callable[[Path], Path]) -> None:
    """Sitemaps XML format, https://www.sitemaps.org/protocol.html."""
    site = build(committed_library)
    root = ET.parse(site / "sitemap.xml").getroot()
    spaces = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
    assert root.tag == f"{spaces}urlset"
    assert {element.tag for element in root} == {f"{spaces}url"}
    places = {element.findtext(f"{spaces}loc") or "" for element in root}
    assert {f"{SITE}playbook/horn.html", f"{SITE}playbook/hooter.html", f"{SITE}index.html"} <= places
    assert all((site / place.removeprefix(SITE)).is_file() for place in places)
