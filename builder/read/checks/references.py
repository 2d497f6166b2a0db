"""Names that must be known: tools, parts, access jobs, hazards, causes and playbooks."""

from collections.abc import Iterator, Mapping

from builder.read.findings import Finding, near_miss
from builder.read.nodes import Location
from builder.read.notation import ALL, UNLISTED
from builder.read.reading import Reading
from builder.read.records import LOST, Ending, Step


def work_at(reading: Reading) -> Iterator[tuple[Location, Step | Ending]]:
    """Every step and ending with its location."""
    for name, step in reading.playbook.steps.items():
        yield ("steps", name), step
    for name, ending in reading.playbook.endings.items():
        yield ("endings", name), ending


def _unknown(
    reading: Reading, kind: str, rule: str, named: Iterator[tuple[Location, str]], known: Mapping[str, object]
) -> Iterator[Finding]:
    if LOST in known:
        return
    for location, name in named:
        if name not in known and name != LOST and reading.has(location):
            hint = near_miss(name, known) or "add it to the catalogue, or mend the name"
            yield reading.finding(location, rule, f"no {kind} `{name}`", hint, key=location[-1] == name)


def unknown_tool(reading: Reading) -> Iterator[Finding]:
    named = (((*at, "tools", i), tool) for at, work in work_at(reading) for i, tool in enumerate(work.tools))
    return _unknown(reading, "tool", "unknown-tool", named, reading.catalogue.tools)


def unknown_part(reading: Reading) -> Iterator[Finding]:
    def named() -> Iterator[tuple[Location, str]]:
        for at, work in work_at(reading):
            node = reading.node.at((*at, "parts"))
            for place, part in enumerate(work.parts):
                yield (*at, "parts", place if node.kind == "list" else part), part

    return _unknown(reading, "part", "unknown-part", named(), reading.catalogue.parts)


def unknown_access(reading: Reading) -> Iterator[Finding]:
    named = (((*at, "access", i), job) for at, work in work_at(reading) for i, job in enumerate(work.access))
    return _unknown(reading, "access job", "unknown-access", named, reading.catalogue.access)


def unknown_hazard(reading: Reading) -> Iterator[Finding]:
    named = (((*at, "hazards", i), hazard) for at, work in work_at(reading) for i, hazard in enumerate(work.hazards))
    yield from _unknown(reading, "hazard", "unknown-hazard", named, reading.catalogue.hazards)
    answers = [((), reading.playbook.no_hazards), *((at, work.no_hazards) for at, work in work_at(reading))]
    denied = (((*at, "no_hazards", hazard), hazard) for at, answer in answers for hazard in answer)
    yield from _unknown(reading, "hazard", "unknown-hazard", denied, reading.catalogue.hazards)


def unknown_cause(reading: Reading) -> Iterator[Finding]:
    playbook = reading.playbook
    if "causes" in reading.node.lost:
        return
    known = {**dict.fromkeys(playbook.causes), UNLISTED: None, **dict.fromkeys(_lost_causes(reading))}
    for name, ending in playbook.endings.items():
        for place, cause in enumerate(ending.settles):
            if cause not in {*known, ALL, LOST}:
                location: Location = ("endings", name, "settles", place)
                yield reading.finding(location, "unknown-cause", f"no cause `{cause}`", near_miss(cause, known))
    for step_name, step in playbook.steps.items():
        for result_name, result in step.results.items():
            for cause in result.chance.by_cause if result.chance else ():
                if cause not in known:
                    location = ("steps", step_name, "results", result_name, "chance", cause)
                    hint = near_miss(cause, known)
                    yield reading.finding(location, "unknown-cause", f"no cause `{cause}`", hint, key=True)


def _lost_causes(reading: Reading) -> Iterator[str]:
    """Causes that stand in the file but had a finding of their own."""
    causes = reading.node.child("causes")
    if causes:
        yield from causes.entries


def unknown_check(reading: Reading) -> Iterator[Finding]:
    checks = reading.catalogue.checks
    named = ((("steps", name, "check"), step.check) for name, step in reading.playbook.steps.items() if step.check)
    yield from _unknown(reading, "common check", "unknown-check", named, checks)
    for name, step in reading.playbook.steps.items():
        check = checks.get(step.check or "")
        if check is None or "results" in reading.node.at(("steps", name)).lost:
            continue
        for result in step.results:
            if result not in check.results:
                location: Location = ("steps", name, "results", result)
                message = f"the common check `{step.check}` has no result `{result}`"
                yield reading.finding(location, "check-results", message, near_miss(result, check.results), key=True)
        missing = [result for result in check.results if result not in step.results]
        if missing:
            said = ", ".join(f"`{result}`" for result in missing)
            message = f"the step `{name}` leaves out {said} of the common check `{step.check}`"
            hint = "give each result of the check its `chance` and `next`"
            yield reading.finding(("steps", name, "results"), "check-results", message, hint, key=True)


def unknown_playbook(reading: Reading) -> Iterator[Finding]:
    for step_name, step in reading.playbook.steps.items():
        for result_name, result in step.results.items():
            slug = result.next.playbook
            if slug and slug not in reading.slugs and slug != LOST:
                location: Location = ("steps", step_name, "results", result_name, "next", "playbook")
                hint = near_miss(slug, reading.slugs)
                yield reading.finding(location, "unknown-playbook", f"no playbook `{slug}`", hint)
