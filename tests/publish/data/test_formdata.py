"""What the form is filled from: all that a playbook may name, in the language of the site."""

from pathlib import Path
from typing import Any

import pytest

from builder.draw.figures import figures_of
from builder.publish.data.formdata import form_data
from builder.publish.pages.pages import Pages
from builder.read.catalogue import CatalogueFiles
from builder.read.folder import Folder
from builder.read.records import Library
from tests.demo import demo_library

ROOT = Path(__file__).resolve().parents[3] / "playbooks"


@pytest.fixture(scope="module")
def library() -> Library:
    return demo_library()


def data_of(library: Library) -> dict[str, Any]:
    checks = CatalogueFiles(Folder(ROOT, "")).checks
    return form_data(library, Pages(library, figures_of(library.settings), {}), checks)


def test_everything_that_a_playbook_may_name_is_there(library: Library) -> None:
    data, catalogue = data_of(library), library.catalogue
    for kind in ("tools", "parts", "access", "hazards", "checks"):
        assert data[kind].keys() == getattr(catalogue, kind).keys()
    assert data["areas"].keys() == library.settings.areas.keys()
    assert data["playbooks"].keys() == library.playbooks.keys()
    assert all(slug in data["taken"] for slug in library.playbooks)


def test_a_usual_tool_costs_nothing(library: Library) -> None:
    data = data_of(library)
    for name, tool in library.catalogue.tools.items():
        assert tuple(data["tools"][name]["price"]) == ((0, 0, 0) if tool.usual else tuple(tool.price))


def test_panels_are_as_the_guard_wants_them(library: Library) -> None:
    data = data_of(library)
    assert [name for name, hazard in data["hazards"].items() if hazard["banner"]] == ["timing", "lifting"]
    assert all('class="signal-panel' in hazard["html"] for hazard in data["hazards"].values())


def test_words_are_in_the_language_of_the_site(library: Library) -> None:
    settings = library.settings.model_copy(update={"language": "de"})
    data = data_of(library.model_copy(update={"settings": settings}))
    labels = {field["name"]: field["label"] for field in data["records"]["Step"]}
    assert labels["title"] == "Was zu tun ist, in wenigen Worten"
    assert data["options"]["shop"] == "nur eine Werkstatt"
    assert "Prozentzahl" in data["notations"]["percent"]["says"]
