"""Drawings for pages: no colour or font of their own, described, linked, and safe whatever a label says."""

import textwrap
from collections.abc import Callable
from typing import Any, Final
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.draw.figures import keep_units
from builder.draw.flowchart import ARROW_LINES, ARROW_WIDTH, BOX_WIDTH
from builder.draw.svg import SVG, alone, inline

Draw = Callable[..., ET.Element]
Texts = Callable[[ET.Element], list[str]]

ELEMENTS: Final = {"svg", "title", "desc", "g", "a", "path", "polygon", "polyline", "rect", "text"} | {"defs", "marker"}
ATTRIBUTES: Final = {
    *("id", "class", "d", "points", "x", "y", "transform", "text-anchor", "font-size", "stroke-width", "href"),
    *("viewBox", "width", "height", "rx", "role", "aria-labelledby"),
    *("marker-end", "markerUnits", "markerWidth", "markerHeight", "orient"),
}

NASTY: Final = (
    "<script>alert(1)</script>",
    "</text></svg><img src=x onerror=alert(1)>",
    "]]>",
    "<![CDATA[x]]>",
    "<!-- x -->",
    "&lt;b&gt; &amp; &#60; &nbsp; &bogus;",
    "<b>bold</b>",
    "<<TABLE><TR><TD>x</TD></TR></TABLE>>",
    "<>",
    r"\N \G \E \T \H \L \l \r \n",
    r"\\",
    "\\",
    "say \"no\" 'never'",
    '\\"',
    '" URL="javascript:alert(1)',
    '"]; x [label="y',
    "{left|right}",
    "// /* */ # ; --",
    "%s {{ 7*7 }} {% raw %}",
    "Störung größer ≥ 5 Ω",
    "שלום עולם",
    "مرحبا بالعالم",
    "😀 👨‍👩‍👧 🇪🇺",
    "é".replace("é", "e\u0301") * 30,
    "Donaudampfschifffahrtsgesellschaftskapitänsmützenabzeichen" * 3,
    "a\u200bb\ufeffc\u00add",
)


def book(title: str, expect: str, ending: str) -> dict[str, Any]:
    results = {"r": {"expect": expect, "next": "e"}, "other": {"expect": "Else", "next": {"playbook": "p"}}}
    return {"steps": {"s": {"title": title, "results": results}}, "endings": {"e": {"title": ending}}}


@pytest.fixture(scope="module")
def drawing(draw: Draw) -> ET.Element:
    return draw(book("Look", "It shines", "Done"), {"p": "Other"}, title="A title <with> signs")


def names(drawing: ET.Element) -> set[str]:
    return {element.tag.removeprefix(f"{{{SVG}}}") for element in drawing.iter()}


def test_nothing_fixes_a_colour_a_font_or_a_style(drawing: ET.Element) -> None:
    assert names(drawing) <= ELEMENTS
    assert {attribute for element in drawing.iter() for attribute in element.attrib} <= ATTRIBUTES


def test_the_drawing_is_named_and_described(drawing: ET.Element) -> None:
    """WAI-ARIA: a group, so that the links within stay links; its name and description come first."""
    assert drawing.get("role") == "group"
    title, description = drawing[0], drawing[1]
    assert (title.tag, title.text) == (f"{{{SVG}}}title", "A title <with> signs")
    assert (description.tag, description.text) == (f"{{{SVG}}}desc", "Boxes are steps.")
    assert drawing.get("aria-labelledby", "").split() == [title.get("id"), description.get("id")]


def test_ids_are_unique(drawing: ET.Element) -> None:
    ids = [element.get("id") for element in drawing.iter() if element.get("id")]
    assert len(ids) == len(set(ids))


def test_the_size_on_the_page_keeps_the_shape_of_the_drawing(drawing: ET.Element) -> None:
    _, _, width, height = map(float, drawing.get("viewBox", "").split())
    assert float(drawing.get("width", "0")) == pytest.approx(width * 96 / 72, abs=1)
    assert float(drawing.get("height", "0")) == pytest.approx(height * 96 / 72, abs=1)


def test_within_a_page_the_drawing_needs_no_namespace(drawing: ET.Element) -> None:
    page = inline(drawing)
    assert page.startswith("<svg ")
    assert "xmlns" not in page


def test_the_file_that_opens_alone_has_a_style_and_links_into_its_page(drawing: ET.Element) -> None:
    file = alone(drawing, "../playbook/this.html")
    root = ET.fromstring(file.encode())
    assert file.startswith('<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg"')
    assert len(list(root.iter(f"{{{SVG}}}style"))) == 1
    links = [link.get("href") for link in root.iter(f"{{{SVG}}}a")]
    assert sorted(map(str, links)) == [
        "../playbook/p.html",
        "../playbook/this.html#ending-e",
        "../playbook/this.html#step-s",
    ]


def test_opening_alone_leaves_the_drawing_of_the_page_as_it_was(drawing: ET.Element) -> None:
    before = ET.tostring(drawing)
    alone(drawing, "../playbook/this.html")
    assert ET.tostring(drawing) == before


def shown(drawing: ET.Element, kind: str, texts: Texts) -> str:
    """The text of the one box of a class below its mark, without what only sets lines apart."""
    (found,) = (element for element in drawing.iter() if kind in element.get("class", "").split())
    return squeezed("".join(texts(found)[1:]))


def squeezed(text: str) -> str:
    """Text without white space: where lines break, and how many spaces lie between words, is no matter here."""
    return "".join(text.split())


def check_labels(draw: Draw, texts: Texts, title: str, expect: str, ending: str) -> None:
    drawing = draw(book(title, expect, ending), {"p": "Other"}, title=title)
    reread = ET.fromstring(alone(drawing, "../playbook/x.html").encode())
    for root in (drawing, reread):
        assert names(root) <= ELEMENTS | {"style"}
        assert {attribute for element in root.iter() for attribute in element.attrib} <= ATTRIBUTES
        assert shown(root, "process", texts).startswith(squeezed(title))
        assert shown(root, "ending", texts).startswith(squeezed(ending))
        assert squeezed("".join(cut(expect))) in squeezed("".join(texts(root)))
    assert {link.get("href") for link in drawing.iter(f"{{{SVG}}}a")} == {"#step-s", "#ending-e", "p.html"}


def cut(expect: str) -> list[str]:
    """The lines of a result that are shown at the arrow."""
    return textwrap.wrap(keep_units(expect), ARROW_WIDTH)[:ARROW_LINES]


@pytest.mark.parametrize("label", NASTY)
def test_a_label_is_shown_to_the_letter(draw: Draw, texts: Texts, label: str) -> None:
    check_labels(draw, texts, label, label, label)


# What the reader lets through: no control characters, no lone surrogates; text is stripped and not empty.
CHARACTERS: Final = st.characters(exclude_categories=("Cc", "Cs", "Cn"), exclude_characters="\u2028\u2029\ufffe\uffff")
LABELS: Final = (
    st.lists(st.one_of(st.text(CHARACTERS, max_size=12), st.sampled_from(NASTY)), min_size=1, max_size=4)
    .map(" ".join)
    .map(str.strip)
    .filter(bool)
)


@settings(max_examples=40)
@given(LABELS, LABELS, LABELS)
def test_no_label_escapes_whatever_it_says(draw: Draw, texts: Texts, title: str, expect: str, ending: str) -> None:
    check_labels(draw, texts, title, expect, ending)


def test_long_titles_are_wrapped_into_lines_of_a_box(draw: Draw, texts: Texts) -> None:
    title = "Measure the voltage between the earth strap and the negative post while it cranks"
    drawing = draw(book(title, "x", "y"))
    (step,) = (element for element in drawing.iter() if "process" in element.get("class", "").split())
    _, *lines, _ = texts(step)
    assert " ".join(lines) == title
    assert max(map(len, lines)) <= BOX_WIDTH
