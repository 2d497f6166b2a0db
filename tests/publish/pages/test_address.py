"""Addresses: links lead from any page to any other, and a sheet keeps its address."""

import posixpath

from hypothesis import given
from hypothesis import strategies as st

from builder.publish.pages.address import page, path_key, relative

PAGES = st.lists(st.text("abc-", min_size=1, max_size=3), min_size=1, max_size=3).map("/".join)


@given(PAGES, PAGES, st.sampled_from(["", "#step-look"]))
def test_a_link_leads_where_it_says(target: str, start: str, anchor: str) -> None:
    """Followed as RFC 3986 (5.2.4) says, from the folder of the page it stands on."""
    link, _, mark = relative(target + anchor, start).partition("#")
    assert posixpath.normpath(posixpath.join(posixpath.dirname(start), link)) == target
    assert mark == anchor.removeprefix("#")


@given(PAGES)
def test_an_anchor_alone_stays_on_the_page(start: str) -> None:
    assert relative("#step-look", start) == "#step-look"


def test_pages_are_in_folders_by_kind_and_flowcharts_are_drawings() -> None:
    assert page("playbook", "no-start") == "playbook/no-start.html"
    assert page("flow", "no-start") == "flow/no-start.svg"


def test_a_sheet_keeps_its_address_as_long_as_its_path_is_the_same() -> None:
    key = path_key("fan", ["look", "measure"], ["clean", "open"])
    assert key == path_key("fan", ("look", "measure"), ("clean", "open"))
    assert key.startswith("fan--")
    assert page("path", key).removeprefix("path/").removesuffix(".html").replace("-", "").isalnum()


def test_other_paths_have_other_sheets() -> None:
    paths = [
        (["look"], ["open"]),
        (["look", "measure"], ["open", "open"]),
        (["look", "measure"], ["open", "shut"]),
        (["look", "weigh"], ["open", "open"]),
        ([], []),
    ]
    assert len({path_key("fan", steps, results) for steps, results in paths}) == len(paths)
