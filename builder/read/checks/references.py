"""Names that must be known: tools, parts, access jobs, hazards, causes and playbooks."""

from collections.abc import Collection, Iterator, Mapping

from builder.read.findings import Finding, in_ticks, near_miss
from builder.read.mends import known_or_new
from builder.read.nodes import Location
from builder.read.notation import ALL, UNLISTED, as_name
from builder.read.reading import Reading
from builder.read.records import CommonCheck, Ending, Step


def work_at(reading: Reading) -> Iterator[tuple[Location, Step | Ending]]:
    """Every step and ending with its location."""
    for name, step in reading.playbook.steps.items():
        yield ("steps", name), step
    for name, ending in reading.playbook.endings.items():
        yield ("endings", name), ending


def _unknown(reading: Reading, rule: str, kind: str, called: str, *fields: str) -> Iterator[Finding]:
    """A finding for every name that a field of a step or ending gives and that the catalogue does not have."""
    for location, _ in work_at(reading):
        for field in fields:
            yield from _unknown_at(reading, (*location, field), rule, kind, called)


def _unknown_at(reading: Reading, location: Location, rule: str, kind: str, called: str) -> Iterator[Finding]:
    known: Mapping[str, object] = getattr(reading.catalogue, kind)
    for at, name in reading.names(location):
        if name not in known and not reading.unread.may_hold(kind, name):
            hint = known_or_new(kind, name, known)
            yield reading.finding(at, rule, f"no {called} `{name}`", hint, key=at[-1] == name)


def unknown_tool(reading: Reading) -> Iterator[Finding]:
    """Tools are in the catalogue."""
    return _unknown(reading, "unknown-tool", "tools", "tool", "tools")


def unknown_part(reading: Reading) -> Iterator[Finding]:
    """Parts are in the catalogue."""
    return _unknown(reading, "unknown-part", "parts", "part", "parts")


def unknown_access(reading: Reading) -> Iterator[Finding]:
    """Access jobs are in the catalogue."""
    return _unknown(reading, "unknown-access", "access", "access job", "access")


def unknown_hazard(reading: Reading) -> Iterator[Finding]:
    """Hazards, named or denied, are in the catalogue."""
    yield from _unknown(reading, "unknown-hazard", "hazards", "hazard", "hazards", "no_hazards")
    yield from _unknown_at(reading, ("no_hazards",), "unknown-hazard", "hazards", "hazard")


def unknown_cause(reading: Reading) -> Iterator[Finding]:
    """Endings settle, and chances speak of, causes of the playbook."""
    playbook = reading.playbook
    if reading.is_lost(("causes",)):
        return
    known = {**reading.keys(("causes",)), UNLISTED: None}
    for name in playbook.endings:
        for location, cause in reading.names(("endings", name, "settles")):
            if cause not in {*known, ALL}:
                yield reading.finding(location, "unknown-cause", f"no cause `{cause}`", near_miss(cause, known))
    for step_name, step in playbook.steps.items():
        for result_name, result in step.results.items():
            for cause in result.chance.by_cause if result.chance else ():
                if cause not in known:
                    location = ("steps", step_name, "results", result_name, "chance", cause)
                    hint = near_miss(cause, known)
                    yield reading.finding(location, "unknown-cause", f"no cause `{cause}`", hint, key=True)


def unknown_check(reading: Reading) -> Iterator[Finding]:
    """A common check is in the catalogue, and a step that takes it has its results."""
    yield from _unknown(reading, "unknown-check", "checks", "common check", "check")
    for name, step in reading.playbook.steps.items():
        check = reading.catalogue.checks.get(step.check or "")
        if check and not reading.unread.may_hold("checks", str(step.check)):
            yield from _unlike_check(reading, name, step, check)


def _unlike_check(reading: Reading, name: str, step: Step, check: CommonCheck) -> Iterator[Finding]:
    """A step has the results of the common check that it takes, all of them and no others."""
    results = ("steps", name, "results")
    if reading.is_lost(results):
        return
    for location, result in reading.names(results):
        if result not in check.results:
            message = f"the common check `{step.check}` has no result `{result}`"
            yield reading.finding(location, "check-results", message, near_miss(result, check.results), key=True)
    missing = [result for result in check.results if result not in reading.keys(results)]
    if missing:
        said = in_ticks(missing)
        message = f"the step `{name}` leaves out {said} of the common check `{step.check}`"
        hint = "give each result of the check its `chance` and `next`"
        yield reading.finding(results, "check-results", message, hint, key=True)


def unknown_playbook(reading: Reading) -> Iterator[Finding]:
    """A hand-over leads to a playbook of the library."""
    for step_name, step in reading.playbook.steps.items():
        for result_name, result in step.results.items():
            slug = result.next.playbook
            if slug and slug not in reading.slugs:
                location: Location = ("steps", step_name, "results", result_name, "next", "playbook")
                meant = slug_meant(slug, reading.slugs)
                hint = f"write `{meant}`" if meant else near_miss(slug, reading.slugs)
                yield reading.finding(location, "unknown-playbook", f"no playbook `{slug}`", hint)


def slug_meant(text: str, slugs: Collection[str]) -> str:
    """The slug of a playbook that a text names by its path, its file or its title in words; empty where none is."""
    slug = as_name(text.replace("\\", "/").rsplit("/", 1)[-1].removesuffix(".yaml").removesuffix(".html"))
    return slug if slug in slugs else ""
