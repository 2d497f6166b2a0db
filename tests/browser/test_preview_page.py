"""A preview in a browser: a save shows by itself where one was, findings come over the page and go when mended."""

import contextlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

ROOT: Final = Path(__file__).resolve().parents[2]
SLUG: Final = "fan-on-top-speed-only"
PATIENCE: Final = 60_000


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A copy of the demo library that a test may change."""
    return Path(shutil.copytree(ROOT / "playbooks", tmp_path / "playbooks"))


@pytest.fixture
def playbook(library: Path) -> Path:
    return next(library.glob(f"*/{SLUG}.yaml"))


@contextlib.contextmanager
def previewed(library: Path) -> Iterator[str]:
    """The address of a running preview."""
    command = [sys.executable, "-m", "builder", "preview", "--library", str(library)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, encoding="utf-8"
    ) as process:
        assert process.stdout
        try:
            yield process.stdout.readline().strip()
        finally:
            process.terminate()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """An empty page; the test fails on any error in its console but for a preview that has no page yet or has ended."""
    problems: list[str] = []
    context = browser.new_context(viewport={"width": 360, "height": 700})
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    page.on("console", lambda said: problems.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: problems.append(str(error)))
    yield page
    context.close()
    assert [problem for problem in problems if "503" not in problem and "net::ERR_" not in problem] == []


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def comes_to(page: Page, place: float) -> bool:
    """Whether the page scrolls to a place before long; asked again and again, since its policy allows no eval."""
    for _ in range(400):
        if abs(page.evaluate("scrollY") - place) < 3:
            return True
        page.wait_for_timeout(25)
    return False


def test_a_save_shows_with_the_scroll_kept_and_findings_come_and_go(library: Path, playbook: Path, page: Page) -> None:
    good = playbook.read_text(encoding="utf-8")
    title = next(line for line in good.splitlines() if line.startswith("title: "))
    with previewed(library) as address:
        page.goto(f"{address}playbook/{SLUG}.html")
        page.locator("#endings").scroll_into_view_if_needed()
        page.evaluate("scrollBy({ top: 40, behavior: 'instant' })")
        place = page.evaluate("scrollY")
        assert place > 500

        change(playbook, title, "title: The fan knows only one speed")
        page.get_by_role("heading", name="The fan knows only one speed").wait_for(state="attached")
        assert comes_to(page, place)
        assert page.locator(".preview-panel").count() == 0

        change(playbook, "order: best", "order: not-<b>bold</b>-")
        panel = page.locator("aside.preview-panel")
        panel.wait_for()
        assert f"{SLUG}.yaml:" in panel.inner_text()
        assert "not-<b>bold</b>-" in panel.inner_text()
        assert panel.locator("b").all_inner_texts() == ["error"] * panel.locator("li").count()
        assert page.locator("h1").inner_text() == "The fan knows only one speed"
        assert abs(page.evaluate("scrollY") - place) < 3
        result = Axe().run(page, context=".preview-panel").response
        assert [(violation["id"], violation["nodes"][0]["html"]) for violation in result["violations"]] == []

        playbook.write_text(good, encoding="utf-8")
        panel.wait_for(state="detached")
        page.get_by_role("heading", name=title.removeprefix("title: "), exact=True).wait_for(state="attached")
        assert comes_to(page, place)


def test_a_library_that_is_bad_from_the_start_comes_up_when_it_is_mended(
    library: Path, playbook: Path, page: Page
) -> None:
    good = playbook.read_text(encoding="utf-8")
    playbook.write_text("title: [\n", encoding="utf-8")
    with previewed(library) as address:
        page.goto(f"{address}playbook/{SLUG}.html")
        assert f"{SLUG}.yaml:" in page.locator(".preview-panel").inner_text()
        playbook.write_text(good, encoding="utf-8")
        page.locator(f"body[data-playbook='{SLUG}']").wait_for()
        assert page.locator(".preview-panel").count() == 0


def test_a_page_comes_back_to_a_preview_that_was_started_anew(library: Path, page: Page) -> None:
    with previewed(library) as address:
        page.goto(address)
        port = address.rstrip("/").rpartition(":")[2]
    title = next(
        line for line in (library / "library.yaml").read_text(encoding="utf-8").splitlines() if "title:" in line
    )
    change(library / "library.yaml", title, "title: A new name")
    command = [sys.executable, "-m", "builder", "preview", "--library", str(library), "--port", port]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        try:
            page.locator("header .brand", has_text="A new name").wait_for()
        finally:
            process.terminate()
