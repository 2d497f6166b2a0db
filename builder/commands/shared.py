"""What several commands do: show findings, tell notes, read a sound library, show progress."""

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from builder.read.findings import Finding, near_miss, shown
from builder.read.library import read_library
from builder.read.records import Library, Playbook
from builder.reckon.advice import arrange
from builder.refusals import LIBRARY_HAS_ERRORS
from builder.report.text import as_text, inert, summary
from builder.streams import console, echo


def show(findings: Iterable[Finding]) -> None:
    """Print findings to stderr, each with its line and its hint."""
    paper = console(err=True)
    for finding in shown(list(findings)):
        paper.print(as_text(finding), end="")


def tell(note: str) -> None:
    """Say what whoever waits should know, beside results and findings."""
    echo(inert(note), err=True)


@contextmanager
def progress(total: int) -> Iterator[Callable[[], None]]:
    """A bar on a terminal, nothing elsewhere; gives a function to call for every playbook that is done."""
    paper = console(err=True)
    if not paper.is_terminal:
        yield lambda: None
        return
    columns = TextColumn("Playbooks"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn()
    with Progress(*columns, console=paper, transient=True) as bar:
        task = bar.add_task("", total=total)
        yield lambda: bar.advance(task)


def sound_library(library_dir: Path) -> Library:
    """The library, where it has no errors; else shows the findings and ends with exit code 1."""
    read = read_library(library_dir, appraise=arrange)
    if read.sound is None:
        show(read.findings)
        echo(summary(read.findings), err=True)
        sys.exit(LIBRARY_HAS_ERRORS)
    return read.sound


def known_playbook(library: Library, slug: str) -> Playbook:
    """The playbook of a slug; wrong usage where there is none, with the nearest."""
    if slug not in library.playbooks:
        raise click.UsageError(f"no playbook `{slug}`; {near_miss(slug, library.playbooks)}".rstrip("; "))
    return library.playbooks[slug]
