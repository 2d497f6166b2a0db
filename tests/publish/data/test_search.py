"""The search index: all that can be found, each with a page that is there."""

import json
from typing import Any

import pytest

from builder.publish.data.search import search_data, structure
from builder.publish.data.texts import ALPHABET, BASE, ENDS, STARTS
from builder.publish.data.trade import trade_of
from builder.publish.pages.index import index_of
from builder.read.codes import parse_code
from builder.read.library import read_library


@pytest.fixture(scope="module")
def demo_search(site_dir) -> dict[str, Any]:
    script = (site_dir / "data" / "search.js").read_text(encoding="utf-8")
    return json.loads(script.removeprefix('droplight.take("search","",').removesuffix(");\n"))


def data_of(folder) -> dict[str, Any]:
    library = read_library(folder).library
    assert library
    return search_data(library, index_of(library), trade_of(library.settings.language), str)


def texts(data: dict[str, Any], coded: str) -> list[str]:
    words, found, signs = data["words"].split(" "), [[]] if coded else [], iter(coded)
    for sign in signs:
        lead = ALPHABET.index(sign)
        more = next(place for place, end in enumerate(ENDS) if lead < end)
        number = lead - STARTS[more]
        for _ in range(more):
            number = number * BASE + ALPHABET.index(next(signs))
        number += sum((ENDS[place] - STARTS[place]) * BASE**place for place in range(more))
        if number:
            found[-1].append(words[number - 1])
        else:
            found.append([])
    return [" ".join(one) for one in found]


def test_a_book_is_what_can_be_found_in_it_with_its_steps_in_the_order_of_its_page(small_library):
    data = data_of(small_library)
    ((slug, area, title, summary, also, signs, codes, causes, steps, parts, tools),) = data["books"]
    assert (slug, area) == ("horn", 0)
    assert texts(data, title) == ["The horn is dead"]
    assert texts(data, summary) == ["No sound at all."]
    assert texts(data, causes) == ["Blown fuse", "Corroded horn"]
    assert texts(data, steps) == ["Look at the fuse", "Look at the horn from below"]
    assert codes == ALPHABET[0]
    assert (also, signs, parts, tools) == ("", "", "", "")
    assert [[name, texts(data, text)] for name, text in data["areas"]] == [["area", ["Area"]]]
    assert data["causes"] == []  # a cause of one playbook alone has no page: the playbook is found by it
    assert (data["codes"], data["means"]) == ([["P0230", ""]], [])


def test_stems_are_told_by_what_is_cut_off_or_in_full(small_library):
    data = data_of(small_library)
    words = dict(zip(data["words"].split(" "), data["cuts"], strict=True))
    stems = data["stems"].split(" ")
    assert words["Corroded"] == "2"
    assert words["Look"] == "0"
    assert "fuse" not in stems[::2]
    assert all(word != stem for word, stem in zip(stems[::2], stems[1::2], strict=True))


def test_everything_that_can_be_found_has_its_page(demo_search, site_dir):
    pages = [f"playbook/{slug}.html" for slug, *_ in demo_search["books"]]
    for folder, kind in (
        ("cause", "causes"),
        ("code", "codes"),
        ("part", "parts"),
        ("tool", "tools"),
        ("area", "areas"),
    ):
        pages += [f"{folder}/{name}.html" for name, _ in demo_search[kind]]
    assert len(pages) > 100
    assert [page for page in pages if not (site_dir / page).is_file()] == []


def test_a_step_is_found_at_its_place_on_the_page(demo_search, site_dir):
    for slug, *_, steps, _parts, _tools in demo_search["books"]:
        html = (site_dir / "playbook" / f"{slug}.html").read_text(encoding="utf-8")
        count = len(texts(demo_search, steps))
        assert [f'id="n{k}"' in html for k in range(1, count + 2)] == [True] * count + [False]


def test_the_meanings_of_codes_are_shipped_with_and_without_a_playbook(write_library, tmp_path, horn):
    catalogue = {"codes": {"P0230": {"means": "Pump circuit"}, "P0300": {"means": "Misfire"}}}
    data = data_of(write_library(tmp_path, {"area/horn": horn}, catalogue=catalogue))
    assert [[code, texts(data, text)] for code, text in data["codes"]] == [["P0230", ["Pump circuit"]]]
    assert [[code, texts(data, text)] for code, text in data["means"]] == [["P0300", ["Misfire"]]]


def test_the_tables_of_the_structure_say_what_the_reading_room_says():
    tables = structure(str)
    for number in range(0x4000):
        for letter in "PCBU":
            code = f"{letter}{number:04X}"
            parsed = parse_code(code)
            assert parsed
            control = tables["controls"].get(code[:2], "manufacturer" if code[2] in "0123" else "standard")
            subsystem = tables["subsystems"].get(code[:3], "") if control == "standard" else ""
            assert (tables["systems"][letter], control, subsystem) == (parsed.system, parsed.control, parsed.subsystem)
    assert tables["says"].keys() == {"standard", "manufacturer", "reserved"}
