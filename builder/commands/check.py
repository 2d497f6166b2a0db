"""`droplight check`: findings."""

import sys
from pathlib import Path

import click

from builder.commands.options import library_option
from builder.commands.shared import show
from builder.publish.crew import Workers
from builder.read.findings import Finding, has_errors, shown
from builder.read.git import repository_of
from builder.read.library import read_library
from builder.reckon.advice import appraise
from builder.refusals import DONE, LIBRARY_HAS_ERRORS
from builder.report.annotations import FORMATS
from builder.report.text import summary
from builder.streams import echo


@click.command()
@library_option
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", *FORMATS]),
    default="text",
    show_default=True,
    help="`text` for people, on stderr; else on stdout: a JSON list, SARIF 2.1.0, or annotations of a workflow.",
)
@click.option("--strict", is_flag=True, help="End with exit code 1 on warnings as well.")
@click.argument("paths", metavar="[PATH]…", nargs=-1, type=click.Path(exists=True, path_type=Path))
def check(library_dir: Path, form: str, strict: bool, paths: tuple[Path, ...]) -> None:
    """Check the library; with PATHs, report only what is found there (the whole library is still read)."""
    with Workers() as crew:
        read = read_library(library_dir, appraise=appraise, run=crew.run)
    findings = [finding for finding in read.findings if _within(finding, paths)]
    if form == "text":
        show(findings)
    else:
        echo(FORMATS[form](shown(findings), repository_of(library_dir)), end="")
    echo(summary(findings), err=True)
    failed = has_errors(findings) or (strict and bool(findings))
    sys.exit(LIBRARY_HAS_ERRORS if failed else DONE)


def _within(finding: Finding, paths: tuple[Path, ...]) -> bool:
    """Whether a finding is about something at one of the paths (about anything, if there are none)."""
    file = Path(finding.file)
    # A link is where it stands; where it leads may be outside, or nowhere.
    place = file.parent.resolve() / file.name
    spots = [spot for path in paths for spot in (path.resolve(), path.parent.resolve() / path.name)]
    return not paths or any(place.is_relative_to(spot) for spot in spots)
