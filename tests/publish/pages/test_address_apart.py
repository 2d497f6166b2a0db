"""Addresses are injective: no two things of a site share a file or an anchor, whatever they are called."""

import re
from itertools import chain
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.publish.build import AddressTakenError, Build
from builder.publish.pages import address
from builder.read import grammar

NAMES = st.from_regex(rf"{grammar.NAME}\Z", fullmatch=True).filter(lambda name: len(name) < 12)
"""Names as the format has them; of few letters, so that they often look alike when joined."""
ALIKE = st.text("ab-", min_size=1, max_size=4) | st.sampled_from(["search", "playbook", "index", "a--0", "job"]) | NAMES

FIXED = [
    value
    for name, value in vars(address).items()
    if name.isupper() and isinstance(value, str) and re.search(r"\.[a-z]+\Z", value)
]


def of_name(name: str) -> dict[tuple[str, str], str]:
    """Every address that something of a name may have but sheets', by what it is."""
    pages = {(kind, name): address.page(kind, name) for kind in get_args(address.Kind) if kind != "path"}
    return {**pages, ("model", name): address.model(name)}


@given(st.sets(ALIKE, min_size=1, max_size=8))
def test_no_two_things_of_a_site_have_one_address(names: set[str]) -> None:
    every = dict(chain.from_iterable(of_name(name).items() for name in names))
    places = [*every.values(), *FIXED]
    assert len(set(places)) == len(places)
    assert len({place.casefold() for place in places}) == len(places), "a memory stick does not tell cases apart"


def test_a_playbook_called_search_leaves_the_search_alone() -> None:
    assert address.model("search") != address.SEARCH


@given(st.sets(st.tuples(ALIKE, ALIKE), min_size=1, max_size=12))
def test_no_two_results_of_a_page_have_one_anchor(results: set[tuple[str, str]]) -> None:
    assert len({address.result_anchor(*one) for one in results}) == len(results)


def test_names_that_run_together_have_two_anchors() -> None:
    assert address.result_anchor("a", "b-c") != address.result_anchor("a-b", "c")


WAYS = st.lists(st.tuples(ALIKE, ALIKE), max_size=4)


@given(st.lists(st.tuples(ALIKE, WAYS), min_size=1, max_size=8))
def test_no_two_paths_have_one_sheet(paths: list[tuple[str, list[tuple[str, str]]]]) -> None:
    def key(slug: str, way: list[tuple[str, str]]) -> str:
        return address.path_key(slug, [step for step, _ in way], [result for _, result in way])

    each = {(slug, tuple(way)) for slug, way in paths}
    assert len({key(slug, list(way)) for slug, way in each}) == len(each)


def test_a_second_file_at_one_address_does_not_pass_unnoticed(tmp_path: Path) -> None:
    nothing: dict = dict.fromkeys(("library", "library_root", "index", "titles", "assets", "dot", "history"))
    build = Build(**nothing, folder=tmp_path)
    build.write("path/one.html", "first")
    with pytest.raises(AddressTakenError, match=r"path/one\.html"):
        build.write("path/one.html", "second")
    assert (tmp_path / "path/one.html").read_text() == "first"
