"""Charts that answer at a glance: what share of owners is done by how much money."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil, log10
from typing import Final
from xml.etree import ElementTree as ET

from builder.draw.figures import Figures
from builder.draw.svg import SVG

WIDTH: Final = 400
HEIGHT: Final = 230
LEFT: Final = 52
RIGHT: Final = 16
TOP: Final = 14
BOTTOM: Final = 36
MARKS: Final = (0.5, 0.8, 0.95)
MOST_STEPS: Final = 1000
"""A curve of more steps than this is drawn without those that are less than this part of its height."""


def spending_chart(
    curve: Sequence[tuple[float, Fraction]], figures: Figures, title: str, description: str
) -> ET.Element:
    """The step curve of :func:`builder.reckon.totals.spending_curve`: money across, share of owners upwards."""
    most = _round_up(max(curve[-1][0], 1.0))

    def across(money: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * money / most

    def upwards(share: float) -> float:
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * share

    chart = _root(title, description)
    for share in (0.0, *MARKS, 1.0):
        y = upwards(share)
        kind = "mark" if share in MARKS else "axis"
        _line(chart, kind, LEFT, y, WIDTH - RIGHT, y)
        if share != 1.0:
            _text(chart, LEFT - 8, y + 5, figures.share(share), "end")
    for part in range(5):
        money = most * part / 4
        _line(chart, "tick", across(money), HEIGHT - BOTTOM, across(money), HEIGHT - BOTTOM + 6)
        anchor = "start" if part == 0 else "end" if part == 4 else "middle"
        _text(chart, across(money), HEIGHT - BOTTOM + 22, figures.money(money), anchor)
    points = [f"{across(0):.1f},{upwards(0):.1f}"]
    reached = 0.0
    for money, chance in _thinned(curve):
        points.append(f"{across(money):.1f},{upwards(reached):.1f}")
        reached = float(chance)
        points.append(f"{across(money):.1f},{upwards(reached):.1f}")
    points.append(f"{across(most):.1f},{upwards(reached):.1f}")
    ET.SubElement(chart, f"{{{SVG}}}polyline", {"class": "curve", "points": " ".join(points)})
    return chart


def _thinned(curve: Sequence[tuple[float, Fraction]]) -> Iterator[tuple[float, Fraction]]:
    """The steps of a curve; where they are many, those too low to be seen are taken together at the last of them."""
    reached = Fraction(0)
    for money, chance in curve:
        if len(curve) <= MOST_STEPS or chance - reached >= Fraction(1, MOST_STEPS) or chance == curve[-1][1]:
            yield money, chance
            reached = chance


def _root(title: str, description: str) -> ET.Element:
    chart = ET.Element(
        f"{{{SVG}}}svg",
        {
            "viewBox": f"0 0 {WIDTH} {HEIGHT}",
            "class": "chart",
            "role": "img",
            "aria-labelledby": "spending-title spending-description",
        },
    )
    for tag, text in (("title", title), ("desc", description)):
        name = "spending-title" if tag == "title" else "spending-description"
        ET.SubElement(chart, f"{{{SVG}}}{tag}", {"id": name}).text = text
    return chart


def _line(chart: ET.Element, kind: str, x1: float, y1: float, x2: float, y2: float) -> None:
    points = f"{x1:.1f},{y1:.1f} {x2:.1f},{y2:.1f}"
    ET.SubElement(chart, f"{{{SVG}}}polyline", {"class": kind, "points": points})


def _text(chart: ET.Element, x: float, y: float, text: str, anchor: str) -> None:
    attributes = {"x": f"{x:.1f}", "y": f"{y:.1f}", "text-anchor": anchor, "font-size": "14"}
    ET.SubElement(chart, f"{{{SVG}}}text", attributes).text = text


def _round_up(money: float) -> float:
    """The next money that divides well into quarters: 1, 2, 4, 6, 8 or 10 times a power of ten, and fours of it."""
    power: float = 10.0 ** (ceil(log10(money)) - 1)
    return next(power * step for step in (1, 1.2, 1.6, 2, 2.4, 3.2, 4, 6, 8, 10, 12) if power * step >= money)
