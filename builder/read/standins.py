"""Stand-ins: what holds the place of lost values while the rest of a record is read. Only :mod:`shape` uses them.

While a record is validated, text that passes for any such value stands there. Afterwards it is taken out again: items
of lists go, and a required text or section is left empty, which no file can say, for an empty one is a finding. So
nobody can take it for something that was read. Amounts and chances are 0, and a currency is ISO 4217's code for none.
"""

from collections.abc import Collection
from fractions import Fraction
from typing import Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel

from builder.read.fields import bare, is_record, type_at
from builder.read.nodes import Location
from builder.read.notation import Amount

ANY: Final = "x"
"""Passes for a text, a name and a code."""

BY_TYPE: Final[dict[Any, str]] = {str: ANY, Amount: "0", float: "0", Fraction: "0%"}
BY_NAME: Final = {"currency": "XXX"}


def stand_in(kind: Any, location: Location) -> Any:
    """Plain text, or mappings of it, that pass for what is required at a location of a record."""
    return BY_NAME.get(str(location[-1])) or _passing(type_at(kind, location))


def _passing(kind: Any) -> Any:
    if is_record(kind):
        required = {name: field for name, field in kind.model_fields.items() if field.is_required()}
        return {name: BY_NAME.get(name) or _passing(bare(field.annotation)) for name, field in required.items()}
    if get_origin(kind) is dict:
        return {ANY: _passing(bare(get_args(kind)[1]))}
    if get_origin(kind) is Literal:
        return get_args(kind)[0]
    return BY_TYPE[kind]


def without(record: Any, places: Collection[Location]) -> Any:
    """A record without the stand-ins at these places."""
    ways = {place[:depth] for place in places for depth in range(len(place) + 1)}
    return _without(record, places, ways, ()) if places else record


def _without(value: Any, places: Collection[Location], ways: Collection[Location], here: Location) -> Any:
    if here in places or here not in ways:
        return _emptied(value) if here in places else value
    if type(value) is tuple:
        inner = enumerate(value)
        return tuple(_without(one, places, ways, (*here, i)) for i, one in inner if (*here, i) not in places)
    if isinstance(value, dict):
        return {key: _without(one, places, ways, (*here, key)) for key, one in value.items()}
    if not isinstance(value, BaseModel):
        return value
    names = [name for name in type(value).model_fields if (*here, name) in ways]
    return value.model_copy(
        update={name: _without(getattr(value, name), places, ways, (*here, name)) for name in names}
    )


def _emptied(value: Any) -> Any:
    """What is left of a stand-in."""
    if isinstance(value, dict):
        return {}
    if is_record(type(value)):
        fields = type(value).model_fields.items()
        return value.model_copy(
            update={name: _emptied(getattr(value, name)) for name, field in fields if field.is_required()}
        )
    return "" if value == ANY else value
