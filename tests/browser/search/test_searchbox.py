"""The search on the home page and the box for trouble codes, from a folder where nothing can be fetched."""

import re
import shutil
from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

GROUPS: Final = ["Playbooks", "Trouble codes", "Causes", "Parts", "Tools", "Steps"]
PHONE: Final = 360


@pytest.fixture
def home(open_page, site_dir) -> Page:
    return open_page((site_dir / "index.html").as_uri(), width=PHONE)


@pytest.fixture
def codes(open_page, site_dir) -> Page:
    return open_page((site_dir / "codes.html").as_uri(), width=PHONE)


def found(page: Page, query: str) -> dict[str, list[str]]:
    """Titles by group, in the order shown."""
    page.fill("#search", query)
    page.wait_for_function("() => document.querySelector('.search [role=status]').textContent !== ''")
    groups = page.locator(".search-results section:has(h2)").all()
    return {group.locator("h2").inner_text(): group.locator("li:visible a").all_inner_texts() for group in groups}


QUERIES: Final = [
    ("headlamp flickers", "Playbooks", "One headlamp flickers or goes dim"),
    ("p0335", "Trouble codes", "P0335"),
    ("P0335", "Playbooks", "Cranks but does not start"),
    ("mixture too lean", "Trouble codes", "P0171"),
    ("earth point", "Playbooks", "One headlamp flickers or goes dim"),
    ("head gasket", "Causes", "Head gasket leaks"),
    ("bulb holder", "Parts", "Bulb holder with leads"),
    ("clamp meter", "Tools", "Direct-current clamp meter"),
    ("wiggle", "Steps", "Look at the bulb holder and wiggle it"),
    ("headl", "Playbooks", "One headlamp flickers or goes dim"),
    ("thermostatt", "Causes", "Thermostat opens too little"),
]


@pytest.mark.parametrize(("query", "group", "title"), QUERIES, ids=[query for query, *_ in QUERIES])
def test_what_is_typed_is_found(query, group, title, home):
    assert title in found(home, query)[group]


def test_playbooks_come_first_and_are_the_biggest(home):
    groups = found(home, "battery")
    assert list(groups) == [name for name in GROUPS if name in groups]
    assert groups["Playbooks"][0] == "Battery flat after two nights"
    assert len(groups) > 3
    sizes = home.eval_on_selector_all(
        ".search-results section",
        "groups => groups.map(g => parseFloat(getComputedStyle(g.querySelector('a')).fontSize))",
    )
    assert all(size < sizes[0] for size in sizes[1:])
    first = home.locator(".search-results a").first.bounding_box()
    assert first
    assert first["height"] >= 48


def test_an_answer_fits_a_phone_and_takes_the_place_of_the_rest(home):
    assert home.locator("#area-cooling").is_visible()
    found(home, "battery")
    assert not home.locator("#area-cooling").is_visible()
    assert home.evaluate("document.documentElement.scrollWidth") <= PHONE
    first = home.locator(".search-results a").first.bounding_box()
    assert first
    assert first["y"] + first["height"] < 600
    home.fill("#search", "")
    expect(home.locator("#area-cooling")).to_be_visible()
    assert home.locator(".search-results").inner_html() == ""


def test_counts_are_announced(home):
    status = home.locator(".search [role='status']")
    found(home, "headlamp flickers")
    playbooks = home.locator(".search-results .first li").count()
    others = home.locator(".search-results section:not(.first) li").count()
    expect(status).to_have_text(f"Playbooks: {playbooks}. Other pages: {others}.")
    home.fill("#search", "xyzzyx")
    expect(status).to_have_text("Nothing found")


def test_the_tail_of_a_list_is_shown_on_request(home):
    found(home, "battery")
    steps = home.locator(".search-results section", has=home.locator("h2", has_text="Steps"))
    assert steps.locator("li:visible").count() == 4
    steps.get_by_role("button", name=re.compile("Show [0-9]+ more")).click()
    assert steps.locator("li:visible").count() == steps.locator("li").count() > 4
    expect(steps.locator("li a").nth(4)).to_be_focused()
    assert steps.get_by_role("button").count() == 0


def test_nothing_found_offers_what_is_near_areas_and_codes(home):
    home.fill("#search", "thxrmxstxt")
    near = home.get_by_role("button", name=re.compile("thermostat", re.IGNORECASE))
    expect(near).to_be_visible()
    places = home.locator(".search-results .tabs a")
    assert places.first.inner_text() == "Cooling"
    assert places.last.inner_text() == "Trouble codes"
    near.click()
    expect(home.locator("#search")).to_be_focused()
    expect(home.locator(".search-results a").first).to_have_text("Engine warms up too slowly")
    home.fill("#search", "headlamp xylophone")
    expect(home.locator(".search-results")).to_contain_text("Nothing here says: xylophone.")


def test_a_code_without_a_playbook_gets_its_structure_the_nearest_codes_and_their_playbooks(home):
    home.fill("#search", "p0305")
    note = home.locator(".search-results .note")
    expect(note).to_contain_text("P0305")
    expect(note).to_contain_text("powertrain · ignition system or misfire · the standard")
    assert note.locator("a").all_inner_texts() == ["P0304", "P0303", "P0302", "P0301"]
    assert found(home, "p0305") == {"Playbooks that come near": ["Shakes at idle and the engine lamp blinks"]}
    assert home.evaluate("document.documentElement.scrollWidth") <= PHONE


def test_several_codes_rank_playbooks_by_how_many_they_explain(home):
    assert found(home, "P0171 P0300 rough")["Playbooks"][:2] == [
        "Runs rough and lean",
        "Shakes at idle and the engine lamp blinks",
    ]


def test_keys_lead_through_the_answer_and_back(home):
    found(home, "battery")
    home.focus("#search")
    links = home.locator(".search-results li:visible a")
    home.keyboard.press("ArrowDown")
    expect(links.first).to_be_focused()
    home.keyboard.press("ArrowDown")
    expect(links.nth(1)).to_be_focused()
    home.keyboard.press("ArrowUp")
    home.keyboard.press("ArrowUp")
    expect(home.locator("#search")).to_be_focused()
    home.keyboard.press("ArrowUp")
    expect(home.locator("#search")).to_be_focused()
    home.keyboard.press("ArrowDown")
    home.keyboard.press("Escape")
    expect(home.locator("#search")).to_be_focused()
    assert home.input_value("#search") == "battery"


def test_enter_opens_the_best_and_the_way_back_leads_to_the_answer(home):
    found(home, "headlamp flickers")
    home.press("#search", "Enter")
    home.wait_for_url("**/playbook/headlamp-flickers.html")
    home.go_back()
    expect(home.locator("#search")).to_have_value("headlamp flickers")
    expect(home.locator(".search-results a").first).to_have_text("One headlamp flickers or goes dim")
    found(home, "wiggle")
    home.locator(".search-results a", has_text="Look at the bulb holder and wiggle it").click()
    home.wait_for_url(re.compile(r"/playbook/headlamp-flickers\.html#n[0-9]+$"))
    place = home.locator("h3", has=home.locator(home.url[home.url.index("#") :]))
    expect(place).to_contain_text("Look at the bulb holder and wiggle it")
    expect(place).to_be_in_viewport()


def test_an_address_with_a_query_answers_it(open_page, site_dir):
    page = open_page((site_dir / "index.html").as_uri() + "#search=50%25%20throttle%20thermostat")
    expect(page.locator("#search")).to_have_value("50% throttle thermostat")
    expect(page.locator(".search-results a").first).to_be_visible()


def test_an_index_that_cannot_be_loaded_is_said(browser, site_dir, tmp_path):
    shutil.copy(site_dir / "index.html", tmp_path)
    shutil.copytree(site_dir / "assets", tmp_path / "assets")
    context = browser.new_context()
    page = context.new_page()
    page.goto((tmp_path / "index.html").as_uri())
    page.fill("#search", "battery")
    expect(page.locator(".search-results")).to_have_text("The search cannot be loaded.")
    context.close()


def test_every_title_of_the_site_is_found_by_its_own_words(home, libraries):
    demo = libraries["demo"]
    titles = {"playbooks": [playbook.title for playbook in demo.playbooks.values()]}
    titles["steps"] = [step.title for playbook in demo.playbooks.values() for step in playbook.steps.values()]
    titles["tools"] = [tool.name for tool in demo.catalogue.tools.values()]
    titles["parts"] = [part.name for part in demo.catalogue.parts.values()]
    lost = home.evaluate(
        """async (titles) => {
            const found = await droplight.listed.finder();
            const best = (kind, title) => found.find(title)[kind].slice(0, 3).map((one) => one.title);
            const lost = ([kind, all]) => all.filter((title) => !best(kind, title).includes(title));
            return Object.entries(titles).flatMap(lost);
        }""",
        titles,
    )
    assert lost == []


# --- The page of trouble codes


def test_playbooks_of_a_code_stand_in_the_first_columns_on_a_phone(codes):
    assert codes.evaluate("document.documentElement.scrollWidth") <= PHONE
    for link in codes.locator(".codes tr td:nth-child(2) a").all()[:5]:
        box = link.bounding_box()
        assert box
        assert 0 < box["x"] < box["x"] + box["width"] <= PHONE
    row = codes.locator(".codes tr", has_text="P0171")
    assert row.locator("a").all_inner_texts() == ["P0171", "Runs rough and lean"]
    expect(row).to_contain_text("Mixture too lean")
    tops = [cell.bounding_box()["y"] for cell in row.locator("th, td").all()]
    assert tops == sorted(tops)


def test_a_typed_code_is_told_with_its_playbooks(codes):
    codes.fill("#code", "p0171 ")
    said = codes.locator("form.code [role='status']")
    expect(said).to_contain_text("Mixture too lean")
    assert said.locator("a").all_inner_texts() == ["P0171", "Runs rough and lean"]


@pytest.mark.parametrize(
    ("typed", "says", "near"),
    [
        ("P0305", "powertrain · ignition system or misfire", ["P0304", "P0303", "P0302", "P0301"]),
        ("p1171", "the manufacturer: the workshop manual says what it means", []),
        ("C3035", "the standard, reserved for later", []),
        ("u 0122", "network · network communication", ["U0121"]),
    ],
)
def test_a_typed_code_that_nothing_starts_from_gets_its_structure_and_the_nearest(
    typed: str, says: str, near: list[str], codes: Any
) -> None:
    codes.fill("#code", typed)
    said = codes.locator("form.code [role='status']")
    expect(said).to_contain_text(says)
    assert said.locator("a").all_inner_texts() == near
    codes.fill("#code", "")
    expect(said).to_be_empty()
