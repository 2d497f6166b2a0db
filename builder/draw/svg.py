"""SVG made ready for pages: no fixed colours, a title and a description, links that work, nothing else.

Colours come from classes, so that light, dark and print can differ. The same drawing also opens alone, with a style
of its own.
"""

from typing import Final
from xml.etree import ElementTree as ET

SVG: Final = "http://www.w3.org/2000/svg"
XLINK_HREF: Final = "{http://www.w3.org/1999/xlink}href"
PIXELS_A_POINT: Final = 96 / 72
KEPT: Final = frozenset(
    {"id", "class", "d", "points", "x", "y", "cx", "cy", "rx", "ry", "transform", "text-anchor", "font-size"}
    | {"stroke-width"}
)

ALONE: Final = (
    "svg{background:#fffdf6;color:#1b1b1b;font-family:Helvetica,Arial,Arimo,sans-serif}"
    "path,polygon,polyline,line{fill:none;stroke:currentColor}.head{fill:currentColor}"
    ".arrow text{paint-order:stroke;stroke:#fffdf6;stroke-width:4}"
    "text{fill:currentColor}.process polygon,.ending path{fill:#fff}a:focus-visible{outline:3px solid}"
    ".signal text:first-of-type{font-weight:700}.danger polygon,.danger path{stroke:#9b0000;stroke-width:2.5}"
    ".warning polygon,.warning path{stroke:#a34700;stroke-width:2.5}"
    "@media (prefers-color-scheme:dark){svg{background:#16181c;color:#ece8dd}"
    ".process polygon,.ending path{fill:#23262c}.arrow text{stroke:#16181c}"
    ".danger polygon,.danger path{stroke:#ff8f85}.warning polygon,.warning path{stroke:#ffb366}}"
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
        "role": "group",
        "aria-labelledby": f"{name}-title {name}-description",
    }
    for tag, text in (("desc", description), ("title", title)):
        element = ET.Element(f"{{{SVG}}}{tag}", {"id": f"{name}-{'title' if tag == 'title' else 'description'}"})
        element.text = text
        drawing.insert(0, element)
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
    """The element without what only a layout program needs: fixed colours, fonts, tooltips and names of nodes."""
    copy = ET.Element(element.tag, {key: value for key, value in element.attrib.items() if key in KEPT})
    if element.text and element.tag == f"{{{SVG}}}text":
        copy.text = element.text
    if href := element.get(XLINK_HREF):
        copy.set("href", href)
    if element.get("fill") == "black" and element.tag == f"{{{SVG}}}polygon":
        copy.set("class", "head")
    for child in element:
        if child.tag not in (f"{{{SVG}}}title",) and child.get("fill") != "transparent":
            copy.append(_clean(child))
    if "handover" in element.get("class", "").split():
        _add_sides(copy)
    return copy


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
