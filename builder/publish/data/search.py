"""The search index: what there is to find, as lists; the browser makes the words of it when a search begins."""

from typing import Any

from builder.publish.build import Build
from builder.publish.data.model import data_file
from builder.publish.pages.index import Index
from builder.read.records import Library, Playbook
from builder.reckon.graph import graph_of


def write_search(build: Build) -> None:
    build.write("data/search.js", data_file("search", "", search_data(build.library, build.index)))


def search_data(library: Library, index: Index) -> dict[str, Any]:
    """Playbooks with the titles of their steps in the order of their pages, and all that has a page of its own."""
    catalogue, playbooks = library.catalogue, library.playbooks
    return {
        "books": [_book(playbook) for playbook in playbooks.values()],
        "causes": [[cause, playbooks[slugs[0]].causes[cause].name] for cause, slugs in index.causes.items()],
        "codes": list(index.codes),
        "parts": [[name, part.name] for name, part in catalogue.parts.items()],
        "tools": [[name, tool.name] for name, tool in catalogue.tools.items()],
    }


def _book(playbook: Playbook) -> list[Any]:
    steps = [node.name for node in graph_of(playbook).nodes if node.kind == "step"]
    symptom = playbook.symptom
    titles = [playbook.steps[name].title for name in steps]
    return [playbook.slug, playbook.title, symptom.summary, [*symptom.conditions, *symptom.codes], titles]
