"""Refusals: what ends a command before it is done, as one line and an exit code. Nothing ends in a traceback.

Exit code 1 is kept for libraries with errors, on which recipes rely: a defect of the program must never look like one.
"""

import platform
import traceback
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import click

from builder import __version__
from builder.draw.layout import LayoutError
from builder.publish.guard import BannerError
from builder.publish.pages.theme import ThemeError
from builder.publish.swap import ForeignFolderError
from builder.publish.target.lock import LockError
from builder.read.git import GitError
from builder.read.revisions import RevisionError
from builder.report.text import printable
from builder.streams import ending_well, prepare

DONE: Final = 0
LIBRARY_HAS_ERRORS: Final = 1
MACHINE_FAILED: Final = 3

ROOM: Final = Path(__file__).parent

LONGEST: Final = 200
"""Most characters of what a defect says of itself; it may cite a whole file."""


class MachineFailed(click.ClickException):
    """The machine, not the library or the caller, is at fault: disk full, no permission, layout program missing."""

    exit_code = MACHINE_FAILED


@contextmanager
def naming_refusals() -> Iterator[None]:
    """Turns what the machine refuses, and defects of the program, into a clear message and exit code 3."""
    try:
        yield
    except (BrokenPipeError, click.ClickException, click.exceptions.Exit, click.Abort):
        raise
    except (LayoutError, GitError, LockError) as error:
        raise MachineFailed(str(error)) from error
    except (ForeignFolderError, RevisionError) as error:
        raise click.UsageError(str(error)) from error
    except (ThemeError, BannerError) as error:
        raise click.ClickException(f"the theme is at fault: {error}") from error
    except BrokenProcessPool as error:
        raise MachineFailed("a worker process was killed; perhaps the memory is full") from error
    except MemoryError as error:
        raise MachineFailed("the memory is full") from error
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        raise MachineFailed(f"{place}{error.strerror or error}") from error
    except Exception as error:
        raise MachineFailed(_defect(error)) from error


def _defect(error: Exception) -> str:
    """One line on a defect of the program: what happened, where, and how to report it."""
    said = printable(f"{type(error).__name__}: {error}"[:LONGEST])
    versions = f"Droplight {__version__}, Python {platform.python_version()}"
    return (
        f"a defect of Droplight, not of your library: {said} ({_place(error)}; {versions}). "
        "Please report this line to whoever gave you Droplight, with the file that it happens with"
    )


def _place(error: BaseException) -> str:
    """The innermost place of this program in a traceback; that of a worker process comes along as text."""
    told = getattr(error.__cause__, "tb", "")
    lines = [line.split('"') for line in str(told).splitlines() if line.startswith("  File ")]
    places = [(parts[1], parts[2].split(",")[1].removeprefix(" line ")) for parts in lines]
    places = places or [(frame.filename, str(frame.lineno)) for frame in traceback.extract_tb(error.__traceback__)]
    own = [(Path(file), line) for file, line in places if Path(file).is_relative_to(ROOM)]
    return f"builder/{own[-1][0].relative_to(ROOM).as_posix()}:{own[-1][1]}" if own else "place unknown"


class Door(click.Group):
    """The commands, in each of which the machine may refuse: to read, to write, or to take what is printed."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """The program: its streams take every text, and an interrupt ends it."""
        prepare()
        return super().main(*args, **kwargs)

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; what the machine refuses becomes a message and an exit code."""
        with naming_refusals(), ending_well():
            return super().invoke(ctx)
