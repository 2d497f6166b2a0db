"""Markdown on pages: links lead to pages of the site or openly elsewhere, and nothing in a text runs."""

import re
from dataclasses import replace
from typing import Final
from urllib.parse import urlsplit
from xml.etree import ElementTree as ET

import html5lib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.draw.figures import Figures
from builder.publish.pages.markdown import Place, prose

ELEMENTS: Final = {
    *("html", "head", "body", "p", "a", "img", "em", "strong", "code", "pre", "blockquote", "br", "hr", "span"),
    *("ul", "ol", "li", "h4", "h5", "h6", "table", "thead", "tbody", "tr", "th", "td"),
}
ATTRIBUTES: Final = {"href", "rel", "src", "alt", "title", "loading", "class", "start"}


def place(page: str = "playbook/fan.html") -> Place:
    return Place(page, "fan", "cabin", (("look", "step"), ("fit", "ending")), Figures("en_GB", "EUR"))


def render(text: str, page: str = "playbook/fan.html") -> str:
    return prose(text, place(page)).html


def parsed(text: str, page: str = "playbook/fan.html") -> ET.Element:
    root: ET.Element = html5lib.parse(render(text, page), namespaceHTMLElements=False)
    return root


def links(text: str, page: str = "playbook/fan.html") -> list[str]:
    return [str(link.get("href")) for link in parsed(text, page).iter("a")]


def test_raw_html_stays_text() -> None:
    text = "A <b>bold</b> <script>alert(1)</script> word"
    root = parsed(text)
    assert "".join(root.itertext()).strip() == text
    assert {element.tag for element in root.iter()} == {"html", "head", "body", "p"}


def test_template_signs_stay_text() -> None:
    assert render("{{ 7 * 7 }} {% raw %}") == "<p>{{ 7 * 7 }} {% raw %}</p>\n"


@pytest.mark.parametrize(
    ("target", "page", "link"),
    [
        ("#look", "playbook/fan.html", "#step-look"),
        ("#fit", "playbook/fan.html", "#ending-fit"),
        ("#look", "path/fan--1.html", "../playbook/fan.html#step-look"),
        ("#fit", "walk.html", "playbook/fan.html#ending-fit"),
        ("heater.yaml", "playbook/fan.html", "heater.html"),
        ("../cooling/boils.yaml", "path/fan--1.html", "../playbook/boils.html"),
        ("table.pdf", "playbook/fan.html", "../files/cabin/table.pdf"),
        ("../shared/table.pdf", "walk.html", "files/shared/table.pdf"),
        ("a%20b%23c.pdf", "playbook/fan.html", "../files/cabin/a%20b%23c.pdf"),
        ("https://example.org/a?b=c#d", "playbook/fan.html", "https://example.org/a?b=c#d"),
        ("mailto:a@example.org", "playbook/fan.html", "mailto:a@example.org"),
    ],
)
def test_a_link_leads_to_its_place_on_the_site(target: str, page: str, link: str) -> None:
    assert links(f"[there]({target})", page) == [link]


def test_files_that_are_linked_are_brought_along() -> None:
    text = "[a](table.pdf) ![b](../shared/a%20b.png) [c](other.yaml) [d](https://example.org/x.pdf)"
    assert prose(text, place()).files == {"cabin/table.pdf", "shared/a b.png"}


def test_links_elsewhere_say_so_and_tell_nothing() -> None:
    (link,) = parsed("[there](https://example.org/)").iter("a")
    assert str(link.get("rel")).split() == ["external", "noopener", "noreferrer"]


def test_a_picture_is_a_file_of_the_library() -> None:
    (picture,) = parsed("![A *plug*](plug.png)").iter("img")
    assert picture.attrib == {"src": "../files/cabin/plug.png", "alt": "A plug", "loading": "lazy"}


@pytest.mark.parametrize("source", ["https://example.org/x.png", "//example.org/x.png", "data:image/png;base64,AA"])
def test_a_picture_from_elsewhere_is_not_fetched(source: str) -> None:
    (picture,) = parsed(f"![x]({source})").iter("img")
    assert picture.get("src") == "#"


@pytest.mark.parametrize("target", ["/etc/passwd", "//example.org/x", "../../secret.txt", "../..", "\\\\host\\x"])
def test_a_link_never_leaves_the_library(target: str) -> None:
    for link in links(f"[x](<{target}>)"):
        assert not urlsplit(link).netloc
        assert link == "#" or link.startswith("../files/cabin/")


# Ways to write `javascript:` that browsers understand: WHATWG URL Standard, "basic URL parser" (leading controls and
# spaces are stripped, tabs and newlines removed, the scheme in any case).
@pytest.mark.parametrize(
    "target",
    [
        "javascript:alert(1)",
        "JaVaScRiPt:alert(1)",
        "<  javascript:alert(1)>",
        "javascript&colon;alert(1)",
        "&#106;avascript:alert(1)",
        "java&Tab;script:alert(1)",
        "java&NewLine;script:alert(1)",
        "&#1;javascript:alert(1)",
        "vbscript:x",
        "data:text/html,<script>alert(1)</script>",
        "blob:x",
        "file:///etc/passwd",
    ],
)
@pytest.mark.parametrize("form", ["[x]({})", "![x]({})", "[x]: {}\n\n[x]", "<{}>"])
def test_no_link_runs_anything(target: str, form: str) -> None:
    check_harmless(form.format(target))


def check_harmless(text: str) -> None:
    root = parsed(text)
    assert {element.tag for element in root.iter()} <= ELEMENTS
    for element in root.iter():
        assert set(element.attrib) <= ATTRIBUTES
        for target in (element.get("href", ""), element.get("src", "")):
            # As a browser reads it: WHATWG URL Standard, "basic URL parser", steps 1 to 3.
            read = re.sub(r"[\t\n\r]", "", target.strip("".join(map(chr, range(33)))))
            assert re.match(r"(https?://|mailto:|[^:/]*(/|$)|#)", read, re.IGNORECASE), target


PIECES: Final = [
    *(
        "<",
        ">",
        "script",
        "img src=x onerror=alert(1)",
        "](",
        "[",
        "]",
        "(",
        ")",
        "![",
        "javascript:",
        "JAVASCRIPT&colon;",
    ),
    *(
        "data:text/html,",
        "//",
        "/",
        "..",
        "#",
        "`",
        "```\n",
        "|",
        "\n|-|-:|\n",
        "\n\n",
        "\n",
        "*",
        "_",
        "- ",
        "# ",
        "&#106;",
    ),
    *(
        "&lt;",
        '"',
        "'",
        "\\",
        "https://example.org",
        "look",
        "x.yaml",
        "x.png",
        "%2e%2e/",
        "%00",
        "\u00a0",
        "\x1f",
        "\t",
    ),
]


@given(st.lists(st.one_of(st.sampled_from(PIECES), st.text(max_size=5)), max_size=25).map("".join))
def test_no_text_runs_anything_or_leaves_the_allowed_elements(text: str) -> None:
    check_harmless(text)


def test_headings_stand_below_the_heading_of_the_step() -> None:
    root = parsed("# One\n\n## Two\n\n###### Six")
    assert [element.tag for element in root.iter() if str(element.tag).startswith("h") and element.text] == [
        *("h4", "h5", "h6")
    ]


def test_columns_of_a_table_keep_their_sides_without_a_style() -> None:
    root = parsed("| a | b |\n|:-:|--:|\n| 1 | 2 |")
    assert [(cell.tag, cell.get("class")) for cell in root.iter() if cell.tag in ("th", "td")] == [
        ("th", "center"),
        ("th", "right"),
        ("td", "center"),
        ("td", "right"),
    ]


def test_numbers_keep_their_units_but_code_stays_as_it_was_written() -> None:
    assert render("At 12 V: `12 V`") == "<p>At 12\u00a0V: <code>12 V</code></p>\n"


def test_a_link_into_another_playbook_keeps_its_step_or_ending() -> None:
    elsewhere = (("heater", "new-fan"), "ending"), (("heater", "look"), "step")
    text = "[a](heater.yaml#new-fan) [b](heater.yaml#look) [c](heater.yaml#gone) [d](plan.pdf#page=3)"
    html = prose(text, replace(place(), elsewhere=elsewhere)).html
    assert re.findall('href="([^"]*)"', html) == [
        "heater.html#ending-new-fan",
        "heater.html#step-look",
        "heater.html",
        "../files/cabin/plan.pdf#page=3",
    ]
