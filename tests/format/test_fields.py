"""The fields of a form: every field of the records, each of a kind that says how it is asked for."""

import re
from typing import Final

import pytest
from pydantic import BaseModel

from builder.format.fields import LABELS, form_notations, form_records
from builder.format.forms import FORMS
from builder.read.records import Cause, Ending, Playbook, Prove, Provenance, Result, Step, Symptom

RECORDS: Final = form_records()
KINDS: Final = {*FORMS, "list", "answers", "choice", "record", "map"}


@pytest.mark.parametrize("record", [Cause, Ending, Playbook, Prove, Provenance, Result, Step, Symptom])
def test_a_form_knows_every_field_of_a_record_in_its_order(record: type[BaseModel]) -> None:
    fields = [name for name in record.model_fields if name not in ("slug", "area")]
    assert [field.name for field in RECORDS[record.__name__]] == fields


def test_every_field_has_a_label_and_is_of_a_kind_that_a_form_can_ask_for() -> None:
    for record, fields in RECORDS.items():
        for field in fields:
            assert field.label.strip(), (record, field.name)
            assert field.kind in KINDS
            if field.kind in ("record", "map"):
                assert field.of in RECORDS
            if field.kind == "list":
                assert field.of in FORMS
            assert bool(field.options) == (field.kind == "choice" and field.name != "order"), field


def test_every_label_is_of_a_field() -> None:
    names = {
        name
        for record, fields in RECORDS.items()
        for field in fields
        for name in (field.name, f"{record}.{field.name}")
    }
    assert LABELS.keys() <= names


def test_notations_have_patterns_that_take_what_the_forms_say() -> None:
    notations = form_notations()
    assert re.match(notations["percent"]["pattern"], "70%")
    assert not re.match(notations["percent"]["pattern"], "0.7")
    assert notations["percent"]["says"] == "write a percentage such as 70%"
    assert notations.keys() <= FORMS.keys()
