"""Words that call for a hazard, areas that imply one, and the answers to both."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Set
from itertools import accumulate
from typing import Final, NamedTuple

from builder.read.checks.references import work_at
from builder.read.findings import Finding, in_ticks
from builder.read.nodes import Location
from builder.read.prose import plain_text
from builder.read.reading import Reading
from builder.read.records import Catalogue, Ending, Measurement, Settings, Step, Work
from builder.read.words.calls import Call, Caller, caller

SHOWN: Final = 3
"""Words of one hazard that a finding tells."""
APART: Final = "\n\n"
"""Stands between texts that are looked at together: no phrase goes from one into the next."""


class Said(NamedTuple):
    """A text, where the file says it, whether it is Markdown, and the hazards that are answered for it alone."""

    at: Location
    text: str | None
    markdown: bool = False
    answered: Set[str] = frozenset()


class Called(NamedTuple):
    """Words that call for a hazard, and the line and column of the first of them."""

    hazard: str
    words: tuple[str, ...]
    line: int
    column: int

    @property
    def reason(self) -> str:
        """What calls for the hazard, as the first half of a sentence."""
        told = in_ticks(self.words[:SHOWN])
        return f"{told} call{'s' if len(self.words) == 1 else ''} for the hazard `{self.hazard}`"


def caller_of(settings: Settings, catalogue: Catalogue) -> Caller:
    """What looks for hazard words in a library: in its language and English, and for the words of its own hazards."""
    own = tuple((name, hazard.words) for name, hazard in catalogue.hazards.items() if hazard.words)
    return caller(settings.language, own)


def hazard_word(reading: Reading) -> Iterator[Finding]:
    """A word calls for a hazard that neither the work around it carries nor the author denies."""
    playbook, catalogue = reading.playbook, reading.catalogue
    looks = caller_of(reading.settings, catalogue)
    known = True
    carried: set[str] = set()
    for location, work in work_at(reading):
        if not names_are_known(reading, location, work):
            known = False
            continue
        hazards = catalogue.hazards_of(work)
        carried |= hazards
        kind, name = str(location[0])[:-1], location[1]
        for called in _called(reading, looks, _texts(reading, location, work), hazards | work.no_hazards.keys()):
            message = f"{called.reason}, which the {kind} `{name}` does not name"
            yield reading.source.finding(called.line, called.column, "hazard-word", message, hint_for(called.hazard))
    if known and not reading.has_lost(("no_hazards",)) and playbook.no_hazards.keys() <= catalogue.hazards.keys():
        for called in _called(reading, looks, _texts_above(reading), carried | playbook.no_hazards.keys()):
            message = f"{called.reason}, which no step and no ending of the playbook names"
            hint = (
                f"add `hazards: [{called.hazard}]` to the step that needs it, or answer at the top of the playbook "
                f"with `no_hazards: {{{called.hazard}: why it does not apply}}`"
            )
            yield reading.source.finding(called.line, called.column, "hazard-word", message, hint)


def hint_for(hazard: str) -> str:
    """How to answer a word, or an area, that calls for a hazard."""
    return f"add `hazards: [{hazard}]`, or answer with `no_hazards: {{{hazard}: why it does not apply}}`"


def names_are_known(reading: Reading, location: Location, work: Step | Ending) -> bool:
    """Whether it is known which hazards a step or ending has and denies; if not, that has a finding of its own."""
    catalogue, unread = reading.catalogue, reading.unread
    if any(reading.has_lost((*location, field)) for field in ("hazards", "no_hazards", "access", "tools", "check")):
        return False
    carriers = [("access", name) for name in work.access] + [("tools", name) for name in work.tools]
    carriers += [("checks", work.check)] if isinstance(work, Step) and work.check else []
    known = all(name in getattr(catalogue, kind) and not unread.may_hold(kind, name) for kind, name in carriers)
    return known and catalogue.hazards_of(work) | work.no_hazards.keys() <= catalogue.hazards.keys()


def _texts(reading: Reading, location: Location, work: Step | Ending) -> Iterator[Said]:
    """The texts of a step or ending, in the order of the record, with those of the parts that it needs."""
    for said in work_texts(work):
        yield said._replace(at=(*location, *said.at))
    if isinstance(work, Step):
        yield from (said._replace(at=(*location, *said.at)) for said in reading_texts(work.reading))
        for name, result in work.results.items():
            yield Said((*location, "results", name, "expect"), result.expect)
    elif work.prove:
        yield Said((*location, "prove", "trial"), work.prove.trial)
    named = {name: at for at, name in reading.names((*location, "parts"))}
    for name in work.parts:
        if name in reading.catalogue.parts:
            part = reading.catalogue.parts[name]
            answered = part.no_hazards.keys()
            yield Said(
                named.get(name, (*location, "parts", name)), f"{part.name}{APART}{part.note or ''}", False, answered
            )


def work_texts(work: Work) -> Iterator[Said]:
    """The texts that steps, endings and common checks have in common."""
    yield Said(("title",), work.title)
    yield Said(("do",), work.do, markdown=True)
    for place, condition in enumerate(work.preconditions):
        yield Said(("preconditions", place), condition)
    if work.mishap:
        yield Said(("mishap", "what"), work.mishap.what)


def reading_texts(measured: Measurement | None) -> Iterator[Said]:
    """What a step or a check says of the quantity that it measures."""
    if measured:
        yield Said(("reading", "of"), measured.of)
        yield Said(("reading", "unit"), measured.unit)


def _texts_above(reading: Reading) -> Iterator[Said]:
    """The texts of a playbook that are of no step or ending."""
    playbook = reading.playbook
    yield Said(("title",), playbook.title)
    for place, words in enumerate(playbook.also):
        yield Said(("also", place), words)
    yield Said(("symptom", "summary"), playbook.symptom.summary)
    for place, words in enumerate(playbook.symptom.conditions):
        yield Said(("symptom", "conditions", place), words)
    for place, words in enumerate(playbook.preconditions):
        yield Said(("preconditions", place), words)
    for name, cause in playbook.causes.items():
        yield Said(("causes", name, "name"), cause.name)
        yield Said(("causes", name, "note"), cause.note)


def _called(reading: Reading, looks: Caller, texts: Iterable[Said], named: Set[str]) -> Iterator[Called]:
    """What some texts call for beyond the hazards that are named, each hazard once, at the first of its words."""
    said = [(one, plain_text(one.text) if one.markdown else one.text) for one in texts if one.text]
    starts = [0, *accumulate(len(text) + len(APART) for _, text in said)]
    found: dict[str, list[Call]] = {}
    for call in looks.calls(APART.join(text for _, text in said)):
        if call.hazard not in named and call.hazard not in said[bisect_right(starts, call.start) - 1][0].answered:
            found.setdefault(call.hazard, []).append(call)
    for hazard, calls in found.items():
        words = tuple(dict.fromkeys(call.words for call in calls))
        first, _ = said[bisect_right(starts, calls[0].start) - 1]
        yield Called(hazard, words, *_place(reading, first.at, looks, hazard))


def _place(reading: Reading, at: Location, looks: Caller, hazard: str) -> tuple[int, int]:
    """Where a text of the file has the words, or where it stands; for a text of a common check, where it is taken."""
    if not reading.has(at):
        at = (*at[:2], "check") if reading.has((*at[:2], "check")) else at[:2]
    node = reading.node.key_at(at) if at[2:3] == ("parts",) else reading.node.at(reading.node.where(at))
    source = reading.source
    written = (call for call in looks.calls(source.text[node.start : node.end]) if call.hazard == hazard)
    first = next(written, None)
    return source.place(node.start + first.start) if first else (node.line, node.column)


def hazard_implied(reading: Reading) -> Iterator[Finding]:
    """Work in an area has, or denies, every hazard that the area implies."""
    area = reading.settings.areas.get(reading.playbook.area)
    known = reading.catalogue.hazards
    implied = [hazard for hazard in area.implies if hazard in known] if area else []
    for location, work in work_at(reading):
        if implied and names_are_known(reading, location, work):
            named = reading.catalogue.hazards_of(work) | work.no_hazards.keys()
            for hazard in implied:
                if hazard not in named:
                    kind, name = str(location[0])[:-1], location[1]
                    message = (
                        f"the {kind} `{name}` does not name the hazard `{hazard}`, "
                        f"which work in the area `{reading.playbook.area}` implies"
                    )
                    yield reading.finding(location, "hazard-implied", message, hint_for(hazard), key=True)


def hazard_dropped(reading: Reading) -> Iterator[Finding]:
    """A step that takes a common check has the hazards of the check, or says why they do not apply to it."""
    catalogue = reading.catalogue
    for name, step in reading.playbook.steps.items():
        check = catalogue.checks.get(step.check) if step.check else None
        if check and names_are_known(reading, ("steps", name), step):
            for hazard in sorted(catalogue.hazards_of(check) - catalogue.hazards_of(step) - step.no_hazards.keys()):
                message = f"the step `{name}` leaves out the hazard `{hazard}` of the check `{step.check}`"
                yield reading.finding(("steps", name), "hazard-dropped", message, hint_for(hazard), key=True)


def hazard_denied(reading: Reading) -> Iterator[Finding]:
    """A hazard that work carries, by itself or by what it needs, cannot be denied there."""
    every: set[str] = set()
    for location, work in work_at(reading):
        named = reading.catalogue.hazards_of(work)
        every |= named
        for name in work.no_hazards:
            if name in named:
                message = f"`{name}` is both a hazard of `{location[1]}` and denied"
                hint = "delete the one that is wrong; a hazard may come from an access job, a tool or a common check"
                at = (*location, "no_hazards", name)
                at = at if reading.has(at) else location
                yield reading.finding(at, "hazard-denied", message, hint, key=True)
    for name in reading.playbook.no_hazards:
        if name in every:
            message = f"the playbook denies `{name}`, which is a hazard of a step or an ending"
            yield reading.finding(("no_hazards", name), "hazard-denied", message, "delete it here", key=True)
