"""`droplight preview`: serve and rebuild while somebody writes."""

import sys
from pathlib import Path

import click

from builder.commands.options import dot_option, library_option, theme_option
from builder.commands.shared import show
from builder.preview.preview import Preview
from builder.preview.serve import Server, serve
from builder.publish.crew import Workers
from builder.publish.pages.theme import Theme
from builder.refusals import DONE, MachineFailed
from builder.report.text import summary
from builder.streams import echo


@click.command("preview")
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
