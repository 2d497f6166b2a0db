"""The shape of a job: said once, and held to by the scripts as by any validator of JSON Schema."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import jsonschema
import pytest

from builder.publish.data.jobschema import MADE, car_schema, job_schema, made_modules, shape
from builder.publish.pages.scripts import scripts_of
from builder.publish.pages.theme import Theme
from tests.browser.scripts import node

NAMED: Final = {"type": "object", "properties": {"a": {"type": "number"}}, "additionalProperties": False}
DIGITS: Final = {"type": "string", "pattern": "^[0-9]+$"}
VALUES: Final[list[Any]] = [
    None, True, False, 0, 1, -1, 1.5, 2, "", "1", "12", "123", "a1", "\U0001f527\U0001f527",
    [], [1], [1, 2], ["1"], [None],
    {}, {"a": 1}, {"a": "1"}, {"b": 1}, {"a": 1, "b": 1}, {"a": {"a": 1}}, {"__proto__": 1}, {"constructor": 1},
]  # fmt: skip
SCHEMAS: Final[list[dict[str, Any]]] = [
    NAMED,
    {**NAMED, "required": ["a"]},
    {**NAMED, "additionalProperties": {"type": "number"}},
    {"type": "object", "additionalProperties": {"type": "integer"}},
    {"type": "object", "properties": {"a": NAMED}, "additionalProperties": False},
    {"type": "array", "items": {"type": "number"}},
    {"type": "array", "items": {"type": "number"}, "minItems": 1},
    {"type": "string", "maxLength": 2},
    DIGITS,
    {"type": "number", "minimum": 1},
    {"type": "integer"},
    {"type": "boolean"},
    {"anyOf": [{"type": "null"}, DIGITS]},
    {"const": "1"},
    {"const": False},
    {"enum": ["1", 1, None]},
    {"$ref": "#/$defs/digits"},
    {"type": "array", "items": {"$ref": "#/$defs/digits"}},
]


@pytest.fixture
def fits(tmp_path: Path) -> Callable[[dict[str, Any], str], list[bool]]:
    """Whether the scripts take values (a list in JSON) for what a schema describes."""

    def fits(schema: dict[str, Any], values: str) -> list[bool]:
        (tmp_path / "scripts").mkdir()
        probe = 'import { isJob } from "./job/shape.js";\nconsole.log(JSON.stringify(JSON.parse(values).map(isJob)));\n'
        (tmp_path / "scripts" / "probe.js").write_text(probe, encoding="utf-8")
        made = {MADE: f"export const JOB = {json.dumps(shape(schema))};\nexport const CAR = JOB;\n"}
        script = scripts_of(Theme(tmp_path), made)["probe.js"].decode()
        (tmp_path / "run.js").write_text(f"const values = {json.dumps(values)};\n{script}", encoding="utf-8")
        done = node.run("run.js", cwd=tmp_path)
        assert done.stderr == ""
        return list(json.loads(done.stdout))

    return fits


@pytest.mark.parametrize("schema", SCHEMAS, ids=json.dumps)
def test_scripts_hold_values_to_a_schema_as_any_validator_does(schema: dict[str, Any], fits: Any) -> None:
    whole = {**schema, "$defs": {"digits": DIGITS}}
    validator = jsonschema.Draft202012Validator(whole)
    found = fits(whole, json.dumps(VALUES))
    assert list(zip(VALUES, found, strict=True)) == [(value, validator.is_valid(value)) for value in VALUES]
    assert len(set(found)) == 2


def test_a_number_beyond_all_numbers_is_none(fits: Any) -> None:
    """JSON can write it; a browser reads it as infinite."""
    assert fits({"type": "number"}, "[1e308, 1e999]") == [True, False]


def test_what_is_shipped_is_the_schema_without_its_words_for_readers() -> None:
    shipped = made_modules()[MADE]
    assert len(shipped) < len(json.dumps([job_schema(), car_schema()])) * 0.8
    line = next(line for line in shipped.splitlines() if line.startswith("export const JOB = "))
    job = json.loads(line.removeprefix("export const JOB = ").removesuffix(";"))
    assert job["properties"].keys() == job_schema()["properties"].keys()
    assert job["required"] == job_schema()["required"]
    assert "title" in job["$defs"]["Seen"]["properties"]
    assert not {"title", "description", "$schema"} & job.keys()


def test_a_shape_that_the_scripts_cannot_hold_to_is_refused() -> None:
    with pytest.raises(ValueError, match="uniqueItems"):
        shape({"type": "object", "properties": {"a": {"type": "array", "uniqueItems": True}}})
