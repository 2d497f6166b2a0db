"""Texts: the values of a file that people will read, by what the record types say of their fields."""

from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Final, NamedTuple, Union, get_args, get_origin

from pydantic import WithJsonSchema

from builder.read.fields import is_record
from builder.read.nodes import Node

MARKDOWN: Final = frozenset({"do"})
"""Fields whose text is Markdown."""

READ: Final = ("text", "prose", "area")
"""Notations of what people read; an area may be nothing but its title."""


class Prose(NamedTuple):
    """A text that people read, as it stands in the file, and whether it is Markdown."""

    node: Node
    markdown: bool


def prose_of(kind: Any, node: Node, field: str = "") -> Iterator[Prose]:
    """Every text within a node of a type, in the order of the file; what had a finding of its own is passed over."""
    kind, notation = _told(kind)
    if not node.sound:
        return
    if node.kind == "text":
        if notation in READ:
            yield Prose(node, field in MARKDOWN)
    elif node.kind == "list":
        for item in node.items if get_origin(kind) is tuple else ():
            yield from prose_of(get_args(kind)[0], item, field)
    else:
        for name, value in node.entries.items():
            if is_record(kind) and name in kind.model_fields:
                described = kind.model_fields[name]
                yield from prose_of(Annotated[described.annotation, *described.metadata, None], value, name)
            elif get_origin(kind) is dict:
                yield from prose_of(get_args(kind)[1], value, name)


def _told(annotation: Any) -> tuple[Any, str]:
    """A type without what is said about it and without ``None``, and the notation that is said of it."""
    notation = ""
    while True:
        if get_origin(annotation) is Annotated:
            annotation, *said = get_args(annotation)
            told = (one.json_schema for one in said if isinstance(one, WithJsonSchema) and one.json_schema)
            notation = next((str(one["notation"]) for one in told if "notation" in one), notation)
        elif get_origin(annotation) in (Union, UnionType):
            annotation = next(part for part in get_args(annotation) if part is not type(None))
        else:
            return annotation, notation
