"""`droplight compare`: what a change means."""

import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import click

from builder.commands.options import library_option_of
from builder.compare.compare import compare
from builder.publish.crew import Workers
from builder.read.findings import has_errors
from builder.read.library import LibraryRead, read_library
from builder.read.revisions import revision_folder
from builder.reckon.advice import appraise
from builder.refusals import DONE, LIBRARY_HAS_ERRORS
from builder.report.markdown import NOT_COMPARED, as_markdown
from builder.report.text import summary
from builder.streams import echo


@click.command("compare")
@library_option_of("With --git: the folder that holds the library in both revisions.")
@click.option("--git", "by_revision", is_flag=True, help="OLD and NEW are revisions of the repository around DIR.")
@click.argument("old")
@click.argument("new", required=False)
def compare_libraries(library_dir: Path, by_revision: bool, old: str, new: str | None) -> None:
    """Say what a change from OLD to NEW (two folders, or revisions with --git) means, as Markdown.

    With --git and without NEW, the library as it stands in the folder is the new one, uncommitted work and all. What
    warns less than before comes first. Exit code 1 if NEW has errors.
    """
    if new is None and not by_revision:
        raise click.UsageError("name NEW, the folder to compare with; to compare uncommitted work: compare --git HEAD")
    open_old = _revision_side(library_dir) if by_revision else _folder_side
    open_new = open_old if new is not None else _folder_side
    with failing_closed(), open_old(old) as before, open_new(new or str(library_dir)) as after:
        text = as_markdown(compare(before, after))
    echo(text, end="")
    echo(f"the new library: {summary(after.findings)}", err=True)
    sys.exit(LIBRARY_HAS_ERRORS if has_errors(after.findings) else DONE)


@contextmanager
def failing_closed() -> Iterator[None]:
    """Where libraries cannot be compared, the report says so, lest an empty one be taken for "nothing is lost"."""
    try:
        yield
    except Exception as error:
        if not isinstance(error, click.UsageError):
            echo(NOT_COMPARED, end="")
        raise


@contextmanager
def _folder_side(name: str) -> Iterator[LibraryRead]:
    if not Path(name).is_dir():
        raise click.UsageError(f"{name!r} is not a folder; to compare revisions, add --git")
    yield _side(Path(name), Path(name))


def _revision_side(library_dir: Path) -> Callable[[str], AbstractContextManager[LibraryRead]]:
    if not library_dir.is_dir():
        raise click.UsageError(f"{str(library_dir)!r} is not a folder")

    @contextmanager
    def open_side(revision: str) -> Iterator[LibraryRead]:
        with revision_folder(library_dir, revision) as folder:
            yield _side(folder, library_dir)

    return open_side


def _side(folder: Path, shown: Path) -> LibraryRead:
    with Workers() as crew:
        return read_library(folder, shown.as_posix(), appraise, crew.run)
