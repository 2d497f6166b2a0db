"""The search, from a folder where nothing can be fetched, and over a large site."""

import json
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import expect

ROOT: Final = Path(__file__).resolve().parents[3]
LARGE: Final = 2000


@pytest.fixture
def home(open_page, site_dir) -> Any:
    return open_page((site_dir / "index.html").as_uri(), width=360)


def found(page: Any, query: str) -> dict[str, list[str]]:
    """Titles by group, in the order shown."""
    page.fill("#search", query)
    page.wait_for_function("() => document.querySelector('.search [role=status]').textContent !== ''")
    groups = page.locator(".search-results section").all()
    return {group.locator("h2").inner_text(): group.locator("a").all_inner_texts() for group in groups}


QUERIES: Final = [
    # symptom, trouble code, cause, part, tool, step
    ("headlamp flickers", "Symptoms", "One headlamp flickers or goes dim"),
    ("p0335", "Trouble codes", "P0335"),
    ("P0335", "Symptoms", "Cranks but does not start"),
    ("earth point", "Causes", "Earth point behind the headlamp corroded"),
    ("bulb holder", "Parts", None),
    ("clamp meter", "Tools", None),
    ("wiggle", "Steps", "Look at the bulb holder and wiggle it"),
    # the beginning of a word
    ("headl", "Symptoms", "One headlamp flickers or goes dim"),
    ("wigg", "Steps", "Look at the bulb holder and wiggle it"),
    # a letter missing, two swapped, one wrong, one too many
    ("hedlamp", "Symptoms", "One headlamp flickers or goes dim"),
    ("haedlamp", "Symptoms", "One headlamp flickers or goes dim"),
    ("headlanp", "Symptoms", "One headlamp flickers or goes dim"),
    ("wigggle", "Steps", "Look at the bulb holder and wiggle it"),
    ("thermostatt", "Causes", None),
]


@pytest.mark.parametrize(("query", "group", "title"), QUERIES, ids=[query for query, *_ in QUERIES])
def test_what_is_typed_is_found(query, group, title, home):
    groups = found(home, query)
    assert group in groups
    if title:
        assert title in groups[group]


def test_results_are_grouped_and_the_best_come_first(home):
    groups = found(home, "battery")
    order = ["Symptoms", "Trouble codes", "Causes", "Steps", "Parts", "Tools"]
    assert list(groups) == [name for name in order if name in groups]
    assert "battery" in groups["Symptoms"][0].lower()
    assert all(len(titles) <= 6 for titles in groups.values())


def test_every_word_must_fit(home):
    assert "One headlamp flickers or goes dim" in found(home, "flickers headlamp")["Symptoms"]
    home.fill("#search", "headlamp coolant xylophone")
    expect(home.locator(".search-results")).to_contain_text("Nothing found.")
    expect(home.locator(".search [role='status']")).to_have_text("Nothing found")


def test_enter_opens_the_best_and_a_step_opens_at_its_place(home):
    found(home, "headlamp flickers")
    home.press("#search", "Enter")
    home.wait_for_url("**/playbook/headlamp-flickers.html")
    home.go_back()
    found(home, "wiggle")
    home.locator(".search-results a", has_text="Look at the bulb holder and wiggle it").click()
    home.wait_for_url("**/playbook/headlamp-flickers.html#n2")
    place = home.locator("#n2 + article h3")
    expect(place).to_contain_text("Look at the bulb holder and wiggle it")
    expect(place).to_be_in_viewport()


def test_every_title_of_the_site_is_found_by_its_own_words(home, demo):
    titles = [playbook.title for playbook in demo.playbooks.values()]
    titles += [step.title for playbook in demo.playbooks.values() for step in playbook.steps.values()]
    titles += [tool.name for tool in demo.catalogue.tools.values()] + [
        part.name for part in demo.catalogue.parts.values()
    ]
    lost = home.evaluate(
        """async (titles) => {
            const found = droplight.find.index(await droplight.data.held("data/search.js", "search"));
            const best = (title) => droplight.find.find(found, title).slice(0, 8).map((doc) => doc.title);
            return titles.filter((title) => !best(title).includes(title));
        }""",
        titles,
    )
    assert lost == []


@pytest.fixture(scope="module")
def large_index(load) -> str:
    bench = ROOT / "tests" / "bench"
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(bench)
        return load(bench / "search.py").large_index(LARGE)


def test_a_site_of_2000_playbooks_has_a_small_index_and_is_searched_rightly(large_index, home):
    assert len(large_index.encode()) < 1.5e6
    ranked = home.evaluate(
        """([data, queries]) => {
            const found = droplight.find.index(data);
            return queries.map((query) => droplight.find.find(found, query).slice(0, 5).map((doc) => doc.title));
        }""",
        [
            data_of(large_index),
            ["wiper motor 1999", "P07CF", "wipper moter 1999", "corroded plgu", "tool 17", "blow 1980"],
        ],
    )
    assert ranked[0][0].startswith("Wiper motor 1999 ")
    assert "P07CF" in ranked[1]
    assert ranked[2][0].startswith("Wiper motor 1999 ")
    assert any(title.startswith("Corroded plug") for title in ranked[3])
    assert ranked[4][0] == "Tool 17"
    assert ranked[5][0].startswith("Blower 1980 ")


def data_of(script: str) -> Any:
    """The object in a data file."""
    return json.loads(script[script.index("{") : script.rindex("}") + 1])
