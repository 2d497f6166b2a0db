"""The feed: which playbooks changed last, for programs that watch sites (Atom, RFC 4287)."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from builder.publish.pages import address
from builder.read.history import History
from builder.read.records import Library

FEED: Final = "feed.xml"
MOST: Final = 50
"""The most entries of the feed."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A playbook that changed. ``name`` is its id, which stays when the playbook gets another slug."""

    name: str
    page: str
    title: str
    summary: str
    area: str
    updated: str


def feed_of(library: Library, history: History) -> list[Entry]:
    """The newest entries first; none where the library has no address or no playbook is in a commit."""
    site = (library.settings.site_url or "").rstrip("/")
    return list(_entries(library, history, site)) if site else []


def why_no_feed(library: Library, history: History) -> str:
    """Why a site whose address is known has no feed; empty where it has one, or no address."""
    if not library.settings.site_url or feed_of(library, history):
        return ""
    return "the site has no feed: no playbook is in a commit of a Git repository, so nothing says when one changed"


def _entries(library: Library, history: History, site: str) -> Iterator[Entry]:
    dates = {slug: history.changed.get(book.path) for slug, book in library.playbooks.items()}
    dated = sorted((-date, slug) for slug, date in dates.items() if date is not None)
    for date, slug in dated[:MOST]:
        book = library.playbooks[slug]
        yield Entry(
            name=f"{site}/{address.page('playbook', (*book.was, slug)[0])}",
            page=f"{site}/{address.page('playbook', slug)}",
            title=book.title,
            summary=book.symptom.summary,
            area=library.settings.areas[book.area].title,
            updated=datetime.fromtimestamp(-date, UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        )
