"""A library of strangers: whatever its texts say, the pages show them to the letter and nothing in them acts."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree as ET

import html5lib
import pytest

from builder.publish.pages.views import READY

Plain = dict[str, Any]

SIGNS: Final = (
    """<script>alert(1)</script><img src=x onerror=alert(2)> "x' `y` &lt;b&gt; &amp; {{ 7*7 }} {% raw %} {# c #}"""
)
MARKUP: Final = "</title></style></script><svg/onload=alert(3)>--><!--]]>"
LONG: Final = "Donaudampfschifffahrtsgesellschaftskapitänsmützenabzeichenhersteller" * 4
RIGHT_TO_LEFT: Final = "المحرك لا يدور שלום"
PICTURES: Final = "😀 👨‍👩‍👧 ½ \\N \\l \\\\ $HOME %s %(x)s"
TEXTS: Final = (SIGNS, MARKUP, LONG, RIGHT_TO_LEFT, PICTURES)


def say(what: str) -> str:
    return f"{what}: " + " | ".join(TEXTS)


def work(what: str) -> Plain:
    return {
        "title": say(f"{what} title"),
        "do": say(f"{what} do"),
        "preconditions": [say(f"{what} before")],
        "time": "5 min",
        "tools": ["tool"],
        "parts": ["part"],
        "access": ["cover"],
        "hazards": ["odd", "lifting"],
        "no_hazards": {"timing": "no"},
    }


BOOK: Final[Plain] = {
    "format": "1",
    "title": say("book"),
    "vehicles": [say("vehicle")],
    "symptom": {"summary": say("summary"), "conditions": [say("condition")], "codes": ["P0128"]},
    "preconditions": [say("first")],
    "causes": {"one": {"name": say("cause"), "share": "50%"}, "two": {"name": say("other cause"), "share": "20%"}},
    "start": "step",
    "steps": {
        "step": {
            **work("step"),
            "results": {
                "yes": {"expect": say("expect"), "chance": {"one": "90%", "otherwise": "10%"}, "next": "end"},
                "no": {"expect": say("otherwise"), "chance": "rest", "next": {"playbook": "second"}},
            },
        }
    },
    "endings": {
        "end": {**work("ending"), "settles": ["one"], "prove": {"trial": say("trial"), "shows": "50%"}},
    },
}
CATALOGUE: Final[Plain] = {
    "tools": {"tool": {"name": say("tool"), "price": "10", "borrow": "1", "note": say("tool note")}},
    "parts": {"part": {"name": say("part"), "price": "10", "note": say("part note")}},
    "access": {"cover": {"name": say("cover"), "open": "1 min", "close": "1 min", "note": say("cover note")}},
    "hazards": {"odd": {"name": say("odd"), "signal": "warning", "harm": say("harm"), "avoid": say("avoid")}},
}
SETTINGS: Final[Plain] = {
    "title": say("library"),
    "currency": "EUR",
    "labour_rate": "60",
    "areas": {"area": say("area")},
    "site_url": "https://example.org/",
    "notice": say("notice"),
}


MARKDOWN: Final = f"do: {LONG} {RIGHT_TO_LEFT} {PICTURES} {{{{ 7*7 }}}} {{% raw %}} `<script>alert(1)</script>` \\<b\\>"


@pytest.fixture(scope="module")
def site(
    tmp_path_factory: pytest.TempPathFactory, write_library: Callable[..., Path], run_builder: Callable[..., Any]
) -> Path:
    """The site of a library in which every text is hostile; only Markdown leaves out the raw HTML, which is refused."""
    folder = tmp_path_factory.mktemp("hostile")
    plain = {**BOOK, "steps": {"step": {**BOOK["steps"]["step"], "do": MARKDOWN}}}
    plain["endings"] = {"end": {**BOOK["endings"]["end"], "do": MARKDOWN}}
    second = {**plain, "steps": {"step": {**plain["steps"]["step"], "results": {"x": {"expect": "x", "next": "end"}}}}}
    library = write_library(folder / "library", {"area/first": plain, "area/second": second}, SETTINGS, CATALOGUE)
    done = run_builder("build", "--library", library, "--out", folder / "site")
    assert done.returncode == 0, done.stderr
    return folder / "site"


def parsed(path: Path) -> ET.Element:
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    root: ET.Element = parser.parse(path.read_text(encoding="utf-8"))
    return root


def squeezed(text: str) -> str:
    """Text without white space, which wraps and keeps units on their line."""
    return "".join(text.split())


def test_no_page_has_an_element_or_an_attribute_that_a_text_named(site: Path) -> None:
    for path in site.rglob("*.html"):
        for element in parsed(path).iter():
            assert not any(attribute.startswith("on") for attribute in element.attrib), path.name
            assert element.tag != "script" or "alert" not in (element.text or "") or element.get("type"), path.name
            assert element.tag != "img" or element.get("src") != "x", path.name


SHOWN: Final = {
    "playbook/first.html": [
        *(
            "book",
            "vehicle",
            "summary",
            "condition",
            "first",
            "cause",
            "step title",
            "step before",
            "expect",
            "otherwise",
        ),
        *("ending title", "ending before", "trial", "tool", "part", "cover", "odd", "harm", "avoid", "area", "notice"),
    ],
    "area/area.html": ["area", "book", "summary", "library"],
    "index.html": ["area", "book", "summary"],
    "cause/one.html": ["cause", "book", "ending title"],
    "tool/tool.html": ["tool", "tool note", "book", "step title"],
    "part/part.html": ["part", "part note"],
    "access/cover.html": ["cover", "cover note"],
    "hazard/odd.html": ["odd", "harm", "avoid"],
    "code/P0128.html": ["book"],
    "safety.html": ["odd", "harm", "avoid"],
    "catalogue.html": ["tool", "part", "cover", "part note"],
    "causes.html": ["cause", "book"],
    "codes.html": ["book"],
}


@pytest.mark.parametrize("page", SHOWN)
def test_every_text_is_on_its_page_to_the_letter(site: Path, page: str) -> None:
    shown = squeezed("".join(parsed(site / page).itertext()))
    for what in SHOWN[page]:
        assert squeezed(say(what)) in shown, what


def test_the_sheet_shows_the_texts_of_its_path_to_the_letter(site: Path) -> None:
    sheets = [squeezed("".join(parsed(path).itertext())) for path in site.glob("path/first--*.html")]
    assert len(sheets) == READY
    for what in ("step title", "step before", "summary", "vehicle", "tool", "part", "odd"):
        assert all(squeezed(say(what)) in sheet for sheet in sheets), what
    # What another result would look like stands on the sheet too.
    assert all(squeezed(say("expect")) in sheet for sheet in sheets)


def test_the_sheet_of_the_whole_playbook_shows_its_texts_to_the_letter(site: Path) -> None:
    sheet = squeezed("".join(parsed(site / "sheet/first.html").itertext()))
    for what in ("step title", "step before", "summary", "vehicle", "tool", "part", "odd", "expect", "ending title"):
        assert squeezed(say(what)) in sheet, what


def test_markdown_shows_its_signs_and_its_code_to_the_letter(site: Path) -> None:
    shown = squeezed("".join(parsed(site / "playbook/first.html").itertext()))
    assert squeezed(f"do: {LONG} {RIGHT_TO_LEFT}") in shown
    assert squeezed("{{ 7*7 }} {% raw %} <script>alert(1)</script> <b>") in shown


def drawn(site: Path) -> Iterator[ET.Element]:
    for path in site.glob("flow/*.svg"):
        yield ET.parse(path).getroot()


def test_flowcharts_that_open_alone_hold_nothing_that_acts(site: Path) -> None:
    for root in drawn(site):
        tags = {element.tag.rpartition("}")[2] for element in root.iter()}
        assert tags <= {
            "svg",
            "title",
            "desc",
            "style",
            "g",
            "a",
            "path",
            "polygon",
            "polyline",
            "text",
            "rect",
            "defs",
            "marker",
        }
        for element in root.iter():
            assert re.match(r"(\.\./playbook/\w+\.html(#[a-z-]+)?)?$", element.get("href", ""))
        assert squeezed(say("step title")) in squeezed("".join(root.itertext()))


def test_the_sitemap_is_well_formed(site: Path) -> None:
    assert len(ET.parse(site / "sitemap.xml").getroot()) > 5
