"""A playbook's text in another order: only the values of `start` and `next` change, every other character stays."""

from collections.abc import Iterator, Mapping
from typing import Final

from builder.read.nodes import Location, Node, parse_nodes
from builder.read.source import Source

MARK: Final = "\ufeff"
"""The byte order mark, with which some editors begin a file."""

QUOTES: Final = "\"'"

Ways = Mapping[str, Mapping[str, object]]
"""Where each result of each step leads; what is no name (another playbook) stays as it is written."""


class RewriteError(ValueError):
    """The text is written in a way in which its order cannot be changed in place."""


def rewritten(text: str, start: str, ways: Ways) -> str:
    """A playbook's text that begins with another step and whose results lead elsewhere.

    Raises:
        RewriteError: a name is not written plainly, or the text is no playbook with a start and ways.
    """
    if text.startswith(MARK):
        return MARK + rewritten(text.removeprefix(MARK), start, ways)
    root = _root(text)
    wanted = dict(_wanted(start, ways))
    spots = []
    for location, name in wanted.items():
        node = root.exactly(location)
        if node is None or node.kind != "text":
            raise RewriteError(f"there is no name at {_shown(location)}")
        if node.text != name:
            spots.append((node.start, node.end, _token(text, node, name)))
    changed = text
    for begin, end, token in sorted(spots, reverse=True):
        changed = changed[:begin] + token + changed[end:]
    again = _root(changed)
    if any(_text_at(again, location) != name for location, name in wanted.items()):
        raise RewriteError("the file is written in a way in which its order cannot be changed in place")
    return changed


def _root(text: str) -> Node:
    root, findings = parse_nodes(Source("playbook", text))
    if root is None or findings:
        raise RewriteError("the text is not plain YAML")
    return root


def _wanted(start: str, ways: Ways) -> Iterator[tuple[Location, str]]:
    yield ("start",), start
    for step, way in ways.items():
        for result, target in way.items():
            if isinstance(target, str):
                yield ("steps", step, "results", result, "next"), target


def _token(text: str, node: Node, name: str) -> str:
    """A name in place of another, in the quotes that stood around that."""
    old = text[node.start : node.end]
    if old == node.text:
        return name
    if old[:1] in QUOTES and old == f"{old[0]}{node.text}{old[0]}":
        return f"{old[0]}{name}{old[0]}"
    raise RewriteError(f"`{node.text}` on line {node.line} is not written plainly; write it on one line")


def _text_at(root: Node, location: Location) -> str | None:
    node = root.exactly(location)
    return node.text if node else None


def _shown(location: Location) -> str:
    return ".".join(map(str, location))
