"""Nodes: strict YAML as a tree of text, lists and mappings that know their places.

Built from PyYAML's event stream, so that nothing is ever constructed from a tag and no alias is followed.
Every scalar stays text: ``no``, ``1:30``, ``010`` and ``1e3`` mean just these characters.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final, Literal

import yaml

from builder.read import limits
from builder.read.findings import Finding
from builder.read.likely import Stop, likely_cause
from builder.read.source import Source, blank, unwanted_in

MAX_DEPTH: Final = 40

Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

Location = tuple[str | int, ...]


@dataclass(slots=True)
class Node:
    """Text, list or mapping. ``line`` and ``column`` count from 1; ``start`` and ``end`` are offsets in the source.

    ``sound`` says that the value itself had no finding. ``lost`` are the keys of entries (in a list, their numbers)
    that had one: they stand in the file and not, or not whole, in the record. ``missing`` are keys that must be
    there and are not.
    """

    kind: Literal["text", "list", "mapping"]
    line: int
    column: int
    start: int
    end: int
    text: str = ""
    items: list["Node"] = field(default_factory=list)
    entries: dict[str, "Node"] = field(default_factory=dict)
    keys: dict[str, "Node"] = field(default_factory=dict)
    sound: bool = True
    lost: set[str | int] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)

    def plain(self) -> Any:
        """The same as plain ``str``, ``list`` and ``dict``."""
        if self.kind == "text":
            return self.text
        if self.kind == "list":
            return [item.plain() for item in self.items]
        return {key: node.plain() for key, node in self.entries.items()}

    def child(self, name: str | int) -> "Node | None":
        """The entry of a name, or the item of a number; ``None`` where there is none."""
        if self.kind == "mapping":
            return self.entries.get(str(name))
        if self.kind == "list" and isinstance(name, int) and name < len(self.items):
            return self.items[name]
        return None

    @property
    def is_torn(self) -> bool:
        """Whether something in it, however deep, is lost."""
        return bool(self.lost) or any(node.is_torn for node in (*self.items, *self.entries.values()))

    def is_lost(self, location: Location) -> bool:
        """Whether what is at a location, or something that it stands in, had a finding or is missing."""
        node = self
        for name in location:
            if not node.sound or name in node.lost or name in node.missing:
                return True
            child = node.child(name)
            if child is None:
                return False
            node = child
        return not node.sound

    def has_lost(self, location: Location) -> bool:
        """Whether an entry of what is at a location had a finding or is missing, or all of it."""
        return self.is_lost(location) or bool(self.at(location).lost)

    def names(self, location: Location) -> Iterator[tuple[Location, str]]:
        """The names at a location, each with its own: items of a list, keys of a mapping, or a single text.

        What had a finding is passed over.
        """
        node = None if self.is_lost(location) else self.exactly(location)
        if node and node.kind == "text":
            yield location, node.text
        elif node:
            texts = node.entries if node.kind == "mapping" else [item.text for item in node.items]
            for number, name in enumerate(texts):
                key = name if node.kind == "mapping" else number
                if key not in node.lost:
                    yield (*location, key), name

    def where(self, location: Location) -> Location:
        """Where the file has what is at a location of the record, in whose lists lost items do not count."""
        *parents, last = location
        node = self.exactly(parents)
        if node is None or node.kind != "list":
            return location
        kept = [number for number in range(len(node.items)) if number not in node.lost]
        return (*parents, kept[int(last)])

    def exactly(self, location: Iterable[str | int]) -> "Node | None":
        """The node at a location; ``None`` where the file says nothing there."""
        node: Node | None = self
        for name in location:
            node = node.child(name) if node else None
        return node

    def at(self, location: Iterable[str | int]) -> "Node":
        """The node at a location, or the last one on the way there."""
        node = self
        for name in location:
            child = node.child(name)
            if child is None:
                break
            node = child
        return node

    def key_at(self, location: Location) -> "Node":
        """The key that names a location in its mapping; the node itself where it has no key."""
        *parents, last = location
        return self.at(parents).keys.get(str(last)) or self.at(location)


class TooMuchError(Exception):
    """A file has so many values that the rest of it is not read."""


class _Tree:
    """Collects events into one tree of nodes and the findings on the way."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.findings: list[Finding] = []
        self.root: Node | None = None
        self.open: list[tuple[Node, Node | None]] = []  # collections being filled, each with a key that waits
        self.skip = 0  # depth below the deepest allowed collection
        self.documents = 0
        self.values = 0

    def report(self, mark: Any, rule: str, message: str, hint: str) -> None:
        self.findings.append(self.source.finding(mark.line + 1, mark.column + 1, rule, message, hint))

    def take(self, event: Any) -> None:
        """One event more.

        Raises:
            TooMuchError: the values are more than a file may have.
        """
        if isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents == 2:
                self.report(
                    event.start_mark, "many-documents", "a second document starts here", "one file, one document"
                )
        elif self.documents > 1:
            return
        elif isinstance(event, yaml.CollectionEndEvent):
            self._close(event)
        elif isinstance(event, yaml.AliasEvent):
            self.report(
                event.start_mark,
                "alias",
                f"alias `*{event.anchor}`",
                "write the value out, or put the text into quotes",
            )
            if not self.skip:
                self._add(_node("text", event, sound=False))
        elif isinstance(event, yaml.NodeEvent):
            self._start(event)

    def _start(self, event: Any) -> None:
        self.values += 1
        if self.values > limits.VALUES.most:
            hint = f"split the file; {limits.VALUES.hint}"
            self.report(event.start_mark, "too-many", "the file has more values than this", hint)
            raise TooMuchError
        if event.anchor is not None:
            self.report(event.start_mark, "anchor", f"anchor `&{event.anchor}`", "remove it; write values out")
        if event.tag is not None:
            self.report(event.start_mark, "tag", f"tag `{event.tag}`", "remove it; every value is text")
        if isinstance(event, yaml.ScalarEvent):
            if not self.skip:
                self._add(_node("text", event, self._clean(event)))
            return
        if self.skip or len(self.open) >= MAX_DEPTH:
            if not self.skip:
                self.report(
                    event.start_mark, "too-deep", f"nested deeper than {MAX_DEPTH}", "a playbook needs far less"
                )
                self._add(_node("text", event, sound=False))
            self.skip += 1
            return
        node = _node("list" if isinstance(event, yaml.SequenceStartEvent) else "mapping", event)
        self._add(node)
        self.open.append((node, None))

    def _clean(self, event: Any) -> str:
        """The value of a scalar; what an escape such as ``\\u202E`` brought into it is reported and taken out."""
        for _, rule, message, hint in unwanted_in(event.value) if event.style == '"' else ():
            self.report(event.start_mark, rule, f"{message}, written as an escape", hint)
        return blank(event.value) if event.style == '"' else str(event.value)

    def _close(self, event: Any) -> None:
        if self.skip:
            self.skip -= 1
            return
        node, _ = self.open.pop()
        node.end = event.end_mark.index

    def _add(self, node: Node) -> None:
        if not self.open:
            self.root = node
            return
        parent, key = self.open[-1]
        if parent.kind == "list":
            parent.items.append(node)
        elif key is None:
            self.open[-1] = (parent, node)
        else:
            self.open[-1] = (parent, None)
            self._enter(parent, key, node)

    def _enter(self, parent: Node, key: Node, node: Node) -> None:
        place = (key.line, key.column)
        if not key.sound:
            parent.lost.add(key.text)
        elif key.kind != "text":
            parent.lost.add(key.text)
            self.findings.append(
                self.source.finding(*place, "odd-key", "a key must be plain text", "write `name: value`")
            )
        elif key.text in parent.entries:
            first = parent.keys[key.text]
            parent.lost.add(key.text)
            self.findings.append(
                self.source.finding(
                    *place,
                    "duplicate-key",
                    f"`{key.text}` stands twice; first on line {first.line}",
                    "keep one of the two",
                )
            )
        else:
            parent.keys[key.text] = key
            parent.entries[key.text] = node
            if not node.sound:
                parent.lost.add(key.text)


def _node(kind: Literal["text", "list", "mapping"], event: Any, text: str = "", *, sound: bool = True) -> Node:
    mark = event.start_mark
    return Node(kind, mark.line + 1, mark.column + 1, mark.index, event.end_mark.index, text, sound=sound)


def parse_nodes(source: Source) -> tuple[Node | None, list[Finding]]:
    """The tree of a source and its findings; no tree where the text is not YAML or holds nothing."""
    tree = _Tree(source)
    try:
        for event in yaml.parse(source.text, Loader=Loader):
            tree.take(event)
    except yaml.MarkedYAMLError as error:
        return None, _not_yaml(error, source, tree.findings)
    except TooMuchError:
        return None, tree.findings
    except (yaml.YAMLError, RecursionError) as error:
        return None, [*tree.findings, source.finding(1, 1, "syntax", f"not YAML: {error}", "check this file")]
    if tree.root is None:
        tree.findings.append(source.finding(1, 1, "empty-file", "the file is empty", "fill it in or delete it"))
    return tree.root, tree.findings


def _not_yaml(error: Any, source: Source, findings: list[Finding]) -> list[Finding]:
    """The findings of a text that the parser cannot read: its likely cause, else what the parser says.

    What was found on the line of the cause is the same slip; and where a tab stood, its own finding is enough.
    """
    mark = error.problem_mark or error.context_mark
    # Where the text ends too early, the parser's mark may be on a line behind the last.
    line, column = source.place(min(mark.index, len(source.text))) if mark else (1, 1)
    if not source.tabs.isdisjoint((line, line - 1)):
        return findings
    message = " ".join(part for part in (error.context, error.problem) if part)
    since = error.context_mark.line + 1 if error.context_mark else line
    if cause := likely_cause(source, Stop(line, column, since, message)):
        found = source.finding(cause.line, cause.column, "syntax", cause.message, cause.hint)
    else:
        hint = "check the indentation, quotes and colons here; quote text that holds `: ` or ` #`"
        found = source.finding(line, column, "syntax", f"not YAML: {message}", hint)
    return [*(one for one in findings if one.line != found.line), found]
