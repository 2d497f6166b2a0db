"""What the demo's site weighs: an owner takes it along on a phone, and a page is loaded where the signal is poor."""

import re
from pathlib import Path
from typing import Final
from xml.etree import ElementTree as ET

import pytest

from builder.publish.build import Weight

KIB: Final = 1024
OF_THE_SITE: Final = 200 * KIB
"""Bytes a playbook that owners take along: the zip file apart, and what only editors need."""
PAGES: Final = 16
OF_A_PLAYBOOK: Final = 120 * KIB
OF_ANY_PAGE: Final = 300 * KIB
ELEMENTS: Final = 1200

FOR_EDITORS: Final = re.compile(
    r"form\.html|data/form\.js|data/origin/.+|schema/playbook\.json|assets/(write\..+\.js|form\..+\.css)"
)


@pytest.fixture(scope="module")
def files(site_dir: Path) -> dict[str, int]:
    found = {path.relative_to(site_dir).as_posix(): path.stat().st_size for path in site_dir.rglob("*")}
    return {name: size for name, size in found.items() if (site_dir / name).is_file() and name != "site.zip"}


@pytest.fixture(scope="module")
def playbooks(site_dir: Path) -> int:
    return len(list(site_dir.glob("playbook/*.html")))


def test_what_owners_take_along_weighs_at_most_so_much_a_playbook(files: dict[str, int], playbooks: int) -> None:
    taken = {name: size for name, size in files.items() if not FOR_EDITORS.fullmatch(name)}
    assert "assets/write" in "".join(files.keys() - taken)
    assert sum(taken.values()) / playbooks <= OF_THE_SITE


def test_the_site_has_at_most_so_many_pages_a_playbook(files: dict[str, int], playbooks: int) -> None:
    assert len([name for name in files if name.endswith(".html")]) / playbooks <= PAGES


def test_no_page_is_too_large(files: dict[str, int], demo_pages: dict[str, ET.Element]) -> None:
    for name, root in demo_pages.items():
        is_playbook = name.startswith("playbook/")
        assert files[name] <= (OF_A_PLAYBOOK if is_playbook else OF_ANY_PAGE), name
        if is_playbook:
            assert sum(isinstance(element.tag, str) for element in root.iter()) <= ELEMENTS, name


def test_a_build_says_what_the_site_weighs() -> None:
    two = "3 KiB and 16.0 pages a playbook, the largest page 5 KiB; files for editors: 2 KiB a playbook"
    none = "10 KiB and 8.0 pages a playbook, the largest page 5 KiB; files for editors: 4 KiB a playbook"
    assert Weight(32, 3 * 2 * KIB, 5 * KIB, 4 * KIB).per(2) == two
    assert Weight(8, 10 * KIB, 5 * KIB, 4 * KIB).per(0) == none
