"""The form in a browser: from a symptom to a file that the library takes, and nothing that was typed is lost."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from builder.read.library import read_library
from builder.reckon.advice import appraise
from builder.reckon.totals import totals_of
from tests.sweep import SWEEP

OpenPage = Callable[..., Page]
ROOT: Final = Path(__file__).resolve().parents[3]
READY: Final = "#form[data-ready]"
PHONE: Final = 360
FAN: Final = "form.html#improve=fan-on-top-speed-only"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A copy of the demo library."""
    return Path(shutil.copytree(ROOT / "playbooks", tmp_path / "library"))


@pytest.fixture
def form(open_page: OpenPage) -> Callable[..., Page]:
    """Opens the form, ready to be filled in."""

    def opened(address: str = "form.html#new", **options: Any) -> Page:
        page = open_page(address, **options)
        page.wait_for_selector(READY)
        return page

    return opened


def fill(within: Page | Locator, label: str, text: str, which: int = 0) -> None:
    within.get_by_label(label, exact=False).nth(which).fill(text)


def settled(page: Page) -> None:
    """Waits until the form has followed what was typed last."""
    page.wait_for_timeout(400)


def file_of(page: Page) -> tuple[str, str]:
    """The path and the text of the file as the form shows them."""
    settled(page)
    path = page.locator("[data-path]").inner_text()
    return path, page.locator("[data-file]").text_content() or ""


def write_horn(page: Page) -> None:
    """Fills in a playbook as somebody would who reads only what stands in the form."""
    page.get_by_label("The area that it belongs to").select_option(label="Body electrics")
    fill(page, "The symptom in a few words", "Horn is silent: nothing at all")
    fill(page, "What the owner notices", "The horn makes no sound, in any weather.")
    fill(page, "What is wrong", "Blown fuse", 0)
    fill(page, "Share", "60", 0)
    fill(page, "What is wrong", "Dead horn", 1)
    fill(page, "Share", "30 %", 1)
    step = page.locator("details.card").first
    fill(step, "What to do, in a few words", "Look at the fuse of the horn")
    fill(step, "How to do it", "Pull the fuse.\n\nLook at the wire in it: `15 A`, blue.")
    fill(step, "Time", "5-10")
    step.get_by_label("Tools (if any)").select_option("torch")
    fill(step, "What one sees", "The wire in it is gone", 0)
    step.get_by_label("What comes next?").nth(0).select_option(label="a new ending")
    fill(step, "What one sees", "It is whole", 1)
    step.get_by_label("What comes next?").nth(1).select_option(label="a new ending")
    fill(step, "Blown fuse: The wire in it is gone", "95")
    fill(step, "all that are left empty above: The wire in it is gone", "2")
    fuse, horn = page.locator("details.ending").nth(0), page.locator("details.ending").nth(1)
    fill(fuse, "What to do, in a few words", "Fit a new fuse")
    fuse.get_by_role("checkbox", name="Blown fuse").check()
    fill(fuse, "Time", "5 minutes")
    fill(horn, "What to do, in a few words", "Fit a new horn")
    horn.get_by_role("checkbox", name="Dead horn").check()
    fill(horn, "Time", "1h30")


def test_from_a_symptom_to_a_file_that_check_and_build_take(
    form: Callable[..., Page], library: Path, run_builder: Callable[..., Any], tmp_path: Path
) -> None:
    page = form()
    write_horn(page)
    settled(page)
    expect(page.locator("[data-unready]")).to_be_hidden()
    path, text = file_of(page)
    assert path == "electrics/horn-is-silent-nothing-at-all.yaml"
    (library / path).write_text(text, encoding="utf-8")
    checked = run_builder("check", "--strict", "--library", library)
    assert checked.returncode == 0, checked.stderr + text
    read = read_library(library, appraise=appraise).library
    assert read is not None
    book = read.playbooks["horn-is-silent-nothing-at-all"]
    assert [cause.name for cause in book.causes.values()] == ["Blown fuse", "Dead horn"]
    assert list(book.endings) == ["fit-a-new-fuse", "fit-a-new-horn"]
    assert book.steps["look-at-the-fuse-of-the-horn"].tools == ("torch",)
    totals = totals_of(book.slug, read)
    assert totals.settled is not None
    shown = page.locator("[data-outlook] .figures").inner_text()
    assert f"{totals.settled * 100:.0f}%" in shown
    built = run_builder("build", "--library", library, "--out", tmp_path / "site", timeout=600)
    assert built.returncode == 0, built.stderr


def test_a_draft_is_kept_on_the_device_and_can_be_thrown_away(form: Callable[..., Page]) -> None:
    page = form()
    fill(page, "The symptom in a few words", "Horn is silent")
    expect(page.locator("[data-kept]")).to_contain_text("Kept on this device")
    page.reload()
    page.wait_for_selector(READY)
    assert page.get_by_label("The symptom in a few words").input_value() == "Horn is silent"
    page.get_by_role("link", name="All drafts").click()
    page.get_by_role("link", name="Horn is silent").click()
    expect(page.get_by_label("The symptom in a few words")).to_have_value("Horn is silent")
    page.once("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Throw this draft away").click()
    expect(page.get_by_role("link", name="Begin a new playbook")).to_be_visible()
    assert page.get_by_text("Drafts on this device").count() == 0


def test_what_was_typed_last_is_kept_when_the_page_is_left_at_once(form: Callable[..., Page]) -> None:
    page = form()
    fill(page, "The symptom in a few words", "Horn is silent")
    page.goto(page.url.replace("form.html", "guide.html"))
    page.go_back()
    page.wait_for_selector(READY)
    expect(page.get_by_label("The symptom in a few words")).to_have_value("Horn is silent")


STORAGE: Final = {
    "denied": "Object.defineProperty(globalThis, 'localStorage', { get() { throw new Error(); } })",
    "full": "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }",
}


@pytest.mark.parametrize(
    ("kind", "said"), [("denied", "keeps nothing for this site"), ("full", "storage of this browser is full")]
)
def test_storage_that_does_not_take_the_draft_is_said(kind: str, said: str, form: Callable[..., Page]) -> None:
    page = form("form.html")
    page.context.add_init_script(STORAGE[kind])
    page.goto(page.url.partition("#")[0] + "?again#new")
    page.wait_for_selector(READY)
    fill(page, "The symptom in a few words", "Horn is silent")
    expect(page.locator("#form-problem")).to_contain_text(said)
    assert "title: Horn is silent" in file_of(page)[1]


def test_improving_changes_only_what_was_changed(form: Callable[..., Page]) -> None:
    page = form(FAN)
    before = (ROOT / "playbooks/cabin/fan-on-top-speed-only.yaml").read_text(encoding="utf-8")
    assert file_of(page) == ("cabin/fan-on-top-speed-only.yaml", before)
    fill(page, "Share", "60", 0)
    after = file_of(page)[1]
    wanted = before.replace("{name: Burnt fan resistor, share: 62%}", "{name: Burnt fan resistor, share: 60%}")
    assert after == wanted != before


def test_a_playbook_is_offered_to_be_improved_and_handed_to_its_host(
    form: Callable[..., Page], open_page: OpenPage
) -> None:
    page = open_page("playbook/fan-on-top-speed-only.html")
    page.get_by_role("link", name="Improve this playbook").click()
    page.wait_for_selector(READY)
    expect(page.get_by_label("The symptom in a few words")).to_have_value("Cabin fan runs on the top speed only")
    host = page.get_by_role("link", name="Open the file on its host")
    expect(host).to_have_attribute("href", "https://example.org/edit/cabin/fan-on-top-speed-only.yaml")


def test_it_works_from_a_folder(form: Callable[..., Page], site_dir: Path) -> None:
    page = form((site_dir / "form.html").as_uri() + "#new")
    write_horn(page)
    assert "Fit a new fuse" in file_of(page)[1]
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save as a file").click()
    assert saving.value.suggested_filename == "horn-is-silent-nothing-at-all.yaml"
    assert saving.value.path().read_text(encoding="utf-8") == file_of(page)[1]


def test_without_javascript_it_says_so(open_page: OpenPage) -> None:
    page = open_page("form.html", javascript=False)
    assert "needs JavaScript, which is off" in page.locator("main").inner_text()
    assert (
        page.locator("main").get_by_role("link", name="how playbooks are written").get_attribute("href") == "guide.html"
    )


def test_the_banner_stands_above_everything_as_soon_as_a_step_calls_for_it(form: Callable[..., Page]) -> None:
    page = form()
    banner = page.locator("#form-banner")
    expect(banner).to_be_hidden()
    page.locator("details.card").first.get_by_label("Hazards").first.select_option("lifting")
    expect(banner).to_be_visible()
    assert banner.bounding_box()["y"] < page.locator("header.top").bounding_box()["y"]  # type: ignore[index]
    expect(page.locator("details.card .signal-panel")).to_have_count(1)


def test_what_is_wrong_is_said_in_words_and_leads_there(form: Callable[..., Page]) -> None:
    page = form()
    write_horn(page)
    fill(page, "Share", "80", 1)
    page.get_by_role("link", name="The shares add up to 140 %").click()
    assert page.evaluate("document.activeElement.id") == "at-causes"
    fill(page, "Share", "0.41", 1)
    settled(page)
    assert "0.41 cannot be read" in page.locator("[data-outlook]").inner_text()
    assert page.get_by_label("Share").nth(1).get_attribute("aria-invalid") is not None


def test_deleting_leaves_nothing_behind_that_speaks_of_it(form: Callable[..., Page]) -> None:
    page = form()
    write_horn(page)
    page.locator("details.ending").nth(1).get_by_role("button", name="Delete this ending").click()
    page.locator(".causes-list li").nth(1).locator("summary").first.click()
    page.locator(".causes-list li").nth(1).get_by_role("button", name="Delete this cause").click()
    _, text = file_of(page)
    assert [name for name in ("dead-horn", "Dead horn", "fit-a-new-horn", "Fit a new horn") if name in text] == []
    assert page.get_by_text("say what comes after “It is whole”").count() >= 1


@pytest.mark.parametrize(
    ("width", "scheme"),
    [(PHONE, "light"), (1280, "dark"), *([(PHONE, "dark"), (1280, "light")] if SWEEP else [])],
)
@pytest.mark.parametrize("address", ["form.html", "form.html#new", FAN])
def test_it_fits_and_has_no_barrier_that_the_rules_of_wcag_name(
    address: str, scheme: str, width: int, form: Callable[..., Page]
) -> None:
    page = form(address, width=width, scheme=scheme)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"][:120] for node in one["nodes"]][:3]) for one in found] == []


SMALL: Final = """() => [...document.querySelectorAll("#form :is(button, select, input, summary, textarea)")]
    .filter(one => one.offsetParent && one.type !== "checkbox" && one.getBoundingClientRect().height < 44)
    .map(one => one.outerHTML.slice(0, 90))"""


def test_everything_can_be_tapped_on_a_phone(form: Callable[..., Page]) -> None:
    page = form(width=PHONE)
    assert page.evaluate(SMALL) == []


def test_it_can_be_filled_in_with_a_keyboard_alone(form: Callable[..., Page]) -> None:
    page = form()
    seen: list[str] = []
    page.get_by_label("The area that it belongs to").focus()
    for _ in range(40):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()"))
    order = ["at-title", "at-symptom_summary", "at-causes_new1_name", "at-causes_new1_share", "at-steps_new3_title"]
    places = [seen.index(one) for one in order]
    assert places == sorted(places)
    page.get_by_role("button", name="Add a cause").focus()
    page.keyboard.press("Enter")
    page.keyboard.type("Torn wire")
    assert "Torn wire" in file_of(page)[1]


def test_the_focus_is_never_behind_the_bar(form: Callable[..., Page]) -> None:
    page = form(width=PHONE)
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Add an ending").focus()
    for _ in range(30):
        page.keyboard.press("Shift+Tab")
        hidden = page.evaluate(
            """() => { const bar = document.querySelector(".form-bar"), one = document.activeElement;
            const after = bar.compareDocumentPosition(one) === Node.DOCUMENT_POSITION_FOLLOWING;
            return after && one.getBoundingClientRect().top < bar.getBoundingClientRect().bottom - 1; }"""
        )
        assert not hidden


def test_a_draft_of_a_playbook_that_was_changed_meanwhile_says_so(form: Callable[..., Page]) -> None:
    page = form(FAN)
    fill(page, "Share", "61", 0)
    expect(page.locator("[data-kept]")).to_contain_text("Kept")
    page.evaluate(
        """() => { const key = Object.keys(localStorage).find((one) => one.includes("draft:improve-"));
        localStorage.setItem(key, JSON.stringify({ ...JSON.parse(localStorage.getItem(key)), hash: "other" })); }"""
    )
    page.reload()
    page.wait_for_selector(READY)
    expect(page.get_by_text("has been changed since you began")).to_be_visible()
