"""The search index: all that can be found, each with a page that is there."""

import json
from typing import Any

import pytest

from builder.publish.data.search import search_data
from builder.publish.pages.index import index_of
from builder.read.library import read_library


@pytest.fixture(scope="module")
def demo_search(site_dir) -> dict[str, Any]:
    script = (site_dir / "data" / "search.js").read_text(encoding="utf-8")
    return json.loads(script.removeprefix('droplight.take("search","",').removesuffix(");\n"))


def test_a_book_is_its_slug_title_summary_signs_and_steps_in_the_order_of_its_page(small_library):
    library, _ = read_library(small_library)
    assert library
    data = search_data(library, index_of(library))
    steps = ["Look at the fuse", "Look at the horn from below"]
    assert data["books"] == [["horn", "The horn is dead", "No sound at all.", ["P0230"], steps]]
    assert data["causes"] == [["fuse", "Blown fuse"], ["horn", "Corroded horn"]]
    assert (data["codes"], data["tools"], data["parts"]) == (["P0230"], [], [])


def test_everything_that_can_be_found_has_its_page(demo_search, site_dir):
    pages = [f"playbook/{slug}.html" for slug, *_ in demo_search["books"]]
    pages += [f"cause/{name}.html" for name, _ in demo_search["causes"]]
    pages += [f"code/{code}.html" for code in demo_search["codes"]]
    pages += [f"part/{name}.html" for name, _ in demo_search["parts"]]
    pages += [f"tool/{name}.html" for name, _ in demo_search["tools"]]
    assert len(pages) > 100
    assert [page for page in pages if not (site_dir / page).is_file()] == []


def test_a_step_is_found_at_its_place_on_the_page(demo_search, site_dir):
    for slug, _, _, _, steps in demo_search["books"]:
        html = (site_dir / "playbook" / f"{slug}.html").read_text(encoding="utf-8")
        assert [f'id="n{k}"' in html for k in range(1, len(steps) + 2)] == [True] * len(steps) + [False]
