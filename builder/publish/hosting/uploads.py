"""Uploads: what an object store must be told of each file, in an order in which no page comes before what it needs."""

from collections.abc import Iterable
from pathlib import PurePosixPath
from typing import Final

from builder.publish.hosting.feed import FEED
from builder.publish.hosting.offline import FILE_LIST, SERVICE_WORKER
from builder.publish.pages.address import ARCHIVE

UPLOADS_FILE: Final = "uploads.tsv"

FOR_EVER: Final = "public, max-age=31536000, immutable"
"""For files that are named by what is in them (RFC 8246)."""

ASK_FIRST: Final = "no-cache"
"""Keep it, but ask whether it is still the newest (RFC 9111, section 5.2.2.4)."""

TYPES: Final = {
    "avif": "image/avif",
    "css": "text/css; charset=utf-8",
    "csv": "text/csv; charset=utf-8",
    "gif": "image/gif",
    "html": "text/html; charset=utf-8",
    "jpeg": "image/jpeg",
    "jpg": "image/jpeg",
    "js": "text/javascript; charset=utf-8",
    "json": "application/json",
    "md": "text/markdown; charset=utf-8",
    "mp4": "video/mp4",
    "pdf": "application/pdf",
    "png": "image/png",
    "svg": "image/svg+xml",
    "txt": "text/plain; charset=utf-8",
    "webm": "video/webm",
    "webmanifest": "application/manifest+json",
    "webp": "image/webp",
    "xml": "application/xml",
    "zip": "application/zip",
}
"""Media types by suffix, as registered with IANA; a table of our own, for those of systems differ."""

OTHER: Final = "application/octet-stream"

_LAST: Final = (ARCHIVE, FILE_LIST, SERVICE_WORKER)
"""What stands for the whole site; the service worker takes the list that is there."""


def media_type(name: str) -> str:
    """The media type of a file by its name."""
    if name == FEED:
        return "application/atom+xml"
    return TYPES.get(PurePosixPath(name).suffix.removeprefix(".").lower(), OTHER)


def lifetime(name: str) -> str:
    """The `Cache-Control` of a file: names of assets change with their bytes, all others are asked for anew."""
    return FOR_EVER if name.startswith("assets/") else ASK_FIRST


def uploads_text(names: Iterable[str]) -> str:
    """One file a line: its name, its media type and its ``Cache-Control``, with tabs between them.

    A name with a tab or a line feed could pass for more than one file; files with such names are left out.
    """
    plain = sorted(filter(str.isprintable, names), key=_turn)
    return "".join(f"{name}\t{media_type(name)}\t{lifetime(name)}\n" for name in plain)


def _turn(name: str) -> tuple[int, str]:
    """First what pages need, then pages, then what stands for the whole site."""
    if name in _LAST:
        return 3 + _LAST.index(name), name
    if name.startswith("assets/"):
        return 0, name
    return 2 if name.endswith(".html") else 1, name
