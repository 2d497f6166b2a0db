"""The way through a playbook: every `next` leads somewhere, nothing goes round, everything is reached."""

from collections.abc import Iterator, Mapping
from typing import Final

from builder.read.checks.references import slug_meant, unknown_playbook, work_at
from builder.read.findings import Finding, near_miss
from builder.read.nodes import Location
from builder.read.notation import as_name
from builder.read.reading import Reading
from builder.read.records import Playbook

ARROWS: Final = 12
"""The most arrows of a circle that a finding lists."""


def name_twice(reading: Reading) -> Iterator[Finding]:
    """Steps and endings share one space of names."""
    for name in reading.playbook.endings:
        if name in reading.playbook.steps:
            message = f"`{name}` is a step and an ending"
            yield reading.finding(("endings", name), "name-twice", message, "rename one of the two", key=True)


def missing_way(reading: Reading) -> Iterator[Finding]:
    """What says where to begin and where to go on: the editor writes it, or leaves all of it to ``order: best``."""
    book = reading.playbook
    best = book.order == "best"
    if reading.is_lost(("order",)):
        return
    if (book.start is None) != best and not reading.is_lost(("start",)):
        yield _way(reading, (), "start", best, "name the first step")
    for step_name, step in book.steps.items():
        for result_name in step.results:
            location = ("steps", step_name, "results", result_name)
            written = "next" in reading.node.at(location).entries
            if written == best and not reading.is_lost((*location, "next")):
                hint = "name the step or ending that comes next, or `{playbook: slug}`"
                yield _way(reading, location, "next", best, hint)


def _way(reading: Reading, location: Location, key: str, best: bool, hint: str) -> Finding:
    if best:
        message = f"`{key}` stands beside `order: best`"
        return reading.finding((*location, key), "order-written", message, "delete one of the two", key=True)
    where = f" in `{location[-1]}`" if location else ""
    return reading.finding(location, "missing-key", f"`{key}` is missing{where}", hint, key=bool(location))


def no_way_out(reading: Reading) -> Iterator[Finding]:
    """An order that is worked out must be able to stop: one ending hands over or leaves it."""
    book = reading.playbook
    if book.order != "best" or reading.is_lost(("order",)) or reading.has_lost(("endings",)):
        return
    if all(ending.settles or reading.is_lost(("endings", name, "settles")) for name, ending in book.endings.items()):
        message = "`order: best` needs an ending without `settles`, where a professional takes over"
        yield reading.finding(("order",), "no-way-out", message, "add such an ending")


def unknown_after(reading: Reading) -> Iterator[Finding]:
    """What must have been done before is a step of the same playbook, with results of its own."""
    book = reading.playbook
    known = reading.keys(("steps",))
    if reading.is_lost(("steps",)):
        return
    for location, _ in work_at(reading):
        for at, name in reading.names((*location, "after")):
            if name not in known:
                message = f"no step `{name}` that could have been done before"
                yield reading.finding(at, "unknown-after", message, near_miss(name, known), key=at[-1] == name)
            elif name == location[1]:
                yield reading.finding(at, "unknown-after", f"`{name}` cannot come after itself", "delete it")
            elif at[-1] == name and name in book.steps and not reading.is_lost(("steps", name, "results")):
                yield from _unknown_results(reading, at, name)


def _unknown_results(reading: Reading, at: Location, step: str) -> Iterator[Finding]:
    known = reading.keys(("steps", step, "results"))
    for place, result in reading.names(at):
        if result not in known:
            message = f"the step `{step}` has no result `{result}`"
            yield reading.finding(place, "unknown-after", message, near_miss(result, known))


def not_after(reading: Reading) -> Iterator[Finding]:
    """A written way on which something comes without what must have been done before; one finding a step or ending."""
    book = reading.playbook
    if not reading.whole or book.start not in book.steps:
        return
    for location, work in work_at(reading):
        for name, results in work.after.items():
            if name not in book.steps or not book.steps[name].results.keys() >= set(results):
                continue
            way = _way_without(book, str(location[1]), name, frozenset(results))
            if way is not None:
                said = " → ".join([*way, str(location[1])])
                needed = f"`{name}`" + (f" with {', '.join(f'`{result}`' for result in results)}" if results else "")
                message = f"`{location[1]}` needs {needed} before it, but is reached without: {said}"
                hint = f"let every way to it lead through `{name}`, or mend `after`"
                yield reading.finding((*location, "after"), "not-after", message, hint, key=True)


def _way_without(book: Playbook, goal: str, needed: str, results: frozenset[str]) -> list[str] | None:
    """The steps of a way to a step or an ending on which a step was not done with one of the results."""
    start = str(book.start)
    if start == goal:
        return []
    trails = [[start]]
    seen = {start}
    for trail in trails:
        step = book.steps[trail[-1]]
        for key, result in step.results.items():
            name = result.next.name
            if name is None or name in seen or (trail[-1] == needed and (not results or key in results)):
                continue
            if name == goal:
                return trail
            if name in book.steps:
                seen.add(name)
                trails.append([*trail, name])
    return None


def unknown_next(reading: Reading) -> Iterator[Finding]:
    """The start names a step, and every ``next`` a step or an ending of the playbook."""
    playbook = reading.playbook
    steps = reading.keys(("steps",))
    known = {**steps, **reading.keys(("endings",))}
    if reading.is_lost(("steps",), ("endings",)):
        return
    if playbook.start and playbook.start not in steps:
        message = f"no step `{playbook.start}` to start from"
        yield reading.finding(("start",), "unknown-next", message, near_miss(playbook.start, playbook.steps))
    for step_name, step in playbook.steps.items():
        for result_name, result in step.results.items():
            name = result.next.name
            if name and name not in known:
                location = ("steps", step_name, "results", result_name, "next")
                message = f"`next`: no step or ending `{name}`"
                yield reading.finding(location, "unknown-next", message, _where_to(reading, name, known))


def _where_to(reading: Reading, name: str, known: Mapping[str, object]) -> str:
    """What to write for a ``next`` that is no step and no ending."""
    if as_name(name) in known:
        return f"write `{as_name(name)}`"
    if slug := slug_meant(name, reading.slugs):
        return f"write `{{playbook: {slug}}}`"
    return near_miss(name, known) or "name a step or an ending of this playbook, or write `{playbook: slug}`"


def circle(reading: Reading) -> Iterator[Finding]:
    """No way leads back to a step that it has passed; one finding for each knot of steps that lead to each other."""
    for knot in _knots(reading):
        arrows = [
            (name, result, after)
            for name in reading.playbook.steps
            if name in knot
            for result, after in _next_steps(reading, name)
            if after in knot
        ]
        said = ", ".join(f"`{name}` → `{after}` ({result})" for name, result, after in arrows[:ARROWS])
        more = f" and {len(arrows) - ARROWS} more" if len(arrows) > ARROWS else ""
        name, result, _ = arrows[-1]
        location = ("steps", name, "results", result, "next")
        hint = "let one of these results lead onwards, to a step that is not among them or to an ending"
        yield reading.finding(location, "circle", f"the steps go round in a circle: {said}{more}", hint)


def _knots(reading: Reading) -> Iterator[set[str]]:
    """Steps that lead to each other, in sets (strongly connected components; Tarjan 1972, without recursion)."""
    number: dict[str, int] = {}
    lowest: dict[str, int] = {}
    waiting: dict[str, None] = {}
    for first in reading.playbook.steps:
        trail = [first] if first not in number else []
        branches: dict[str, Iterator[tuple[str, str]]] = {}
        while trail:
            name = trail[-1]
            if name not in number:
                number[name] = lowest[name] = len(number)
                waiting[name] = None
                branches[name] = _next_steps(reading, name)
            after = next((after for _, after in branches[name] if after not in number or after in waiting), None)
            if after is None:
                trail.pop()
                if trail:
                    lowest[trail[-1]] = min(lowest[trail[-1]], lowest[name])
                if lowest[name] == number[name]:
                    knot: set[str] = set()
                    while name not in knot:
                        knot.add(waiting.popitem()[0])
                    if len(knot) > 1 or any(after == name for _, after in _next_steps(reading, name)):
                        yield knot
            elif after in number:
                lowest[name] = min(lowest[name], number[after])
            else:
                trail.append(after)


def _next_steps(reading: Reading, name: str) -> Iterator[tuple[str, str]]:
    """Results of a step that lead to another step, with that step."""
    for result_name, result in reading.playbook.steps[name].results.items():
        if result.next.name in reading.playbook.steps:
            yield result_name, str(result.next.name)


def unreachable(reading: Reading) -> Iterator[Finding]:
    """Not asked where something else is wrong with the ways, for it may be what leads there."""
    playbook = reading.playbook
    if not reading.whole or playbook.start not in playbook.steps:
        return
    if any(unknown_next(reading)) or any(unknown_playbook(reading)) or any(_knots(reading)):
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
