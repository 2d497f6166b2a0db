"""The demo library as a build reads it: the best order worked out where a playbook asks for it."""

from functools import cache
from pathlib import Path
from typing import Final

from builder.read.library import read_library
from builder.read.records import Library
from builder.reckon.advice import arrange

FOLDER: Final = Path(__file__).resolve().parents[1] / "playbooks"


@cache
def demo_library() -> Library:
    """The demo, read once in a process.

    Raises:
        AssertionError: it has errors.
    """
    library = read_library(FOLDER, appraise=arrange).library
    assert library is not None
    return library
