"""The schema: the record types as JSON Schema (2020-12), so that editors complete, explain and check while one types.

It takes every playbook that the records take, and refuses what has the wrong shape or notation. What needs a look at
more than one value (sums, names that must be known, the way through the steps) is left to the checks.
"""

import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any, Final

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from builder.format.forms import CODE, FORMS, KEYS, Form
from builder.read.folder import KINDS
from builder.read.hazards import BUILT_IN
from builder.read.records import AccessJob, CodeMeaning, CommonCheck, Hazard, Part, Playbook, Settings, Tool

FILES: Final[Mapping[str, type[BaseModel]]] = {
    "playbook": Playbook,
    "settings": Settings,
    "tools": Tool,
    "parts": Part,
    "access": AccessJob,
    "hazards": Hazard,
    "checks": CommonCheck,
    "codes": CodeMeaning,
}
"""What a file may be, and the record that it holds."""


CODE_KEYS: Final[Form] = {"pattern": CODE["pattern"]}


class Generator(GenerateJsonSchema):
    """Writes what a file may say: no nulls, no default values, every field with a title, keys that are names."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """A value that may be left out is described by what it is where it stands."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """The same of a value with a default; defaults are no part of the schema."""
        return self.generate_inner(schema["schema"])

    def field_title_should_be_set(self, schema: Any) -> bool:
        """Every field has a title."""
        return True

    def get_title_from_name(self, name: str) -> str:
        """The name of a field in words."""
        return name.replace("_", " ").capitalize()

    def sort(self, value: JsonSchemaValue, parent_key: str | None = None) -> JsonSchemaValue:
        """Everything in the order of the records, so that examples read as one would write them."""
        return value

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        """A mapping with the pattern of its keys, which stand in the notation of names."""
        least = {"minProperties": schema["min_length"]} if "min_length" in schema else {}
        entry = self.generate_inner(schema["values_schema"])
        most = {"maxProperties": schema["max_length"]} if "max_length" in schema else {}
        form = _formed(self.generate_inner(schema["keys_schema"]))
        keys = {key: form[key] for key in ("pattern", "maxLength") if key in form}
        return {"type": "object", **least, **most, "propertyNames": keys, "additionalProperties": entry}


@lru_cache(maxsize=len(FILES))
def schema_of(file: str) -> Form:
    """The schema of one of :data:`FILES`."""
    record = FILES[file]
    schema = _formed(record.model_json_schema(schema_generator=Generator))
    if file == "playbook":
        schema = _with_conditions(schema)
    if file in KINDS:
        schema = _mapping(schema, BUILT_IN if file == "hazards" else (), CODE_KEYS if file == "codes" else KEYS)
    return {"$schema": Generator.schema_dialect, **schema}


def _with_conditions(playbook: Form) -> Form:
    """A playbook's schema with what depends on other keys: the way through, and what a common check says already."""
    step, result = playbook["$defs"]["Step"], playbook["$defs"]["Result"]
    said = {"title": step, "expect": result}
    for name, record in said.items():
        record["required"] = [key for key in record["required"] if key != name]
    entries = {"additionalProperties": {"required": ["expect"]}}
    unless = {"required": ["title"], "properties": {"results": entries}}
    step |= {"if": {"required": ["check"]}, "else": unless}
    return playbook | _ways()


def _ways() -> Form:
    """Either ``order: best``, or a start and what comes next after every result."""

    def each(*names: str, entry: Form) -> Form:
        for name in reversed(names):
            entry = {"properties": {name: {"additionalProperties": entry}}}
        return entry

    return {
        "if": {"required": ["order"]},
        "then": {
            "properties": {
                "start": False,
                **each("steps", entry=each("results", entry={"properties": {"next": False}}))["properties"],
            }
        },
        "else": {"required": ["start"], **each("steps", entry=each("results", entry={"required": ["next"]}))},
    }


def _formed(schema: Any) -> Any:
    """A schema with the form of every notation that it speaks of."""
    if isinstance(schema, list):
        return [_formed(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    form = FORMS[schema["notation"]] if isinstance(schema.get("notation"), str) else {}
    return {**form, **{key: _formed(value) for key, value in schema.items() if key != "notation"}}


def _mapping(entry: Form, always: Iterable[str], keys: Form) -> Form:
    """The schema of a file of the catalogue: entries by id, of which those that ``always`` exist may say less."""
    entry = dict(entry)
    shared = {"$defs": entry.pop("$defs")} if "$defs" in entry else {}
    partial = {name: {key: value for key, value in entry.items() if key != "required"} for name in always}
    return {
        "title": entry["title"],
        "description": entry["description"],
        "type": "object",
        "propertyNames": keys,
        "properties": partial,
        "additionalProperties": entry,
        **shared,
    }


def schema_text(file: str = "playbook") -> str:
    """The schema of one of :data:`FILES` as a JSON file."""
    return json.dumps(schema_of(file), ensure_ascii=False, indent=2) + "\n"
