"""`droplight survey`: a library at a glance, for its editors."""

import json
from pathlib import Path
from typing import Final

import click

from builder.commands.options import library_option
from builder.commands.shared import sound_library
from builder.draw.figures import figures_of
from builder.read.history import read_history
from builder.reckon.advice import effort_for
from builder.reckon.survey import QUICK, survey_of
from builder.report.survey import days, survey_json, survey_table
from builder.streams import console, echo

MOST: Final = 20
"""Playbooks that the table shows."""


@click.command()
@library_option
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object with every playbook.")
@click.option("--all", "everything", is_flag=True, help=f"Show every playbook, not the {MOST} weakest.")
@click.option("--thorough", is_flag=True, help="Look longer for better orders; the gaps may grow.")
def survey(library_dir: Path, as_json: bool, everything: bool, thorough: bool) -> None:
    """Say where a library is weakest: what is seldom put right, in a dear order, unproven, or rests on nothing."""
    library = sound_library(library_dir)
    found = survey_of(library, effort_for(len(library.playbooks)) if thorough else QUICK)
    changed = days(library, read_history(library_dir, dates=True).changed)
    if as_json:
        echo(json.dumps(survey_json(found, changed), indent=2))
        return
    paper = console()
    most = len(found.playbooks) if everything else MOST
    for part in survey_table(found, figures_of(library.settings), changed, most):
        paper.print(part)
