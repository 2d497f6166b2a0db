"""The safety banner is the first thing on every page that has one, and every panel can be read: at any width, in print,
in the dark, in forced colours, with letters of twice the size, and on every screen of the walk."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest
from playwright.sync_api import Locator, Page

from builder.read.hazards import BANNER
from builder.read.records import Library
from tests.demo import demo_library
from tests.sweep import SWEEP

OpenPage = Callable[..., Page]

WIDTHS: Final = (360, 768, 1280)
KINDS: Final = ("playbook", "access", "hazard", "tool", "part", "cause", "code", "safety.html")
"""Kinds of pages, by their folder or name, of which the demo library has some with a banner."""

SHOWN: Final = re.compile(r'<section class="banner"(?![^>]* hidden)[^>]*>')
"""A banner that is there without a script; the form's stays hidden until it has something to say."""

# What is wrong with the panels of a page, as far as a reader could see; nothing if all is well.
FAULTS: Final = """() => {
    const faults = [];
    const say = (one, what) => faults.push(`${one.className || one.tagName} “${one.innerText.slice(0, 30)}”: ${what}`);
    const width = document.documentElement.clientWidth;
    const paint = (colour) => {
        const context = Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d");
        context.fillStyle = colour;
        context.fillRect(0, 0, 1, 1);
        return [...context.getImageData(0, 0, 1, 1).data];
    };
    // WCAG 2.2, relative luminance and contrast ratio.
    const luminance = ([r, g, b]) => [r, g, b].map((c) => c / 255)
        .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
        .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
    const behind = (one) => {
        for (let at = one; at; at = at.parentElement) {
            const colour = paint(getComputedStyle(at).backgroundColor);
            if (colour[3] === 255) return colour;
        }
        return [255, 255, 255, 255];
    };
    const see = (one) => {
        const box = one.getBoundingClientRect();
        if (box.width < 100 || box.height < 15) return say(one, `only ${box.width} by ${box.height}`);
        if (box.left < -1 || box.right > width + 1) say(one, `from ${box.left} to ${box.right} of ${width}`);
        if (one.scrollWidth > one.clientWidth + 1) say(one, "cut at its side");
        const cut = one.scrollHeight > one.clientHeight + 2 && getComputedStyle(one).overflowY !== "visible";
        if (cut) say(one, "cut below");
        const seen = { opacityProperty: true, visibilityProperty: true, contentVisibilityAuto: true };
        if (!one.checkVisibility(seen)) say(one, "not visible");
        for (let at = one; at; at = at.parentElement) if (Number(getComputedStyle(at).opacity) < 1) say(at, "faint");
        if (parseFloat(getComputedStyle(one).fontSize) < 12) say(one, "small letters");
        const [text, ground] = [luminance(paint(getComputedStyle(one).color)), luminance(behind(one))];
        const contrast = (Math.max(text, ground) + 0.05) / (Math.min(text, ground) + 0.05);
        if (contrast < 4.5) say(one, `contrast ${contrast}`);
        one.scrollIntoView({ block: "center", behavior: "instant" });
        const at = one.getBoundingClientRect();
        for (const [x, y] of [[0.1, 0.5], [0.5, 0.5], [0.9, 0.5], [0.5, 0.1], [0.5, 0.9]]) {
            const met = document.elementFromPoint(at.left + at.width * x, at.top + at.height * y);
            if (met && !one.contains(met) && !met.contains(one)) say(one, `behind ${met.tagName} ${met.className}`);
        }
    };
    const panels = [...document.querySelectorAll(".signal-panel")];
    for (const panel of panels) {
        const [word, text, ...more] = panel.children;
        const made = !more.length && word.className === "signal-word" && text.className === "signal-text";
        if (made) [word, text].forEach(see);
        else say(panel, "not as it was made");
        if (word.getBoundingClientRect().bottom > text.getBoundingClientRect().top + 1) say(panel, "word below text");
    }
    scrollTo(0, 0);
    const banner = document.querySelector("body > .banner");
    if (banner) {
        const least = banner.getBoundingClientRect().bottom - 1;
        if (banner.getBoundingClientRect().top > 40) say(banner, "not at the top");
        for (const one of document.querySelectorAll("header, main, footer, main *")) {
            const box = one.getBoundingClientRect();
            const counts = box.width > 1 && box.height > 1 && !one.closest("svg, .visually-hidden");
            if (counts && box.top < least && one.checkVisibility()) say(one, "above the end of the banner");
        }
        const order = ["danger", "warning", "caution", "notice"];
        const signals = [...banner.querySelectorAll(".signal-panel")]
            .map((one) => order.findIndex((word) => one.classList.contains(word)));
        const wrong = signals.some((signal, i) => signal < 0 || (i && signal < signals[i - 1]));
        if (wrong) say(banner, "not the severest first");
    }
    return faults;
}"""

MODES: Final = ("light", "dark", "print", "forced", "large")


def set_mode(page: Page, mode: str) -> None:
    """Light and dark screens, paper, forced colours, letters of twice the size."""
    if mode == "dark":
        page.emulate_media(color_scheme="dark")
    elif mode == "print":
        page.emulate_media(media="print")
    elif mode == "forced":
        page.emulate_media(forced_colors="active")
    elif mode == "large":
        page.evaluate("document.documentElement.style.fontSize = '200%'")


def kind_of(name: str) -> str:
    return name.partition("/")[0]


def pages_with_a_banner(site: Path) -> dict[str, list[str]]:
    """The first pages with a banner of every kind that there is, one of each and two playbooks."""
    found: dict[str, list[str]] = {}
    for path in sorted(site.rglob("*.html")):
        name = path.relative_to(site).as_posix()
        most = 2 if kind_of(name) == "playbook" else 1
        if len(found.get(kind_of(name), ())) < most and SHOWN.search(path.read_text(encoding="utf-8")):
            found.setdefault(kind_of(name), []).append(name)
    return found


def test_every_kind_of_page_with_a_hazard_has_a_banner(site_dir: Path) -> None:
    kinds = pages_with_a_banner(site_dir).keys()
    assert set(KINDS) <= kinds
    assert len(kinds) > len(KINDS), "a sheet, by whatever name, is one more"


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("width", WIDTHS)
def test_the_banner_is_first_and_every_panel_can_be_read(
    open_page: OpenPage, site_dir: Path, width: int, mode: str
) -> None:
    faults: list[str] = []
    page = open_page("index.html", width=width)
    base = page.url.removesuffix("index.html")
    for names in pages_with_a_banner(site_dir).values():
        for name in names:
            page.goto(base + name)
            set_mode(page, mode)
            assert page.locator("body > .banner > .signal-panel").count() >= 1, name
            faults += [f"{name}: {fault}" for fault in page.evaluate(FAULTS)]
    assert faults == []


def test_a_panel_that_cannot_be_read_is_seen_by_this_test(open_page: OpenPage) -> None:
    """Each way of hiding, done to a page that is right: the check above must not pass what it looks at."""
    page = open_page("safety.html", width=360)
    assert page.evaluate(FAULTS) == []
    for hiding in (
        "opacity: .2",
        "visibility: hidden",
        "display: none",
        "font-size: 4px",
        "color: #fffdf6",
        "transform: translateX(-300px)",
        "height: 1px; overflow: hidden",
        "white-space: nowrap; overflow: hidden",
    ):
        spoil = "([style]) => { document.querySelector('.banner .signal-text').style.cssText = style; }"
        page.evaluate(spoil, [hiding])
        assert page.evaluate(FAULTS), hiding
        page.evaluate(spoil, [""])
    page.evaluate("document.body.prepend(document.querySelector('header'))")
    assert page.evaluate(FAULTS)


# -- The walk ----------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def demo() -> Library:
    return demo_library()


# After the first screen of dangers, which shows them in full, each stands as a line with its signal word that opens.
OPEN_LINES: Final = "document.querySelectorAll('#walk .hazard-line').forEach((line) => { line.open = true; })"


def hazards_by_title(library: Library, slug: str) -> dict[str, set[str]]:
    """The names of the hazards of the banner by the titles of steps and endings that have some."""
    catalogue = library.catalogue
    named = {
        work.title: {catalogue.hazards[name].name for name in catalogue.hazards_of(work) & set(BANNER)}
        for work in library.playbooks[slug].work().values()
    }
    return {title: names for title, names in named.items() if names}


def spaced(text: str) -> str:
    return " ".join(text.split())


def screens(page: Page, seed: int, most: int) -> Iterator[str]:
    """The titles of the screens that somebody comes to who taps one of the large buttons of each, whatever it says."""
    random = Random(seed)
    for _ in range(most):
        yield spaced(page.locator("#walk h1").first.inner_text())
        buttons = page.locator("#walk .results button:visible, #walk .results .button:visible")
        offered = buttons.count()
        if not offered:
            return
        page.locator("#walk h1").first.evaluate("title => { title.dataset.seen = 'yes'; }")
        buttons.nth(random.randrange(offered)).click()
        changed = "!document.querySelector('#walk h1[data-seen]') || document.activeElement"
        page.wait_for_function(f"() => {changed}")
        page.wait_for_timeout(100)


def first_of(page: Page, selector: str) -> Locator | None:
    found = page.locator(f"#walk {selector}")
    return found.first if found.count() and found.first.is_visible() else None


@pytest.mark.parametrize(
    ("slug", "width", "mode"),
    [
        ("cranks-but-does-not-start", 360, "light"),
        ("cranks-but-does-not-start", 360, "large"),
        ("cranks-but-does-not-start", 768, "forced"),
        ("shakes-at-100", 360, "large"),
        ("shakes-at-100", 1280, "dark"),
        ("shakes-at-100", 1280, "print"),
    ],
)
def test_every_screen_of_dangerous_work_shows_its_panels_before_what_to_do(
    open_page: OpenPage, demo: Library, slug: str, width: int, mode: str
) -> None:
    expected = hazards_by_title(demo, slug)
    seen: set[str] = set()
    for seed in range(5 if SWEEP else 2):
        page = open_page(f"walk.html#start={slug}", width=width)
        page.wait_for_selector("#walk[data-ready] h1")
        set_mode(page, mode)
        for title in screens(page, seed, 12):
            page.evaluate(OPEN_LINES)
            faults: Any = page.evaluate(FAULTS)
            assert faults == [], title
            work = next((one for one in expected if spaced(one) in title), None)
            if work and (do := first_of(page, ".do")):  # done, or not acknowledged yet: it does not say what to do
                seen.add(work)
                shown = page.locator("#walk .signal-panel:visible")
                told = spaced(" ".join(shown.all_inner_texts()))
                assert all(name in told for name in expected[work]), title
                last, box = shown.first.bounding_box(), do.bounding_box()
                assert last
                assert box
                assert last["y"] + last["height"] <= box["y"] + 1, title
        page.close()
    assert seen, "no screen of dangerous work came up"
