"""A playbook as it is read: what stands first, how long its page is, its flowchart, its paths, and it on paper."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Page, expect

OpenPage = Callable[..., Page]

LONGEST: Final = "battery-flat-after-two-nights"
BOTH_BANNERS: Final = "cranks-but-does-not-start"
PHONE: Final = (360, 640)
MOST_PIXELS: Final = 12_000
MOST_ELEMENTS: Final = 1_200
A4: Final = {"format": "A4", "margin": dict.fromkeys(("top", "bottom", "left", "right"), "10mm")}
NUMBER_OF_PAGES: Final = re.compile(rb"/Type\s*/Page\b(?!s)")
BOX: Final = "e => e.getAttribute('viewBox').split(' ').map(Number)"


@pytest.fixture(scope="module")
def slugs(site_dir: Path) -> list[str]:
    return sorted(path.stem for path in site_dir.glob("playbook/*.html"))


def test_start_is_on_the_first_screen_of_a_phone_below_two_banners(open_page: OpenPage) -> None:
    page = open_page(f"playbook/{BOTH_BANNERS}.html", width=PHONE[0])
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    assert page.locator(".banner .signal-panel").count() == 2
    start = page.get_by_role("link", name="Start: one step a screen").bounding_box()
    assert start
    assert start["y"] + start["height"] <= PHONE[1]


def test_a_page_is_not_too_long_and_not_too_full(open_page: OpenPage, slugs: list[str]) -> None:
    page = open_page(f"playbook/{slugs[0]}.html", width=1280)
    for slug in slugs:
        page.goto(page.url.rpartition("/")[0] + f"/{slug}.html")
        height, elements = page.evaluate("[document.body.scrollHeight, document.querySelectorAll('*').length]")
        assert height <= MOST_PIXELS, slug
        assert elements <= MOST_ELEMENTS, slug


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_the_table_of_paths_shows_every_column(open_page: OpenPage, width: int) -> None:
    page = open_page(f"playbook/{LONGEST}.html", width=width)
    rows = page.locator("table.paths tbody tr")
    assert rows.count() == 5
    for cell in rows.first.locator("th, td").all():
        box = cell.bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width


def test_the_list_of_all_paths_is_folded_and_leads_to_their_sheets(open_page: OpenPage) -> None:
    page = open_page(f"playbook/{LONGEST}.html")
    lines = page.locator(".path-lines")
    assert not lines.is_visible()
    page.locator(".all-paths summary").click()
    links = lines.locator("a")
    expect(links).to_have_count(146)
    last = links.last.inner_text()
    title, code = last.split(" · ")[-2:]
    links.last.click()
    expect(page.locator("h1")).to_have_text(title)
    assert page.locator(".sheet-steps > li").count() == len(code.split()) + 1


def test_the_list_of_all_paths_is_there_without_javascript(open_page: OpenPage) -> None:
    page = open_page(f"playbook/{LONGEST}.html", javascript=False)
    page.locator(".all-paths summary").click()
    assert len(page.locator(".path-lines").inner_text().strip().splitlines()) == 146


# -- The flowchart -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [360, 1280])
def test_the_flowchart_fits_its_frame(open_page: OpenPage, slugs: list[str], width: int) -> None:
    page = open_page(f"playbook/{slugs[0]}.html", width=width)
    for slug in slugs:
        page.goto(page.url.rpartition("/")[0] + f"/{slug}.html")
        frame, drawing = (page.locator(place).bounding_box() for place in (".drawing", ".drawing svg.flow"))
        assert frame
        assert drawing
        assert frame["x"] <= drawing["x"]
        assert drawing["x"] + drawing["width"] <= frame["x"] + frame["width"] <= width


def test_the_flowchart_is_enlarged_and_moved_by_buttons_keys_and_a_drag(open_page: OpenPage) -> None:
    page = open_page(f"playbook/{LONGEST}.html")
    drawing, frame = page.locator(".drawing svg.flow"), page.locator(".drawing")
    whole = drawing.evaluate(BOX)
    page.get_by_role("button", name="Enlarge").click()
    larger = drawing.evaluate(BOX)
    assert larger[2] == pytest.approx(whole[2] / 1.5, abs=0.1)
    frame.focus()
    page.keyboard.press("+")
    assert drawing.evaluate(BOX)[2] < larger[2]
    before = drawing.evaluate(BOX)
    page.keyboard.press("ArrowRight")
    assert drawing.evaluate(BOX)[0] > before[0]
    frame.evaluate("frame => frame.scrollIntoView({ behavior: 'instant' })")
    box = drawing.bounding_box()
    assert box
    page.mouse.move(box["x"] + 200, box["y"] + 200)
    page.mouse.down()
    page.mouse.move(box["x"] + 260, box["y"] + 240, steps=4)
    page.mouse.up()
    dragged = drawing.evaluate(BOX)
    assert dragged[0] < before[0] + 0.15 * before[2]
    page.keyboard.press("0")
    assert drawing.evaluate(BOX) == pytest.approx(whole, abs=0.01)
    for _ in range(20):
        page.keyboard.press("ArrowLeft")
    assert drawing.evaluate(BOX) == pytest.approx(whole, abs=0.01)


def test_two_fingers_enlarge_the_flowchart(open_page: OpenPage) -> None:
    page = open_page(f"playbook/{LONGEST}.html")
    drawing = page.locator(".drawing svg.flow")
    whole = drawing.evaluate(BOX)
    pinch = """(drawing) => {
        const box = drawing.getBoundingClientRect();
        const finger = (kind, id, x) => drawing.dispatchEvent(new PointerEvent(kind, { pointerId: id, bubbles: true,
            clientX: box.left + x, clientY: box.top + 100 }));
        finger("pointerdown", 1, 100);
        finger("pointerdown", 2, 200);
        finger("pointermove", 2, 300);
        finger("pointerup", 1, 100);
        finger("pointerup", 2, 300);
    }"""
    drawing.evaluate(pinch)
    assert drawing.evaluate(BOX)[2] == pytest.approx(whole[2] / 2, rel=0.01)


def test_no_line_of_the_flowchart_crosses_a_text(open_page: OpenPage, slugs: list[str]) -> None:
    """Points along every line, 2 points apart, against the boxes of all texts at arrows."""
    page = open_page(f"playbook/{slugs[0]}.html")
    crossed = """() => {
        const texts = [...document.querySelectorAll(".flow .result")].map((one) => [one.textContent, one.getBBox()]);
        const found = [];
        for (const line of document.querySelectorAll(".flow path.arrow")) {
            for (let at = 0; at <= line.getTotalLength(); at += 2) {
                const { x, y } = line.getPointAtLength(at);
                for (const [text, box] of texts) {
                    const [dx, dy] = [x - box.x, y - box.y];
                    if (dx > 2 && dx < box.width - 2 && dy > 2 && dy < box.height - 2) found.push(text);
                }
            }
        }
        return [...new Set(found)];
    }"""
    for slug in slugs:
        page.goto(page.url.rpartition("/")[0] + f"/{slug}.html")
        assert page.evaluate(crossed) == [], slug


def test_the_flowchart_is_printed_on_one_page_with_its_start(open_page: OpenPage) -> None:
    page = open_page(f"playbook/{LONGEST}.html", width=718)
    page.emulate_media(media="print")
    assert page.locator(".flow .start").is_visible()
    box = page.locator(".flow").bounding_box()
    assert box
    assert box["height"] <= 277 / 25.4 * 96  # A4 less two margins of 10 mm, in CSS pixels
    assert page.locator(".drawing").evaluate("e => getComputedStyle(e).breakInside") == "avoid"


# -- On paper ----------------------------------------------------------------------------------------------------------


def test_the_whole_playbook_takes_at_most_four_sheets_of_paper(open_page: OpenPage, slugs: list[str]) -> None:
    page = open_page(f"sheet/{slugs[0]}.html")
    for slug in slugs:
        page.goto(page.url.rpartition("/")[0] + f"/{slug}.html")
        assert len(NUMBER_OF_PAGES.findall(page.pdf(**A4))) <= 4, slug


def test_the_sheet_of_the_whole_playbook_says_where_every_result_leads(open_page: OpenPage) -> None:
    page = open_page(f"sheet/{BOTH_BANNERS}.html")
    marks = {text.strip() for text in page.locator(".sheet-work b.mark").all_inner_texts()}
    assert {"1", "2", "A", "B"} <= marks
    leads = page.locator(".sheet-work .ticks b").all_inner_texts()
    assert leads
    assert {text.removeprefix("go to ") for text in leads if text.startswith("go to ")} <= marks
