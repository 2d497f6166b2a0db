"""The record types: what a library says, frozen and typed. They know their shape, nothing of files or pages.

Field descriptions and examples are part of the format: the schema and the editors' page are made from them.
"""

from builder.read.records.catalogue import (
    AccessJob,
    Catalogue,
    CheckResult,
    CodeMeaning,
    CommonCheck,
    Hazard,
    Part,
    Tool,
)
from builder.read.records.library import Library
from builder.read.records.playbook import Cause, Ending, Next, Playbook, Prove, Provenance, Result, Step, Symptom
from builder.read.records.settings import DIAGNOSIS, Area, Professional, Settings
from builder.read.records.values import MOST, Record
from builder.read.records.work import Measurement, Mishap, Work

__all__ = [
    "DIAGNOSIS",
    "MOST",
    "AccessJob",
    "Area",
    "Catalogue",
    "Cause",
    "CheckResult",
    "CodeMeaning",
    "CommonCheck",
    "Ending",
    "Hazard",
    "Library",
    "Measurement",
    "Mishap",
    "Next",
    "Part",
    "Playbook",
    "Professional",
    "Prove",
    "Provenance",
    "Record",
    "Result",
    "Settings",
    "Step",
    "Symptom",
    "Tool",
    "Work",
]
