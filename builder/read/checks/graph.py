"""The way through a playbook: every `next` leads somewhere, nothing goes round, everything is reached."""

from collections.abc import Iterator

from builder.read.findings import Finding, near_miss
from builder.read.reading import Reading
from builder.read.records import LOST


def name_twice(reading: Reading) -> Iterator[Finding]:
    for name in reading.playbook.endings:
        if name in reading.playbook.steps:
            message = f"`{name}` is a step and an ending"
            yield reading.finding(("endings", name), "name-twice", message, "rename one of the two", key=True)


def unknown_next(reading: Reading) -> Iterator[Finding]:
    playbook = reading.playbook
    known = {**_keys(reading, "steps"), **_keys(reading, "endings")}
    if reading.node.lost & {"steps", "endings"} or LOST in playbook.steps:
        return
    if playbook.start not in {*_keys(reading, "steps"), LOST}:
        message = f"no step `{playbook.start}` to start from"
        yield reading.finding(("start",), "unknown-next", message, near_miss(playbook.start, playbook.steps))
    for step_name, step in playbook.steps.items():
        for result_name, result in step.results.items():
            name = result.next.name
            if name and name not in known and name != LOST:
                location = ("steps", step_name, "results", result_name, "next")
                message = f"no step or ending `{name}`"
                yield reading.finding(location, "unknown-next", message, near_miss(name, known))


def circle(reading: Reading) -> Iterator[Finding]:
    steps = reading.playbook.steps
    done: set[str] = set()
    for first in steps:
        trail: list[tuple[str, Iterator[tuple[str, str]]]] = []
        if first not in done:
            trail.append((first, _next_steps(reading, first)))
        on_trail = {first: 0}
        while trail:
            name, following = trail[-1]
            result, after = next(following, ("", ""))
            if not after:
                trail.pop()
                done.add(name)
                on_trail.pop(name, None)
            elif after in on_trail:
                round_trip = [step for step, _ in trail[on_trail[after] :]]
                message = "the steps go round in a circle: " + " → ".join([*round_trip, after])
                location = ("steps", name, "results", result, "next")
                yield reading.finding(location, "circle", message, "let one of these results lead onwards")
            elif after not in done:
                on_trail[after] = len(trail)
                trail.append((after, _next_steps(reading, after)))


def _next_steps(reading: Reading, name: str) -> Iterator[tuple[str, str]]:
    """Results of a step that lead to another step, with that step."""
    for result_name, result in reading.playbook.steps[name].results.items():
        if result.next.name in reading.playbook.steps and result.next.name != LOST:
            yield result_name, str(result.next.name)


def unreachable(reading: Reading) -> Iterator[Finding]:
    """Not asked where the file has other findings: what was taken out of it may be what leads there."""
    playbook = reading.playbook
    if not reading.whole or playbook.start not in playbook.steps:
        return
    reached = {playbook.start}
    waiting = [playbook.start]
    while waiting:
        step = playbook.steps.get(waiting.pop())
        for result in step.results.values() if step else ():
            name = result.next.name
            if name and name not in reached:
                reached.add(name)
                waiting.append(name)
    for kind, names in (("steps", playbook.steps), ("endings", playbook.endings)):
        for name in names:
            if name not in reached:
                message = f"no path reaches the {kind[:-1]} `{name}`"
                hint = f"let a result lead to it with `next: {name}`, or delete it"
                yield reading.finding((kind, name), "unreachable", message, hint, key=True)


def _keys(reading: Reading, section: str) -> dict[str, None]:
    """Names that stand in the file, also those that had a finding of their own."""
    node = reading.node.child(section)
    return dict.fromkeys(node.entries) if node else {}
