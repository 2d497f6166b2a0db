"""`droplight order`: what would be cheaper to do first, and how sure that is."""

import difflib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import click
from rich.text import Text

from builder.commands.options import library_option
from builder.commands.shared import known_playbook, sound_library
from builder.draw.figures import figures_of
from builder.format.rewrite import RewriteError, rewritten
from builder.publish.files import write_over
from builder.read.records import Library, Playbook
from builder.reckon.order.changes import changes
from builder.reckon.order.orders import Orders, in_shape, orders_of
from builder.reckon.order.sensitivity import guesses
from builder.reckon.order.shape import written_shape
from builder.report.orders import changes_told, guesses_told, orders_table
from builder.streams import console, echo

GAIN: Final = 1e-6
"""What a new order must save, as a share of the cost, to be written."""

ROUNDS: Final = 8
"""A better order is looked for again from each that was found, at most so often."""


@click.command()
@library_option
@click.argument("slug")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object with full precision.")
@click.option("--write", is_flag=True, help="Write the playbook-shaped order into the file: only `start` and `next`.")
def order(library_dir: Path, slug: str, as_json: bool, write: bool) -> None:
    """Say what the steps of the playbook SLUG cost in the end in this order and in better ones."""
    library = sound_library(library_dir)
    playbook = known_playbook(library, slug)
    found = orders_of(playbook, library.catalogue, library.settings)
    if found is None:
        raise click.UsageError(f"the playbook `{slug}` gives no shares or no chances, so no order can be compared")
    if as_json:
        echo(json.dumps(found.as_json(slug, library.settings.currency), indent=2))
    else:
        _tell(library, playbook, found, _file(library_dir, playbook))
    if write:
        _write(library, playbook, found, _file(library_dir, playbook))


def _tell(library: Library, playbook: Playbook, found: Orders, file: Path) -> None:
    paper = console()
    figures = figures_of(library.settings)
    for part in orders_table(playbook.slug, found, figures):
        paper.print(part)
    stands = written_shape(playbook, found.problem)
    if stands is None:
        return
    if found.written is not None:
        for line in changes_told(found, changes(found.problem, stands, found.shape)):
            paper.print(line)
        for changed in _diff(file, found):
            paper.print(Text(changed))
    cost = found.playbook_shaped if found.written is None else found.written
    for line in guesses_told(guesses(playbook, library.catalogue, library.settings, stands), cost, figures):
        paper.print(line)


def _diff(file: Path, found: Orders) -> Iterator[str]:
    """The lines of `start` and `next` as they are and as they would be."""
    text = _text(file)
    try:
        new = rewritten(text, *found.shape.as_json(found.problem))
    except RewriteError as error:
        yield str(error)
        return
    lines = difflib.unified_diff(text.splitlines(), new.splitlines(), n=0, lineterm="")
    yield from list(lines)[2:]


def _write(library: Library, playbook: Playbook, found: Orders, file: Path) -> None:
    if found.written is None:
        echo(f"{file}: its order is worked out by every build; there is nothing to write", err=True)
        return
    best = _improved(library, playbook, found)
    saved = found.written - best.playbook_shaped
    if saved <= GAIN * found.written:
        echo(f"{file}: nothing is gained; the file stays as it is", err=True)
        return
    text = _text(file)
    try:
        new = rewritten(text, *best.shape.as_json(best.problem))
    except RewriteError as error:
        raise click.UsageError(f"{file}: {error}") from error
    write_over(file.resolve(), new)
    money = figures_of(library.settings).money(saved)
    echo(f"{file}: `start` and `next` are written anew; that saves {money} on average in the end", err=True)


def _improved(library: Library, playbook: Playbook, found: Orders) -> Orders:
    """The orders from which no better playbook-shaped one is found: what is written once stays as it is."""
    for _ in range(ROUNDS):
        shaped = in_shape(playbook, found.problem, found.shape)
        again = orders_of(shaped, library.catalogue, library.settings)
        if again is None or again.playbook_shaped >= found.playbook_shaped * (1 - GAIN):
            return found
        playbook, found = shaped, again
    return found


def _file(library_dir: Path, playbook: Playbook) -> Path:
    return library_dir / playbook.path


def _text(file: Path) -> str:
    """The text of a file with its line ends, and with the mark at its beginning if it has one."""
    return file.read_bytes().decode("utf-8")
