"""Mends: what to write where a value has the wrong shape, is empty, or was torn apart by the notation of YAML."""

import difflib
import json
import re
from collections.abc import Collection, Iterable, Mapping
from typing import Any, Final

from pydantic.fields import FieldInfo

from builder.read.fields import bare, is_record, type_at
from builder.read.findings import in_ticks, near_miss, nearest
from builder.read.nodes import Location, Node
from builder.read.notation import as_name
from builder.read.records.values import Names

EMPTY: Final = frozenset({"", "~", "null", "Null", "NULL"})
"""What people write who leave a value out; of texts only the first."""

SHOWN: Final = 70
"""Longest example that a hint shows, in characters."""

_MARKS: Final = re.compile(r"[\[\]{},]|^[&*#?|<>=!%@`\"':-]|: |:$| #")
"""What a text may not hold as it stands in a list or a mapping on one line."""

NEEDED: Final = frozenset({"start", "next"})
"""Keys that only a playbook whose order is worked out leaves out."""

LISTED: Final = frozenset({"parts", "after"})
"""Mappings that may be written as a list of their names, which most are."""

LINES: Final[Mapping[str, str]] = {
    "tools": "price: …",
    "parts": "price: …",
    "access": "open: …, close: …",
    "hazards": "signal: …, harm: …, avoid: …",
    "checks": "title: …, results: {…}",
}
"""What an entry of the catalogue needs beside its name, by its kind."""


def quoted(text: str) -> str:
    """A text as it may stand anywhere in YAML, in quotes only where it needs them."""
    if text and text == text.strip() and not _MARKS.search(text):
        return text
    return (
        json.dumps(text, ensure_ascii=False)
        if "\\" not in text or '"' not in text
        else "'{}'".format(text.replace("'", "''"))
    )


def inline(value: Any) -> str:
    """A value in plain Python as YAML on one line."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {inline(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(inline(one) for one in value) + "]"
    return str(value).lower() if isinstance(value, bool) else quoted(str(value))


def _field(kind: Any, location: Location) -> FieldInfo | None:
    record = type_at(kind, location[:-1])
    return record.model_fields.get(str(location[-1])) if is_record(record) else None


def _example(kind: Any, location: Location) -> str:
    """What stands as an example at a location of a record; empty where there is none that is short."""
    field = _field(kind, location)
    shown = inline(field.examples[0]) if field and field.examples else ""
    return shown if len(shown) <= SHOWN else ""


def filled(kind: Any, location: Location) -> str:
    """What to do about a value that is empty."""
    if isinstance(location[-1], int):
        return "fill it in, or delete it"
    example = _example(kind, location)
    field = _field(kind, location)
    if field and not field.is_required() and location[-1] not in NEEDED:
        return (
            f"leave the key out, or fill it in, such as `{example}`" if example else "fill it in, or leave the key out"
        )
    return f"fill it in, such as `{example}`" if example else "fill it in"


def listed(kind: Any, location: Location, node: Node) -> str:
    """What a list is written as that has only text, or a mapping, in its place."""
    field = _field(kind, location)
    names = location[-1] in LISTED or bool(field and bare(field.annotation) == bare(Names))
    text = node.text.strip()
    parts = re.split(r"(?:^|\s)-", text) if text.startswith("-") else re.split(r"[,;]\s*", text.strip(",;[]"))
    items = list(node.entries) if node.kind == "mapping" else [part.strip() for part in parts]
    items = [as_name(item) if names and as_name(item) else quoted(item) for item in items if item]
    return "write `[" + ", ".join(items) + "]`"


def mapped(kind: Any, location: Location, node: Node) -> str:
    """What a mapping is written as that has text or a list in its place."""
    if node.kind == "list":
        return "write a name of your choice and a colon in place of each `-`"
    example = _example(kind, location)
    return (
        f"write `name: value` lines below it, or such as `{example}`"
        if example
        else "write `name: value` lines below it"
    )


def chosen(text: str, choices: Collection[str]) -> str:
    """What to write where one of a few words belongs."""
    near = difflib.get_close_matches(as_name(text), choices, n=1, cutoff=0.75)
    return "write " + " or ".join(f"`{choice}`" for choice in near or choices)


def line_to_add(kind: str, name: str) -> str:
    """The line that a catalogue lacks, and its file."""
    words = as_name(name).replace("-", " ")
    said = words[:1].upper() + words[1:]
    return f"add to catalogue/{kind}.yaml: `{name}: {{name: {said}, {LINES[kind]}}}`"


def known_or_new(kind: str, name: str, known: Iterable[str]) -> str:
    """What to do about a name that the catalogue does not have: the name that is near, else the line to add."""
    near = nearest(name, known)
    return f"did you mean `{near}`?" if near else line_to_add(kind, name)


def unknown_key(name: str, known: Collection[str]) -> tuple[str, str]:
    """Message and hint for a key that the format does not know."""
    head, colon, rest = name.partition(":")
    if colon and rest and as_name(head) in known:
        return f"`{name}` has no space after the colon", f"write `{as_name(head)}: {quoted(rest.strip())}`"
    return f"unknown key `{name}`", near_miss(name, known) or f"delete it; known here: {in_ticks(sorted(known))}"
