"""The file in which the walk lets its owner take a job away: its JSON Schema, for editors and other programs.

This is the only place that says what a job is: the build puts the schema into a module of the browser scripts, where
``theme/scripts/job/shape.js`` holds jobs against it. Money is in the currency of the site, time in minutes, moments are
ISO 8601 in UTC.
"""

from __future__ import annotations

import json
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from builder.format.schema import Generator

SLUG: Final = "^[a-z0-9-]+$"

Name = Annotated[str, Field(pattern=SLUG)]
Figure = Annotated[float, Field(ge=0)]
Note = Annotated[str, Field(max_length=5000)]


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


class Means(_Record):
    """What something counted for, or was expected to come to, by the site."""

    money: Figure
    minutes: Figure


class Real(_Record):
    """What the owner noted."""

    note: Note = ""
    spent: Figure = Field(default=0, description="Money that was really spent.")
    took: Figure = Field(default=0, description="Minutes that it really took.")


class Trial(_Record):
    """One trial after a repair."""

    at: str
    clean: bool


class Done(Real):
    """A step or an ending of a playbook, as the owner met it."""

    title: str
    at: str
    counted: Means = Field(Means(money=0, minutes=0), description="What it added by the figures of the playbook.")


class Answer(Done):
    """A step that was done, and what was seen."""

    step: Name
    result: Name
    expect: str
    hash: str = Field(description="Tells whether the step has changed since.")


class Ending(Done):
    """Where the way has come to."""

    name: Name
    done: bool
    done_at: str = Field("", alias="doneAt")
    held: bool = False
    trials: list[Trial]


class Extra(Done):
    """A step or an ending that was done but is off the way now; it still counts."""

    step: Name
    failed: bool = Field(False, description="It was a repair, and the fault came back.")
    result: Name = ""
    expect: str = ""
    hash: str = ""
    done: bool = False
    done_at: str = Field("", alias="doneAt")
    held: bool = False
    trials: list[Trial] = []


class Draft(Real):
    """Notes on a step that is not answered yet."""

    step: Name


class Leg(_Record):
    """The way through one playbook."""

    slug: Name
    title: str
    hash: str = Field(description="Tells whether the playbook has changed since.")
    way: list[Answer]
    ending: Ending | None
    extra: list[Extra]
    ruled_out: list[Name] = Field(alias="ruledOut", description="Causes ruled out by a repair that did not hold.")
    read: list[Name] = Field([], description="Steps whose dangers were acknowledged.")
    draft: Draft = Draft(step="-")
    changed: list[str] = Field([], description="What an update of the site has changed, until it is acknowledged.")


class Job(_Record):
    """One fault on one car, from the first step to the proof."""

    droplight: Literal["job"]
    version: Literal[1]
    id: Name
    name: Annotated[str, Field(max_length=200)]
    created: str
    updated: str
    state: Literal["open", "proving", "done"]
    expected: Means | None = Field(description="What was expected when the job began.")
    legs: list[Leg] = Field(min_length=1, description="One a playbook; a hand-over begins the next one.")
    elsewhere: list[Leg] = Field(description="Legs that an answer given again has led away from.")


class _Generator(Generator):
    """As for playbooks, but with the nulls that a job holds."""

    def nullable_schema(self, schema: Any) -> dict[str, Any]:
        return {"anyOf": [self.generate_inner(schema["schema"]), {"type": "null"}]}


def job_schema() -> dict[str, Any]:
    """The schema of a job file."""
    return {"$schema": _Generator.schema_dialect, **Job.model_json_schema(schema_generator=_Generator)}


def job_schema_text() -> str:
    """The JSON Schema of a job's file, as the site ships it."""
    return json.dumps(job_schema(), ensure_ascii=False, indent=2) + "\n"


MADE: Final = "made/jobschema.js"
"""Where the scripts of the theme import the schema from."""

KNOWN: Final = frozenset(
    {"$defs", "$ref", "additionalProperties", "anyOf", "const", "enum", "items", "maxLength", "minItems", "minimum"}
    | {"pattern", "properties", "required", "type"}
)
"""Words of JSON Schema that ``theme/scripts/job/shape.js`` knows; a shape that needs another one needs it there too."""

_FOR_READERS: Final = frozenset({"$schema", "title", "description", "default"})


def shape(schema: Any) -> Any:
    """A schema as short as the scripts need it: they take for granted that there are no other properties.

    Raises:
        ValueError: it is written with words that the scripts do not know.
    """
    if isinstance(schema, list):
        return [shape(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    if strange := schema.keys() - KNOWN - _FOR_READERS:
        raise ValueError(f"the scripts cannot hold a job to {sorted(strange)}")
    return {
        key: {name: shape(part) for name, part in value.items()} if key in ("properties", "$defs") else shape(value)
        for key, value in schema.items()
        if key not in _FOR_READERS and (key, value) != ("additionalProperties", False)
    }


def made_modules() -> dict[str, str]:
    """The modules that are made of the schema, by their path among the scripts of the theme."""
    return {MADE: f"export const JOB = {json.dumps(shape(job_schema()), separators=(',', ':'))};\n"}
