"""Measures the search of a large site in the browser: ``search.py [COUNT]`` prints milliseconds a query."""

import json
import sys
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import sync_playwright

ROOT: Final = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "browser")]

import chromium  # noqa: E402
import generate  # noqa: E402

from builder.publish.data.jobschema import made_modules  # noqa: E402
from builder.publish.data.model import data_file  # noqa: E402
from builder.publish.data.search import search_data  # noqa: E402
from builder.publish.pages.index import index_of  # noqa: E402
from builder.publish.pages.scripts import scripts_of  # noqa: E402
from builder.read.records import Catalogue, Library, Playbook, Settings  # noqa: E402

ROUNDS: Final = 20
QUERIES: Final = (
    "bl", "blower", "blower clicks", "corroded plug", "corrodde plgu", "p0042", "throttle flap cold", "tool 12",
    "measre",
)  # fmt: skip
MEASURE: Final = """async ([queries, rounds]) => {
    const began = performance.now();
    const found = droplight.find.index(await droplight.data.held("", "search"));
    const ready = performance.now() - began;
    const times = queries.map((query) => {
        const start = performance.now();
        let hits = 0;
        for (let k = 0; k < rounds; k++) hits = droplight.find.find(found, query).length;
        return [(performance.now() - start) / rounds, hits];
    });
    return { ready, times, words: found.known.length, docs: found.docs.length };
}"""


def _text(value: Any) -> Any:
    """A value as a file has it, where every scalar is text."""
    if isinstance(value, dict):
        return {key: _text(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [_text(entry) for entry in value]
    return str(value).lower() if isinstance(value, bool) else str(value)


def large_library(count: int) -> Library:
    """The library of ``generate.py`` as records."""
    playbooks = {}
    for number in range(count):
        plain = _text(generate._playbook(number, count))
        slug = generate._slug(number)
        playbooks[slug] = Playbook.model_validate({"slug": slug, "area": generate.AREAS[0], **plain})
    return Library.model_construct(
        settings=Settings.model_validate(_text(generate._settings())),
        catalogue=Catalogue.model_validate(_text(generate._catalogue())),
        playbooks=playbooks,
    )


def large_index(count: int) -> str:
    """The search file of a site with so many playbooks."""
    library = large_library(count)
    return data_file("search", "", search_data(library, index_of(library)))


def main(count: int) -> None:
    script = large_index(count)
    print(f"{count} playbooks: {len(script.encode()) / 1e6:.2f} MB")
    page_text = '<html lang="en" data-currency="EUR" data-rate="1" data-hour="1"><body></body></html>'
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium.find_or_install(), args=["--no-sandbox"])
        page = browser.new_page()
        page.set_content(page_text)
        scripts = scripts_of(made=made_modules())
        for name in ("page.js", "search.js"):
            page.add_script_tag(content=scripts[name].decode())
        page.add_script_tag(content=script)
        measured = page.evaluate(MEASURE, [list(QUERIES), ROUNDS])
        browser.close()
    print(f"{measured['docs']} documents, {measured['words']} words, made ready in {measured['ready']:.0f} ms")
    for query, (time, hits) in zip(QUERIES, measured["times"], strict=True):
        print(f"{time:7.1f} ms  {hits:6} found  {json.dumps(query)}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
