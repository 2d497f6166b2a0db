"""Playbooks from plain text values, drawn: the SVG for a page and pieces of it."""

from collections.abc import Callable, Mapping
from typing import Any, Final
from xml.etree import ElementTree as ET

import pytest

from builder.draw.figures import Figures
from builder.draw.flowchart import Words, flowchart
from builder.draw.layout import lay_out
from builder.draw.svg import page_svg
from builder.read.records import Catalogue, Playbook, Settings
from builder.reckon.reckoning import Reckoning, reckoning_of

Plain = dict[str, Any]

SVG: Final = "{http://www.w3.org/2000/svg}"
SETTINGS: Final = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"y": "Y"}}
CATALOGUE: Final[Plain] = {
    "tools": {"meter": {"name": "Meter", "price": "25"}},
    "hazards": {
        "hot": {"name": "Hot", "signal": "caution", "harm": "Burns.", "avoid": "Wait."},
        "lifting": {"name": "Lifting", "signal": "danger", "harm": "Crushes.", "avoid": "Use stands."},
        "paint": {"name": "Paint", "signal": "notice", "harm": "Stains.", "avoid": "Wipe."},
    },
}
WORDS: Final = Words(
    "Start", "Go on in:", {"danger": "DANGER", "warning": "WARNING", "caution": "CAUTION", "notice": "NOTICE"}
)


@pytest.fixture(scope="session")
def reckon() -> Callable[[Plain], Reckoning]:
    """A playbook made ready for reckoning, from its causes, steps and endings in plain text values."""

    def reckon(parts: Plain) -> Reckoning:
        frame = {"format": "1", "slug": "x", "area": "y", "title": "X", "symptom": {"summary": "x"}}
        playbook = Playbook.model_validate({**frame, "start": next(iter(parts["steps"])), **parts})
        return reckoning_of(playbook, Catalogue.model_validate(CATALOGUE), Settings.model_validate(SETTINGS))

    return reckon


@pytest.fixture(scope="session")
def draw(reckon: Callable[[Plain], Reckoning]) -> Callable[..., ET.Element]:
    """The flowchart of a playbook as it stands on its page; ``titles`` are those of other playbooks."""

    def draw(parts: Plain, titles: Mapping[str, str] | None = None, title: str = "A flowchart") -> ET.Element:
        catalogue = Catalogue.model_validate(CATALOGUE)
        dot = flowchart(reckon(parts), catalogue, Figures("en_GB", "EUR"), WORDS, titles or {})
        return page_svg(lay_out(dot.source), title, "Boxes are steps.", "flow")

    return draw


@pytest.fixture(scope="session")
def texts() -> Callable[[ET.Element], list[str]]:
    """The lines of text within an element."""
    return lambda element: [text.text or "" for text in element.iter(f"{SVG}text")]


@pytest.fixture(scope="session")
def group() -> Callable[[ET.Element, str], ET.Element]:
    """The one group of a drawing whose id is ``name``."""

    def group(drawing: ET.Element, name: str) -> ET.Element:
        (found,) = (element for element in drawing.iter() if element.get("id") == name)
        return found

    return group
