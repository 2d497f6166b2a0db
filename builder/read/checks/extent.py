"""Extent: what is within its limit in every field and too much as a whole."""

from collections.abc import Iterator
from typing import Final

from builder.read import extent, limits
from builder.read.checks.references import work_at
from builder.read.findings import WARNING, Finding
from builder.read.limits import Limit
from builder.read.nodes import Location
from builder.read.prose import links_and_html
from builder.read.reading import Reading

CALLED: Final = {"tools": "tools", "access": "access jobs"}


def too_many(reading: Reading) -> Iterator[Finding]:
    """Results of all steps, kinds of tools and of access jobs, and files are not more than their limits."""
    book = reading.playbook
    yield from _over(reading, limits.EDGES, extent.edges_of(book), "the steps have {} results together", ("steps",))
    for kind, called in CALLED.items():
        count = len(extent.kinds_of(book, kind))
        yield from _over(reading, limits.KINDS, count, f"the playbook needs {{}} {called}", ("steps",))
    files = {
        link.path_from(book.area)
        for _, work in work_at(reading)
        for link in links_and_html(work.do or "")[0]
        if link.is_relative and not link.target.startswith("#") and not link.path_from(book.area).endswith(".yaml")
    }
    yield from _over(reading, limits.FILES, len(files), "the playbook leads to {} files", ("steps",))


def too_heavy(reading: Reading) -> Iterator[Finding]:
    """What the page of a playbook shows is not more than its limit."""
    count = extent.shown_of(reading.playbook, reading.catalogue)
    yield from _over(reading, limits.SHOWN, count, "the playbook's page would show {} characters", ())


def too_fine(reading: Reading) -> Iterator[Finding]:
    """Chances are exact along every path; their digits are not more than their limit."""
    count = extent.digits_of(reading.playbook)
    said = "the chances of a path would have {} binary digits"
    yield from _over(reading, limits.DIGITS, count, said, ("steps",))


def flowchart_left_out(reading: Reading) -> Iterator[Finding]:
    """A flowchart can be laid out and read."""
    book = reading.playbook
    if book.start is None or not reading.whole:
        return
    count = extent.places_of(book)
    if count > limits.DRAWN.most:
        message = f"the flowchart is left out: its lines pass {count} places"
        hint = f"let results lead to near steps, or split the playbook; {limits.DRAWN.hint}"
        yield reading.finding(("steps",), "flowchart-left-out", message, hint, WARNING, key=True)


def _over(reading: Reading, limit: Limit, count: int, said: str, location: Location) -> Iterator[Finding]:
    if count > limit.most:
        hint = f"split the playbook; {limit.hint}"
        yield reading.finding(location, "too-many", said.format(count), hint, key=bool(location))
