"""Single fields: trouble codes, times, trials."""

from collections.abc import Iterator

from builder.read.codes import bad_code_text, parse_code
from builder.read.findings import WARNING, Finding
from builder.read.reading import Reading
from builder.read.records import LOST


def bad_code(reading: Reading) -> Iterator[Finding]:
    for place, code in enumerate(reading.playbook.symptom.codes):
        if code != LOST and not parse_code(code):
            message, hint = bad_code_text(code)
            yield reading.finding(("symptom", "codes", place), "bad-code", message, hint)


def no_time(reading: Reading) -> Iterator[Finding]:
    for name, step in reading.playbook.steps.items():
        if name != LOST and not step.check and "time" not in reading.node.at(("steps", name)).entries:
            message = f"the step `{name}` has no time and counts as 0 min"
            yield reading.finding(("steps", name), "no-time", message, "add `time: …`", WARNING, key=True)


def prove_never(reading: Reading) -> Iterator[Finding]:
    for name, ending in reading.playbook.endings.items():
        if ending.prove and ending.prove.shows == 0:
            message = "a fault that shows in 0 % of the trials can never be proven gone"
            hint = "write the share of trials in which the fault shows"
            yield reading.finding(("endings", name, "prove", "shows"), "prove-never", message, hint)
