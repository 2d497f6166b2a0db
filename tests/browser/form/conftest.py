"""What the tests of the form share: its scripts in a page, and documents as hypothesis draws them from the schema."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page

READY: Final = "#form[data-ready]"


@pytest.fixture(scope="module")
def scripts(browser: Browser, site_dir: Path) -> Iterator[Page]:
    """A page of the site, opened from its folder, in which the modules of the form can be called."""
    context = browser.new_context()
    page = context.new_page()
    page.goto((site_dir / "form.html").as_uri())
    page.wait_for_selector(READY)
    page.evaluate("async () => { window.filled = await droplight.data.held('data/form.js', 'form'); }")
    yield page
    context.close()


@pytest.fixture(scope="session")
def playbook_files() -> dict[str, Path]:
    """The files of the demo's playbooks by slug."""
    root = Path(__file__).resolve().parents[3] / "playbooks"
    return {path.stem: path for path in sorted(root.glob("*/*.yaml")) if path.parent.name != "catalogue"}


def plain(tree: Any) -> Any:
    """A tree as the browser takes it: mappings as lists of pairs, marked."""
    if isinstance(tree, dict):
        return {"map": [[key, plain(value)] for key, value in tree.items()]}
    return [plain(value) for value in tree] if isinstance(tree, list) else tree


@pytest.fixture(scope="session")
def as_pairs() -> Any:
    return plain
