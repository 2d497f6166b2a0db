"""SVG made ready for pages: no fixed colours, a title and a description, links that work, nothing else.

Colours come from classes, so that light, dark and print can differ. The same drawing also opens alone, with a style
of its own.
"""

import re
from collections.abc import Iterator
from typing import Final
from xml.etree import ElementTree as ET

SVG: Final = "http://www.w3.org/2000/svg"
XLINK_HREF: Final = "{http://www.w3.org/1999/xlink}href"
PIXELS_A_POINT: Final = 96 / 72
KEPT: Final = frozenset({"id", "class", "d", "points", "x", "y", "cx", "cy", "rx", "ry", "transform", "stroke-width"})

FONT_SIZE: Final = "12"
"""In points, said once for the whole drawing; texts are centred, which is said there as well."""

HEAD: Final = "flow-head"
"""The id of the head of arrows."""

ROUND: Final = 12
"""The radius of round corners, in points."""

_FIGURE: Final = re.compile(r"-?\d+\.\d+")
_COUNTED: Final = re.compile(r"(?:node|edge|graph|clust)\d+|a_.*")

ALONE: Final = (
    "svg{background:#fffdf6;color:#1b1b1b;font-family:Helvetica,Arial,Arimo,sans-serif}"
    "path,polygon,polyline,rect{fill:none;stroke:currentColor}.head{fill:currentColor;stroke:none}"
    ".result text{font-size:11px}"
    "text{fill:currentColor}.process polygon,.ending rect{fill:#fff}a:focus-visible{outline:3px solid}"
    ".process text:first-of-type,.ending text:first-of-type{font-weight:700;font-size:15px}"
    ".danger polygon,.danger rect{stroke:#9b0000;stroke-width:2.5}"
    ".warning polygon,.warning rect{stroke:#a34700;stroke-width:2.5}"
    "@media (prefers-color-scheme:dark){svg{background:#16181c;color:#ece8dd}"
    ".process polygon,.ending rect{fill:#23262c}"
    ".danger polygon,.danger rect{stroke:#ff8f85}.warning polygon,.warning rect{stroke:#ffb366}}"
)
"""The style of a drawing that opens alone; a page has its own."""


def page_svg(root: ET.Element, title: str, description: str, name: str) -> ET.Element:
    """A drawing for a page from the SVG of a layout program; ``name`` starts the ids of title and description."""
    width, height = (_pixels(root.get(side, "0")) for side in ("width", "height"))
    drawing = _clean(root)
    drawing.attrib.clear()
    drawing.attrib |= {
        "viewBox": root.get("viewBox", ""),
        "width": width,
        "height": height,
        "class": "flow",
        "font-size": FONT_SIZE,
        "text-anchor": "middle",
        "role": "group",
        "aria-labelledby": f"{name}-title {name}-description",
    }
    for tag, text in (("desc", description), ("title", title)):
        element = ET.Element(f"{{{SVG}}}{tag}", {"id": f"{name}-{'title' if tag == 'title' else 'description'}"})
        element.text = text
        drawing.insert(0, element)
    drawing.insert(2, _head())
    return drawing


def note_svg(text: str, description: str, name: str) -> ET.Element:
    """A line of text in place of a drawing that cannot be made."""
    note = ET.Element(f"{{{SVG}}}svg", {"width": "600pt", "height": "40pt", "viewBox": "0 0 600 40"})
    line = ET.SubElement(note, f"{{{SVG}}}text", {"x": "300", "y": "24", "text-anchor": "middle", "font-size": "12"})
    line.text = text
    return page_svg(note, text, description, name)


def inline(drawing: ET.Element) -> str:
    """The drawing as it stands within an HTML page."""
    ET.register_namespace("", SVG)
    return ET.tostring(drawing, encoding="unicode").replace(f' xmlns="{SVG}"', "", 1)


def alone(drawing: ET.Element, page: str) -> str:
    """The drawing as a file of its own; its links lead into ``page``, a relative address."""
    copy = ET.fromstring(ET.tostring(drawing))  # noqa: S314 - our own drawing
    for link in copy.iter(f"{{{SVG}}}a"):
        target = link.get("href", "")
        link.set("href", page + target if target.startswith("#") else page.rpartition("/")[0] + "/" + target)
    style = ET.Element(f"{{{SVG}}}style")
    style.text = ALONE
    copy.insert(2, style)
    ET.register_namespace("", SVG)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(copy, encoding="unicode") + "\n"


def _pixels(points: str) -> str:
    return f"{float(points.removesuffix('pt')) * PIXELS_A_POINT:.0f}"


def _clean(element: ET.Element) -> ET.Element:
    """The element without what only a layout program needs: fixed colours, fonts, tooltips and names of nodes.

    Places are rounded to whole points, groups that hold one thing alone are that thing, heads of arrows are one marker
    for all, and boxes with round corners are rectangles.
    """
    classes = element.get("class", "").split()
    copy = ET.Element(element.tag, dict(_attributes(element)))
    if element.text and element.tag == f"{{{SVG}}}text":
        copy.text = element.text
    children = [child for child in element if child.tag != f"{{{SVG}}}title" and child.get("fill") != "transparent"]
    pointed = "arrow" in classes and any(_is_head(child) for child in children)
    for child in children:
        if _is_head(child):
            continue
        made = _clean(child)
        if pointed and made.tag == f"{{{SVG}}}path":
            made.set("marker-end", f"url(#{HEAD})")
        copy.append(made)
    if len(copy) == 1 and ("arrow" in classes or copy[0].tag == f"{{{SVG}}}a"):
        (only,) = copy
        only.attrib.update(copy.attrib)
        copy = only
    if "terminator" in classes:
        _make_round(copy)
    if "handover" in classes:
        _add_sides(copy)
    return copy


def _is_head(element: ET.Element) -> bool:
    return element.get("fill") == "black" and element.tag == f"{{{SVG}}}polygon"


def _head() -> ET.Element:
    """The head of every arrow; where it is drawn, the line has already been cut short for it."""
    defs = ET.Element(f"{{{SVG}}}defs")
    size = {"viewBox": "0 -5 8 10", "markerWidth": "8", "markerHeight": "10", "orient": "auto"}
    marker = ET.SubElement(defs, f"{{{SVG}}}marker", {"id": HEAD, "markerUnits": "userSpaceOnUse", **size})
    ET.SubElement(marker, f"{{{SVG}}}path", {"class": "head", "d": "M0-5 8 0 0 5Z"})
    return defs


def _make_round(node: ET.Element) -> None:
    """ISO 5807's terminator as a rectangle, in place of the long way that a layout program draws around it."""
    parent = next((parent for parent in node.iter() if any(child.tag == f"{{{SVG}}}path" for child in parent)), None)
    if parent is None:
        return
    place, way = next((k, child) for k, child in enumerate(parent) if child.tag == f"{{{SVG}}}path")
    corners = [tuple(map(float, pair.split(","))) for pair in re.findall(r"-?[\d.]+,-?[\d.]+", way.get("d", ""))]
    left, top = min(x for x, _ in corners), min(y for _, y in corners)
    sides = {"width": max(x for x, _ in corners) - left, "height": max(y for _, y in corners) - top, "rx": ROUND}
    figures = {"x": left, "y": top, **sides}
    parent[place] = ET.Element(f"{{{SVG}}}rect", {key: f"{figure:g}" for key, figure in figures.items()})


def _attributes(element: ET.Element) -> Iterator[tuple[str, str]]:
    for key, value in element.attrib.items():
        if key == XLINK_HREF:
            yield "href", value
        elif key in ("d", "points", "x", "y", "transform"):
            yield key, _FIGURE.sub(lambda figure: f"{round(float(figure.group())):g}", value)
        elif key in KEPT and not (key == "id" and _COUNTED.fullmatch(value)):
            yield key, value


def _add_sides(node: ET.Element) -> None:
    """The two inner lines of ISO 5807's symbol for a predefined process."""
    box = next(node.iter(f"{{{SVG}}}polygon"), None)
    if box is None:
        return
    corners = [tuple(map(float, point.split(","))) for point in box.get("points", "").split()]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    top, bottom = min(y for _, y in corners), max(y for _, y in corners)
    parent = next(parent for parent in node.iter() if box in list(parent))
    for x in (left + 5, right - 5):
        line = ET.Element(f"{{{SVG}}}polyline", {"points": f"{x:g},{top:g} {x:g},{bottom:g}"})
        parent.insert(1, line)
