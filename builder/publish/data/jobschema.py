"""The file in which the walk lets its owner take a job away: its JSON Schema, for editors and other programs.

This is the only place that says what a job is (and the profile of a car): the build puts the schemas into a module of
the browser scripts, where ``theme/scripts/job/shape.js`` holds jobs against them. Money is in the currency of the site,
time in minutes, moments are ISO 8601 in UTC.
"""

from __future__ import annotations

import json
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from builder.format.schema import Generator

SLUG: Final = "^[a-z0-9-]+$"

Name = Annotated[str, Field(pattern=SLUG)]
Figure = Annotated[float, Field(ge=0)]
Count = Annotated[int, Field(ge=0)]
Line = Annotated[str, Field(max_length=200)]
Note = Annotated[str, Field(max_length=5000)]


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


class Means(_Record):
    """What something counted for, or was expected to come to, by the site."""

    money: Figure
    minutes: Figure


class Notes(_Record):
    """What the owner wrote beside a step or an ending, whether it was done or not."""

    note: Note = ""
    spent: Figure = Field(default=0, description="Money that was really spent.")
    took: Figure = Field(default=0, description="Minutes that it really took.")
    typed: dict[str, Line] = Field(
        {}, description="Figures as they were typed, until they can be read, by their field."
    )


class Trial(_Record):
    """One trial after a repair."""

    at: str
    clean: bool


class Done(_Record):
    """A step or an ending of a playbook, as the owner met it."""

    title: str
    at: str
    counted: Means = Field(Means(money=0, minutes=0), description="What it added by the figures of the playbook.")


class Reading(_Record):
    """A figure that was measured, in the unit of the step."""

    value: float
    unit: Line


class Seen(Done):
    """A step, and what was seen."""

    step: Name
    result: Name = Field(description="What was seen; of an unsure answer, the result with which the way goes on.")
    expect: str
    hash: str = Field(description="Tells whether the step has changed since.")
    weights: dict[str, Figure] = Field({}, description="How strongly an unsure answer speaks for each result.")
    reading: Reading = Field(Reading(value=0, unit=""), description="The figure that gave the result.")
    known: bool = Field(False, description="It was known without doing the step here; it costs nothing.")
    source: Line = Field("", description="Where it was carried from: a car or another job, by name.")
    check: Line = Field("", description="The common check that the step is.")
    still: str = Field("", description="When the owner said that it still holds, though it is off the way.")


class Tried(Done):
    """An ending that was done: a repair, or another way to close the job."""

    ending: Name
    hash: str = Field(description="Tells whether the ending has changed since.")
    outcome: Literal["open", "gone", "still", "left"] = Field(
        description="The fault is gone, still there, not told yet; or the job was left so."
    )
    trials: list[Trial]


class Aside(_Record):
    """A step or a repair that the owner cannot or will not do for now."""

    work: Name
    why: Literal["tool", "lifting", "later", "person"]
    at: str


class Leg(_Record):
    """What is known within one playbook."""

    slug: Name
    title: str
    hash: str = Field(description="Tells whether the playbook has changed since.")
    seen: list[Seen]
    tried: list[Tried]
    aside: list[Aside]
    notes: dict[str, Notes] = Field(description="By the name of the step or the ending.")
    changed: list[str] = Field([], description="What an update of the site has changed, until it is acknowledged.")


class Danger(_Record):
    """A danger that was acknowledged, as it read then."""

    name: Name
    hash: str
    at: str


class Wait(_Record):
    """Something that takes days without hands."""

    slug: Name
    work: Name = Field(description="The step or the ending that waits.")
    title: str
    what: Literal["rest", "parts"]
    since: str
    until: str


class Owned(_Record):
    """The car of a job, by its profile on the device."""

    id: Name
    name: Line


class Job(_Record):
    """One owner's evidence about one fault on one car: what was seen, tried and spent, and what is still open."""

    droplight: Literal["job"]
    version: Literal[2]
    revision: Count = Field(description="Grows with every change, so that two windows do not overwrite each other.")
    id: Name
    name: Line
    created: str
    updated: str
    state: Literal["open", "proving", "done", "handed-over"]
    expected: Means | None = Field(description="What was expected when the job began.")
    car: Owned | None
    legs: list[Leg] = Field(min_length=1, description="One a playbook; a hand-over begins the next one.")
    read: list[Danger] = Field(description="Dangers that were acknowledged.")
    waits: list[Wait]
    handed: str = Field("", description="When it was handed over to a professional.")


class Fact(_Record):
    """What is known of a car itself, by a common check about cars."""

    check: Name
    result: Name
    expect: str
    at: str


class Car(_Record):
    """A car of the owner."""

    droplight: Literal["car"]
    version: Literal[1]
    id: Name
    name: Line
    engine: Line
    mileage: Line
    facts: list[Fact]


class _Generator(Generator):
    """As for playbooks, but with the nulls that a job holds."""

    def nullable_schema(self, schema: Any) -> dict[str, Any]:
        return {"anyOf": [self.generate_inner(schema["schema"]), {"type": "null"}]}

    def dict_schema(self, schema: Any) -> dict[str, Any]:
        return {"type": "object", "additionalProperties": self.generate_inner(schema["values_schema"])}


def job_schema() -> dict[str, Any]:
    """The schema of a job file."""
    return {"$schema": _Generator.schema_dialect, **Job.model_json_schema(schema_generator=_Generator)}


def car_schema() -> dict[str, Any]:
    """The schema of the profile of a car."""
    return dict(Car.model_json_schema(schema_generator=_Generator))


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
    schemas = {"JOB": job_schema(), "CAR": car_schema()}
    lines = [f"export const {name} = {json.dumps(shape(of), separators=(',', ':'))};\n" for name, of in schemas.items()]
    return {MADE: "".join(lines)}
