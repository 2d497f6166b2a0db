"""Shape: a tree of nodes as a record, every mismatch a finding in our words at its place.

What is wrong is taken out and the rest is tried again, so that one mistake does not hide the others.
"""

from collections.abc import Callable, Iterable, Mapping
from copy import deepcopy
from types import MappingProxyType
from typing import Any, Final, TypeVar

from pydantic import BaseModel, ValidationError

from builder.read.findings import Finding, near_miss
from builder.read.nodes import Location, Node
from builder.read.records import LOST
from builder.read.source import Source

R = TypeVar("R", bound=BaseModel)

ROUNDS: Final = 8
EXPECTED: Final = {
    "tuple_type": ("a list", "write `[one, two]` or one `- item` a line"),
    "dict_type": ("a mapping", "write `name: value` lines below it"),
    "model_type": ("a mapping", "write `name: value` lines below it"),
    "model_attributes_type": ("a mapping", "write `name: value` lines below it"),
    "string_type": ("text", "write one line of text"),
}
# What stands in for a required value that was wrong or missing.
STAND_IN: Final[Mapping[str, Any]] = {
    "format": "1",
    "symptom": {"summary": LOST},
    "next": LOST,
    "results": {LOST: {"expect": LOST, "next": LOST}},
    "steps": {LOST: {"title": LOST, "results": {LOST: {"expect": LOST, "next": LOST}}}},
    "share": "0%",
    "shows": "50%",
    "price": "0",
    "open": "0",
    "close": "0",
    "labour_rate": "0",
    "currency": "EUR",
    "signal": "warning",
    "start": LOST,
}


def read_record(
    kind: type[R],
    node: Node,
    source: Source,
    extra: Mapping[str, Any] = MappingProxyType({}),
    defaults: Mapping[str, Any] = MappingProxyType({}),
    complete: Callable[[dict[str, Any]], dict[str, Any]] = dict,
) -> tuple[R | None, list[Finding]]:
    """The record that a node holds and the findings.

    ``extra`` are fields that must not come from the file, ``defaults`` fill in what the file leaves out, ``complete``
    puts in what the file takes from elsewhere.

    Where there are findings, the record holds stand-ins (:data:`~builder.read.records.LOST`) or lacks the parts
    at fault, which the nodes then call lost; it is ``None`` where too little is left.
    """
    findings: list[Finding] = []
    data: dict[str, Any] = dict(defaults)
    if node.kind == "mapping":
        data |= node.plain()
    elif node.sound:
        message = "this must be a mapping"
        findings.append(source.finding(node.line, node.column, "shape", message, "write `name: value` lines"))
    for name in extra.keys() & data.keys():
        key = node.keys[name]
        findings.append(_unknown(kind, (name,), key, source))
    data = {**complete(data), **extra}
    seen: set[Location] = set()
    for _ in range(ROUNDS):
        try:
            return kind.model_validate(data), findings
        except ValidationError as error:
            problems = error.errors(include_url=False, include_input=False)
        for problem in problems:
            if _place_of(problem) not in seen and not _is_answered(node, problem):
                findings += _finding(kind, problem, node, source)
            _mark_lost(node, problem)
        seen.update(_place_of(problem) for problem in problems)
        # Innermost first, so that taking out one entry does not take the place of another.
        for problem in sorted(problems, key=lambda problem: -len(problem["loc"])):
            _take_out(data, problem)
    return None, findings


def _is_answered(root: Node, problem: Any) -> bool:
    """Whether what is at fault had its finding already: it was taken out, or it is a stand-in."""
    missing = problem["type"] == "missing"
    *parents, last = _place_of(problem)
    node = root.at(parents)
    child = node.child(last) if node is _exactly(root, parents) else None
    if child:
        return missing or not _culprit(child, problem).sound
    if missing:
        return node is not _exactly(root, parents) or node.kind != "mapping"
    # A name for the next step or a list of parts turns into a mapping on its way into the record.
    return node.kind == "mapping" or node is root or not node.sound


def _exactly(root: Node, location: Iterable[str | int]) -> Node | None:
    node: Node | None = root
    for name in location:
        node = node.child(name) if node else None
    return node


def _culprit(node: Node, problem: Any) -> Node:
    """The entry of a node that the notation found to be at fault; the node itself where it named none."""
    return node.child(problem.get("ctx", {}).get("key") or "") or node


def _mark_lost(root: Node, problem: Any) -> None:
    *parents, last = _place_of(problem)
    node = _exactly(root, parents)
    if node and node.kind == "mapping" and str(last) in node.entries:
        node.lost.add(str(last))


def _place_of(problem: Any) -> Location:
    """Where a problem is; that of a key is at the entry that it names."""
    location: Location = problem["loc"]
    is_key = problem["type"] != "extra_forbidden" and location[-1:] == ("[key]",)
    return location[:-1] if is_key else location


def _finding(kind: type[BaseModel], problem: Any, root: Node, source: Source) -> list[Finding]:
    location = _place_of(problem)
    if problem["type"] == "missing":
        return [_missing(location, root, source)]
    if problem["type"] == "extra_forbidden":
        return [_unknown(kind, location, root.key_at(location), source)]
    if location != problem["loc"]:
        place = root.key_at(location)
        context = problem["ctx"]
        return [source.finding(place.line, place.column, "notation", context["message"], context["hint"])]
    return [_mismatch(problem, location, root.at(location), source)]


def _missing(location: Location, root: Node, source: Source) -> Finding:
    *parents, name = location
    place = root.key_at(tuple(parents)) if parents else root
    where = f" in `{parents[-1]}`" if parents else ""
    return source.finding(place.line, place.column, "missing-key", f"`{name}` is missing{where}", _example(str(name)))


def _mismatch(problem: Any, location: Location, place: Node, source: Source) -> Finding:
    """A value that is there but not as it must be."""
    what, context = problem["type"], problem.get("ctx", {})
    names = [part for part in location if isinstance(part, str)]
    name = names[-1] if names else "file"
    if what == "notation":
        place = _culprit(place, problem)
        message, hint = f"`{name}`: {context['message']}", context["hint"]
        return source.finding(place.line, place.column, "notation", message, hint)
    if what == "literal_error":
        expected = context["expected"].replace("'", "`")
        message = f"`{name}` must be {expected}"
        return source.finding(place.line, place.column, "notation", message, f"write one of {expected}")
    if what == "too_short":
        return source.finding(place.line, place.column, "shape", f"`{name}` is empty", "add at least one entry")
    shape, hint = EXPECTED.get(what, ("something else", "see the format"))
    return source.finding(place.line, place.column, "shape", f"`{name}` must be {shape}", hint)


def _example(name: str) -> str:
    examples = {
        "format": "write `format: 1`",
        "summary": "say in one sentence what the owner notices",
        "expect": "say what one sees when this is the result",
        "next": "name the step or ending that comes next, or `{playbook: slug}`",
        "results": "say what may be seen, and what comes next",
        "start": "name the first step",
    }
    return examples.get(name, f"add `{name}: …`")


def _unknown(kind: type[BaseModel], location: Location, key: Node, source: Source) -> Finding:
    known = _fields_at(kind, location[:-1])
    name = str(location[-1])
    return source.finding(key.line, key.column, "unknown-key", f"unknown key `{name}`", near_miss(name, known))


def _fields_at(kind: type[BaseModel], location: Location) -> list[str]:
    """Names of the fields of the record that a location leads to."""
    record: Any = kind
    for name in location:
        field = record.model_fields.get(name) if _is_record(record) else None
        inner = _records_in(field.annotation) if field else _records_in(record) if not _is_record(record) else []
        record = inner[0] if inner else record
        if field and not inner:
            return []
    return [name for name in record.model_fields if name not in ("slug", "area")] if _is_record(record) else []


def _is_record(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def _records_in(annotation: Any) -> list[type[BaseModel]]:
    if _is_record(annotation):
        return [annotation]
    return [record for part in getattr(annotation, "__args__", ()) for record in _records_in(part)]


def _take_out(data: Any, problem: Any) -> None:
    """Take the value at fault out of the data, or put a stand-in for it where it is required."""
    location = _place_of(problem)
    *parents, last = location
    for name in parents:
        try:
            data = data[name]
        except (KeyError, IndexError, TypeError):
            return
    if problem["type"] == "missing" and isinstance(data, dict):
        data[last] = deepcopy(STAND_IN.get(str(last), LOST))
    elif isinstance(data, dict) and location == problem["loc"] and (parents == ["areas"] or "no_hazards" in parents):
        data[last] = LOST
    elif isinstance(data, dict):
        data.pop(last, None)
    elif isinstance(data, list) and isinstance(last, int) and last < len(data):
        data[last] = LOST
