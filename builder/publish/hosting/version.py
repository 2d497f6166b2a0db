"""The version of a library, in one file that pages read: a commit that changes no page changes no other file."""

from typing import Final

from builder.publish.data.model import data_file
from builder.read.history import NO_HISTORY, History

VERSION_FILE: Final = "version.js"
"""It stands at the top, where no playbook's name can take its place; no list of files holds it, nor its hash."""


def version_text(contents: str, history: History = NO_HISTORY) -> str:
    """The commit in short, empty where there is none, whether the library differs from it, and the site's contents."""
    return data_file("version", "", {"commit": history.version, "dirty": history.is_dirty, "contents": contents})
