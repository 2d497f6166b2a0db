"""Words that call for a hazard, and the answer to them."""

import re
from collections.abc import Iterator

from builder.read.checks.references import work_at
from builder.read.findings import Finding
from builder.read.hazards import word_pattern
from builder.read.nodes import Location, Node
from builder.read.reading import Reading
from builder.read.records import Catalogue, Ending, Step


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
        named = hazards_of(work, reading.catalogue) | work.no_hazards.keys()
        for name, pattern in patterns.items():
            if pattern and name not in named and _may_stand_in(reading, node, pattern):
                yield from _first_use(reading, location, name, pattern)


def _names_are_known(node: Node, work: Step | Ending, catalogue: Catalogue) -> bool:
    """Whether it is known which hazards a step or ending names; if not, that has a finding of its own."""
    named = {*work.hazards, *work.no_hazards}
    whole = not node.lost & {"hazards", "no_hazards", "access"}
    return whole and named <= catalogue.hazards.keys() and set(work.access) <= catalogue.access.keys()


def _may_stand_in(reading: Reading, node: Node, pattern: re.Pattern[str]) -> bool:
    """A quick look at the whole step; text with an escape in it may hide a word from it."""
    written = reading.source.text
    return bool(pattern.search(written, node.start, node.end)) or "\\" in written[node.start : node.end]


def _first_use(reading: Reading, location: Location, hazard: str, pattern: re.Pattern[str]) -> Iterator[Finding]:
    for text in _texts(reading.node.at(location)):
        match = pattern.search(text.text)
        if match:
            written = pattern.search(reading.source.text, text.start, text.end)
            place = reading.source.place(written.start()) if written else (text.line, text.column)
            word = " ".join(match[0].split())
            kind, name = str(location[0])[:-1], location[1]
            message = f"`{word}` calls for the hazard `{hazard}`, which the {kind} `{name}` does not name"
            hint = f"add `hazards: [{hazard}]`, or answer with `no_hazards: {{{hazard}: why it does not apply}}`"
            yield reading.source.finding(*place, "hazard-word", message, hint)
            return


def _texts(node: Node) -> Iterator[Node]:
    """The texts of a step or ending that a reader sees, in the order of the file."""
    for name in ("title", "do"):
        if (text := node.child(name)) and text.kind == "text":
            yield text
    yield from (node.child("preconditions") or Node("list", 0, 0, 0, 0)).items
    for result in (node.child("results") or Node("mapping", 0, 0, 0, 0)).entries.values():
        if (text := result.child("expect")) and text.kind == "text":
            yield text
    if text := node.at(("prove",)).child("trial"):
        yield text


def no_hazard_needed(reading: Reading) -> Iterator[Finding]:
    for location, work in work_at(reading):
        named = hazards_of(work, reading.catalogue)
        for name in work.no_hazards:
            if name in named:
                message = f"`{name}` is both a hazard of `{location[1]}` and denied"
                hint = "delete the one that is wrong; a hazard may come from an access job"
                yield reading.finding((*location, "no_hazards", name), "hazard-denied", message, hint, key=True)
