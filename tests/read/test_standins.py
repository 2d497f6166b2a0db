"""Stand-ins: they pass wherever something is required, and none is left in what was read."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from builder.read import records
from builder.read.nodes import parse_nodes
from builder.read.notation import Amount
from builder.read.shape import read_record
from builder.read.source import Source

ROOT = Path(__file__).resolve().parents[2]


def required() -> Iterator[tuple[type[BaseModel], str]]:
    for name in records.__all__:
        kind = getattr(records, name)
        if isinstance(kind, type) and issubclass(kind, BaseModel) and kind not in (records.Library, records.Record):
            yield from ((kind, name) for name, field in kind.model_fields.items() if field.is_required())


def texts(value: object) -> Iterator[str]:
    """Every text within a record."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, BaseModel):
        yield from (text for name in type(value).model_fields for text in texts(getattr(value, name)))
    elif isinstance(value, dict):
        yield from (text for pair in value.items() for one in pair for text in texts(one))
    elif isinstance(value, tuple) and not isinstance(value, Amount):
        yield from (text for one in value for text in texts(one))


@pytest.mark.parametrize(
    ("kind", "field"), [(kind, field) for kind, field in required() if field not in ("slug", "area")]
)
def test_what_stands_in_for_a_required_value_is_empty(kind: type[BaseModel], field: str) -> None:
    source = Source("file.yaml", "{}")
    node, _ = parse_nodes(source)
    assert node
    own = {name: name for name in ("slug", "area") if name in kind.model_fields}
    record, findings = read_record(kind, node, source, own)
    assert {finding.rule for finding in findings} == {"missing-key"}
    assert node.missing == {name for name, one in kind.model_fields.items() if one.is_required()} - own.keys()
    left = set(texts(getattr(record, field)))
    assert left <= {"", "XXX", "1", "own count", "danger"}
    assert not getattr(record, field) or not any(getattr(record, field)) or left


def test_nothing_else_knows_of_stand_ins() -> None:
    users = [path for path in (ROOT / "builder").rglob("*.py") if re.search(r"\bstandins\b", path.read_text("utf-8"))]
    assert [path.relative_to(ROOT).as_posix() for path in users] == ["builder/read/shape.py"]
