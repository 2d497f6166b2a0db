"""Fields: what a form asks for, record by record, as the record types say it; nothing of it is said twice.

Each field is of a kind that says how it is asked for: a notation (``text``, ``money``, ``chance`` …), ``list`` of a
notation, ``answers`` (text by name), ``choice`` of some words, ``record`` or ``map`` of records by name.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from builder.format.forms import FORMS, MESSAGE
from builder.format.schema import Generator
from builder.read.records import Playbook


@dataclass(frozen=True, slots=True)
class FormField:
    """One field of a record; ``of`` is the notation or the record that a list, a map or a record holds."""

    name: str
    label: str
    says: str
    kind: str
    of: str
    options: tuple[str, ...]
    required: bool
    example: str


LABELS: Final[Mapping[str, str]] = {
    "Playbook.title": "The symptom in a few words",
    "Playbook.vehicles": "Cars it was written for",
    "Playbook.also": "How else owners say it",
    "Playbook.preconditions": "What must hold before one begins",
    "Playbook.no_hazards": "Hazards that do not apply",
    "Playbook.source": "Where the figures come from",
    "Playbook.professional": "What a professional needs",
    "Playbook.accept": "Answers to warnings",
    "Symptom.summary": "What the owner notices",
    "Symptom.conditions": "When it shows",
    "Symptom.codes": "Trouble codes",
    "Cause.name": "What is wrong",
    "Cause.share": "Share",
    "Cause.note": "Note",
    "Cause.source": "Where the share comes from",
    "Provenance.what": "Kind of source",
    "Provenance.seen": "Cases counted",
    "Provenance.on": "Last looked at",
    "Professional.diagnosis": "Time to find the fault",
    "Professional.unlisted": "Cost of a fault that is not named here",
    "title": "What to do, in a few words",
    "do": "How to do it",
    "preconditions": "What must hold before one begins",
    "time": "Time",
    "wait": "Waiting",
    "cost": "Costs beside tools and parts",
    "who": "Who may do it",
    "tools": "Tools",
    "parts": "Parts",
    "access": "What must be opened",
    "hazards": "Hazards",
    "no_hazards": "Hazards that do not apply",
    "mishap": "What may go wrong",
    "after": "Only after",
    "accept": "Answers to warnings",
    "Mishap.what": "What happens",
    "Mishap.chance": "Chance",
    "Mishap.cost": "What it then costs",
    "Step.check": "Common check",
    "Step.reading": "A quantity is measured",
    "Measurement.of": "What is measured",
    "Measurement.unit": "Unit",
    "Result.expect": "What one sees",
    "Result.chance": "Chance",
    "Result.range": "Range of the reading",
    "Result.next": "What comes next",
    "Result.source": "Where the chance comes from",
    "Ending.settles": "Causes that it puts right",
    "Ending.prove": "How to prove that the fault is gone",
    "Prove.trial": "One trial",
    "Prove.shows": "How often the fault shows in a trial",
}
"""What stands beside a field in a form, by its name with or without its record; others take the name of the key."""

OPTIONS: Final[Mapping[str, str]] = {
    "owner": "the owner",
    "shop": "a workshop only",
    "own count": "own count of cases",
    "trade experience": "trade experience",
    "published": "published figures",
}
"""What a form shows for words that stand in a file."""


def form_records() -> dict[str, list[FormField]]:
    """The fields of every record of a playbook, by the name of the record."""
    schema = Playbook.model_json_schema(schema_generator=Generator)
    records = {"Playbook": schema, **schema["$defs"]}
    return {name: list(_fields(name, record)) for name, record in records.items()}


def _fields(record: str, schema: Mapping[str, Any]) -> Iterator[FormField]:
    for name, field in schema["properties"].items():
        kind, of = _kind(field)
        label = LABELS.get(f"{record}.{name}") or LABELS.get(name) or field.get("title", name)
        options = tuple(field.get("enum", ()))
        example = next((one for one in field.get("examples", ()) if isinstance(one, str | int)), "")
        required = name in schema.get("required", ())
        yield FormField(name, label, field["description"], kind, of, options, required, str(example))


def _asked(notation: str) -> str:
    """The notation as the form asks for it: prose is a text, only longer."""
    return "text" if notation == "prose" else notation


def _kind(field: Mapping[str, Any]) -> tuple[str, str]:
    if "notation" in field:
        return _asked(field["notation"]), ""
    if "$ref" in field:
        return "record", _record(field)
    if field.get("type") == "array":
        return "list", field["items"]["notation"]
    if field.get("type") == "object":
        entry = field["additionalProperties"]
        return ("map", _record(entry)) if "$ref" in entry else ("answers", "")
    return "choice", ""


def _record(field: Mapping[str, str]) -> str:
    return field["$ref"].rpartition("/")[2]


def form_notations() -> dict[str, dict[str, str]]:
    """For each notation that has a pattern: the pattern of ECMA-262, and what to say where a text does not fit."""
    return {
        name: {"pattern": form["pattern"], "says": form.get(MESSAGE, "")}
        for name, form in FORMS.items()
        if "pattern" in form
    }
