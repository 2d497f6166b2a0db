"""`droplight build`: the site."""

import sys
from pathlib import Path
from time import perf_counter

import click

from builder.commands.options import dot_option, library_option, theme_option
from builder.commands.shared import progress, show, tell
from builder.publish.crew import Workers
from builder.publish.hosting.feed import why_no_feed
from builder.publish.pages.doubts import theme_doubts
from builder.publish.pages.theme import Theme
from builder.publish.site import write_site
from builder.publish.swap import fresh_folder
from builder.read.history import read_history
from builder.read.library import read_library
from builder.reckon.advice import appraise
from builder.refusals import LIBRARY_HAS_ERRORS
from builder.report.text import summary
from builder.streams import echo


@click.command()
@library_option
@click.option(
    "--out",
    metavar="DIR",
    default="site",
    show_default=True,
    type=click.Path(path_type=Path),
    help="The folder to put the site into.",
)
@dot_option
@theme_option
@click.option("--workers", metavar="N", type=click.IntRange(1), help="Processes to work with (default: one a core).")
@click.option("--archive/--no-archive", default=True, show_default=True, help="The whole site as a zip file as well.")
def build(library_dir: Path, out: Path, dot: Path | None, theme: Theme, workers: int | None, archive: bool) -> None:
    """Build the site. A library with errors leaves the old site as it is."""
    started = perf_counter()
    with fresh_folder(out, tell) as folder, Workers(workers) as crew:
        read = read_library(library_dir, appraise=appraise, run=crew.run)
        show(read.findings)
        library = read.sound
        if library is None:
            echo(f"{summary(read.findings)}; the site is left as it was", err=True)
            sys.exit(LIBRARY_HAS_ERRORS)
        show(theme_doubts(theme, library.settings, read.shown))
        history = read_history(library_dir, dates=bool(library.settings.site_url))
        if note := history.note or why_no_feed(library, history):
            tell(note)
        with progress(len(library.playbooks)) as advance:
            how = (dot, crew.run, history, theme, advance, archive)
            weight = write_site(library, library_dir, folder, *how, read.found)
    seconds = perf_counter() - started
    playbooks = len(library.playbooks)
    echo(f"{out}: {playbooks} playbooks, {weight.pages} pages, {seconds:.1f} s, {summary(read.findings)}")
    echo(f"what owners take along: {weight.per(playbooks)}")
