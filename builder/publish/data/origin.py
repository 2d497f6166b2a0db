"""The origin of a playbook: the text of its file with the places in it, so that a form changes only what it must.

Comments and layout are in the text alone. A browser that knows where each key and value stands can write a changed
playbook without a reader of YAML of its own.
"""

from bisect import bisect_left
from collections.abc import Callable
from pathlib import Path
from typing import Any

from builder.publish.data.model import data_file, short_hash
from builder.read.nodes import Node, parse_nodes
from builder.read.records import Playbook
from builder.read.source import Source, read_source


def origin_file(root: Path, playbook: Playbook) -> str | None:
    """The data file of a playbook's origin; ``None`` where its file is not there any more, or is no playbook."""
    path = root / playbook.path
    source = read_source(path, playbook.path, root)[0] if path.is_file() else None
    origin = origin_of(source) if source else None
    return data_file("origin", playbook.slug, {"path": playbook.path, **origin}) if origin else None


def origin_of(source: Source) -> dict[str, Any] | None:
    """A text and its tree, ready for JSON; ``None`` where it holds no mapping.

    A mapping is ``[start, end, [[key, key's start, node], …], is written in braces]``, a list ``[start, end, [node,
    …]]`` and a text ``[start, end, value]``, without its value where that is what stands in the file. Places count
    UTF-16 units, as browsers do.
    """
    text = source.text.replace("\r\n", "\n").replace("\r", "\n")
    node, _ = parse_nodes(Source(source.name, text))
    if node is None or node.kind != "mapping":
        return None
    wide = [place for place, character in enumerate(text) if ord(character) > 0xFFFF]
    tree = _tree(node, text, lambda place: place + bisect_left(wide, place))
    return {"text": text, "tree": tree, "hash": short_hash(text)}


def _tree(node: Node, text: str, at: Callable[[int], int]) -> list[Any]:
    place: list[Any] = [at(node.start), at(node.end)]
    if node.kind == "text":
        return place if text[node.start : node.end] == node.text else [*place, node.text]
    if node.kind == "list":
        return [*place, [_tree(item, text, at) for item in node.items]]
    entries = [[key, at(node.keys[key].start), _tree(entry, text, at)] for key, entry in node.entries.items()]
    return [*place, entries, int(text[node.start : node.start + 1] == "{")]
