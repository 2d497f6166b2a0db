"""The site on the device: kept when its owner asks for it, whole without a signal, renewed only when they say so."""

import json
import re
import shutil
import zipfile
from typing import Any, Final

import pytest
from playwright.sync_api import expect

KEPT: Final = "The whole site is on this device. Pages, search and the walk work without a signal."
NO_BULBS: Final = "The same side flickers"
LAMP: Final = "electrics/headlamp-flickers.yaml"
KEPT_FILES: Final = """async () => {
    const name = (await caches.keys()).find((name) => name.endsWith(" files"));
    return name ? (await (await caches.open(name)).keys()).map((request) => request.url) : [];
}"""
SPOIL: Final = """async (file) => {
    const cache = await caches.open((await caches.keys()).find((name) => name.endsWith(" files")));
    const found = (await cache.keys()).find((request) => request.url.includes(file));
    await cache.put(found, new Response("<p>spoilt", { headers: { "content-type": "text/html" } }));
}"""


@pytest.fixture
def library(small_folder: Any, tmp_path: Any) -> Any:
    return shutil.copytree(small_folder, tmp_path / "library")


@pytest.fixture
def served(library: Any, tmp_path: Any, build_site: Any, serve: Any) -> Any:
    return serve(build_site(library, tmp_path / "site"))


def listed(served: Any) -> dict[str, str]:
    """The SHA-256 of every file that can be kept, by its name."""
    files = json.loads((served.folder / "offline.json").read_text(encoding="utf-8"))["files"]
    return {name: sha for name, _, sha in files}


def keep(served: Any, own_context: Any) -> Any:
    """A page of a device that has kept the site."""
    page = own_context(served.address).new_page()
    page.goto(served.address)
    page.get_by_role("button", name="Keep this site on this device").click()
    expect(page.locator(".offline [role='status']")).to_have_text(KEPT, timeout=30_000)
    return page


def assert_whole(page: Any, address: str, files: list[str], hand: Any) -> None:
    """Pages, the search and the walk work; every file of the site is there."""
    for name in ("index.html", "", "playbook/headlamp-flickers.html", "walk.html", "settings.html", "safety.html"):
        page.goto(address + name)
        expect(page.locator("main h1")).to_be_visible()
    absent = page.evaluate(
        """async (files) => {
            const missing = [];
            for (const file of files) if (!(await fetch(file).catch(() => ({ ok: false }))).ok) missing.push(file);
            return missing;
        }""",
        [address + name for name in files],
    )
    assert absent == []
    page.goto(address)
    page.fill("#search", "headlamp")
    page.locator(".search-results a", has_text="One headlamp flickers").first.click()
    page.get_by_role("link", name="Start: one step a screen").click()
    page.wait_for_selector("#meter")
    assert "Look at the bulb holder" in hand(page).answer(NO_BULBS).title


def test_a_site_that_was_kept_is_whole_without_a_signal(served, own_context, hand):
    page = keep(served, own_context)
    files = [name for name, _, _ in json.loads((served.folder / "offline.json").read_text(encoding="utf-8"))["files"]]
    page.context.set_offline(True)
    served.stop()
    assert_whole(page, served.address, files, hand)


def test_a_page_that_is_asked_for_with_a_query_is_kept_without_one(served, own_context):
    page = keep(served, own_context)
    page.context.set_offline(True)
    served.stop()
    for name in ("?from=elsewhere", "index.html?a=1&b=2#main", "playbook/headlamp-flickers.html?print"):
        page.goto(served.address + name)
        expect(page.locator("main h1")).to_be_visible()
    assert page.evaluate("location.search") == "?print"


def test_a_page_that_is_answered_by_way_of_a_redirection_is_kept_as_a_page(served, own_context):
    """As with hosts that lead from ``name.html`` to ``name``. A navigation refuses a response of a service worker that
    was redirected (Fetch standard, HTTP fetch: redirect mode not "follow" and a URL list of more than one)."""
    served.leads = {"playbook/headlamp-flickers.html": "playbook/elsewhere.html"}
    shutil.copy(served.folder / "playbook" / "headlamp-flickers.html", served.folder / "playbook" / "elsewhere.html")
    page = keep(served, own_context)
    assert "playbook/headlamp-flickers.html" in served.led
    page.context.set_offline(True)
    served.stop()
    page.goto(f"{served.address}playbook/headlamp-flickers.html")
    expect(page.locator("main h1")).to_contain_text("One headlamp flickers")


def test_a_site_that_was_not_asked_for_is_not_kept(served, own_context):
    page = own_context(served.address).new_page()
    page.goto(served.address)
    page.wait_for_load_state("load")
    assert page.evaluate("navigator.serviceWorker.getRegistrations().then((found) => found.length)") == 0
    assert page.evaluate("caches.keys()") == []


def test_what_could_not_be_kept_is_told_and_can_be_tried_again(served, own_context):
    lost = served.folder / "safety.html"
    text = lost.read_bytes()
    lost.unlink()
    page = own_context(served.address).new_page()
    page.goto(served.address)
    button = page.get_by_role("button", name="Keep this site on this device")
    button.click()
    said = page.locator(".offline [role='status']")
    expect(said).to_contain_text("Not everything could be kept: safety.html: 404.", timeout=30_000)
    lost.write_bytes(text)
    button.click()
    expect(said).to_have_text(KEPT, timeout=30_000)


def test_a_new_version_is_announced_and_used_only_when_the_owner_says_so(
    served, library, own_context, build_site, hand
):
    page = keep(served, own_context)
    page.goto(f"{served.address}walk.html#start=headlamp-flickers")
    page.wait_for_selector("#meter")
    hand(page).answer(NO_BULBS)
    job = page.url
    path = library / LAMP
    path.write_text(
        path.read_text(encoding="utf-8").replace("Hold them by the base only.", "Hold them with gloves."),
        encoding="utf-8",
    )
    build_site(library, served.folder)

    page.goto(f"{served.address}playbook/headlamp-flickers.html")
    note = page.locator("#new-version")
    expect(note).to_contain_text("A new version of this site is ready.", timeout=30_000)
    expect(page.locator("main")).to_contain_text("Hold them by the base only.")
    page.goto(job)
    page.reload()
    page.wait_for_selector("#meter")
    expect(note).to_be_visible()
    assert page.locator("#walk .note").count() == 0

    page.context.set_offline(True)
    served.stop()
    page.get_by_role("button", name="Use it now").click()
    told = page.locator("#walk .note")
    expect(told).to_contain_text("The step “Swap the bulbs left and right” reads differently now.", timeout=30_000)
    expect(page.locator("#walk h1")).to_contain_text("Look at the bulb holder")
    page.goto(f"{served.address}playbook/headlamp-flickers.html")
    expect(page.locator("main")).to_contain_text("Hold them with gloves.")
    assert note.count() == 0
    kept = page.evaluate(KEPT_FILES)
    assert len(kept) == len(listed(served))  # nothing of the version before is left


def test_only_files_that_have_changed_are_fetched_again(served, library, own_context, build_site):
    page = keep(served, own_context)
    before = dict(listed(served))
    path = library / LAMP
    path.write_text(
        path.read_text(encoding="utf-8").replace("Hold them by the base only.", "Hold them with gloves."),
        encoding="utf-8",
    )
    build_site(library, served.folder)
    changed = {name for name, sha in listed(served).items() if before.get(name) != sha}
    assert 0 < len(changed) < 20
    served.asked.clear()
    page.goto(f"{served.address}safety.html")
    expect(page.locator("#new-version")).to_be_visible(timeout=30_000)
    assert {name for name in served.asked if name in before} == changed


def test_a_broken_download_goes_on_where_it_broke(served, own_context):
    names = sorted(listed(served))
    served.leads = dict.fromkeys([name for name in names if name.startswith("access/")], "nowhere.html")
    page = own_context(served.address).new_page()
    page.goto(served.address)
    button = page.get_by_role("button", name="Keep this site on this device")
    button.click()
    said = page.locator(".offline [role='status']")
    expect(said).to_contain_text("Not everything could be kept", timeout=30_000)
    had = len(page.evaluate(KEPT_FILES))
    assert had > 0
    served.leads = {}
    served.asked.clear()
    button.click()
    expect(said).to_have_text(KEPT, timeout=30_000)
    assert len([name for name in served.asked if name in names]) == len(names) - had


def test_what_a_captive_portal_gives_is_never_kept(served, own_context):
    """It answers every address with its own page, and says that all is well (200)."""
    page = own_context(served.address).new_page()
    page.goto(served.address)
    page.evaluate("navigator.serviceWorker.register('sw.js').then(() => navigator.serviceWorker.ready)")
    served.portal = b"<!doctype html><title>Log in</title><p>Welcome to the network of the car park."
    page.get_by_role("button", name="Keep this site on this device").click()
    said = page.locator(".offline [role='status']")
    expect(said).to_contain_text("Not everything could be kept: no connection to the site.", timeout=30_000)
    assert page.evaluate(KEPT_FILES) == []


def test_a_portal_that_comes_up_in_the_middle_leaves_nothing_of_its_own(served, own_context):
    page = own_context(served.address).new_page()
    page.goto(served.address)
    served.portal = b"<!doctype html><title>Log in</title>"
    served.spared = {"sw.js", "offline.json"}
    page.get_by_role("button", name="Keep this site on this device").click()
    said = page.locator(".offline [role='status']")
    expect(said).to_contain_text("this is not what the site holds", timeout=30_000)
    assert page.evaluate(KEPT_FILES) == []
    served.portal = None
    page.get_by_role("button", name="Keep this site on this device").click()
    expect(said).to_have_text(KEPT, timeout=30_000)


def test_a_kept_file_that_has_gone_bad_is_mended(served, own_context):
    page = keep(served, own_context)
    page.evaluate(SPOIL, "safety.html")
    page.goto(f"{served.address}safety.html")
    expect(page.locator("main h1")).to_be_visible()
    page.context.set_offline(True)
    served.stop()
    page.goto(f"{served.address}safety.html")
    expect(page.locator("main h1")).to_be_visible()


def test_a_bad_file_is_not_shown_even_without_a_signal(served, own_context):
    page = keep(served, own_context)
    page.evaluate(SPOIL, "safety.html")
    page.context.set_offline(True)
    served.stop()
    page.goto(f"{served.address}safety.html")
    expect(page.locator("main")).to_contain_text("is not among what is kept on this device")
    assert page.evaluate("document.body.innerText").find("spoilt") < 0


def test_a_single_playbook_is_kept_with_all_that_it_needs_and_its_size_is_told_before(served, own_context, hand):
    page = own_context(served.address).new_page()
    page.goto(f"{served.address}playbook/headlamp-flickers.html")
    page.locator(".offline summary").click()
    button = page.get_by_role("button", name="Only this playbook")
    expect(button).to_have_text(re.compile(r"Only this playbook \(0\.\d MB\)"))
    button.click()
    expect(page.locator(".offline [role='status']")).to_contain_text(
        "A part of the site is on this device", timeout=30_000
    )
    page.context.set_offline(True)
    served.stop()
    page.goto(f"{served.address}walk.html#start=headlamp-flickers")
    page.wait_for_selector("#meter")
    assert "Look at the bulb holder" in hand(page).answer(NO_BULBS).title
    page.goto(f"{served.address}playbook/fan-on-top-speed-only.html")
    expect(page.locator("main")).to_contain_text("is not among what is kept on this device")


def test_parts_add_up_and_go_when_the_owner_says_so(served, own_context):
    page = own_context(served.address).new_page()
    page.goto(f"{served.address}playbook/headlamp-flickers.html")
    page.locator(".offline summary").click()
    page.get_by_role("button", name="Only this playbook").click()
    said = page.locator(".offline [role='status']")
    expect(said).to_contain_text("A part of the site", timeout=30_000)
    one = len(page.evaluate(KEPT_FILES))
    page.goto(served.address)
    expect(said).to_contain_text("A part of the site")
    page.locator(".offline summary").click()
    page.get_by_role("button", name="Cabin").click()
    expect(page.locator(".offline progress")).to_be_hidden()
    page.wait_for_function(f"async (count) => (await ({KEPT_FILES})()).length > count", arg=one)
    page.get_by_role("button", name="Remove it from this device").click()
    expect(said).to_have_text("")
    page.wait_for_function("async () => (await caches.keys()).length === 0")


def test_from_a_folder_there_is_no_button_and_no_complaint(open_page, site_dir):
    page = open_page((site_dir / "index.html").as_uri())
    expect(page.get_by_role("link", name="The site as a zip file")).to_be_visible()
    assert page.get_by_role("button", name="Keep this site on this device").count() == 0


def test_the_unpacked_zip_file_is_a_site_that_can_be_walked(site_dir, tmp_path, own_context, hand):
    with zipfile.ZipFile(site_dir / "site.zip") as archive:
        archive.extractall(tmp_path)
    page = own_context(tmp_path.as_uri()).new_page()
    page.goto(f"{tmp_path.as_uri()}/index.html")
    page.get_by_role("link", name="One headlamp flickers or goes dim").first.click()
    page.get_by_role("link", name="Start: one step a screen").click()
    page.wait_for_selector("#meter")
    assert "Look at the bulb holder" in hand(page).answer(NO_BULBS).title
