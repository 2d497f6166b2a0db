"""`droplight totals`: the numbers of a playbook."""

import json
from pathlib import Path

import click

from builder.commands.options import library_option
from builder.commands.shared import known_playbook, sound_library
from builder.draw.figures import figures_of
from builder.reckon.totals import totals_of
from builder.report.table import totals_table
from builder.streams import console, echo


@click.command()
@library_option
@click.argument("slug")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object with full precision.")
def totals(library_dir: Path, slug: str, as_json: bool) -> None:
    """Print the numbers of the playbook SLUG: every path's money, time and odds."""
    library = sound_library(library_dir)
    known_playbook(library, slug)
    numbers = totals_of(slug, library)
    if as_json:
        echo(json.dumps(numbers.as_json(), indent=2))
    else:
        paper = console()
        for part in totals_table(numbers, figures_of(library.settings)):
            paper.print(part)
