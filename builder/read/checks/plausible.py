"""Plausibility: what may be right and seldom is. All are warnings, which `accept` answers with a reason."""

import re
from collections.abc import Iterator
from statistics import median
from typing import Final

from builder.read.catalogue import CatalogueFiles
from builder.read.checks.references import work_at
from builder.read.findings import WARNING, Finding
from builder.read.nodes import Location, Node
from builder.read.reading import Reading

WORKING_DAY: Final = {"owner": 480, "shop": 1440}
"""Minutes of hands-on work above which a time is asked about, by who does it: a day of 8 h, and three in a workshop."""

TIMES_MEDIAN: Final = 10
"""How many times the median of the catalogue a price is that is asked about."""

FEWEST: Final = 3
"""Prices of the catalogue below which a median says nothing."""

UNFINISHED: Final = re.compile(r"\b(?:TODO|FIXME|XXX|TBD|TBC)\b|\?\?\?")
"""Marks by which people note that something is missing."""

DRAFT_TEXTS: Final = frozenset(
    {
        "What the owner notices, in one sentence.",
        "How else owners say it",
        "The likeliest cause",
        "The next likeliest cause",
        "Begin with what is quick and costs nothing",
        "How to do it, and what is good and what is bad.",
        "What one sees when it is the likeliest cause",
        "What one sees when it is not",
        "Tell the next likeliest cause apart",
        "What one sees when it is the next likeliest cause",
        "Put the likeliest cause right",
        "What one trial is, such as a cold start",
        "How to do it.",
        "Put the next likeliest cause right",
        "What the workshop will look for, and what it needs to know.",
    }
)
"""What a new playbook says until somebody fills it in."""


def long_work(reading: Reading) -> Iterator[Finding]:
    """A step or an ending that takes more than a day of hands-on work, or more than three of a workshop's."""
    for location, work in work_at(reading):
        at = (*location, "time")
        if work.time.likely > WORKING_DAY[work.who] and reading.has(at) and not reading.is_lost(at):
            message = f"`{location[-1]}` takes {work.time.likely / 60:.3g} h of hands-on work"
            hint = (
                "mend the unit, or write what passes without hands as `wait`; if it is right, answer with "
                "`accept: {long-work: why}`"
            )
            yield reading.finding(at, "long-work", message, hint, WARNING)


def same_words(reading: Reading) -> Iterator[Finding]:
    """Results of a step that say the same: nobody can tell which of them they see."""
    for name, step in reading.playbook.steps.items():
        first: dict[str, str] = {}
        for key, result in step.results.items():
            words = " ".join(result.expect.casefold().split()).rstrip(".")
            if words and words in first:
                message = f"the results `{first[words]}` and `{key}` say the same"
                hint = "say in `expect` what sets them apart"
                at = ("steps", name, "results", key)
                yield reading.finding(at, "same-words", message, hint, WARNING, key=True)
            first.setdefault(words, key)


def named_twice(reading: Reading) -> Iterator[Finding]:
    """A tool, an access job or a hazard that a step or an ending names twice."""
    for location, _ in work_at(reading):
        for kind in ("tools", "access", "hazards"):
            seen: set[str] = set()
            for at, name in reading.names((*location, kind)):
                if name in seen:
                    yield reading.finding(at, "named-twice", f"`{name}` stands here twice", "delete one", WARNING)
                seen.add(name)


def unfinished(reading: Reading) -> Iterator[Finding]:
    """A mark that something is missing."""
    for at, node in _texts(reading.node, ()):
        if mark := UNFINISHED.search(node.text):
            message = f"`{mark[0]}` still stands in this text"
            yield reading.finding(at, "unfinished", message, "finish the text, or delete the mark", WARNING)


def draft_text(reading: Reading) -> Iterator[Finding]:
    """A text that stands as the draft had it."""
    for at, node in _texts(reading.node, ()):
        if node.text.strip() in DRAFT_TEXTS:
            message = f"`{node.text.strip()}` is still the text of the draft"
            yield reading.finding(at, "draft-text", message, "say what holds for this playbook", WARNING)


def _texts(node: Node, at: Location) -> Iterator[tuple[Location, Node]]:
    """Every text of a tree with its location."""
    if node.kind == "text":
        yield at, node
    inner: list[tuple[str | int, Node]] = [*enumerate(node.items), *node.entries.items()]
    for key, one in inner:
        yield from _texts(one, (*at, key))


def dear_prices(files: CatalogueFiles) -> Iterator[Finding]:
    """Parts and tools that cost many times what others of the catalogue do."""
    priced = [(kind, name, one) for kind in ("parts", "tools") for name, one in getattr(files.catalogue, kind).items()]
    prices = [one.price.likely for *_, one in priced if one.price.likely > 0]
    usual = median(prices) if len(prices) >= FEWEST else float("inf")
    for kind, name, one in priced:
        if one.price.likely > TIMES_MEDIAN * usual and "dear-price" not in one.accept:
            source, _ = files.places[kind, name]
            place = files.nodes[kind, name].at(("price",))
            message = f"`{name}` costs more than {TIMES_MEDIAN} times the median of the catalogue, {usual:g}"
            hint = "mend the price, or answer with `accept: {dear-price: why}`"
            yield source.finding(place.line, place.column, "dear-price", message, hint, WARNING)
