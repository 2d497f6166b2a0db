"""The door: commands, exit codes, progress. Results go to stdout, findings to stderr."""

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, TypeVar

import click
from rich.console import Console

from builder import __version__
from builder.read.findings import Finding, has_errors, near_miss
from builder.read.library import read_library
from builder.read.records import Library
from builder.read.report import as_text, summary
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
        _, findings = read_library(library_dir)
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


def sound_library(library_dir: Path) -> Library:
    """The library, where it has no errors; else shows the findings and ends with exit code 1."""
    with machine():
        library, findings = read_library(library_dir)
    if library is None or has_errors(findings):
        show(findings)
        click.echo(summary(findings), err=True)
        sys.exit(LIBRARY_HAS_ERRORS)
    return library
