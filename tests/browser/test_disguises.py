"""Every disguise and imitation on pages, as if no check had found it: nothing but the theme draws a panel, nothing
covers or moves the banner, and what a check reads of a text is what the page shows of it."""

import threading
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Page

from builder.publish.site import write_site
from builder.read.hazards import BUILT_IN
from builder.read.prose import plain_text
from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.read.source import blank
from builder.read.words.letters import INVISIBLE
from tests.disguises import IMITATIONS, MARKUP, WORDS, catalogue, playbook, settings

TEXTS: Final[Mapping[str, str]] = {
    f"t{number}": text for number, text in enumerate((*WORDS.values(), *IMITATIONS.values(), *MARKUP.values()))
}
"""All of them, each by the slug of the playbook that says it in every field."""

# What looks like a panel of the site, and every text beside the panels that stands on a colour of signal words.
DRAWN: Final = """() => {
    const signals = ["rgb(176, 20, 28)", "rgb(246, 134, 31)", "rgb(249, 214, 22)", "rgb(11, 79, 148)"];
    const theirs = (one) => one.closest(".signal-panel, .stamp, .row-figures");
    const coloured = [...document.querySelectorAll("body *")].filter((one) => !theirs(one)
        && signals.includes(getComputedStyle(one).backgroundColor)).map((one) => one.outerHTML.slice(0, 80));
    const banner = document.querySelector("body > .banner");
    const box = banner.getBoundingClientRect();
    const over = [];
    for (let x = 0.05; x < 1; x += 0.15) for (let y = 0.05; y < 1; y += 0.15) {
        const met = document.elementFromPoint(box.left + box.width * x, box.top + box.height * y);
        if (met && !banner.contains(met)) over.push(met.outerHTML.slice(0, 80));
    }
    const count = (selector) => document.querySelectorAll(selector).length;
    const before = [...document.body.children].indexOf(banner);
    return [count(".banner"), count(".signal-panel"), count(".signal-word"), coloured, over, before];
}"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a library that no check has looked at; each playbook has one step that lifts the car."""
    folder = tmp_path_factory.mktemp("disguised")
    books, kinds = {}, {"tools": {}, "parts": {}, "access": {}, "hazards": dict(BUILT_IN), "checks": {}, "codes": {}}
    for slug, text in TEXTS.items():
        said: dict[str, Any] = playbook(text, slug)
        said["no_hazards"] = said["steps"]["look"]["no_hazards"] = {}
        said["steps"]["look"]["hazards"] = ["lifting"]
        books[slug] = Playbook.model_validate({**said, "slug": slug, "area": "area"})
        for kind, entries in catalogue(text, slug).items():
            kinds[kind] |= {name: one for name, one in entries.items() if name != "cold"}
    for name in ("tools", "parts", "access"):
        kinds[name] = {slug: {**one, "no_hazards": {}} for slug, one in kinds[name].items()}
    library = Library.model_construct(
        settings=Settings.model_validate(settings("⚠ DANGER hot")),
        catalogue=Catalogue.model_validate({**kinds, "checks": {}}),
        playbooks=books,
        lines={},
    )
    write_site(library, folder, folder / "site")
    return folder / "site"


@pytest.fixture(scope="module")
def address(site: Path) -> Iterator[str]:
    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *_: object) -> None:
            """Keeps the output clean."""

    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def without_blanks(text: str) -> str:
    """Text without white space, and without what nobody sees."""
    return "".join(INVISIBLE.sub("", blank(text)).split())


def test_no_text_draws_a_panel_or_covers_the_banner(open_page: Callable[..., Page], address: str) -> None:
    page = open_page(address + "index.html", width=360)
    wrong: dict[str, Any] = {}
    for slug, text in TEXTS.items():
        page.goto(f"{address}playbook/{slug}.html")
        drawn = page.evaluate(DRAWN)
        if drawn != [1, 2, 2, [], [], 1]:
            wrong[text] = drawn
    assert wrong == {}


def test_a_check_reads_what_the_page_shows(open_page: Callable[..., Page], address: str) -> None:
    page = open_page(address + "index.html", width=1280)
    wrong: dict[str, tuple[str, str]] = {}
    for slug, text in TEXTS.items():
        page.goto(f"{address}playbook/{slug}.html")
        shown = without_blanks(page.locator("#step-look .do").inner_text())
        if text.startswith("<"):  # raw HTML is shown to the letter, and has a finding of its own
            same = shown == without_blanks(text)
        else:
            same = shown.casefold() == without_blanks(plain_text(text)).casefold()
        if not same:
            wrong[text] = (shown, without_blanks(plain_text(text)))
    assert wrong == {}


@pytest.mark.parametrize("kind", ["tool", "part", "access"])
def test_no_text_of_the_catalogue_draws_a_panel(open_page: Callable[..., Page], address: str, kind: str) -> None:
    page = open_page(address + "index.html", width=360)
    wrong: dict[str, Any] = {}
    for slug in list(TEXTS)[::4]:
        page.goto(f"{address}{kind}/{slug}.html")
        drawn = page.locator("main .signal-panel").count()
        if drawn:
            wrong[slug] = drawn
    assert wrong == {}
