"""Every kind of page in a real browser: it opens from anywhere, fits any width, and can be used by everyone."""

import colorsys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.sweep import SWEEP

OpenPage = Callable[..., Page]

PHONE: Final = 360
SCREEN: Final = 1280

PAGES: Final = {
    "home": "index.html",
    "area": "area/cooling.html",
    "playbook": "playbook/fan-on-top-speed-only.html",
    "playbook with both banners": "playbook/cranks-but-does-not-start.html",
    "tool": "tool/multimeter.html",
    "part": "part/relay.html",
    "access job": "access/undertray.html",
    "hazard": "hazard/lifting.html",
    "code": "code/P0335.html",
    "cause": "cause/battery.html",
    "causes": "causes.html",
    "codes": "codes.html",
    "catalogue": "catalogue.html",
    "safety": "safety.html",
    "guide": "guide.html",
    "missing": "404.html",
    "whole sheet": "sheet/cranks-but-does-not-start.html",
    "made sheet": "sheet.html",
}
SHEET: Final = "sheet"
KINDS: Final = (*PAGES, SHEET)


@pytest.fixture
def open_kind(open_page: OpenPage, site_dir: Path) -> OpenPage:
    """Opens a page of a kind."""

    def opened(kind: str, base: str = "", **options: Any) -> Page:
        name = PAGES.get(kind) or next(
            path.relative_to(site_dir).as_posix()
            for path in sorted(site_dir.glob("path/*.html"))
            if 'class="banner"' in path.read_text(encoding="utf-8")
        )
        return open_page(base + name, **options)

    return opened


# -- Anywhere ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_a_page_opens_from_a_folder_and_from_a_server_under_a_sub_path(
    open_kind: OpenPage, site_dir: Path, kind: str
) -> None:
    """The fixture fails the test on an error in the console and on a request that leaves the site."""
    for base in ("", site_dir.as_uri() + "/"):
        page = open_kind(kind, base)
        assert page.locator("h1").count() == 1
        assert page.evaluate("getComputedStyle(document.querySelector('main')).borderTopStyle") == "double"
        broken = "[...document.images].filter(i => i.complete && !i.naturalWidth).map(i => i.src)"
        assert page.evaluate(broken) == []


def test_a_flowchart_opens_alone(open_page: OpenPage, site_dir: Path) -> None:
    page = open_page((site_dir / "flow/fan-on-top-speed-only.svg").as_uri())
    page.locator("a", has_text="Look at the resistor").first.click()
    assert page.url.endswith("/playbook/fan-on-top-speed-only.html#step-look-at-plug")


def test_one_can_go_from_the_home_page_to_a_sheet_and_back(open_page: OpenPage, site_dir: Path) -> None:
    page = open_page(site_dir.as_uri() + "/index.html")
    page.get_by_role("link", name="Cabin fan runs on the top speed only").first.click()
    page.locator("table.paths th a").first.click()
    assert page.locator("h1").inner_text()
    page.locator(".crumbs a").first.click()
    page.locator(".crumbs a").first.click()
    assert "What is the car doing?" in page.locator("h1").inner_text()


# -- Any width ---------------------------------------------------------------------------------------------------------

TOO_WIDE: Final = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.mark.parametrize("kind", KINDS)
def test_no_page_scrolls_sideways(open_kind: OpenPage, kind: str) -> None:
    """On a phone, on a screen, and on a phone whose text is twice as large (WCAG 2.2, 1.4.4 and 1.4.10)."""
    page = open_kind(kind, width=PHONE)
    assert page.evaluate(TOO_WIDE) <= 0
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate(TOO_WIDE) <= 0, "with text twice as large"
    page.evaluate("document.documentElement.style.fontSize = ''")
    page.set_viewport_size({"width": SCREEN, "height": 900})
    assert page.evaluate(TOO_WIDE) <= 0


# What an owner with gloves or cold fingers has to hit: at least 44 CSS pixels high (WCAG 2.2, 2.5.5, level AAA).
# Links within running text are excepted there, and so are those in tables here.
TARGETS: Final = "header a, nav a, .tabs a, .button, button, a.stamp, summary, select, input:not([type=hidden])"


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_pressed_on_a_phone_is_large_enough(open_kind: OpenPage, kind: str) -> None:
    page = open_kind(kind, width=PHONE)
    measure = """(selector) => [...document.querySelectorAll(selector)]
        .filter(e => e.checkVisibility() && !e.closest('.skip'))
        .map(e => [e.textContent.trim().slice(0, 40), (e.closest('label') ?? e).getBoundingClientRect().height])
        .filter(([, height]) => height < 44)"""
    assert page.evaluate(measure, TARGETS) == []


# -- Everyone ----------------------------------------------------------------------------------------------------------

RULES: Final = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


LOOKS: Final = [(PHONE, "light"), (SCREEN, "dark"), *([(PHONE, "dark"), (SCREEN, "light")] if SWEEP else [])]


@pytest.mark.parametrize("kind", KINDS)
def test_a_page_breaks_no_rule_of_accessibility(open_kind: OpenPage, kind: str) -> None:
    """axe-core, rules of WCAG 2.2 A and AA and good practice, on a phone and on a screen, light and dark."""
    page = open_kind(kind, width=PHONE)
    for width, scheme in LOOKS:
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=scheme)
        found = Axe().run(page, options=RULES)
        assert found.violations_count == 0, found.generate_report()


def test_the_skip_link_is_the_first_stop_and_leads_to_the_content(open_kind: OpenPage) -> None:
    page = open_kind("playbook with both banners")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


def test_the_frame_of_a_wide_table_can_be_scrolled_by_keyboard(open_kind: OpenPage) -> None:
    page = open_kind("catalogue", width=PHONE)
    frame = page.locator(".frame:has(table)").first
    assert frame.evaluate("e => e.scrollWidth > e.clientWidth")
    frame.focus()
    page.keyboard.press("ArrowRight")
    scrolled = (
        "e => new Promise(done => { const look = () => e.scrollLeft ? done(true) : setTimeout(look, 20); look() })"
    )
    assert frame.evaluate(scrolled)


# -- Safety and print --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["playbook with both banners", SHEET, "access job", "hazard"])
@pytest.mark.parametrize("medium", ["screen", "print"])
def test_the_banner_is_above_everything_else(open_kind: OpenPage, kind: str, medium: str) -> None:
    page = open_kind(kind)
    page.emulate_media(media=medium)
    banner = page.locator(".banner")
    assert banner.is_visible()
    assert banner.locator(".signal-word").first.is_visible()
    top = "e => e.getBoundingClientRect().top"
    for below in ("header.top", "main", "h1"):
        assert banner.evaluate(top) < page.locator(below).first.evaluate(top)


# ISO 3864-4 safety colours red, orange and yellow as CSS colours of that hue; the text on them meets WCAG 1.4.3 (axe).
@pytest.mark.parametrize(("signal", "hues"), [("danger", (345, 15)), ("warning", (20, 40)), ("caution", (45, 60))])
def test_signal_words_have_the_hue_of_their_safety_colour(
    open_page: OpenPage, signal: str, hues: tuple[int, int]
) -> None:
    page = open_page("safety.html")
    colour = page.locator(f".{signal} > .signal-word").first.evaluate("e => getComputedStyle(e).backgroundColor")
    hue = _hue(*map(int, colour.removeprefix("rgb(").removesuffix(")").split(",")))
    low, high = hues
    assert low <= hue <= high or (low > high and (hue >= low or hue <= high))


def _hue(red: int, green: int, blue: int) -> float:
    return colorsys.rgb_to_hsv(red / 255, green / 255, blue / 255)[0] * 360


def test_a_printed_sheet_has_boxes_to_tick_and_room_to_write(open_kind: OpenPage) -> None:
    page = open_kind(SHEET)
    page.emulate_media(media="print")
    boxes = page.locator(".box")
    cards = page.locator(".sheet-steps > .card")
    assert boxes.count() >= cards.count() > 1
    for i in range(boxes.count()):
        border = boxes.nth(i).evaluate("e => getComputedStyle(e).borderTopWidth")
        assert float(border.removesuffix("px")) >= 1
    assert page.locator(".lines").evaluate("e => e.getBoundingClientRect().height") > 100
    assert not page.locator("header.top nav").is_visible()


def test_a_printed_sheet_fits_its_paper(open_kind: OpenPage) -> None:
    """A4 is 210 mm wide (ISO 216), 794 CSS pixels; nothing may stand beyond its edge."""
    page = open_kind(SHEET, width=794 - 2 * 38)
    page.emulate_media(media="print")
    assert page.evaluate(TOO_WIDE) <= 0


# -- Without JavaScript ------------------------------------------------------------------------------------------------


def test_without_javascript_everything_is_there(open_kind: OpenPage, site_dir: Path) -> None:
    for kind in KINDS:
        page = open_kind(kind, site_dir.as_uri() + "/", javascript=False)
        assert page.locator("h1").is_visible(), kind
        assert page.locator("footer").is_visible(), kind
    page = open_kind("playbook with both banners", javascript=False)
    for part in (".banner", "svg.flow", ".card h3", ".choices", "table.paths", ".headline .big", "a.button"):
        assert page.locator(part).locator("visible=true").count(), part
    page = open_kind("home", javascript=False)
    assert page.locator(".row-title").count() == len(list(site_dir.glob("playbook/*.html")))
    assert all(row.is_visible() for row in page.locator(".row-title").all())
