"""Torn texts: what a comma within braces cut in two, put together again with a finding."""

import json
import re
from collections.abc import Iterator
from typing import Any, Final

from builder.read.fields import type_at
from builder.read.findings import Finding
from builder.read.nodes import Location, Node
from builder.read.source import Source

_DECIMAL: Final = re.compile(r"(?<=[0-9]),(?=[0-9])")


def rejoined(kind: Any, node: Node, source: Source, at: Location = ()) -> Iterator[Finding]:
    """A finding for every text of a record's tree that lost its tail to a comma; the tree then has it whole.

    Where the record wants no text, the notation has its own finding for a comma.
    """
    for name in list(node.entries) if node.kind == "mapping" else ():
        value = node.entries.get(name)
        if value is not None and value.kind == "text" and value.text and (tail := _tail(node, name)):
            finding = _rejoin(node, name, tail, source)
            if type_at(kind, (*at, name)) is str:
                yield finding
    inner: list[tuple[str | int, Node]] = [*enumerate(node.items), *node.entries.items()]
    for key, one in inner:
        yield from rejoined(kind, one, source, (*at, key))


def _tail(node: Node, name: str) -> list[str]:
    """Keys behind an entry that have neither colon nor value: they are no keys, but what follows a comma."""
    names = list(node.entries)
    tail = []
    for further in names[names.index(name) + 1 :]:
        key, value = node.keys[further], node.entries[further]
        if value.kind != "text" or value.text or value.start > key.end:
            break
        tail.append(further)
    return tail


def _rejoin(node: Node, name: str, tail: list[str], source: Source) -> Finding:
    value, last, first = node.entries[name], node.keys[tail[-1]], node.keys[tail[0]]
    written = " ".join(source.text[value.start : last.end].split())
    for further in tail:
        del node.entries[further], node.keys[further]
    value.text, whole = written, value.text
    value.end = last.end
    if first.start == value.start + len(whole) + 1 and _DECIMAL.search(written):
        message = f"`{name}`: `{written}` has a comma where a decimal point belongs"
        hint = f"write `{_DECIMAL.sub('.', written)}`"
        return source.finding(value.line, value.column, "torn-text", message, hint)
    message = f"`{name}`: the comma behind `{_last_words(written.split(',')[0])}` ends the text"
    hint = f"write `{name}: {json.dumps(written, ensure_ascii=False)}`"
    return source.finding(first.line, first.column, "torn-text", message, hint)


def _last_words(text: str) -> str:
    return " ".join(text.split()[-3:])
