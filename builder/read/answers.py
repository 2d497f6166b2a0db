"""Answers: warnings that an editor has accepted with a reason are told no more."""

from collections.abc import Iterable, Iterator
from typing import Final

from builder.read.findings import WARNING, Finding
from builder.read.nodes import Location
from builder.read.reading import Reading

LATER: Final = frozenset({"handover-ring"})
"""Warnings that show only when the whole library is read; who accepts them is asked there."""


def unanswered(reading: Reading, findings: Iterable[Finding]) -> list[Finding]:
    """Findings without the warnings that the playbook, or the step or ending that they stand in, accepts."""
    return [one for one in findings if not any(_answers(reading, at, rule, one) for at, rule in _accepted(reading))]


def is_accepted(reading: Reading, location: Location, rule: str) -> bool:
    """Whether a warning at a location is accepted, by what it stands in or by the playbook."""
    return any(said == rule and location[: len(at) - 1] == at[:-1] for at, said in _accepted(reading))


def idle_answers(reading: Reading, findings: Iterable[Finding]) -> Iterator[Finding]:
    """A warning for every answer to a warning that there is not; asked when all warnings are known."""
    warnings = [one for one in findings if one.severity == WARNING]
    for at, rule in _accepted(reading):
        if rule not in LATER and not any(_answers(reading, at, rule, one) for one in warnings):
            message = f"there is no warning `{rule}` here to accept"
            hint = "delete it, or mend the name of the rule"
            yield reading.finding((*at, rule), "accept-idle", message, hint, WARNING, key=True)


def _accepted(reading: Reading) -> Iterator[tuple[Location, str]]:
    """Where the file accepts a warning, and its rule."""
    places: list[Location] = [("accept",)]
    places += [("steps", name, "accept") for name in reading.playbook.steps]
    places += [("endings", name, "accept") for name in reading.playbook.endings]
    for at in places:
        for _, rule in reading.names(at):
            yield at, rule


def _answers(reading: Reading, at: Location, rule: str, finding: Finding) -> bool:
    """Whether an answer is to a finding: of its rule, a warning, and within what the answer stands in."""
    if finding.rule != rule or finding.severity != WARNING:
        return False
    holder = at[:-1]
    if not holder:
        return True
    key, node = reading.node.key_at(holder), reading.node.at(holder)
    begin, end = (key.line, key.column), reading.source.place(node.end)
    return begin <= (finding.line, finding.column) < end
