"""Lists: the pages of what playbooks name."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

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
