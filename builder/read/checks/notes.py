"""Single fields: trouble codes, times, trials."""

from collections.abc import Iterator

from builder.read.codes import bad_code_text, parse_code
from builder.read.findings import WARNING, Finding
from builder.read.reading import Reading


def bad_code(reading: Reading) -> Iterator[Finding]:
    """A trouble code has the form of SAE J2012."""
    for location, code in reading.names(("symptom", "codes")):
        if not parse_code(code.strip()):
            message, hint = bad_code_text(code.strip())
            yield reading.finding(location, "bad-code", message, hint)


def no_time(reading: Reading) -> Iterator[Finding]:
    """A step without a time counts as 0 minutes, which is seldom meant."""
    for name in reading.playbook.steps:
        location = ("steps", name)
        says = reading.node.at(location).entries
        if not {"time", "check"} & says.keys():
            message = f"the step `{name}` has no time and counts as 0 min"
            yield reading.finding(location, "no-time", message, "add `time: …`", WARNING, key=True)


def prove_never(reading: Reading) -> Iterator[Finding]:
    """A trial in which the fault never shows can prove no repair."""
    for name, ending in reading.playbook.endings.items():
        location = ("endings", name, "prove", "shows")
        if ending.prove and ending.prove.shows == 0 and not reading.is_lost(location):
            message = "a fault that shows in 0 % of the trials can never be proven gone"
            hint = "write the share of trials in which the fault shows"
            yield reading.finding(location, "prove-never", message, hint)
