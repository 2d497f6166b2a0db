"""Fields: the type that a location leads to within a record."""

from types import UnionType
from typing import Annotated, Any, TypeGuard, Union, get_args, get_origin

from pydantic import BaseModel

from builder.read.nodes import Location


def is_record(kind: Any) -> TypeGuard[type[BaseModel]]:
    """Whether a type is that of a record."""
    return isinstance(kind, type) and issubclass(kind, BaseModel)


def type_at(kind: Any, location: Location) -> Any:
    """The type at a location: of a record a field's, of a mapping or a list that of each value; else ``None``."""
    for name in location:
        if is_record(kind):
            field = kind.model_fields.get(str(name))
            kind = bare(field.annotation) if field else None
        elif get_origin(kind) is dict:
            kind = bare(get_args(kind)[1])
        elif get_origin(kind) is tuple:
            kind = bare(get_args(kind)[0])
        else:
            return None
    return kind


def bare(annotation: Any) -> Any:
    """A type without what is said about it, and without ``None``."""
    if get_origin(annotation) is Annotated:
        return bare(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return bare(next(part for part in get_args(annotation) if part is not type(None)))
    return annotation
