"""The guide in a browser: it fits a small phone, and nothing in it hinders a keyboard or a screen reader."""

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

OVERFLOWING = """[...document.querySelectorAll("pre")]
    .filter(frame => frame.scrollWidth > frame.clientWidth && frame.tabIndex !== 0)
    .map(frame => frame.innerText)"""


@pytest.mark.parametrize("width", [360, 1280])
def test_guide_fits_the_screen(open_page: Callable[..., Page], width: int) -> None:
    page = open_page("guide.html", width=width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(OVERFLOWING) == []


def test_guide_has_no_barrier_that_the_rules_of_wcag_name(open_page: Callable[..., Page]) -> None:
    result = Axe().run(open_page("guide.html", width=360))
    assert [violation["id"] for violation in result.response["violations"]] == []
