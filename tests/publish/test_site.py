"""The demo's site, page by page: valid, closed in itself, safe first, and true to the numbers."""

import json
import posixpath
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

import pytest
import yaml

from builder.publish.pages.views import READY
from builder.read.hazards import BANNER

Pages = dict[str, ET.Element]
Run = Callable[..., Any]

ROOT: Final = Path(__file__).resolve().parents[2]
SHOWN: Final = 5
"""Paths in the table of a playbook's page."""
KINDS: Final = ("playbook", "area", "cause", "code", "tool", "part", "access", "hazard", "path", "sheet")


def has_class(element: ET.Element, name: str) -> bool:
    return name in element.get("class", "").split()


def text(element: ET.Element) -> str:
    """The text of an element, its white space made single spaces."""
    return " ".join("".join(element.itertext()).split())


def find(root: ET.Element, name: str) -> list[ET.Element]:
    return [element for element in root.iter() if has_class(element, name)]


def by_id(root: ET.Element, name: str) -> ET.Element:
    (found,) = (element for element in root.iter() if element.get("id") == name)
    return found


# -- Every page --------------------------------------------------------------------------------------------------------


def test_every_page_is_valid_html_and_every_kind_is_there(demo_pages: Pages) -> None:
    """The strict parser of html5lib stops at any parse error of the HTML Standard, 13.2.2."""
    assert {kind for kind in KINDS if any(page.startswith(f"{kind}/") for page in demo_pages)} == set(KINDS)
    assert {"index.html", "safety.html", "causes.html", "codes.html", "catalogue.html", "404.html"} <= set(demo_pages)


REFERENCES: Final = (
    "for",
    "aria-labelledby",
    "aria-describedby",
    "aria-controls",
    "aria-owns",
    "headers",
    "list",
    "form",
)


def test_every_reference_to_an_id_leads_to_one_on_its_page(demo_pages: Pages) -> None:
    """HTML Standard 2.6.5 and WAI-ARIA 1.2, value type ID reference; links within a page and markers as well."""
    for page, root in demo_pages.items():
        ids = {element.get("id") for element in root.iter()}
        for element in root.iter():
            named = [name for key in REFERENCES for name in element.get(key, "").split()]
            named += [link[1:] for link in [element.get("href", "")] if link.startswith("#") and len(link) > 1]
            named += re.findall(r"url\(#([^)]+)\)", element.get("marker-end", ""))
            assert set(named) <= ids, (page, set(named) - ids)


def test_a_link_to_a_place_on_another_page_finds_it(demo_pages: Pages) -> None:
    ids = {page: {element.get("id") for element in root.iter()} for page, root in demo_pages.items()}
    made_by_scripts = ("walk.html", "sheet.html", "form.html")
    for page, root in demo_pages.items():
        for link in (link.get("href", "") for link in root.iter("a")):
            target, mark, anchor = link.partition("#")
            place = posixpath.normpath(posixpath.join(posixpath.dirname(page), target))
            if mark and target and place in ids and place not in made_by_scripts:
                assert anchor in ids[place], (page, link)


def test_ids_are_unique_on_every_page(demo_pages: Pages) -> None:
    for page, root in demo_pages.items():
        ids = [element.get("id") for element in root.iter() if element.get("id")]
        assert len(ids) == len(set(ids)), page


def test_every_page_names_its_language_and_has_one_heading_of_its_own(demo_pages: Pages) -> None:
    for page, root in demo_pages.items():
        assert root.get("lang") == "en-GB", page
        assert len(list(root.iter("h1"))) == 1, page
        assert len([title for title in root.iter("title") if title.get("id") is None]) == 1, page


def test_titles_tell_playbooks_apart(demo_pages: Pages) -> None:
    titles = [next(root.iter("title")).text for page, root in demo_pages.items() if page.startswith("playbook/")]
    assert len(titles) == len(set(titles))


def test_every_page_carries_a_policy_that_lets_in_the_site_alone(demo_pages: Pages) -> None:
    """Content Security Policy Level 3: no source but the site itself, nothing within the page runs or styles."""
    for page, root in demo_pages.items():
        policies = [meta for meta in root.iter("meta") if meta.get("http-equiv") == "Content-Security-Policy"]
        assert len(policies) == 1, page
        directives = dict(part.split(maxsplit=1) for part in policies[0].get("content", "").split(";"))
        assert directives["default-src"] == "'none'"
        sources = {source for value in directives.values() for source in value.split()}
        assert sources <= {"'none'", "'self'", "blob:", "data:"}, page


def test_nothing_on_a_page_needs_what_the_policy_forbids(demo_pages: Pages) -> None:
    for page, root in demo_pages.items():
        for element in root.iter():
            assert "style" not in element.attrib, page
            assert not any(attribute.startswith("on") for attribute in element.attrib), page
            assert element.tag != "style", page
            assert element.tag != "script" or element.get("src") or element.get("type") == "application/ld+json", page


def addresses(root: ET.Element) -> Iterator[tuple[ET.Element, str]]:
    for element in root.iter():
        for attribute in ("href", "src", "action", "data", "poster", "srcset"):
            if attribute in element.attrib:
                yield element, element.attrib[attribute]


def test_every_address_is_relative_but_for_links_that_one_follows(demo_pages: Pages) -> None:
    for page, root in demo_pages.items():
        for element, address in addresses(root):
            if element.tag == "a" and address.startswith(("https://", "mailto:")):
                continue
            parts = urlsplit(address)
            assert (parts.scheme, parts.netloc) == ("", ""), (page, address)
            assert not parts.path.startswith("/"), (page, address)


def test_no_file_fetches_from_elsewhere_or_tells_where_it_was_made(site_dir: Path) -> None:
    machine = (str(ROOT), str(site_dir), str(site_dir.parent), str(Path.home()) + "/")
    for path in site_dir.rglob("*"):
        if path.suffix not in (".html", ".svg", ".css", ".js", ".json", ".webmanifest", ".xml", ".txt"):
            continue
        said = path.read_text(encoding="utf-8")
        assert not any(place in said for place in machine), path.name
        assert not re.search(r"""url\((?!#)|@import|\bfetch\(\s*["']https?:""", said), path.name


# -- Safety ------------------------------------------------------------------------------------------------------------


def banner_of(root: ET.Element) -> ET.Element | None:
    """The banner, if it is the first thing in the body after the link that skips to the content."""
    (body,) = root.iter("body")
    skip, first = body[0], body[1]
    assert has_class(skip, "skip")
    return first if has_class(first, "banner") else None


def hazards_of(work: dict[str, Any], entries: dict[str, Any]) -> set[str]:
    needed = [*work.get("access", []), *work.get("tools", [])]
    return {*work.get("hazards", []), *(hazard for name in needed for hazard in entries[name].get("hazards", []))}


@pytest.fixture(scope="module")
def works() -> dict[str, dict[str, set[str]]]:
    """For every playbook and each of its steps and endings: its hazards that call for the banner, from the files."""
    entries = {}
    for kind in ("access", "tools"):
        entries |= yaml.safe_load((ROOT / f"playbooks/catalogue/{kind}.yaml").read_text(encoding="utf-8"))
    found = {}
    for path in sorted(ROOT.glob("playbooks/*/*.yaml")):
        book = yaml.safe_load(path.read_text(encoding="utf-8"))
        if "steps" in book:
            named = {f"step-{name}": work for name, work in book["steps"].items()}
            named |= {f"ending-{name}": work for name, work in book["endings"].items()}
            found[path.stem] = {name: hazards_of(work, entries) & set(BANNER) for name, work in named.items()}
    return found


def test_the_demo_has_playbooks_with_one_banner_with_both_and_with_none(works: dict[str, Any]) -> None:
    met = {frozenset().union(*own.values()) for own in works.values()}
    assert met >= {frozenset(), frozenset({"lifting"}), frozenset({"timing", "lifting"})}


def test_the_banner_is_above_all_else_on_every_page_of_a_playbook_that_needs_it(
    demo_pages: Pages, works: dict[str, dict[str, set[str]]]
) -> None:
    names = _hazard_names()
    for slug, own in works.items():
        needed = set().union(*own.values())
        banner = banner_of(demo_pages[f"playbook/{slug}.html"])
        assert (banner is not None) == bool(needed), slug
        for hazard in needed:
            assert banner is not None
            assert names[hazard] in text(banner), slug


def test_the_banner_repeats_at_each_step_and_ending_that_needs_it(
    demo_pages: Pages, works: dict[str, dict[str, set[str]]]
) -> None:
    names = _hazard_names()
    for slug, own in works.items():
        for place, needed in own.items():
            card = by_id(demo_pages[f"playbook/{slug}.html"], place)
            panels = [text(panel) for panel in find(card, "signal-panel")]
            for hazard in needed:
                assert any(names[hazard] in panel for panel in panels), (slug, place, hazard)


def test_the_sheet_of_a_path_that_meets_such_a_step_has_the_banner_and_repeats_it(
    demo_pages: Pages, works: dict[str, dict[str, set[str]]], run_builder: Run
) -> None:
    names = _hazard_names()
    for slug in ("cranks-but-does-not-start", "coolant-level-falls", "fan-on-top-speed-only"):
        totals = json.loads(run_builder("totals", slug, "--json").stdout)
        sheets = _sheets(demo_pages[f"playbook/{slug}.html"])
        assert len(sheets) == READY
        for sheet, path in zip(sheets, totals["paths"][:READY], strict=True):
            root = demo_pages[f"path/{sheet}"]
            places = [f"step-{name}" for name in path["steps"]]
            places += [f"ending-{path['ending']}"] if path["ending"] else []
            needed = [works[slug][place] for place in places]
            banner = banner_of(root)
            assert (banner is not None) == bool(set().union(*needed)), sheet
            for card, hazards in zip(find(root, "card"), needed, strict=False):
                said = " ".join(text(panel) for panel in find(card, "signal-panel"))
                for hazard in hazards:
                    assert names[hazard] in said, (sheet, hazard)
                    assert banner is not None
                    assert names[hazard] in text(banner)


def _hazard_names() -> dict[str, str]:
    hazards = yaml.safe_load((ROOT / "playbooks/catalogue/hazards.yaml").read_text(encoding="utf-8"))
    return {name: hazards[name]["name"] for name in BANNER}


def _sheets(root: ET.Element) -> list[str]:
    """File names of the sheets that the build made, in the order of the table of paths."""
    (table,) = (table for table in root.iter("table") if has_class(table, "paths"))
    links = (link.get("href", "") for head in table.iter("th") for link in head.iter("a"))
    return [link.rpartition("/")[2] for link in links if link.startswith("../path/")]


@pytest.mark.parametrize(("kind", "hazard"), [("access", "undertray"), ("hazard", "lifting"), ("hazard", "timing")])
def test_pages_of_what_lifts_or_touches_the_timing_drive_have_the_banner(
    demo_pages: Pages, kind: str, hazard: str
) -> None:
    assert banner_of(demo_pages[f"{kind}/{hazard}.html"]) is not None


def test_a_signal_panel_has_its_word_of_ansi_z535(demo_pages: Pages) -> None:
    """ANSI Z535.6: danger, warning and caution with the alert symbol, notice without."""
    words = {"danger": "DANGER", "warning": "WARNING", "caution": "CAUTION", "notice": "NOTICE"}
    for page, root in demo_pages.items():
        for panel in find(root, "signal-panel"):
            (signal,) = set(panel.get("class", "").split()) & words.keys()
            (word,) = find(panel, "signal-word")
            assert text(word) == words[signal], page
            assert bool(find(word, "alert-symbol")) == (signal != "notice"), page


def test_advice_defers_to_the_manual_and_to_professionals_on_every_page(demo_pages: Pages) -> None:
    for page, root in demo_pages.items():
        (footer,) = (footer for footer in root.iter("footer") if has_class(footer, "bottom"))
        assert "does not replace the workshop manual" in text(footer), page


# -- Numbers -----------------------------------------------------------------------------------------------------------


def euros(amount: float) -> str:
    """Money as the demo shows it: cents below 20 only."""
    return f"€{amount:.2f}" if amount < 20 and round(amount, 2) % 1 else f"€{round(amount):,}"


def about(amount: float) -> str:
    """Money that rests on estimates: two digits."""
    return f"€{int(float(f'{amount:.1e}')):,}" if amount >= 10 else f"€{round(amount)}"


def percent(share: float) -> str:
    return f"{round(100 * share)}%"


@pytest.mark.parametrize("slug", ["fan-on-top-speed-only", "cranks-slowly-cold"])
def test_figures_on_the_page_are_those_of_totals(demo_pages: Pages, run_builder: Run, slug: str) -> None:
    totals = json.loads(run_builder("totals", slug, "--json").stdout)
    root = demo_pages[f"playbook/{slug}.html"]
    (headline,) = find(root, "headline")
    figures = [text(figure) for figure in find(headline, "big")]
    within = totals["spend_within"]
    assert figures[:3] == [about(totals["expected"]["money"]), about(within["50"]), about(within["95"])]
    assert figures[3] == percent(totals["settled"])
    for said in (totals["wasted"], totals["expected"]["shop_money"], within["50"], within["95"]):
        assert about(said) in text(headline)


@pytest.mark.parametrize("slug", ["fan-on-top-speed-only", "cranks-slowly-cold"])
def test_the_table_of_paths_is_that_of_totals(demo_pages: Pages, run_builder: Run, slug: str) -> None:
    totals = json.loads(run_builder("totals", slug, "--json").stdout)
    (table,) = (table for table in demo_pages[f"playbook/{slug}.html"].iter("table") if has_class(table, "paths"))
    rows = [[text(cell) for cell in row if cell.tag in ("th", "td")] for row in table.iter("tr")][1:]
    heads = [text(head) for head in table.iter("th") if head.get("scope") == "col"]
    money = heads.index("Money")
    chance = heads.index("Chance")
    assert len(rows) == SHOWN
    for row, path in zip(rows, totals["paths"][:SHOWN], strict=True):
        low, likely, high = (euros(path["money"][key]) for key in ("low", "likely", "high"))
        assert row[money] == (likely if low == high else f"{likely} ({low} – {high})")
        assert row[chance] == (percent(path["chance"]) if path["chance"] >= 0.005 else "< 1%")


def test_a_sheet_adds_up_to_its_total(demo_pages: Pages, run_builder: Run) -> None:
    """What each step and the ending add, in whole euros and minutes, against the sum at the head of the sheet."""
    slug = "fan-on-top-speed-only"
    totals = json.loads(run_builder("totals", slug, "--json").stdout)
    for sheet, path in zip(_sheets(demo_pages[f"playbook/{slug}.html"]), totals["paths"][:READY], strict=True):
        costs = [text(cost) for card in find(demo_pages[f"path/{sheet}"], "card") for cost in find(card, "cost")]
        added = [float(cost.split()[0].strip("€").replace(",", "")) for cost in costs]
        assert sum(added) == pytest.approx(path["money"]["likely"], abs=0.5 * len(added) + 0.5)


def test_the_sitemap_lists_pages_that_are_there(site_dir: Path) -> None:
    """Sitemaps XML format, https://www.sitemaps.org/protocol.html: absolute addresses in its own namespace."""
    root = ET.parse(site_dir / "sitemap.xml").getroot()
    places = [loc.text or "" for loc in root.iter("{http://www.sitemaps.org/schemas/sitemap/0.9}loc")]
    assert "https://example.org/tamarin/index.html" in places
    assert len(places) == len(set(places))
    for place in places:
        assert place.startswith("https://example.org/tamarin/")
        assert (site_dir / place.removeprefix("https://example.org/tamarin/")).is_file()
