"""Streams: what is printed, in any encoding and to any reader, and the interrupt that ends a command.

Results are in the encoding of the terminal or the pipe. A character that it does not have is written in others that say
the same, so that no command fails at a printer's mark.
"""

import codecs
import os
import signal
import sys
import threading
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Final, NoReturn

import click
from rich.console import Console

INTERRUPTED: Final = 128 + signal.SIGINT
READER_LEFT: Final = 141
"""Exit codes as shells give them for an interrupt and for a reader that leaves early (POSIX.1, 2.8.2: 128 and more)."""

PLAINLY: Final = "droplight-plainly"

SUBSTITUTES: Final = {
    "→": "->",
    "←": "<-",
    "↔": "<->",
    "…": "...",
    "–": "-",
    "—": "-",
    "−": "-",
    "»": ">>",
    "«": "<<",
    "·": "-",
    "•": "*",
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "„": '"',
    "×": "x",
    "≤": "<=",
    "≥": ">=",
    "≈": "~",
    "±": "+/-",
    "€": "EUR ",
    "£": "GBP ",
    "¥": "JPY ",
    "°": " deg ",
    "Ω": "Ohm",
    "µ": "u",
    "ß": "ss",
    "ä": "ae",
    "ö": "oe",
    "ü": "ue",
    "Ä": "Ae",
    "Ö": "Oe",
    "Ü": "Ue",
}
"""What to write for a character that an encoding does not have."""


def plainly(text: str) -> str:
    """Characters in ASCII: what says the same, a letter without its marks, else the code point."""
    return "".join(SUBSTITUTES.get(char) or _bare(char) for char in text)


def _bare(char: str) -> str:
    plain = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode()
    return plain or char.encode("ascii", "backslashreplace").decode()


def _on_error(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return plainly(error.object[error.start : error.end]), error.end


def prepare() -> None:
    """Lets both streams print every text, and an interrupt end the program even where it was started to ignore it."""
    codecs.register_error(PLAINLY, _on_error)
    for stream in (sys.stdout, sys.stderr):
        if reconfigure := getattr(stream, "reconfigure", None):
            reconfigure(errors=PLAINLY)
    is_main = threading.current_thread() is threading.main_thread()
    if is_main and signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def echo(text: str, *, err: bool = False, end: str = "\n") -> None:
    """Print a text: results to stdout, what goes beside them to stderr."""
    print(text, file=sys.stderr if err else sys.stdout, end=end, flush=err)


class _Console(Console):
    """A console that tells of a reader who left, where it would say that the library has errors."""

    def on_broken_pipe(self) -> NoReturn:
        raise BrokenPipeError


def console(*, err: bool = False) -> Console:
    """The console for tables (stdout) or findings (stderr), with long lines left whole."""
    return _Console(stderr=err, soft_wrap=err, highlight=False)


@contextmanager
def ending_well() -> Iterator[None]:
    """Ends with the exit code of an interrupt, or of a reader that left early, and without a word on the way."""
    try:
        try:
            yield
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        _turn_away()
        sys.exit(READER_LEFT)
    except (KeyboardInterrupt, click.Abort):
        with suppress(OSError):
            echo("stopped", err=True)
        sys.exit(INTERRUPTED)


def _turn_away() -> None:
    """Lets what is still to be printed go nowhere, so that nobody complains of it at the end."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (sys.stdout, sys.stderr):
            try:
                stream.flush()
            except BrokenPipeError:
                os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
