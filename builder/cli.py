"""The door: commands, exit codes, progress. Results go to stdout, findings to stderr."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter
from typing import Any, Final, TypeVar

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from builder import __version__
from builder.draw.figures import figures_of
from builder.draw.layout import LayoutError
from builder.draw.table import totals_table
from builder.publish.crew import Workers
from builder.publish.site import write_site
from builder.publish.swap import ForeignFolderError, fresh_folder
from builder.read.findings import Finding, has_errors, near_miss
from builder.read.library import read_library
from builder.read.records import Library
from builder.read.report import as_text, summary
from builder.reckon.advice import ADVICE
from builder.reckon.totals import totals_of

F = TypeVar("F", bound=Callable[..., Any])

DONE: Final = 0
LIBRARY_HAS_ERRORS: Final = 1
WRONG_USAGE: Final = 2
MACHINE_FAILED: Final = 3


class MachineFailed(click.ClickException):
    """The machine, not the library or the caller, is at fault: disk full, no permission, layout program missing."""

    exit_code = MACHINE_FAILED


@contextmanager
def machine() -> Iterator[None]:
    """Turns what the machine refuses into a clear message and exit code 3."""
    try:
        yield
    except BrokenPipeError:
        raise
    except LayoutError as error:
        raise MachineFailed(str(error)) from error
    except ForeignFolderError as error:
        raise click.UsageError(str(error)) from error
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        raise MachineFailed(f"{place}{error.strerror or error}") from error


def show(findings: list[Finding]) -> None:
    console = Console(stderr=True, soft_wrap=True, highlight=False)
    for finding in findings:
        console.print(as_text(finding), end="")


library_option: Final[Callable[[F], F]] = click.option(
    "--library",
    "library_dir",
    metavar="DIR",
    default="playbooks",
    show_default=True,
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The folder that holds the library.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="droplight")
def main() -> None:
    """Turn a folder of diagnostic playbooks into a static site.

    Exit codes: 0 done, 1 the library has errors, 2 wrong usage, 3 the machine failed.
    """


@main.command()
@library_option
@click.argument("paths", metavar="[PATH]…", nargs=-1, type=click.Path(exists=True, path_type=Path))
def check(library_dir: Path, paths: tuple[Path, ...]) -> None:
    """Check the library; with PATHs, report only what is found there (the whole library is still read)."""
    with machine():
        _, findings = read_library(library_dir, advice=ADVICE)
        findings = [finding for finding in findings if _within(finding, paths)]
    show(findings)
    click.echo(summary(findings), err=True)
    sys.exit(LIBRARY_HAS_ERRORS if has_errors(findings) else DONE)


def _within(finding: Finding, paths: tuple[Path, ...]) -> bool:
    place = Path(finding.file).resolve()
    return not paths or any(place.is_relative_to(path.resolve()) for path in paths)


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
        click.echo(json.dumps(numbers.as_json(), ensure_ascii=False, indent=2))
    else:
        console = Console(highlight=False)
        for part in totals_table(numbers, figures_of(library.settings)):
            console.print(part)


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
@click.option(
    "--dot",
    metavar="PROGRAM",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Lay flowcharts out with this `dot` instead of the bundled program.",
)
@click.option("--workers", metavar="N", type=click.IntRange(1), help="Processes to work with (default: one a core).")
def build(library_dir: Path, out: Path, dot: Path | None, workers: int | None) -> None:
    """Build the site. A library with errors leaves the old site as it is."""
    started = perf_counter()
    with machine(), Workers(workers) as crew:
        library, findings = read_library(library_dir, advice=ADVICE, run_many=crew.run_many)
        show(findings)
        if library is None or has_errors(findings):
            click.echo(f"{summary(findings)}; the site is left as it was", err=True)
            sys.exit(LIBRARY_HAS_ERRORS)
        with fresh_folder(out) as folder, progress(len(library.playbooks)) as advance:
            pages = write_site(library, library_dir, folder, dot, crew.run_job(advance))
    seconds = perf_counter() - started
    playbooks = len(library.playbooks)
    click.echo(f"{out}: {playbooks} playbooks, {pages} pages, {seconds:.1f} s, {summary(findings)}")


@contextmanager
def progress(total: int) -> Iterator[Callable[[int], None]]:
    """A bar on a terminal, nothing elsewhere; gives a function that takes how many playbooks are done more."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield lambda done: None
        return
    columns = TextColumn("Playbooks"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn()
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=total)
        yield lambda done: bar.advance(task, done)


def sound_library(library_dir: Path) -> Library:
    """The library, where it has no errors; else shows the findings and ends with exit code 1."""
    with machine():
        library, findings = read_library(library_dir)
    if library is None or has_errors(findings):
        show(findings)
        click.echo(summary(findings), err=True)
        sys.exit(LIBRARY_HAS_ERRORS)
    return library
