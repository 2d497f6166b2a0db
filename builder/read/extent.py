"""Extent: how large a playbook is where no field alone tells, in the units of :mod:`builder.read.limits`."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from math import lcm
from typing import Any, Final

from builder.read.notation import UNLISTED
from builder.read.records import Catalogue, Ending, Playbook, Step

ITEM: Final = 200
"""Characters of markup that each thing on a page takes beside its texts, about."""


def edges_of(playbook: Playbook) -> int:
    """How many results all steps have together."""
    return len([None for step in playbook.steps.values() for _ in step.results])


def kinds_of(playbook: Playbook, kind: str) -> frozenset[str]:
    """The ``tools`` or the ``access`` jobs that steps and endings need."""
    return frozenset(name for work in playbook.work().values() for name in getattr(work, kind))


def shown_of(playbook: Playbook, catalogue: Catalogue) -> int:
    """Characters that the page of a playbook shows: each text as often as it stands there, and what it stands in."""
    shown = _characters(_above(playbook))
    for work in playbook.work().values():
        shown += _characters(_said(work, catalogue))
        if isinstance(work, Step):
            shown += _characters(_results(work, playbook))
    return shown


def _characters(texts: Iterable[str]) -> int:
    return sum(len(text) + ITEM for text in texts)


def _above(playbook: Playbook) -> Iterator[str]:
    symptom = playbook.symptom
    yield from (playbook.title, symptom.summary)
    yield from (*symptom.conditions, *symptom.codes, *playbook.preconditions, *playbook.vehicles, *playbook.also)
    for cause in playbook.causes.values():
        yield from (cause.name, cause.note or "")


def _said(work: Step | Ending, catalogue: Catalogue) -> Iterator[str]:
    """The texts of a step or an ending, those of the catalogue that it names among them."""
    yield from (work.title, work.do or "", *work.preconditions)
    if work.mishap:
        yield work.mishap.what
    if isinstance(work, Ending) and work.prove:
        yield work.prove.trial
    named: list[tuple[Mapping[str, Any], Iterable[str]]] = [
        (catalogue.tools, work.tools),
        (catalogue.parts, work.parts),
        (catalogue.access, work.access),
    ]
    for kind, names in named:
        for entry in (kind[name] for name in names if name in kind):
            yield entry.name + (entry.note or "")
    for hazard in (catalogue.hazards[name] for name in catalogue.hazards_of(work) if name in catalogue.hazards):
        yield hazard.name + hazard.harm + hazard.avoid


def _results(step: Step, playbook: Playbook) -> Iterator[str]:
    """What is seen at a step, with the titles of where it leads."""
    work = playbook.work()
    for result in step.results.values():
        follows = work.get(result.next.name or "")
        yield result.expect + (follows.title if follows else "")


def digits_of(playbook: Playbook) -> int:
    """The most binary digits that the exact chance of a path can have: those of a step's chances, times the steps."""
    causes = [*playbook.causes, UNLISTED]
    denominators: set[int] = set()
    for step in playbook.steps.values():
        for cause in causes:
            given = [result.chance.given(cause) or Fraction(0) for result in step.results.values() if result.chance]
            whole = sum(given, Fraction(0))
            denominators.update(chance.denominator for chance in given)
            if whole > 1 or not any(result.chance and result.chance.rest for result in step.results.values()):
                denominators.add(whole.numerator * lcm(*(chance.denominator for chance in given)) or 1)
    return _digits(denominators, len(playbook.steps))


def _digits(denominators: Iterable[int], steps: int) -> int:
    common = 1
    for denominator in sorted(denominators):
        common = lcm(common, denominator)
        if common.bit_length() * steps > MANY_DIGITS:
            break  # far above every limit; what is beyond would only take time
    return common.bit_length() * steps


MANY_DIGITS: Final = 100_000


def places_of(playbook: Playbook) -> int:
    """How many rows of a flowchart its lines pass, lines from one step to the same place counted once.

    Each row that a line passes is a place that a layout program keeps free for it; the time it takes grows with the
    square of their number and faster.
    """
    leads = {name: {_target(result.next) for result in step.results.values()} for name, step in playbook.steps.items()}
    rows = _rows(leads, str(playbook.start))
    return sum(rows.get(target, rows[name]) - rows[name] for name in rows for target in leads.get(name, ()))


def _target(following: Any) -> str:
    return f"{following.playbook}.html" if following.playbook else str(following.name)


def _rows(leads: Mapping[str, set[str]], start: str) -> dict[str, int]:
    """The row of each step and of each place where paths stop: one below the lowest that leads to it."""
    entering: dict[str, int] = {start: 0}
    waiting = [start]
    for name in waiting:
        for target in leads.get(name, ()):
            if target not in entering:
                waiting.append(target)
            entering[target] = entering.get(target, 0) + 1
    rows = {start: 0}
    ready = [start]
    for name in ready:  # in a ring, no one is ever ready; that has a finding of its own
        for target in leads.get(name, ()):
            rows[target] = max(rows.get(target, 0), rows[name] + 1)
            entering[target] -= 1
            if not entering[target]:
                ready.append(target)
    return rows
