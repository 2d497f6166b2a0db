"""Lists: the pages of what playbooks name."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builder.publish.pages import address, lists
from builder.publish.site import write_site
from builder.read.library import read_library
from tests.publish.conftest import PLAYBOOK


@pytest.fixture
def site(tmp_path: Path, write_library: Callable[..., Path]) -> Path:
    """A playbook that raises the car at its second step; the torch is for the first alone, the meter for the second."""
    steps: Any = PLAYBOOK["steps"]
    tools = {"look": ["torch"], "under": ["meter"]}
    book = {**PLAYBOOK, "steps": {name: {**steps[name], "tools": tools[name]} for name in steps}}
    catalogue = {"tools": {name: {"name": name.title(), "price": "5"} for name in ("torch", "meter")}}
    root = write_library(tmp_path / "library", {"area/horn": book}, catalogue=catalogue)
    library = read_library(root).library
    assert library is not None
    (tmp_path / "site").mkdir()
    write_site(library, root, tmp_path / "site")
    return tmp_path / "site"


def test_the_page_of_a_tool_has_the_banner_where_the_car_is_raised_to_use_it(site: Path) -> None:
    torch, meter = ((site / "tool" / f"{name}.html").read_text(encoding="utf-8") for name in ("torch", "meter"))
    assert '<section class="banner"' in meter
    assert '<section class="banner"' not in torch


@pytest.mark.parametrize(("language", "told"), [("fr", True), ("de", False), ("en-GB", False)])
def test_the_safety_page_says_where_no_words_of_the_language_are_known(
    tmp_path: Path, write_library: Callable[..., Path], language: str, told: bool
) -> None:
    settings = {"title": "T", "language": language, "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}
    root = write_library(tmp_path / "library", {"area/horn": PLAYBOOK}, settings)
    library = read_library(root).library
    assert library is not None
    (tmp_path / "site").mkdir()
    write_site(library, root, tmp_path / "site")
    safety = (tmp_path / "site/safety.html").read_text(encoding="utf-8")
    assert ("Dangerous words are not looked for" in safety) is told


# -- Large libraries ---------------------------------------------------------------------------------------------------


@pytest.fixture
def many(tmp_path: Path, write_library: Callable[..., Path], monkeypatch: pytest.MonkeyPatch) -> Path:
    """The site of seven playbooks, each with a code and two causes of its own, where lists go on after three."""
    for most in ("MOST_AT_HOME", "MOST_CARDS", "MOST_ROWS"):
        monkeypatch.setattr(lists, most, 3)
    books = {}
    for n in range(7):
        text = json.dumps(PLAYBOOK)
        for cause in ("fuse", "horn"):
            text = text.replace(f'"{cause}": {{"name"', f'"{cause}-{n}": {{"name"')
            text = text.replace(f'["{cause}"]', f'["{cause}-{n}"]').replace(f'"{cause}": "', f'"{cause}-{n}": "')
        books[f"area/horn-{n}"] = json.loads(text.replace("P0230", f"P023{n}"))
    root = write_library(tmp_path / "library", books)
    library = read_library(root).sound
    assert library is not None
    (tmp_path / "site").mkdir()
    write_site(library, root, tmp_path / "site")
    return tmp_path / "site"


@pytest.mark.parametrize(("page", "rows"), [("area/area", 7), ("codes", 7), ("causes", 14)])
def test_long_lists_go_on_over_pages_that_link_to_each_other(many: Path, page: str, rows: int) -> None:
    pages = [f"{page}.html", *(f"{page}/{number}.html" for number in range(2, -(-rows // 3) + 1))]
    shown = 0
    for one in pages:
        text = (many / one).read_text(encoding="utf-8")
        found = text.count('class="row"') + text.count('<tr><th scope="row">')
        assert found <= 3
        shown += found
        assert text.count('aria-current="page"') == 1
        for other in pages:
            assert f'href="{address.relative(other, one)}"' in text
    assert shown == rows
    assert not (many / f"{page}/{len(pages) + 1}.html").exists()


def test_the_home_page_of_a_large_library_begins_with_its_areas(many: Path) -> None:
    home = (many / "index.html").read_text(encoding="utf-8")
    assert 'href="area/area.html"' in home
    assert "7 playbooks" in home
    assert "playbook/horn-0.html" not in home


def test_what_many_playbooks_use_says_how_many_more_there_are(many: Path) -> None:
    lifting = (many / "hazard/lifting.html").read_text(encoding="utf-8")
    assert lifting.count('class="row"') == 3
    assert "And 4 more" in lifting
