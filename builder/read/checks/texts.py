"""Texts of every file: nothing in them is lost, hidden, or passes for a warning of the site."""

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, get_args, get_origin

from builder.read.catalogue import RECORDS, CatalogueFiles, SettingsFile
from builder.read.checks.imitation import imitations
from builder.read.checks.lost import lost_text
from builder.read.fields import bare, is_record
from builder.read.findings import Finding
from builder.read.nodes import Node
from builder.read.records import Playbook, Settings
from builder.read.source import Source
from builder.read.texts import prose_of


def text_findings(kind: Any, node: Node, source: Source) -> Iterator[Finding]:
    """What is wrong with the texts of a record of a type, as its file has them."""
    for prose in prose_of(kind, node):
        yield from lost_text(prose, source, field_names())
        yield from imitations(prose, source)


def library_texts(settings: SettingsFile, files: CatalogueFiles) -> Iterator[Finding]:
    """What is wrong with the texts of settings and catalogue."""
    yield from text_findings(Settings, settings.node, settings.source)
    for (kind, name), node in files.nodes.items():
        yield from text_findings(RECORDS[kind], node, files.places[kind, name][0])


@lru_cache(maxsize=1)
def field_names() -> frozenset[str]:
    """The names of all fields that the format knows."""
    names: set[str] = set()
    kinds: list[Any] = [Playbook, Settings, *RECORDS.values()]
    for kind in kinds:
        for name, field in kind.model_fields.items() if is_record(kind) else ():
            names.add(name)
            inner = bare(field.annotation)
            while get_origin(inner) in (dict, tuple):
                inner = bare(get_args(inner)[-1 if get_origin(inner) is dict else 0])
            if is_record(inner) and inner not in kinds:
                kinds.append(inner)
    return frozenset(names)
