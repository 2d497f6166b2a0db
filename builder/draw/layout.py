"""Layout: a DOT graph to SVG by a layout program, which need not be on the PATH."""

import subprocess
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, files
from pathlib import Path
from typing import Final
from xml.etree import ElementTree as ET

from builder.draw.svg import SVG

PROGRAM: Final = "graphviz-pure"
TIMEOUT: Final = 120
"""Seconds after which a layout counts as failed."""


class LayoutError(Exception):
    """The layout program is missing or failed."""


@lru_cache(maxsize=1)
def bundled_program() -> Path:
    """Where the package of the layout program put it.

    Raises:
        LayoutError: it is not installed.
    """
    try:
        listed = files(PROGRAM) or []
    except PackageNotFoundError:
        listed = []
    for file in listed:
        if file.stem == PROGRAM and Path(str(file.locate())).is_file():
            return Path(str(file.locate())).resolve()
    raise LayoutError(f"the layout program is missing; install the package `{PROGRAM}`, or name one with --dot")


def lay_out(source: str, program: Path | None = None) -> ET.Element:
    """The SVG of a DOT graph, laid out by the bundled program or by another ``dot``.

    Raises:
        LayoutError: the program cannot be run, ends with an error, takes too long or gives no SVG.
    """
    command = [str(program or bundled_program()), "-Kdot", "-Tsvg"]
    try:
        done = subprocess.run(command, input=source.encode(), capture_output=True, check=True, timeout=TIMEOUT)
    except OSError as error:
        raise LayoutError(f"the layout program `{command[0]}` cannot be run: {error.strerror}") from error
    except subprocess.TimeoutExpired as error:
        raise LayoutError(f"the layout program `{command[0]}` took more than {TIMEOUT} s") from error
    except subprocess.CalledProcessError as error:
        said = error.stderr.decode(errors="replace").strip().splitlines()
        reason = said[-1] if said else f"exit code {error.returncode}"
        raise LayoutError(f"the layout program `{command[0]}` failed: {reason}") from error
    try:
        drawing = ET.fromstring(done.stdout)  # noqa: S314 - by the program that the caller trusts with every label
    except ET.ParseError as error:
        raise LayoutError(f"the layout program `{command[0]}` gave no SVG: {error}") from error
    if drawing.tag != f"{{{SVG}}}svg":
        raise LayoutError(f"the layout program `{command[0]}` gave no SVG")
    return drawing
