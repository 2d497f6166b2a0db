"""Old slugs of playbooks: a page at each old address that leads on to where the playbook is now."""

from pathlib import Path
from typing import Final
from xml.etree.ElementTree import Element

import html5lib
import pytest
from click.testing import CliRunner

from builder.cli import main
from builder.format import worked

SITE_URL: Final = "https://example.org/cars/"


def built(folder: Path, site_url: str) -> Path:
    """The site of the worked library whose washer playbook had two slugs before."""
    library, site = folder / "library", folder / "site"
    before = {worked.PATH: "was: [no-water, washer-dead]\n", "library.yaml": site_url and f"site_url: {site_url}\n"}
    for name, text in worked.LIBRARY.items():
        if name == worked.BEST_PATH:
            continue
        (library / name).parent.mkdir(parents=True, exist_ok=True)
        (library / name).write_text(before.get(name, "") + text, encoding="utf-8")
    done = CliRunner().invoke(main, ["build", "--library", str(library), "--out", str(site), "--workers", "1"])
    assert done.exit_code == 0, done.output
    pages = len(list(site.rglob("*.html")))
    assert f"{pages} pages" in done.stdout
    return site


def parsed(page: Path) -> Element:
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    document: Element = parser.parse(page.read_text(encoding="utf-8"))
    return document


@pytest.mark.parametrize("site_url", ["", SITE_URL])
def test_old_address_leads_to_the_playbook(tmp_path: Path, site_url: str) -> None:
    site = built(tmp_path, site_url)
    for old in ("no-water", "washer-dead"):
        page = parsed(site / f"playbook/{old}.html")
        metas = {meta.attrib.get("http-equiv") or meta.attrib.get("name"): meta for meta in page.iter("meta")}
        # WHATWG HTML, "refresh": seconds, a semicolon, and the address relative to the page.
        assert metas["refresh"].attrib["content"] == f"0; url={worked.SLUG}.html"
        assert metas["robots"].attrib["content"] == "noindex"
        canonical = [link.attrib["href"] for link in page.iter("link") if link.attrib["rel"] == "canonical"]
        assert canonical == [f"{site_url}playbook/{worked.SLUG}.html" if site_url else f"{worked.SLUG}.html"]
        main_part = next(page.iter("main"))
        [link] = main_part.iter("a")
        assert (link.attrib["href"], link.text) == (f"{worked.SLUG}.html", worked.TITLE)
        assert (site / "playbook" / link.attrib["href"]).is_file()


def test_sitemap_and_other_pages_know_only_the_new_address(tmp_path: Path) -> None:
    site = built(tmp_path, SITE_URL)
    sitemap = (site / "sitemap.xml").read_text(encoding="utf-8")
    assert f"{SITE_URL}playbook/{worked.SLUG}.html" in sitemap
    assert "guide.html" in sitemap
    assert "no-water" not in sitemap
    pointing = [path.name for path in site.rglob("*.html") if "no-water" in path.read_text(encoding="utf-8")]
    assert pointing == []


def test_playbook_without_old_slugs_has_one_page(tmp_path: Path) -> None:
    site = built(tmp_path, "")
    names = sorted(path.name for path in (site / "playbook").iterdir())
    assert names == ["no-water.html", "washer-dead.html", "washer-sprays-nothing.html", "wipers-smear.html"]
