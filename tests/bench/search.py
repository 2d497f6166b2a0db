"""Measures the search of a large site in the browser: ``search.py [COUNT [SLOWED]]``.

Prints the size of the index, how long it takes to make it ready, and milliseconds a query, with the processor slowed so
many times (4 unless told) by the browser's own means.
"""

import json
import sys
from pathlib import Path
from statistics import median
from typing import Any, Final

from playwright.sync_api import sync_playwright

ROOT: Final = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "browser")]

import chromium  # noqa: E402
import generate  # noqa: E402

from builder.publish.data.jobschema import made_modules  # noqa: E402
from builder.publish.data.search import search_data  # noqa: E402
from builder.publish.data.trade import trade_of  # noqa: E402
from builder.publish.pages.index import index_of  # noqa: E402
from builder.publish.pages.scripts import scripts_of  # noqa: E402
from builder.read.records import Catalogue, Library, Playbook, Settings  # noqa: E402

ROUNDS: Final = 9
BLANK: Final = '<html lang="en" data-currency="EUR" data-rate="1" data-hour="1"><body><main></main></body></html>'
QUERIES: Final = (
    "bl", "blower", "blower clicks", "corroded plug", "corrodde plgu", "p0042", "p0042 p0043 blower",
    "throttle flap cold", "tool 12", "measre", "wipper moter 1999", "xyzzy plugh qwerty",
    "overheting hedlight flickring sensr valv pedl",
    "the other day my car began to squeal first thing in the morning and it stops after a few minutes when it is warm",
)  # fmt: skip
MEASURE: Final = """([text, queries, rounds]) => {
    const began = performance.now();
    const found = new droplight.finder.Finder(JSON.parse(text));
    const ready = performance.now() - began;
    found.find(found.playbook(0).title);
    const times = queries.map((query) => Array.from({ length: rounds }, () => {
        const start = performance.now();
        found.find(query);
        return performance.now() - start;
    }));
    return { ready, times, words: found.speech.words.length };
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
    """What the search file of a site with so many playbooks holds."""
    library = large_library(count)
    data = search_data(library, index_of(library), trade_of(library.settings.language), str)
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def main(count: int, slowed: float) -> None:
    index = large_index(count)
    print(f"{count} playbooks: {len(index.encode()) / 1e6:.2f} MB")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium.find_or_install(), args=["--no-sandbox"])
        page = browser.new_page()
        page.set_content(BLANK)
        scripts = scripts_of(made=made_modules())
        for name in ("page.js", "search.js"):
            page.add_script_tag(content=scripts[name].decode())
        page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slowed})
        measured = page.evaluate(MEASURE, [index, list(QUERIES), ROUNDS])
        browser.close()
    print(f"{measured['words']} words, made ready in {measured['ready']:.0f} ms; processor slowed {slowed:g} times")
    print("   median  longest")
    for query, times in zip(QUERIES, measured["times"], strict=True):
        print(f"{median(times):6.1f} ms {max(times):5.1f} ms  {json.dumps(query[:80])}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000, float(sys.argv[2]) if len(sys.argv) > 2 else 4)
