"""Readings: the results of a step that measures are ranges, which leave no gap and do not overlap."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import pairwise

from builder.read.findings import Finding
from builder.read.notation import Range
from builder.read.reading import Reading
from builder.read.records import Step


def range_alone(reading: Reading) -> Iterator[Finding]:
    """A step has a reading and each result its range, or none of it."""
    for name, step in reading.playbook.steps.items():
        if not _is_known(reading, name, step):
            continue
        for key, result in step.results.items():
            location = ("steps", name, "results", key)
            if reading.is_lost((*location, "range")):
                continue
            if result.range and not step.reading:
                message = f"the result `{key}` has a range, but `{name}` does not say what is measured"
                hint = "add `reading: {of: …, unit: …}` to the step"
                yield reading.finding((*location, "range"), "range-alone", message, hint, key=True)
            elif step.reading and not result.range:
                message = f"`{name}` measures, but its result `{key}` has no range"
                hint = "add `range: below …`, `range: …-…` or `range: above …`"
                yield reading.finding(location, "range-alone", message, hint, key=True)


def range_gap(reading: Reading) -> Iterator[Finding]:
    """Every value that may be read belongs to one result."""
    for name, step in reading.playbook.steps.items():
        ranges = {key: result.range for key, result in step.results.items() if result.range}
        known = _is_known(reading, name, step) and not reading.has_lost(("steps", name, "results"))
        if not known or not step.reading or len(ranges) < len(step.results):
            continue
        for fault in _faults(step, ranges):
            hint = "let each range begin where the one before it ends, from `below …` to `above …`"
            yield reading.finding(("steps", name, "results"), "range-gap", f"`{name}`: {fault}", hint, key=True)


def _is_known(reading: Reading, name: str, step: Step) -> bool:
    """Whether it is known what a step measures; if not, that has a finding of its own."""
    lost = reading.is_lost(("steps", name, "reading"), ("steps", name, "check"))
    return not lost and not (step.check and reading.unread.may_hold("checks", step.check))


def _faults(step: Step, ranges: Mapping[str, Range]) -> Iterator[str]:
    """What is wrong between neighbouring ranges, and at both ends."""
    unit = step.reading.unit if step.reading else ""
    inner = sorted(ranges.items(), key=lambda one: (one[1].low is not None, one[1].low or 0, one[1].high or 0))
    (first, lowest), (last, highest) = inner[0], max(inner, key=lambda one: (one[1].high is None, one[1].high or 0))
    if lowest.low is not None and lowest.low > 0:
        yield f"no result takes less than {said(lowest.low)} {unit}; `{first}` is the lowest"
    if highest.high is not None:
        yield f"no result takes more than {said(highest.high)} {unit}; `{last}` is the highest"
    for (one, before), (other, after) in pairwise(inner):
        if before.high is None or after.low is None or after.low < before.high:
            yield f"the ranges of `{one}` and `{other}` overlap"
        elif after.low > before.high:
            yield f"no result takes {said(before.high)} to {said(after.low)} {unit}"


def said(number: Fraction) -> str:
    """A number as one writes it."""
    return f"{float(number):g}"
