"""Filters of the lists: what needs no jacking, no work on the timing drive, no new tools, little time, little money."""

import re
import shutil
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import expect

ROOT: Final = Path(__file__).resolve().parents[3]


@pytest.fixture
def facts(demo, builder_of) -> dict[str, Any]:
    """What the builder says of every playbook: hazards, tools that are no part of a usual toolkit, minutes, money."""
    made = {}
    for slug in demo.playbooks:
        builder = builder_of(slug, demo)
        tools = {tool for item in builder.reckoning.bill.items for tool in item.tools}
        made[slug] = {
            "hazards": set(builder.totals.hazards),
            "tools": {tool for tool in tools if not demo.catalogue.tools[tool].usual},
            "minutes": builder.totals.expected.minutes,
            "money": builder.totals.expected.money,
        }
    return made


def shown(page: Any) -> set[str]:
    return {
        row.removeprefix("row-") for row in page.locator(".row:visible").evaluate_all("all => all.map((one) => one.id)")
    }


def opened(open_page: Any, site_dir: Any, name: str = "index.html") -> Any:
    page = open_page((site_dir / name).as_uri(), width=360)
    page.locator(".filters summary").click()
    return page


def those(facts: dict[str, Any], fits: Any) -> set[str]:
    found = {slug for slug, fact in facts.items() if fits(fact)}
    assert 0 < len(found) < len(facts)
    return found


def test_no_jacking(open_page, site_dir, facts):
    page = opened(open_page, site_dir)
    page.check("text=no jacking")
    want = those(facts, lambda fact: "lifting" not in fact["hazards"])
    assert shown(page) == want
    expect(page.locator(".filters [role='status']")).to_have_text(f"{len(want)} of {len(facts)} playbooks fit.")
    page.uncheck("text=no jacking")
    assert shown(page) == set(facts)
    expect(page.locator(".filters [role='status']")).to_have_text("")


def test_no_timing_drive(open_page, site_dir, facts):
    page = opened(open_page, site_dir)
    page.check("text=no timing drive")
    assert shown(page) == those(facts, lambda fact: "timing" not in fact["hazards"])


def test_only_tools_that_i_own(open_page, site_dir, facts):
    page = open_page((site_dir / "settings.html").as_uri())
    owned = set(sorted({tool for fact in facts.values() for tool in fact["tools"]})[::2])
    for tool in owned:
        page.check(f"input[data-tool='{tool}'][value='own']")
    page.goto((site_dir / "index.html").as_uri())
    page.locator(".filters summary").click()
    page.check("text=only tools that I own")
    assert shown(page) == those(facts, lambda fact: fact["tools"] <= owned)


def test_done_within_an_hour(open_page, site_dir, facts):
    page = opened(open_page, site_dir)
    page.check("text=done within an hour")
    assert shown(page) == {slug for slug, fact in facts.items() if fact["minutes"] <= 60}


def test_under_a_sum_and_with_own_prices(open_page, site_dir, facts, own, demo, builder_of):
    page = opened(open_page, site_dir)
    page.fill("[name='sum']", "150")
    assert shown(page) == those(facts, lambda fact: fact["money"] <= 150)
    choice = own({name: "own" for name, tool in demo.catalogue.tools.items() if not tool.usual})
    page.evaluate("value => droplight.settings.save(value)", choice.in_browser(demo))
    page.reload()
    page.locator(".filters summary").click()
    page.fill("[name='sum']", "150")
    library = choice.in_library(demo)
    assert shown(page) == {slug for slug in facts if builder_of(slug, library).totals.expected.money <= 150}


def test_filters_add_up_and_an_area_without_anything_is_not_shown(open_page, site_dir, facts):
    page = opened(open_page, site_dir)
    page.check("text=no jacking")
    page.fill("[name='sum']", "200")
    want = those(facts, lambda fact: "lifting" not in fact["hazards"] and fact["money"] <= 200)
    assert shown(page) == want
    for section in page.locator("section[data-area]").all():
        assert section.is_visible() == bool(section.locator(".row:visible").count())


def test_a_playbook_without_odds_is_judged_by_its_dearest_and_longest_path(
    small_folder, tmp_path, build_site, own_context
):
    library = shutil.copytree(small_folder, tmp_path / "library")
    (library / "steering").mkdir()
    text = (ROOT / "playbooks" / "steering" / "clonk-over-bumps.yaml").read_text(encoding="utf-8")
    (library / "steering" / "clonk-over-bumps.yaml").write_text(re.sub(r", share: \d+%", "", text), encoding="utf-8")
    home = build_site(library, tmp_path / "site").as_uri() + "/index.html"
    page = own_context("file://").new_page()
    for label in ("no jacking", "only tools that I own", "done within an hour"):
        page.goto(home)
        page.locator(".filters summary").click()
        assert "clonk-over-bumps" in shown(page)
        page.check(f"text={label}")
        assert "clonk-over-bumps" not in shown(page)
    page.goto(home)
    page.locator(".filters summary").click()
    page.fill("[name='sum']", "100")
    assert "clonk-over-bumps" not in shown(page)
    page.fill("[name='sum']", "5000")
    assert "clonk-over-bumps" in shown(page)


def test_an_area_has_the_same_filters(open_page, site_dir, facts, demo):
    page = opened(open_page, site_dir, "area/cooling.html")
    page.check("text=no jacking")
    cooling = {slug for slug, playbook in demo.playbooks.items() if playbook.area == "cooling"}
    assert shown(page) == {slug for slug in cooling if "lifting" not in facts[slug]["hazards"]}
