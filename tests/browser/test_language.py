"""A site in another language in a browser: every word of the theme, also those that scripts write, in that language."""

import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page

from builder.publish.pages.theme import theme_folder
from builder.publish.pages.words import read_catalogue

ROOT: Final = Path(__file__).resolve().parents[2]
GERMAN: Final = theme_folder() / "locale" / "de" / "LC_MESSAGES" / "droplight.po"
PLACEHOLDER: Final = re.compile(r"%\(\w+\)s|%%|\{\w+\}")
BOOKS: Final = ("brakes/abs-lamp-after-rain.yaml", "cabin/fan-on-top-speed-only.yaml")
TEXTS: Final = """() => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const found = [document.title];
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
        // A flowchart breaks texts of the library into lines.
        if (!node.parentElement.closest("script, style, svg")) found.push(node.data.replace(/\\s+/g, " ").trim());
    }
    return found.filter(Boolean);
}"""


@pytest.fixture(scope="module")
def german_site(tmp_path_factory: pytest.TempPathFactory, run_builder: Callable[..., Any]) -> Path:
    """A site of two playbooks of the demo library, one with lifting, in German."""
    root = tmp_path_factory.mktemp("german")
    shutil.copytree(ROOT / "playbooks" / "catalogue", root / "library" / "catalogue")
    settings = (ROOT / "playbooks" / "library.yaml").read_text(encoding="utf-8")
    (root / "library" / "library.yaml").write_text(settings.replace("en-GB", "de"), encoding="utf-8")
    for name in BOOKS:
        (root / "library" / name).parent.mkdir()
        shutil.copy(ROOT / "playbooks" / name, root / "library" / name)
    done = run_builder("build", "--library", root / "library", "--out", root / "site")
    assert done.returncode == 0, done.stderr
    return root / "site"


@pytest.fixture
def german_page(browser: Browser, german_site: Path) -> Iterator[Callable[[str], Page]]:
    """Opens a page of the German site from its folder; whatever goes wrong in it fails the test."""
    context = browser.new_context()
    problems: list[str] = []
    page = context.new_page()
    page.on("pageerror", lambda error: problems.append(str(error)))

    def opened(address: str) -> Page:
        page.goto(f"{german_site.as_uri()}/{address}")
        return page

    yield opened
    context.close()
    assert problems == []


@pytest.fixture(scope="module")
def english() -> re.Pattern[str]:
    """Finds a text of the theme that was left in its source language; the demo's own texts are English as well."""
    library = " ".join(
        " ".join(path.read_text(encoding="utf-8") for path in (ROOT / "playbooks").rglob("*.yaml")).split()
    )
    left: set[str] = set()
    for message in read_catalogue(GERMAN):
        sources = [message.id] if isinstance(message.id, str) else list(message.id)
        told = [message.string] if isinstance(message.string, str) else list(message.string)
        left |= {text for text in sources if text and text not in told and text not in library}
    parts = ["[^„“]+".join(map(re.escape, PLACEHOLDER.split(text))) for text in sorted(left)]
    return re.compile("|".join(part for part in parts if re.search(r"[a-z]{3}", part)))


def left_in_english(page: Page, english: re.Pattern[str]) -> list[str]:
    return [text for text in page.evaluate(TEXTS) if english.fullmatch(text)]


def settled(page: Page) -> None:
    page.wait_for_selector("#walk[data-ready]")


def walk_on(page: Page) -> str:
    """Tap the first thing that is offered and give its words."""
    page.locator("#walk h1").evaluate("title => { title.dataset.seen = 'yes'; }")
    button = page.locator("#walk .results > button").first
    words = button.inner_text().strip()
    button.click()
    page.wait_for_selector("#walk h1:not([data-seen])")
    return words


def test_walk_from_start_to_proof_in_german(german_page: Callable[[str], Page], english: re.Pattern[str]) -> None:
    page = german_page("walk.html#start=abs-lamp-after-rain")
    settled(page)
    page.wait_for_selector("#meter")
    taps: list[str] = []
    for _ in range(20):
        for summary in page.locator("#walk summary").all():
            summary.click()
        assert left_in_english(page, english) == []
        taps.append(walk_on(page))
        if page.locator("#walk .proof").count():
            break
    assert "Gelesen; so wird gearbeitet" in taps
    assert "Die Reparatur ist erledigt" in taps
    taps.append(walk_on(page))
    assert taps[-1] == "Ein weiterer fehlerfreier Versuch"
    assert left_in_english(page, english) == []
    assert page.locator("#meter .label").all_text_contents() == ["Bisher", "Kommt wohl noch"]
    page.get_by_role("link", name="Unterbrechen").click()
    page.wait_for_selector("#import")
    assert page.locator("h1").inner_text() == "Aufträge auf diesem Gerät"
    assert left_in_english(page, english) == []


@pytest.mark.parametrize("address", ["index.html", "settings.html", "playbook/abs-lamp-after-rain.html", "walk.html"])
def test_pages_with_their_scripts_are_german(
    address: str, german_page: Callable[[str], Page], english: re.Pattern[str]
) -> None:
    page = german_page(address)
    assert page.evaluate("document.documentElement.lang") == "de"
    assert left_in_english(page, english) == []


def test_search_and_filters_answer_in_german(german_page: Callable[[str], Page], english: re.Pattern[str]) -> None:
    page = german_page("index.html")
    page.locator("#search").fill("fan")
    page.wait_for_selector(".search-results section :is(h2, h3)")
    assert "Prüfpläne" in page.locator(".search-results section :is(h2, h3)").all_inner_texts()
    assert left_in_english(page, english) == []
    page.locator("#search").fill("xyzzyx")
    page.get_by_text("Nichts gefunden. Ein anderes Wort").wait_for()
    assert left_in_english(page, english) == []
    page.locator("#search").fill("")
    page.locator("form.filters summary").click()
    page.get_by_label("ohne Anheben").check()
    assert page.locator("form.filters [role='status']").inner_text() == "1 von 2 Prüfplänen passen."


def test_figures_that_scripts_write_are_german(german_page: Callable[[str], Page]) -> None:
    page = german_page("settings.html")
    page.locator("#rate").fill("123.5")
    page.locator("#rate").press("Tab")
    page.get_by_text("Gespeichert.").wait_for()
    page = german_page("playbook/abs-lamp-after-rain.html")
    page.wait_for_selector("html[data-applied]", state="attached")
    assert re.search(r"\d\s€", page.locator("[data-figure='expected-shop']").inner_text())


# --- Units


def first_figures(page: Page) -> list[str]:
    return [text.replace("\u00a0", " ") for text in page.locator(".quantity").all_inner_texts()]


def test_owner_picks_which_units_stand_first(open_page: Callable[..., Page]) -> None:
    page = open_page("settings.html")
    page.locator("input[name='units'][value='us']").check()
    page.goto(page.url.replace("settings.html", "playbook/abs-lamp-after-rain.html"))
    assert "0.016 in (0.4 mm)" in first_figures(page)
    page.goto(page.url.replace("playbook/abs-lamp-after-rain.html", "settings.html"))
    assert page.locator("input[name='units'][value='us']").is_checked()
    page.locator("#reset").click()
    assert page.locator("input[name='units'][value='si']").is_checked()
    page.goto(page.url.replace("settings.html", "playbook/abs-lamp-after-rain.html"))
    assert "0.4 mm (0.016 in)" in first_figures(page)


def test_walk_shows_both_units_in_the_order_that_the_owner_picked(open_page: Callable[..., Page]) -> None:
    page = open_page("settings.html")
    page.locator("input[name='units'][value='us']").check()
    page.goto(page.url.replace("settings.html", "walk.html#start=pulls-when-braking"))
    page.wait_for_selector("#meter")
    seen: list[str] = []
    for _ in range(12):
        seen += first_figures(page)
        if not page.locator("#walk .results > button").count() or page.locator("#walk .proof").count():
            break
        walk_on(page)
    assert seen
    assert all(re.fullmatch(r"[\d.,-]+ (?:in|psi|°F|mi|mph|lb·ft|ft|lb|oz) \(.+\)", text) for text in seen)


def test_without_javascript_metric_units_stand_first(open_page: Callable[..., Page]) -> None:
    page = open_page("playbook/abs-lamp-after-rain.html", javascript=False)
    assert "0.4 mm (0.016 in)" in first_figures(page)
