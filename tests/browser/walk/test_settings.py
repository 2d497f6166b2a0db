"""The owner's tools and prices: kept on the device, followed by every figure, and given back to the site at will."""

import json
from typing import Any, Final

import pytest
from playwright.sync_api import expect

from builder.draw.figures import figures_of

SLUG: Final = "shakes-at-100"


@pytest.fixture
def settings_page(open_page, site_dir) -> Any:
    return open_page((site_dir / "settings.html").as_uri(), width=360)


def kept(page: Any) -> dict[str, Any] | None:
    text = page.evaluate("localStorage.getItem(`droplight:${document.documentElement.dataset.site}:settings`)")
    return json.loads(text) if text else None


def choose(page: Any, tool: str, how: str) -> None:
    page.check(f"input[data-tool='{tool}'][value='{how}']")


def row_money(page: Any, slug: str) -> str:
    return page.locator(f"#row-{slug} [data-figure='row-money']").inner_text()


def test_settings_are_kept_and_followed_by_every_page(settings_page, site_dir, demo, own, builder_of):
    page, figures = settings_page, figures_of(demo.settings)
    choose(page, "lifting-gear", "own")
    choose(page, "piston-tool", "borrow")
    page.fill("#rate", "120")
    page.press("#rate", "Tab")
    expect(page.locator("#settings-said")).to_have_text("Kept. All figures on this device follow.")
    choice = own({"lifting-gear": "own", "piston-tool": "borrow"}, 120)
    assert kept(page) == choice.in_browser(demo)
    page.reload()
    assert page.is_checked("input[data-tool='lifting-gear'][value='own']")
    assert page.input_value("#rate") == "120"

    builder = builder_of(SLUG, choice.in_library(demo))
    expected = figures.about(builder.totals.expected.money)
    page.goto((site_dir / "index.html").as_uri())
    assert row_money(page, SLUG) == expected
    page.goto((site_dir / "playbook" / f"{SLUG}.html").as_uri())
    expect(page.locator("[data-figure='expected-money']").first).to_have_text(expected)
    expect(page.locator("[data-figure='within-95']").first).to_have_text(
        figures.about(builder.totals.spend_within["95"])
    )
    expect(page.locator("[data-figure='wasted']").first).to_have_text(figures.about(builder.totals.wasted))
    expect(page.locator(".own-prices")).to_be_visible()
    page.goto((site_dir / "walk.html").as_uri() + f"#start={SLUG}")
    page.wait_for_selector("#meter")
    expect(page.locator("[data-figure='to-come']")).to_have_text(expected)


def test_an_open_page_follows_at_once_and_back_again(settings_page, site_dir, demo):
    other = settings_page.context.new_page()
    other.goto((site_dir / "playbook" / f"{SLUG}.html").as_uri())
    money = other.locator("[data-figure='expected-money']").first
    before = money.inner_text()
    choose(settings_page, "lifting-gear", "own")
    expect(money).not_to_have_text(before)
    settings_page.get_by_role("button", name="Back to the figures of the site").click()
    expect(money).to_have_text(before)
    expect(other.locator(".own-prices")).to_be_hidden()


def test_open_lists_and_filters_follow_at_once(settings_page, site_dir, demo, own, builder_of):
    home = settings_page.context.new_page()
    home.goto((site_dir / "index.html").as_uri())
    home.locator(".filters summary").click()
    home.check("text=only tools that I own")
    hidden = home.locator(f"#row-{SLUG}")
    expect(hidden).to_be_hidden()
    tools = [name for name, tool in demo.catalogue.tools.items() if not tool.usual]
    for tool in tools:
        choose(settings_page, tool, "own")
    expect(hidden).to_be_visible()
    library = own(dict.fromkeys(tools, "own")).in_library(demo)
    expect(hidden.locator("[data-figure='row-money']")).to_have_text(
        figures_of(demo.settings).about(builder_of(SLUG, library).totals.expected.money)
    )


def test_open_pages_turn_their_units_at_once(settings_page, site_dir):
    other = settings_page.context.new_page()
    other.goto((site_dir / "playbook" / f"{SLUG}.html").as_uri())
    quantity = other.locator(".quantity").first
    metric = quantity.inner_text()
    settings_page.check("input[name='units'][value='us']")
    expect(quantity).not_to_have_text(metric)
    settings_page.check("input[name='units'][value='si']")
    expect(quantity).to_have_text(metric)


def test_a_walk_in_the_background_follows_what_is_chosen_elsewhere(settings_page, site_dir, demo, own, builder_of):
    walk = settings_page.context.new_page()
    walk.goto((site_dir / "walk.html").as_uri() + f"#start={SLUG}")
    walk.wait_for_selector("#meter")
    # Chromium without a window takes every page for one that is seen.
    walk.evaluate("Object.defineProperty(document, 'hidden', { value: true })")
    choose(settings_page, "lifting-gear", "own")
    library = own({"lifting-gear": "own"}).in_library(demo)
    expect(walk.locator("[data-figure='to-come']")).to_have_text(
        figures_of(demo.settings).about(builder_of(SLUG, library).totals.expected.money)
    )


def test_the_figures_of_the_site_come_back(settings_page):
    choose(settings_page, "lifting-gear", "own")
    settings_page.fill("#hour", "40")
    settings_page.press("#hour", "Tab")
    settings_page.get_by_role("button", name="Back to the figures of the site").click()
    assert kept(settings_page) is None
    assert settings_page.is_checked("input[data-tool='lifting-gear'][value='buy']")
    assert settings_page.input_value("#hour") == "15"


@pytest.mark.parametrize("typed", ["", "-5"])
def test_what_is_no_price_counts_as_the_price_of_the_site(typed, settings_page):
    settings_page.fill("#rate", typed)
    settings_page.press("#rate", "Tab")
    assert kept(settings_page)["rate"] == 95


@pytest.mark.parametrize(
    "text", ["{", "[]", '"x"', '{"rate": "9", "tools": {"lifting-gear": "steal", "__proto__": "own"}}']
)
def test_damaged_settings_count_as_none(text, settings_page, site_dir):
    home = (site_dir / "index.html").as_uri()
    settings_page.goto(home)
    before = row_money(settings_page, SLUG)
    settings_page.evaluate(
        "text => localStorage.setItem(`droplight:${document.documentElement.dataset.site}:settings`, text)", text
    )
    settings_page.goto(home)
    settings_page.wait_for_load_state("load")
    assert row_money(settings_page, SLUG) == before


def test_a_tool_that_cannot_be_borrowed_is_not_offered_so(settings_page, demo):
    for name, tool in demo.catalogue.tools.items():
        offered = settings_page.locator(f"input[data-tool='{name}']").evaluate_all("all => all.map((one) => one.value)")
        borrowed = ["borrow"] if tool.borrow is not None else []
        assert offered == ([] if tool.usual else ["buy", *borrowed, "own"])
