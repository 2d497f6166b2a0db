"""Sheets that the browser makes: for every path, with the banner and its panels, and word for word as the build's."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page, expect

from builder.read.hazards import BANNER

OpenPage = Callable[..., Page]

SLUGS: Final = ("battery-flat-after-two-nights", "cranks-but-does-not-start", "overheats-in-traffic")
ALL: Final = """(slug) => droplight.data.model(slug).then((model) => {
    const own = droplight.settings.settings();
    const ways = [];
    const texts = (elements) => [...elements].map((one) => one.textContent);
    const walk = (i, names, nodes) => {
        const { results } = model.nodes[i];
        if (results) for (const result of results) walk(result.to, [...names, result.name], [...nodes, result.to]);
        else ways.push([names, nodes]);
    };
    walk(0, [], [0]);
    return ways.map(([names, nodes]) => {
        const { banner, sheet } = droplight.paper.paper(model, names, own);
        return {
            names,
            banner: banner ? texts(banner.querySelectorAll(".signal-panel")) : [],
            cards: [...sheet.querySelectorAll(".card")].map((one) => texts(one.querySelectorAll(".signal-panel"))),
            needed: nodes.map((i) => model.nodes[i].hazards || []),
            panels: Object.fromEntries(Object.entries(model.hazards).map(([name, { html }]) => {
                const box = document.createElement("div");
                box.innerHTML = html;
                return [name, box.textContent.trim()];
            })),
        };
    });
})"""


def squeezed(text: str) -> str:
    return "".join(text.split())


@pytest.fixture
def maker(open_page: OpenPage) -> Page:
    return open_page("sheet.html")


@pytest.mark.parametrize("slug", SLUGS)
def test_every_path_has_the_banner_and_repeats_its_panels(maker: Page, slug: str) -> None:
    made: list[dict[str, Any]] = maker.evaluate(ALL, slug)
    assert len(made) >= 12
    for sheet in made:
        panels = {name: squeezed(text) for name, text in sheet["panels"].items()}
        needed = [[name for name in hazards if name in BANNER] for hazards in sheet["needed"]]
        wanted = {panels[name] for names in needed for name in names}
        assert {squeezed(text) for text in sheet["banner"]} == wanted, sheet["names"]
        assert len(sheet["cards"]) == len(needed)
        for card, names in zip(sheet["cards"], needed, strict=True):
            assert {squeezed(text) for text in card} == {panels[name] for name in names}, sheet["names"]


@pytest.mark.parametrize("slug", SLUGS)
def test_a_sheet_of_the_browser_is_that_of_the_build(
    maker: Page, open_page: OpenPage, site_dir: Path, slug: str
) -> None:
    ready = sorted(site_dir.glob(f"path/{slug}--*.html"))
    assert ready
    top = maker.url.rpartition("/")[0]
    for file in ready:
        built = open_page(f"path/{file.name}")
        results = (built.locator("body").get_attribute("data-path") or "").split()
        maker.goto(f"{top}/404.html")
        maker.goto(f"{top}/sheet.html#playbook={slug}&results={'.'.join(results)}")
        expect(maker.locator(".sheet-steps")).to_be_visible()
        for part in ("h1", ".fields", ".figures", "section[aria-labelledby=hand]", ".sheet-steps"):
            one, other = (squeezed(page.locator(part).inner_text()) for page in (built, maker))
            assert one == other, (file.name, part)
        assert built.locator(".banner").count() == maker.locator(".banner").count()


def test_the_banner_of_a_made_sheet_is_the_first_thing_on_the_page(maker: Page) -> None:
    made = maker.evaluate(ALL, "cranks-but-does-not-start")
    names = next(sheet["names"] for sheet in made if sheet["banner"])
    top = maker.url.rpartition("/")[0]
    maker.goto(f"{top}/404.html")
    maker.goto(f"{top}/sheet.html#playbook=cranks-but-does-not-start&results={'.'.join(names)}")
    banner = maker.locator(".banner")
    expect(banner).to_be_visible()
    assert banner.evaluate("e => e.previousElementSibling.className") == "skip"
    assert maker.evaluate(
        "document.querySelector('.banner').compareDocumentPosition(document.querySelector('header')) & 4"
    )


@pytest.mark.parametrize("place", ["", "#playbook=../evil&results=a", "#job=nothing"])
def test_an_address_that_names_nothing_leaves_the_page_as_it_is(open_page: OpenPage, place: str) -> None:
    page = open_page(f"sheet.html{place}")
    expect(page.locator("h1")).to_have_text("Job sheet")
    assert page.locator(".sheet-steps").count() == 0
