"""Every link of the demo's site leads to a page that is there, and every anchor to a place on it."""

import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, Final
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from linkcheck.cmdline import aggregate_url
from linkcheck.configuration import Configuration
from linkcheck.director import check_urls, get_aggregate
from linkcheck.logger import _Logger

ELSEWHERE: Final = ("https://", "http://", "mailto:")
COMMAND: Final = re.compile(r"(?:walk|form|sheet)\.html#\w+=")
"""What stands behind such a `#` tells the walk, the form or the sheet what to do, and names no place on the page."""


class Anchors(HTMLParser):
    """The links and the ids of a page or a drawing."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()
        self.feed(page)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        for name, value in attributes:
            if name in ("href", "src") and value:
                self.links.append(value)
            if name == "id" and value:
                self.ids.add(value)


def broken_anchors(site: Path) -> list[tuple[str, str]]:
    """Links of a site that lead to no file of it, or to no element of the page."""
    pages = {
        path.resolve().as_uri(): Anchors(path.read_text(encoding="utf-8"))
        for suffix in ("html", "svg")
        for path in site.rglob(f"*.{suffix}")
    }
    files = {path.resolve().as_uri() for path in site.rglob("*")}
    broken = []
    for page, anchors in pages.items():
        for link in anchors.links:
            if link.startswith(ELSEWHERE) or COMMAND.search(link):
                continue
            target, _, anchor = urljoin(page, link).partition("#")
            known = pages[target].ids if target in pages else set()
            if target.partition("?")[0] not in files or (anchor and target in pages and unquote(anchor) not in known):
                broken.append((page, link))
    return broken


def test_every_anchor_of_the_demo_is_there(site_dir: Path) -> None:
    assert broken_anchors(site_dir) == []


@pytest.mark.parametrize("link", ["gone.html", "other.html#gone", "#gone", "../outside.html"])
def test_a_broken_link_would_be_found(tmp_path: Path, link: str) -> None:
    (tmp_path / "index.html").write_text(f'<a href="other.html#here">x</a><a href="{link}">y</a>', encoding="utf-8")
    (tmp_path / "other.html").write_text('<p id="here"><a href="index.html">z</a>', encoding="utf-8")
    assert broken_anchors(tmp_path) == [((tmp_path / "index.html").resolve().as_uri(), link)]


@pytest.mark.parametrize("link", ["gone.html", "other.html#gone"])
def test_the_crawler_would_find_a_broken_link(tmp_path: Path, link: str) -> None:
    (tmp_path / "index.html").write_text(f'<a href="other.html#here">x</a><a href="{link}">y</a>', encoding="utf-8")
    (tmp_path / "other.html").write_text('<p id="here"><a href="index.html">z</a>', encoding="utf-8")
    assert [address for address, _ in crawl(tmp_path, anchors=True)] == [
        (tmp_path / link.partition("#")[0]).as_uri() + "".join(link.partition("#")[1:])
    ]


class Broken(_Logger):
    """Collects what LinkChecker finds fault with."""

    LoggerName = "broken"

    def __init__(self) -> None:
        super().__init__()
        self.seen = 0
        self.found: list[tuple[str, str]] = []

    def start_output(self) -> None:
        pass

    def end_output(self, **_: Any) -> None:
        pass

    def log_filter_url(self, url: Any, do_print: bool) -> None:
        self.seen += 1
        if (not url.valid or url.warnings) and not COMMAND.search(url.url):
            self.found.append((url.url, str(url.warnings or url.result)))

    def log_url(self, url: Any) -> None:
        pass


def crawl(site: Path, *, anchors: bool) -> list[tuple[str, str]]:
    """What LinkChecker, an independent crawler, finds fault with from the home page on."""
    configuration = Configuration()
    configuration["enabledplugins"] = ["AnchorCheck"] if anchors else []
    configuration["status"] = False
    configuration["threads"] = 2
    configuration["checkextern"] = False
    configuration["logger"] = logger = Broken()
    configuration.sanitize()
    aggregate = get_aggregate(configuration)
    aggregate_url(aggregate, (site / "index.html").as_uri())
    check_urls(aggregate)
    assert logger.seen > 1
    return logger.found


@pytest.mark.filterwarnings("ignore::bs4.XMLParsedAsHTMLWarning")  # the crawler reads the feed as HTML
def test_a_crawl_from_the_home_page_finds_no_broken_link(site_dir: Path) -> None:
    assert crawl(site_dir, anchors=False) == []


def test_a_crawl_that_looks_at_anchors_finds_none_broken(
    small_library: Path, tmp_path: Path, run_builder: Callable[..., Any]
) -> None:
    """On a small site, since the crawler reads a page again for each of its anchors."""
    done = run_builder("build", "--library", small_library, "--out", tmp_path / "site")
    assert done.returncode == 0, done.stderr
    assert crawl(tmp_path / "site", anchors=True) == []


def test_every_page_is_linked_from_somewhere(site_dir: Path) -> None:
    pages = {path.resolve().as_uri(): Anchors(path.read_text(encoding="utf-8")) for path in site_dir.rglob("*.html")}
    linked = {urljoin(page, link).partition("#")[0].partition("?")[0] for page, a in pages.items() for link in a.links}
    orphans = {urlsplit(page).path.rpartition("/")[2] for page in pages.keys() - linked}
    assert orphans <= {"404.html"}
