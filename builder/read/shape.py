"""Shape: a tree of nodes as a record, every mismatch a finding in our words at its place.

What is wrong is taken out and the rest is tried again, so that one mistake does not hide the others.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any, Final, TypeVar

from pydantic import BaseModel, ValidationError

from builder.read import limits
from builder.read.common import Plain
from builder.read.fields import is_record, type_at
from builder.read.findings import Finding, nearest
from builder.read.limits import Limit
from builder.read.mends import EMPTY, LISTED, chosen, filled, listed, mapped, unknown_key
from builder.read.nodes import Location, Node
from builder.read.source import Source
from builder.read.standins import ANY, stand_in, without
from builder.read.torn import rejoined

R = TypeVar("R", bound=BaseModel)

BY_NAME: Final[Mapping[str, Limit]] = {
    "areas": limits.AREAS,
    "causes": limits.CAUSES,
    "codes": limits.CODES,
    "endings": limits.ENDINGS,
    "results": limits.RESULTS,
    "steps": limits.STEPS,
    "was": limits.WAS,
}
"""Limits of what is in a field of this name; any other has that of a list."""

ROUNDS: Final = 8
RULES: Final = {"notation": "notation", "literal_error": "notation", "too_long": "too-many"}
"""Rules by what pydantic calls a problem, where it is not about the shape."""

MAPPINGS: Final = frozenset({"dict_type", "model_type", "model_attributes_type"})
MOST_TOLD: Final = 4 * limits.FOUND.most
"""Findings after which a file has enough to mend: each costs a look for what was meant."""


def read_record(
    kind: type[R],
    node: Node,
    source: Source,
    extra: Mapping[str, Any] = MappingProxyType({}),
    defaults: Mapping[str, Any] = MappingProxyType({}),
    complete: Callable[[Plain], Plain] = dict,
    excuses: Callable[[Plain, Location], bool] = lambda data, location: False,
) -> tuple[R | None, list[Finding]]:
    """The record that a node holds and the findings.

    ``extra`` are fields that must not come from the file, ``defaults`` fill in what the file leaves out, ``complete``
    puts in what the file takes from elsewhere, and ``excuses`` says what need not be here, since it is said there.

    Where there are findings, the record is partial: it lacks what is at fault, and what it cannot be without is empty
    there; the nodes then call it lost or missing. It is ``None`` where the node is no mapping.
    """
    findings: list[Finding] = []
    if node.kind != "mapping":
        message = "this must be a mapping"
        found = source.finding(node.line, node.column, "shape", message, "write `name: value` lines")
        return None, [found] if node.sound else []
    findings += rejoined(kind, node, source)
    own = node.plain()
    findings += (_unknown(kind, (name,), node.keys[name], source) for name in extra.keys() & own.keys())
    data = {**complete({**defaults, **own}), **extra}
    touched: set[Location] = set()
    made_up: set[Location] = set()
    for _ in range(ROUNDS):
        try:
            return without(kind.model_validate(data), made_up), findings
        except ValidationError as error:
            problems = error.errors(include_url=False, include_input=False)
        misspelt = _misspelt(kind, problems)
        for problem in problems:
            place = _place_of(problem)
            if problem["type"] == "missing" and place in misspelt:
                touched.update(place[:depth] for depth in range(len(place) + 1))
            told = len(findings) >= MOST_TOLD
            if not told and place not in touched and not _is_answered(node, problem, lambda place: excuses(own, place)):
                findings += _finding(kind, problem, node, source)
            _mark(node, problem)
        # Innermost first, so that taking out one entry does not take the place of another.
        for problem in sorted(problems, key=lambda problem: -len(problem["loc"])):
            place = _place_of(problem)
            touched.update(place[:depth] for depth in range(len(place) + 1))
            made_up.update(_take_out(kind, data, place, problem))
    return None, findings


def _is_answered(root: Node, problem: Any, is_excused: Callable[[Location], bool]) -> bool:
    """Whether what is at fault had its finding already, or is said by something that has its own."""
    *parents, last = place = _place_of(problem)
    node = root.exactly(parents)
    child = node.child(last) if node else None
    if problem["type"] == "missing":
        return child is not None or node is None or node.kind != "mapping" or is_excused(place)
    if child:
        return not _culprit(child, problem).sound or not all(item.sound for item in child.items)
    # What no file says at all comes from elsewhere. A name for the next step turns into a mapping on its way here.
    nearest = root.at(parents)
    return nearest.kind == "mapping" or not nearest.sound


def _culprit(node: Node, problem: Any) -> Node:
    """The entry of a node that the notation found to be at fault; the node itself where it named none."""
    return node.child(problem.get("ctx", {}).get("key") or "") or node


def _mark(root: Node, problem: Any) -> None:
    """Notes in the tree what is taken out of the record, or is missing."""
    place = _place_of(problem)
    holder, key, node, depth = root, place[0], root, 0
    while depth < len(place) and (child := node.child(place[depth])):
        holder, key, node, depth = node, place[depth], child, depth + 1
    if depth == len(place) or (depth and node.kind != "mapping"):
        holder.lost.add(key)
    elif problem["type"] == "missing" and depth == len(place) - 1:
        node.missing.add(str(place[-1]))


def _place_of(problem: Any) -> Location:
    """Where a problem is; that of a key is at the entry that it names."""
    location: Location = problem["loc"]
    is_key = problem["type"] != "extra_forbidden" and location[-1:] == ("[key]",)
    return location[:-1] if is_key else location


def _misspelt(kind: type[BaseModel], problems: list[Any]) -> set[Location]:
    """Places of keys that are not missing, since an unknown key of the same mapping is probably meant for them."""
    return {
        (*problem["loc"][:-1], nearest(str(problem["loc"][-1]), _known(kind, problem["loc"])))
        for problem in problems
        if problem["type"] == "extra_forbidden"
    }


def _finding(kind: type[BaseModel], problem: Any, root: Node, source: Source) -> list[Finding]:
    location = _place_of(problem)
    if problem["type"] == "missing":
        return [_missing(location, root, source)]
    if problem["type"] == "extra_forbidden":
        return [_unknown(kind, location, root.key_at(location), source)]
    if location != problem["loc"]:
        place = root.key_at(location)
        context = problem["ctx"]
        return [source.finding(place.line, place.column, context["rule"], context["message"], context["hint"])]
    return [_mismatch(kind, problem, location, root, source)]


def _missing(location: Location, root: Node, source: Source) -> Finding:
    *parents, name = location
    place = root.key_at(tuple(parents)) if parents else root
    where = f" in `{parents[-1]}`" if parents else ""
    return source.finding(place.line, place.column, "missing-key", f"`{name}` is missing{where}", _to_add(str(name)))


def _mismatch(kind: type[BaseModel], problem: Any, location: Location, root: Node, source: Source) -> Finding:
    """A value that is there but not as it must be."""
    what, context = problem["type"], problem.get("ctx", {})
    while len(location) > 1 and root.exactly(location) is None:  # a short form stands for a mapping
        location = location[:-1]
    names = [part for part in location if isinstance(part, str)]
    name = names[-1] if names else "file"
    place = _culprit(root.at(location), problem)
    rule = context.get("rule") or RULES.get(what, "shape")
    message, hint = _said(kind, what, context, location, place)
    if _is_empty(what, place):
        key = context.get("key") or ""
        message = "an entry is empty" if isinstance(location[-1], int) else "is empty"
        hint = filled(kind, location)
        if key:
            message, hint = f"`{key}` is empty", "fill it in, or delete it"
    between = " " if message.startswith(("must", "is empty", "has")) else ": "
    return source.finding(place.line, place.column, rule, f"`{name}`{between}{message}", hint)


def _is_empty(what: str, place: Node) -> bool:
    """Whether a value is at fault because it was left out."""
    return place.kind == "text" and place.text.strip() in (EMPTY if what != "literal_error" else ("",))


def _said(kind: type[BaseModel], what: str, context: Any, location: Location, place: Node) -> tuple[str, str]:
    """What is wrong with a value that is there, and what to write."""
    name = location[-1]
    if what == "notation":
        return context["message"], context["hint"]
    if what == "literal_error":
        choices = re.findall("'([^']*)'", context["expected"])
        return "must be " + context["expected"].replace("'", "`"), chosen(place.text, choices)
    if what in ("too_short", "too_long"):
        return _counted(str(name), place)
    if what == "tuple_type" or (name in LISTED and place.kind == "text"):
        return "must be a list", listed(kind, location, place)
    if what in MAPPINGS:
        return "must be a mapping", mapped(kind, location, place)
    return "must be something else", "see the format"


def _counted(name: str, place: Node) -> tuple[str, str]:
    """What is wrong with how many entries there are."""
    count = len(place.entries) or len(place.items)
    most = BY_NAME.get(name, limits.ENTRIES)
    return (f"has {count} entries", most.hint) if count else ("is empty", "add at least one entry")


def _to_add(name: str) -> str:
    examples = {
        "format": "write `format: 1`",
        "summary": "say in one sentence what the owner notices",
        "expect": "say what one sees when this is the result",
        "next": "name the step or ending that comes next, or `{playbook: slug}`",
        "results": "say what may be seen, and what comes next",
        "start": "name the first step",
    }
    return examples.get(name, f"add `{name}: …`")


def _known(kind: type[BaseModel], location: Location) -> list[str]:
    """Keys that the mapping may have in which a key stands."""
    record = type_at(kind, location[:-1])
    return [field for field in record.model_fields if field not in ("slug", "area")] if is_record(record) else []


def _unknown(kind: type[BaseModel], location: Location, key: Node, source: Source) -> Finding:
    message, hint = unknown_key(str(location[-1]), _known(kind, location))
    return source.finding(key.line, key.column, "unknown-key", message, hint)


def _take_out(kind: type[BaseModel], data: Any, place: Location, problem: Any) -> Iterator[Location]:
    """Takes the value at fault out of the data; gives the place of what stands in for it where one must."""
    depth = 0
    while depth < len(place) - 1 and isinstance(inner := _entry(data, place[depth]), dict | list):
        data, depth = inner, depth + 1
    key, here = place[depth], place[: depth + 1]
    if isinstance(data, list):
        data[int(key)] = ANY
        yield here
    elif problem["type"] == "missing":
        data[key] = stand_in(kind, here)
        yield here
    elif place[:depth] == ("areas",):
        # Its name stays: the playbooks in the folder of that name are read all the same.
        data[key] = {}
    else:
        data.pop(key, None)


def _entry(data: Any, name: str | int) -> Any:
    return data.get(name) if isinstance(data, dict) else data[int(name)]
