"""`droplight draft`: a new playbook to fill in."""

import sys
from collections.abc import Mapping
from pathlib import Path

import click

from builder.commands.options import library_option_of
from builder.commands.shared import show
from builder.format.draft import Draft, DraftError, drafted, words_of
from builder.publish.files import write_new
from builder.read.findings import in_ticks
from builder.read.folder import SETTINGS, Folder, list_playbooks
from builder.read.library import read_library
from builder.read.records import Library
from builder.refusals import LIBRARY_HAS_ERRORS
from builder.report.text import summary
from builder.streams import echo


@click.command()
@library_option_of("The folder that holds the library; an empty or missing one becomes a new library.", file_okay=False)
@click.option("--area", metavar="AREA", help="The area of the playbook.")
@click.option("--title", metavar="TEXT", help="The symptom in a few words (default: the slug in words).")
@click.option("--new", "founds", is_flag=True, help="Found a new library though there is one beside it.")
@click.argument("slug")
def draft(library_dir: Path, slug: str, area: str | None, title: str | None, founds: bool) -> None:
    """Start the playbook SLUG: a file to fill in that has shares, chances and no errors."""
    library, taken = _library_to_add_to(library_dir)
    asks = sys.stdin.isatty()
    if library is None:
        _may_found(library_dir, founds=founds, asks=asks)
    if area is None and not asks:
        known = in_ticks(library.settings.areas) if library else "any, such as `cooling`"
        raise click.UsageError(f"name the area with --area; known: {known}")
    if area is None:
        area = click.prompt("Area", type=click.Choice(list(library.settings.areas)) if library else None)
    if title is None:
        title = click.prompt("Title", default=words_of(slug)) if asks else words_of(slug)
    wish = Draft(slug, area, title)
    try:
        _write_all(library_dir, drafted(wish, library, taken))
    except DraftError as error:
        raise click.UsageError(str(error)) from error
    command = "check" if library_dir == Path("playbooks") else f"check --library {library_dir}"
    echo(f"{library_dir / wish.path}: fill it in, then run `droplight {command}`")
    if library is None:
        echo(f"{library_dir} is a new library: put its title, currency, labour rate and areas into {SETTINGS} there")


def _may_found(library_dir: Path, *, founds: bool, asks: bool) -> None:
    """Ends where a new library would stand in another; beside another one, it takes a word that it is meant."""
    place = library_dir.resolve()
    for above in place.parents:
        if (above / SETTINGS).is_file():
            message = f"{library_dir} would be a new library within the library {above}; name that with --library"
            raise click.UsageError(message)
    beside = next((other for other in _folders(place.parent) if (other / SETTINGS).is_file()), None)
    if beside is None or founds:
        return
    question = f"there is no library {library_dir}, but {beside.name} beside it"
    if asks and click.confirm(f"{question[0].upper()}{question[1:]}. Found a new one", default=False):
        return
    raise click.UsageError(f"{question}: add to that with --library {beside}, or found a new one with --new")


def _folders(place: Path) -> list[Path]:
    try:
        return sorted(path for path in place.iterdir() if path.is_dir())
    except OSError:
        return []


def _write_all(library_dir: Path, files: Mapping[str, str]) -> None:
    for name, text in files.items():
        try:
            write_new(library_dir / name, text)
        except FileExistsError as error:
            raise click.UsageError(f"{error.filename} is there already, and stays as it is") from error


def _library_to_add_to(library_dir: Path) -> tuple[Library | None, dict[str, str]]:
    """The library, ``None`` where none has begun, and what uses each slug; ends where its settings are broken."""
    folder = Folder(library_dir, library_dir.as_posix())
    if not library_dir.exists() or not folder.entries():
        return None, {}
    read = read_library(library_dir)
    library = read.library
    if library is None:
        show(read.findings)
        echo(summary(read.findings), err=True)
        sys.exit(LIBRARY_HAS_ERRORS)
    listed = list_playbooks(folder, library.settings.areas).files
    old = {slug: f"{book.slug} had it before" for book in library.playbooks.values() for slug in book.was}
    return library, {**old, **{file.slug: file.name for file in listed}}
