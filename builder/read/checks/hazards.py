"""Words that call for a hazard, and the answer to them."""

import re
from collections.abc import Iterator
from typing import Final

from builder.read.checks.references import work_at
from builder.read.findings import Finding
from builder.read.hazards import word_pattern
from builder.read.nodes import Location, Node
from builder.read.prose import plain_text
from builder.read.reading import Reading
from builder.read.records import Catalogue, Ending, Step

# Soft hyphen, zero-width characters and joiners: they can stand within a word and nobody sees them.
INVISIBLE: Final = re.compile("[\u00ad\u200b-\u200d\u2060-\u2064]")


def hazards_of(work: Step | Ending, catalogue: Catalogue) -> frozenset[str]:
    """Hazards of a step or ending, those of its access jobs included."""
    jobs = (catalogue.access[job] for job in work.access if job in catalogue.access)
    return frozenset(work.hazards).union(*(job.hazards for job in jobs))


def hazard_word(reading: Reading) -> Iterator[Finding]:
    patterns = {name: word_pattern(hazard.words) for name, hazard in reading.catalogue.hazards.items()}
    for location, work in work_at(reading):
        node = reading.node.at(location)
        if not _names_are_known(node, work, reading.catalogue):
            continue
        named = reading.catalogue.hazards_of(work) | work.no_hazards.keys()
        texts = list(_texts(node))
        together = "\n".join(shown for _, shown in texts)
        for name, pattern in patterns.items():
            if pattern and name not in named and pattern.search(together):
                yield from _first_use(reading, location, texts, name, pattern)


def _names_are_known(node: Node, work: Step | Ending, catalogue: Catalogue) -> bool:
    """Whether it is known which hazards a step or ending names; if not, that has a finding of its own."""
    named = {*work.hazards, *work.no_hazards}
    whole = not node.lost & {"hazards", "no_hazards", "access"}
    return whole and named <= catalogue.hazards.keys() and set(work.access) <= catalogue.access.keys()


def _first_use(
    reading: Reading, location: Location, texts: list[tuple[Node, str]], hazard: str, pattern: re.Pattern[str]
) -> Iterator[Finding]:
    for text, shown in texts:
        match = pattern.search(shown)
        if match:
            written = pattern.search(reading.source.text, text.start, text.end)
            place = reading.source.place(written.start()) if written else (text.line, text.column)
            word = " ".join(match[0].split())
            kind, name = str(location[0])[:-1], location[1]
            message = f"`{word}` calls for the hazard `{hazard}`, which the {kind} `{name}` does not name"
            hint = f"add `hazards: [{hazard}]`, or answer with `no_hazards: {{{hazard}: why it does not apply}}`"
            yield reading.source.finding(*place, "hazard-word", message, hint)
            return


def _texts(node: Node) -> Iterator[tuple[Node, str]]:
    """The texts of a step or ending, in the order of the file, each with what a reader sees of it."""
    results = node.child("results")
    preconditions = node.child("preconditions")
    nodes = [
        node.child("title"),
        node.child("do"),
        *(preconditions.items if preconditions else ()),
        *(result.child("expect") for result in (results.entries.values() if results else ())),
        node.at(("prove",)).child("trial"),
    ]
    for text in nodes:
        if text and text.kind == "text":
            shown = text.text
            if text is node.child("do"):
                shown = plain_text(shown)
            yield text, INVISIBLE.sub("", shown)


def no_hazard_needed(reading: Reading) -> Iterator[Finding]:
    for location, work in work_at(reading):
        named = reading.catalogue.hazards_of(work)
        for name in work.no_hazards:
            if name in named:
                message = f"`{name}` is both a hazard of `{location[1]}` and denied"
                hint = "delete the one that is wrong; a hazard may come from an access job"
                yield reading.finding((*location, "no_hazards", name), "hazard-denied", message, hint, key=True)
