"""The door: commands, exit codes, progress. Results go to stdout, findings to stderr."""

import json
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import replace
from pathlib import Path
from time import perf_counter
from typing import Any, Final, TypeVar

import click
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from builder import __version__
from builder.compare.compare import compare
from builder.draw.figures import figures_of
from builder.format.draft import Draft, DraftError, drafted, words_of
from builder.format.schema import FILES, schema_text
from builder.preview.preview import Preview
from builder.preview.serve import Server, serve
from builder.publish.crew import Workers
from builder.publish.files import write_new, write_over
from builder.publish.pages.theme import BUILT_IN, NoThemeError, Theme, theme_at
from builder.publish.site import write_site
from builder.publish.swap import fresh_folder
from builder.read.findings import Finding, has_errors, near_miss
from builder.read.folder import Folder, list_playbooks
from builder.read.git import repository_of
from builder.read.history import read_history
from builder.read.library import LibraryRead, read_library
from builder.read.linked import linked_files
from builder.read.records import Library
from builder.read.revisions import revision_folder
from builder.reckon.advice import ADVICE
from builder.reckon.totals import totals_of
from builder.refusals import DONE, LIBRARY_HAS_ERRORS, Door, MachineFailed
from builder.report.annotations import FORMATS
from builder.report.markdown import NOT_COMPARED, as_markdown
from builder.report.table import totals_table
from builder.report.text import as_text, printable, summary
from builder.streams import console, say

F = TypeVar("F", bound=Callable[..., Any])


def show(findings: Iterable[Finding]) -> None:
    """Print findings to stderr, each with its line and its hint."""
    paper = console(err=True)
    for finding in findings:
        paper.print(as_text(finding), end="")


def tell(note: str) -> None:
    """Say what whoever waits should know, beside results and findings."""
    say(printable(note), err=True)


def library_option_of(words: str, **path: bool) -> Callable[[F], F]:
    """The option ``--library``, whose help are these words, for a path such as :class:`click.Path` takes."""
    kind = click.Path(path_type=Path, **path)
    names = ("--library", "library_dir")
    return click.option(*names, metavar="DIR", default="playbooks", show_default=True, type=kind, help=words)


library_option: Final = library_option_of("The folder that holds the library.", exists=True, file_okay=False)


def _theme(_: click.Context, option: click.Parameter, folder: Path | None) -> Theme:
    try:
        return theme_at(folder) if folder else BUILT_IN
    except NoThemeError as error:
        raise click.BadParameter(str(error), param=option) from error


theme_option: Final[Callable[[F], F]] = click.option(
    "--theme",
    metavar="DIR",
    callback=_theme,
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="A theme of your own; its templates and assets go before the built-in ones, one by one.",
)
dot_option: Final[Callable[[F], F]] = click.option(
    "--dot",
    metavar="PROGRAM",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Lay flowcharts out with this `dot` instead of the bundled program.",
)


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
        say(FORMATS[form](findings, repository_of(library_dir)), end="")
    say(summary(findings), err=True)
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
        say(json.dumps(numbers.as_json(), indent=2))
    else:
        paper = console()
        for part in totals_table(numbers, figures_of(library.settings)):
            paper.print(part)


@main.command("compare")
@library_option_of("With --git: the folder that holds the library in both revisions.")
@click.option("--git", "by_revision", is_flag=True, help="OLD and NEW are revisions of the repository around DIR.")
@click.argument("old")
@click.argument("new")
def compare_libraries(library_dir: Path, by_revision: bool, old: str, new: str) -> None:
    """Say what a change from OLD to NEW (two folders, or revisions with --git) means, as Markdown.

    What warns less than before comes first. Exit code 1 if NEW has errors.
    """
    open_side = _revision_side(library_dir) if by_revision else _folder_side
    with failing_closed(), open_side(old) as before, open_side(new) as after:
        comparison = compare(before, after)
        text = as_markdown(comparison)
    say(text, end="")
    say(f"the new library: {summary(after.findings)}", err=True)
    sys.exit(LIBRARY_HAS_ERRORS if has_errors(after.findings) else DONE)


@contextmanager
def failing_closed() -> Iterator[None]:
    """Where libraries cannot be compared, the report says so, lest an empty one be taken for "nothing is lost"."""
    try:
        yield
    except Exception as error:
        if not isinstance(error, click.UsageError):
            say(NOT_COMPARED, end="")
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
        read = read_library(folder, shown.as_posix(), ADVICE, crew.run)
    return replace(read, files=linked_files(read.library, folder)) if read.library else read


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
            say(f"{summary(read.findings)}; the site is left as it was", err=True)
            sys.exit(LIBRARY_HAS_ERRORS)
        history = read_history(library_dir, dates=bool(library.settings.site_url))
        if history.note:
            say(history.note, err=True)
        with progress(len(library.playbooks)) as advance:
            pages = write_site(library, library_dir, folder, dot, crew.run, history, theme, advance, archive)
    seconds = perf_counter() - started
    playbooks = len(library.playbooks)
    say(f"{out}: {playbooks} playbooks, {pages} pages, {seconds:.1f} s, {summary(read.findings)}")


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
        say(server.address)
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
    say(preview.problem or summary(preview.findings), err=True)


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
        say(schema_text(file), end="")
        return
    write_over(out, schema_text(file))


@main.command()
@library_option_of("The folder that holds the library; an empty or missing one becomes a new library.", file_okay=False)
@click.option("--area", metavar="AREA", help="The area of the playbook.")
@click.option("--title", metavar="TEXT", help="The symptom in a few words (default: the slug in words).")
@click.argument("slug")
def draft(library_dir: Path, slug: str, area: str | None, title: str | None) -> None:
    """Start the playbook SLUG: a file to fill in that has shares, chances and no findings."""
    library, taken = _library_to_add_to(library_dir)
    asks = sys.stdin.isatty()
    if area is None and not asks:
        known = ", ".join(f"`{name}`" for name in library.settings.areas) if library else "any, such as `cooling`"
        raise click.UsageError(f"name the area with --area; known: {known}")
    if area is None:
        area = click.prompt("Area", type=click.Choice(list(library.settings.areas)) if library else None)
    if title is None:
        title = click.prompt("Title", default=words_of(slug)) if asks else words_of(slug)
    wish = Draft(slug, area, title)
    try:
        files = drafted(wish, library, taken)
        _write_all(library_dir, files)
    except DraftError as error:
        raise click.UsageError(str(error)) from error
    command = "check" if library_dir == Path("playbooks") else f"check --library {library_dir}"
    say(f"{library_dir / wish.path}: fill it in, then run `droplight {command}`")


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
        say(summary(read.findings), err=True)
        sys.exit(LIBRARY_HAS_ERRORS)
    listed = list_playbooks(folder, library.settings.areas).files
    old = {slug: f"{book.slug} had it before" for book in library.playbooks.values() for slug in book.was}
    return library, {**old, **{file.slug: file.name for file in listed}}


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
    read = read_library(library_dir)
    if read.sound is None:
        show(read.findings)
        say(summary(read.findings), err=True)
        sys.exit(LIBRARY_HAS_ERRORS)
    return read.sound
