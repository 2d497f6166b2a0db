"""The spending curve: what is drawn is the curve that was given, and it can be read without seeing it."""

from fractions import Fraction
from typing import Final
from xml.etree import ElementTree as ET

from hypothesis import given
from hypothesis import strategies as st

from builder.draw.charts import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, spending_chart
from builder.draw.figures import Figures
from builder.draw.svg import SVG

FIGURES: Final = Figures("en_GB", "EUR")
CURVE: Final = [(10.0, Fraction(1, 2)), (40.0, Fraction(9, 10)), (200.0, Fraction(1))]

Curve = list[tuple[float, Fraction]]


def chart(curve: Curve) -> ET.Element:
    return spending_chart(curve, FIGURES, "Spent <so far>", "Half are done for €10.")


def lines(drawn: ET.Element, kind: str) -> list[list[tuple[float, float]]]:
    found = (line for line in drawn.iter(f"{{{SVG}}}polyline") if line.get("class") == kind)
    return [[(float(x), float(y)) for x, y in (p.split(",") for p in line.get("points", "").split())] for line in found]


def labels(drawn: ET.Element) -> list[str]:
    return [text.text or "" for text in drawn.iter(f"{{{SVG}}}text")]


def test_the_chart_is_a_picture_with_a_name_and_a_description() -> None:
    drawn = chart(CURVE)
    assert drawn.get("role") == "img"
    assert [(child.tag, child.text) for child in drawn[:2]] == [
        (f"{{{SVG}}}title", "Spent <so far>"),
        (f"{{{SVG}}}desc", "Half are done for €10."),
    ]
    assert drawn.get("aria-labelledby", "").split() == [child.get("id") for child in drawn[:2]]


def test_the_axes_say_money_and_the_shares_that_are_read_off() -> None:
    assert labels(chart(CURVE)) == ["0%", "50%", "80%", "95%", "€0", "€50", "€100", "€150", "€200"]


def test_marks_stand_at_50_80_and_95_per_cent() -> None:
    heights = [line[0][1] for line in lines(chart(CURVE), "mark")]
    assert [round((HEIGHT - BOTTOM - y) / (HEIGHT - BOTTOM - TOP), 2) for y in heights] == [0.5, 0.8, 0.95]


@st.composite
def curves(draw: st.DrawFn) -> Curve:
    money = sorted(set(draw(st.lists(st.floats(0, 1e6), min_size=1, max_size=30))))
    steps = draw(st.lists(st.integers(1, 1000), min_size=len(money), max_size=len(money)))
    return [(amount, Fraction(sum(steps[: i + 1]), sum(steps))) for i, amount in enumerate(money)]


@given(curves())
def test_the_curve_can_be_read_back(curve: Curve) -> None:
    """The line climbs at the money of each path to the share that is done by then, and never falls."""
    ((first, *line),) = lines(chart(curve), "curve")
    assert first == (float(LEFT), float(HEIGHT - BOTTOM))
    tops = line[1:-1:2]
    shares = [(HEIGHT - BOTTOM - y) / (HEIGHT - BOTTOM - TOP) for _, y in tops]
    assert all(abs(share - chance) < 0.001 for share, (_, chance) in zip(shares, curve, strict=True))
    across = [x for x, _ in [first, *line]]
    assert across == sorted(across)
    assert across[0] >= LEFT
    assert across[-1] == WIDTH - RIGHT


@given(st.floats(0, 1e9))
def test_the_scale_ends_at_a_round_figure_not_far_beyond_the_dearest_path(money: float) -> None:
    drawn = chart([(money, Fraction(1))])
    ((_, foot, *_),) = lines(drawn, "curve")
    used = (foot[0] - LEFT) / (WIDTH - LEFT - RIGHT)
    assert used <= 1.0
    assert used > 0.6 or money < 1
    assert all(len(label.strip("€0,.")) <= 3 for label in labels(drawn)[4:])
