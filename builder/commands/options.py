"""Options that several commands have."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar

import click

from builder.publish.pages.theme import BUILT_IN, NoThemeError, Theme, theme_at

F = TypeVar("F", bound=Callable[..., Any])


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
