"""Hazards of a library's own entries: words of the catalogue, what areas imply, and a language without words."""

from collections.abc import Iterator
from typing import Final

from builder.read.catalogue import CatalogueFiles, SettingsFile
from builder.read.checks.hazards import Called, Said, caller_of, hint_for, reading_texts, work_texts
from builder.read.findings import WARNING, Finding, near_miss
from builder.read.mends import known_or_new
from builder.read.prose import plain_text
from builder.read.records import AccessJob, CommonCheck, Tool
from builder.read.words.calls import Caller, has_words

CALLED: Final = {"tools": "tool", "access": "access job", "checks": "check"}
"""Kinds of the catalogue that carry hazards, and what one of each is called."""

Entry = Tool | AccessJob | CommonCheck


def library_hazards(settings: SettingsFile, files: CatalogueFiles) -> Iterator[Finding]:
    """Findings about hazards that show without any playbook."""
    yield from _unknown_implied(settings, files)
    yield from _no_hazard_words(settings)
    if settings.settings is None or "hazards" in files.unread.kinds:
        return
    looks = caller_of(settings.settings, files.catalogue)
    for kind in CALLED:
        for name, entry in getattr(files.catalogue, kind).items():
            node = files.nodes[kind, name]
            if not any(node.has_lost((field,)) for field in ("hazards", "no_hazards", "access", "tools")):
                yield from _entry_words(files, looks, kind, name)
                yield from _entry_denied(files, kind, name, entry)


def _no_hazard_words(settings: SettingsFile) -> Iterator[Finding]:
    if settings.settings and not has_words(settings.settings.language):
        place = settings.node.at(("language",))
        message = (
            f"no hazard words are built in for the language `{settings.settings.language}`; only English ones and the "
            "`words` of the library's own hazards are found"
        )
        hint = "name the hazards of every step by hand, and give `timing` and `lifting` `words` of your language"
        yield settings.source.finding(place.line, place.column, "no-hazard-words", message, hint, WARNING)


def _unknown_implied(settings: SettingsFile, files: CatalogueFiles) -> Iterator[Finding]:
    known = files.catalogue.hazards
    for name in settings.settings.areas if settings.settings else ():
        for at, hazard in settings.node.names(("areas", name, "implies")):
            if hazard not in known and not files.unread.may_hold("hazards", hazard):
                place = settings.node.at(at)
                hint = known_or_new("hazards", hazard, known)
                message = f"no hazard `{hazard}`"
                yield settings.source.finding(place.line, place.column, "unknown-hazard", message, hint)


def _entry_words(files: CatalogueFiles, looks: Caller, kind: str, name: str) -> Iterator[Finding]:
    entry: Entry = getattr(files.catalogue, kind)[name]
    named = _carried(files, entry) | entry.no_hazards.keys()
    node, (source, _) = files.nodes[kind, name], files.places[kind, name]
    told: set[str] = set()
    for at, text, markdown, _ in _texts(entry):
        for call in looks.calls(plain_text(text) if markdown else text) if text else ():
            if call.hazard in named | told:
                continue
            told.add(call.hazard)
            place = node.at(node.where(at))
            written = (one for one in looks.calls(source.text[place.start : place.end]) if one.hazard == call.hazard)
            first = next(written, None)
            line, column = source.place(place.start + (first.start if first else 0))
            called = Called(call.hazard, (call.words,), line, column)
            message = f"{called.reason}, which the {CALLED[kind]} `{name}` does not name"
            yield source.finding(line, column, "hazard-word", message, hint_for(call.hazard))


def _texts(entry: Entry) -> Iterator[Said]:
    if isinstance(entry, CommonCheck):
        yield from work_texts(entry)
        yield from reading_texts(entry.reading)
        for name, result in entry.results.items():
            yield Said(("results", name, "expect"), result.expect)
    else:
        yield Said(("name",), entry.name)
        yield Said(("note",), entry.note)


def _carried(files: CatalogueFiles, entry: Entry) -> frozenset[str]:
    return files.catalogue.hazards_of(entry) if isinstance(entry, CommonCheck) else frozenset(entry.hazards)


def _entry_denied(files: CatalogueFiles, kind: str, name: str, entry: Entry) -> Iterator[Finding]:
    source, node = files.places[kind, name][0], files.nodes[kind, name]
    for hazard in entry.no_hazards:
        key = node.key_at(("no_hazards", hazard))
        if hazard in _carried(files, entry):
            message = f"`{hazard}` is both a hazard of the {CALLED[kind]} `{name}` and denied"
            yield source.finding(key.line, key.column, "hazard-denied", message, "delete the one that is wrong")
        elif hazard not in files.catalogue.hazards and not files.unread.may_hold("hazards", hazard):
            hint = near_miss(hazard, files.catalogue.hazards)
            yield source.finding(key.line, key.column, "unknown-hazard", f"no hazard `{hazard}`", hint)
