"""The fields in which two records differ, whatever order, spacing and notation they were written in."""

from collections.abc import Iterator, Mapping
from typing import Any, Final, Literal, NamedTuple

from pydantic import BaseModel

from builder.read.library import LibraryRead
from builder.read.prose import shown
from builder.read.records import Playbook

UNORDERED: Final = frozenset(
    {"tools", "access", "hazards", "settles", "codes", "vehicles", "conditions", "words", "was"}
)
"""Lists whose order says nothing."""

KINDS: Final = {"tool": "tools", "part": "parts", "access job": "access", "check": "checks", "code": "codes"}
"""What entries of the catalogue are called, and where they stand in it."""


class Difference(NamedTuple):
    """Something of a playbook, or of the catalogue and the settings, that came, left or changed in these fields."""

    kind: str
    name: str
    how: Literal["added", "removed", "changed"]
    fields: tuple[str, ...] = ()


def differences_of(old: Playbook, new: Playbook) -> Iterator[Difference]:
    """Changes of a playbook: of itself, then of its causes, steps and endings."""
    if whole := tuple(_fields(old, new, "slug", "causes", "steps", "endings")):
        yield Difference("playbook", "", "changed", whole)
    yield from _entries("cause", old.causes, new.causes)
    yield from _entries("step", old.steps, new.steps)
    yield from _entries("ending", old.endings, new.endings)


def base_differences(old: LibraryRead, new: LibraryRead) -> Iterator[Difference]:
    """Changes of settings and catalogue; those of hazards are losses and gains."""
    if not old.library or not new.library:
        return
    if fields := tuple(_fields(old.library.settings, new.library.settings)):
        yield Difference("settings", "", "changed", fields)
    for kind in KINDS:
        skip = ("hazards",) if kind == "access job" else ()
        yield from _entries(kind, entries(old, kind), entries(new, kind), *skip)


def entries(side: LibraryRead, kind: str) -> Mapping[str, Any]:
    """The entries of a kind of the catalogue, by name."""
    found: Mapping[str, Any] = getattr(side.catalogue, KINDS[kind])
    return found


def _entries(kind: str, old: Mapping[str, Any], new: Mapping[str, Any], *skip: str) -> Iterator[Difference]:
    """Entries that came, left or changed, in the order of the files."""
    for name in new:
        if name not in old:
            yield Difference(kind, name, "added")
        elif fields := tuple(_fields(old[name], new[name], *skip)):
            yield Difference(kind, name, "changed", fields)
    for name in old:
        if name not in new:
            yield Difference(kind, name, "removed")


def _fields(old: BaseModel, new: BaseModel, *skip: str) -> Iterator[str]:
    """Fields in which two records differ, results of a step one by one (``results.open.chance``)."""
    for field in type(new).model_fields:
        before, after = getattr(old, field), getattr(new, field)
        if field in skip or plain(field, before) == plain(field, after):
            continue
        if field != "results":
            yield field
            continue
        for difference in _entries("", before, after):
            inner = difference.fields or (difference.how,)
            yield from (f"results.{difference.name}.{name}" for name in inner)


def plain(field: str, value: Any) -> Any:
    """A value without what says nothing: white space, order of names, ways of writing the same amount.

    In Markdown white space can say something, so that two texts are the same if pages show them alike.
    """
    if isinstance(value, BaseModel):
        return {name: plain(name, getattr(value, name)) for name in type(value).model_fields}
    if isinstance(value, str):
        return shown(value) if field == "do" else " ".join(value.split())
    if isinstance(value, Mapping):
        return {key: plain("", item) for key, item in value.items()}
    if type(value) is tuple:
        items = [plain("", item) for item in value]
        return sorted(items) if field in UNORDERED else items
    return value
