"""The door: commands, exit codes, progress. Results go to stdout, findings to stderr."""

import json
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from typing import Any, TypeVar

import click

from builder import __version__
from builder.commands.compare import compare_libraries
from builder.commands.draft import draft
from builder.commands.migrate import migrate
from builder.commands.options import dot_option, library_option, theme_option
from builder.commands.shared import progress, show, sound_library, tell
from builder.commands.survey import survey
from builder.draw.figures import figures_of
from builder.format.schema import FILES, schema_text
from builder.preview.preview import Preview
from builder.preview.serve import Server, serve
from builder.publish.crew import Workers
from builder.publish.files import write_over
from builder.publish.hosting.feed import why_no_feed
from builder.publish.pages.doubts import theme_doubts
from builder.publish.pages.theme import Theme
from builder.publish.site import write_site
from builder.publish.swap import fresh_folder
from builder.read.findings import Finding, has_errors, near_miss, shown
from builder.read.git import repository_of
from builder.read.history import read_history
from builder.read.library import read_library
from builder.reckon.advice import ADVICE
from builder.reckon.totals import totals_of
from builder.refusals import DONE, LIBRARY_HAS_ERRORS, Door, MachineFailed
from builder.report.annotations import FORMATS
from builder.report.table import totals_table
from builder.report.text import summary
from builder.streams import console, echo

F = TypeVar("F", bound=Callable[..., Any])


@click.group(cls=Door, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="droplight")
def main() -> None:
    """Turn a folder of diagnostic playbooks into a static site.

    Exit codes: 0 done, 1 the library has errors, 2 wrong usage, 3 the machine failed.
    """


@main.command()
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
        read = read_library(library_dir, advice=ADVICE, run=crew.run)
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


@main.command()
@library_option
@click.argument("slug")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object with full precision.")
def totals(library_dir: Path, slug: str, as_json: bool) -> None:
    """Print the numbers of the playbook SLUG: every path's money, time and odds."""
    library = sound_library(library_dir)
    if slug not in library.playbooks:
        raise click.UsageError(f"no playbook `{slug}`; {near_miss(slug, library.playbooks)}".rstrip("; "))
    numbers = totals_of(slug, library)
    if as_json:
        echo(json.dumps(numbers.as_json(), indent=2))
    else:
        paper = console()
        for part in totals_table(numbers, figures_of(library.settings)):
            paper.print(part)


@main.command()
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
        read = read_library(library_dir, advice=ADVICE, run=crew.run)
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
            pages = write_site(library, library_dir, folder, dot, crew.run, history, theme, advance, archive)
    seconds = perf_counter() - started
    playbooks = len(library.playbooks)
    echo(f"{out}: {playbooks} playbooks, {pages} pages, {seconds:.1f} s, {summary(read.findings)}")


@main.command("preview")
@library_option
@click.option(
    "--port",
    metavar="N",
    type=click.IntRange(0, 65535),
    default=0,
    show_default="one that is free",
    help="The port to serve on, at 127.0.0.1 and nowhere else.",
)
@dot_option
@theme_option
def preview_library(library_dir: Path, port: int, dot: Path | None, theme: Theme) -> None:
    """Serve the site on this machine while you edit: a page that is open follows every save.

    Findings are shown here and over the page, which stays as it was until they are mended. Ctrl-C ends it.
    """
    try:
        preview = Preview(library_dir, theme.own, dot)
        server = _server(preview, port)
        with Workers() as crew:
            preview.update(crew.run)
        echo(server.address)
        _tell(preview)
        serve(preview, server, _tell)
    except KeyboardInterrupt:
        sys.exit(DONE)


def _server(preview: Preview, port: int) -> Server:
    try:
        return Server(preview, port)
    except OSError as error:
        raise MachineFailed(f"port {port}: {error.strerror}") from error


def _tell(preview: Preview) -> None:
    show(preview.findings)
    echo(preview.problem or summary(preview.findings), err=True)


@main.command()
@click.option("--of", "file", type=click.Choice(list(FILES)), default="playbook", show_default=True, help="Which file.")
@click.option(
    "--out",
    metavar="FILE",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write (default: standard output).",
)
def schema(file: str, out: Path | None) -> None:
    """Print the JSON Schema of a playbook, for editors that complete and check while one types."""
    if out is None:
        echo(schema_text(file), end="")
        return
    write_over(out, schema_text(file))


for command in (compare_libraries, draft, migrate, survey):
    main.add_command(command)
