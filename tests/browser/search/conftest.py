"""What the tests of the search share: its modules in a page of their own, and libraries to try them on."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import pytest
import yaml
from playwright.sync_api import Browser, Page

from builder.publish.data.jobschema import made_modules
from builder.publish.data.search import search_data
from builder.publish.data.trade import trade_of
from builder.publish.pages.index import index_of
from builder.publish.pages.scripts import scripts_of
from builder.read.records import Catalogue, Library, Playbook, Settings
from tests.demo import demo_library

HERE: Final = Path(__file__).parent
BLANK: Final = '<html lang="en" data-currency="EUR" data-rate="1" data-hour="1"><body><main></main></body></html>'

Find = Callable[[str, Sequence[str]], list[list[str]]]
Make = Callable[..., dict[str, Any]]


@pytest.fixture(scope="session")
def modules(browser: Browser) -> Iterator[Page]:
    """A page with nothing but the modules of the search, in ``droplight``."""
    context = browser.new_context()
    page = context.new_page()
    page.set_content(BLANK)
    scripts = scripts_of(made=made_modules())
    for name in ("page.js", "search.js"):
        page.add_script_tag(content=scripts[name].decode())
    yield page
    context.close()


def short_library(books: Mapping[str, Any], language: str) -> Library:
    """A library of playbooks that are given by what can be found in them; parts are given by their names."""
    parts: dict[str, Any] = {}
    playbooks = {}
    for slug, book in books.items():
        own = []
        for name in book.get("parts", ()):
            place = f"part-{len(parts)}"
            parts[place] = {"name": name, "price": "1"}
            own.append(place)
        playbooks[slug] = _playbook(slug, book, own)
    return Library.model_construct(
        settings=Settings.model_validate(
            {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}, "language": language}
        ),
        catalogue=Catalogue.model_validate({"parts": parts}),
        playbooks=playbooks,
    )


def _playbook(slug: str, book: Mapping[str, Any], parts: Sequence[str]) -> Playbook:
    titles = book.get("steps", ["–"])
    results = [
        {"done": {"expect": "–", "next": f"step-{k + 1}" if k + 1 < len(titles) else "end"}} for k in range(len(titles))
    ]
    return Playbook.model_validate(
        {
            "slug": slug,
            "area": "area",
            "format": "1",
            "title": book["title"],
            "also": book.get("also", []),
            "symptom": {
                "summary": book.get("summary", "–"),
                "conditions": book.get("conditions", []),
                "codes": book.get("codes", []),
            },
            "causes": {cause: {"name": name} for cause, name in book.get("causes", {}).items()},
            "start": "step-0",
            "steps": {f"step-{k}": {"title": title, "results": results[k]} for k, title in enumerate(titles)},
            "endings": {"end": {"title": "–", "parts": list(parts)}},
        }
    )


def index_for(library: Library) -> dict[str, Any]:
    """The search index of a library, with the built-in words of its language."""
    return search_data(library, index_of(library), trade_of(library.settings.language), str)


@pytest.fixture(scope="session")
def make_index() -> Make:
    """Makes the search index of playbooks that are given by what can be found in them."""

    def make(books: Mapping[str, Any], language: str = "en") -> dict[str, Any]:
        return index_for(short_library(books, language))

    return make


@pytest.fixture(scope="session")
def libraries() -> dict[str, Library]:
    """The demo library, and two that stand here in few words."""
    demo = demo_library()
    read = {
        path.stem: yaml.safe_load(path.read_text(encoding="utf-8")) for path in sorted((HERE / "libraries").iterdir())
    }
    return {"demo": demo, **{language: short_library(books, language) for language, books in read.items()}}


@pytest.fixture(scope="session")
def find(modules: Page, libraries: Mapping[str, Library]) -> Find:
    """Asks the search of a library, and gives the slugs of the playbooks that answer each query, best first."""
    for name, library in libraries.items():
        modules.evaluate(
            "([name, data]) => { (globalThis.finders ??= {})[name] = new droplight.finder.Finder(data); }",
            [name, index_for(library)],
        )

    def found(name: str, queries: Sequence[str]) -> list[list[str]]:
        pages = modules.evaluate(
            "([name, queries]) => queries.map((query) => finders[name].find(query).playbooks.map(({ page }) => page))",
            [name, list(queries)],
        )
        return [[page.removeprefix("playbook/").removesuffix(".html") for page in one] for one in pages]

    return found
