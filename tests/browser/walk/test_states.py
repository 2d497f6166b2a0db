"""Every state that an owner may meet on a phone: nothing sticks out, is too small to tap, or fails axe."""

from collections.abc import Callable, Iterator
from typing import Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.sweep import SWEEP

LEAST: Final = 48
"""Pixels that a finger needs: Material Design, "Accessibility: touch targets" (48 by 48)."""

SMALL: Final = f"""() => {{
    // What can be tapped in the walk and is smaller than a finger; links within running text are exempt, as in
    // WCAG 2.2, success criterion 2.5.8, and what is only there for the keyboard is not tapped.
    const inText = (one) => one.tagName === "A" && one.closest(".do, .signal-text");
    const tapped = ["a", "button", "summary", "input", "textarea", "select"].map((tag) => `#walk ${{tag}}`);
    return [...document.querySelectorAll(tapped)]
        .filter((one) => one.offsetParent && !inText(one))
        .map((one) => (one.matches("[type='radio'], [type='checkbox']") && one.closest("label")) || one)
        .map((one) => [one.innerText || one.id, one.getBoundingClientRect()])
        .filter(([, box]) => box.height < {LEAST} - 0.5 || box.width < {LEAST} - 0.5)
        .map(([text, box]) => `${{text}}: ${{box.width}} x ${{box.height}}`);
}}"""
WIDE: Final = """() => {
    const most = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= most) return [];
    return [...document.querySelectorAll("main *")].filter((one) => one.getBoundingClientRect().right > most + 1)
        .map((one) => `${one.tagName} ${one.className} ${one.innerText}`.slice(0, 80));
}"""


def states(page: Any, base: str, hand: Callable[[Any], Any]) -> Iterator[str]:
    """Leads a page through every state, and names it."""
    yield from steps_and_endings(page, base, hand)
    yield from proofs(page, base, hand)
    yield from lists(page, base)


def steps_and_endings(page: Any, base: str, hand: Callable[[Any], Any]) -> Iterator[str]:
    page.goto(f"{base}walk.html")
    page.wait_for_selector("#walk[data-ready]")
    yield "no job"
    page.goto(f"{base}walk.html#start=shakes-at-100")
    page.wait_for_selector("#meter")
    walked = hand(page)
    yield "before the start"
    walked.acknowledge()
    yield "first step"
    for summary in ("Not sure", "Notes", "You need", "I can't do this"):
        walked.open(summary)
    page.locator("#meter summary").click()
    yield "not sure, notes and causes open"
    page.locator("#meter summary").click()
    walked.answer("Clean, weights in place")
    yield "step"
    walked.tap("Shakes only while braking")
    yield "gate"
    walked.acknowledge().tap("More than 0.08 mm").acknowledge()
    yield "ending"
    walked.tap("The repair is done")
    for summary in ("Your way so far", "Name, car, take away"):
        walked.open(summary)
    yield "done, all open"
    for screen in ("known", "shopping", "report", "choose"):
        walked.screen(screen)
        yield screen
    page.goto(f"{base}walk.html#start=cranks-slowly-cold")
    page.wait_for_function("() => document.title.includes('Cranks slowly')")
    walked.acknowledge()
    page.fill("#reading", "abc")
    page.press("#reading", "Tab")
    yield "a figure that cannot be read"
    page.fill("#reading", "11")
    page.press("#reading", "Tab")
    yield "a reading"
    walked.answer("Below 11.8 V")
    yield "hand-over"
    walked.back()
    yield "a step that was answered"
    walked.tap("12.4 V or more").open("I can't do this").tap("Not now").open("Your way so far")
    yield "set aside"


def proofs(page: Any, base: str, hand: Callable[[Any], Any]) -> Iterator[str]:
    page.goto(f"{base}walk.html#start=headlamp-flickers")
    page.wait_for_function("() => document.title.includes('headlamp')")
    walked = hand(page)
    walked.answer("Now the other side flickers").tap("The repair is done")
    yield "proof"
    page.once("dialog", lambda dialog: dialog.accept())
    walked.open("Enter a trial of another time")
    yield "another trial"
    page.evaluate("window.confirm = () => true")
    for _ in range(4):
        walked.tap("One more clean trial")
    yield "proven"
    walked.tap("The fault came back").open("Your way so far")
    yield "relapse"
    page.evaluate("location.hash += '&step=new-bulbs'")
    page.wait_for_selector(".ending")
    walked.open("Parts are ordered")
    yield "parts to be ordered"
    walked.tap("Wait until then")
    yield "waiting"


def lists(page: Any, base: str) -> Iterator[str]:
    page.goto(f"{base}walk.html#")
    page.wait_for_selector("#walk .jobs")
    yield "jobs"
    page.fill("#new-car", "Blue Tamarin")
    page.get_by_role("button", name="Add the car").click()
    page.wait_for_selector("#car-name")
    yield "a car"
    page.goto(f"{base}walk.html#start=headlamp-flickers")
    page.wait_for_selector("#walk .results a")
    yield "start choice"
    page.goto(f"{base}walk.html#job=not-here")
    page.wait_for_function("() => document.querySelector('h1').innerText.includes('not on this device')")
    yield "unknown job"
    page.goto(f"{base}settings.html")
    yield "settings"
    page.goto(f"{base}index.html")
    page.fill("#search", "battery")
    page.wait_for_selector(".search-results a")
    yield "search results"
    page.fill("#search", "")
    page.locator(".filters summary").click()
    page.check("text=no jacking")
    yield "filters"
    # Shown by page.js when a newer version of a kept site is there; test_offline.py meets it for real.
    page.evaluate(
        """() => document.querySelector("main").before(droplight.dom.h("p", { class: "note", role: "status" },
            "A new version of this site is ready.", droplight.dom.h("button", { class: "quiet" }, "Use it now")))"""
    )
    yield "new version"


def violations(page: Any) -> list[str]:
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {node['html'][:120]}" for one in found for node in one["nodes"]]


@pytest.fixture
def base(site_dir: Any) -> str:
    return site_dir.as_uri() + "/"


LOOKS: Final = {
    "light": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
    "forced-colors": {"forced_colors": "active"},
}


@pytest.mark.parametrize("look", LOOKS if SWEEP else ("light", "dark"))
def test_axe_finds_nothing_in_any_state(look, own_context, base, hand):
    page = own_context("file://", **LOOKS[look]).new_page()
    found = {state: violations(page) for state in states(page, base, hand)}
    assert {state: said for state, said in found.items() if said} == {}


def test_on_a_narrow_phone_all_fits_and_can_be_tapped(own_context, base, hand):
    page = own_context("file://").new_page()
    found = {state: page.evaluate(SMALL) + page.evaluate(WIDE) for state in states(page, base, hand)}
    assert {state: said for state, said in found.items() if said} == {}


def test_text_of_twice_the_size_does_not_stick_out(own_context, base, hand):
    context = own_context("file://")
    context.add_init_script(
        "addEventListener('DOMContentLoaded', () => { document.documentElement.style.fontSize = '200%'; });"
    )
    page = context.new_page()
    found = {state: page.evaluate(WIDE) for state in states(page, base, hand)}
    assert {state: said for state, said in found.items() if said} == {}
    page.goto(f"{base}walk.html#start=slow-warm-up")
    page.wait_for_selector("#meter")
    page.evaluate("scrollTo({ top: 400, behavior: 'instant' })")
    assert page.locator("#meter").bounding_box()["y"] < 0  # it would fill most of the screen, so it does not stay


def test_the_meter_stays_in_view_and_small(walk, base):
    hand = walk("headlamp-flickers", base).acknowledge()
    hand.page.set_viewport_size({"width": 360, "height": 740})
    hand.page.evaluate("scrollTo({ top: 400, behavior: 'instant' })")
    box = hand.page.locator("#meter").bounding_box()
    assert box["y"] == 0
    assert box["height"] < 740 / 5
    padding = hand.page.evaluate("parseFloat(getComputedStyle(document.documentElement).scrollPaddingTop)")
    assert padding >= box["height"]
