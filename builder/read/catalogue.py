"""The settings and the catalogue: files that every playbook leans on."""

from collections.abc import Mapping
from typing import Any, Final

from pydantic import BaseModel

from builder.read.findings import WARNING, Finding
from builder.read.folder import CATALOGUE, KINDS, SETTINGS, Folder
from builder.read.hazards import ALWAYS, SIGNALS
from builder.read.nodes import Node, parse_nodes
from builder.read.notation import IDENTIFIER
from builder.read.records import LOST, AccessJob, Catalogue, Hazard, Part, Settings, Tool
from builder.read.shape import read_record
from builder.read.source import Source, read_source

RECORDS: Final[Mapping[str, type[BaseModel]]] = {"tools": Tool, "parts": Part, "access": AccessJob, "hazards": Hazard}


def read_settings(folder: Folder) -> tuple[Settings | None, list[Finding]]:
    path = folder.root / SETTINGS
    if not path.exists():
        message = f"the library has no {SETTINGS}"
        hint = "write one with `title`, `currency`, `labour_rate` and `areas`"
        return None, [Finding(folder.name(SETTINGS), 1, 1, "no-settings", message, hint)]
    source, findings = read_source(path, folder.name(SETTINGS), folder.root)
    if source is None:
        return None, findings
    node, found = parse_nodes(source)
    findings += found
    if node is None:
        return None, findings
    settings, found = read_record(Settings, node, source, {})
    findings += found
    if settings and CATALOGUE in settings.areas:
        place = node.key_at(("areas", CATALOGUE))
        message = f"`{CATALOGUE}` cannot be an area"
        findings.append(source.finding(place.line, place.column, "no-area", message, "the catalogue lives there"))
    if settings and settings.edit_url and (message := _fault_of_edit_url(settings.edit_url)):
        place = node.at(("edit_url",))
        hint = "write `{path}` for the file of a playbook and, where it helps, `{line}`"
        findings.append(source.finding(place.line, place.column, "edit-url", message, hint))
    return settings, findings


def _fault_of_edit_url(url: str) -> str:
    """What is wrong with the pattern of a web address, ``""`` if nothing is."""
    if "{path}" not in url:
        return "`edit_url` has no `{path}`, so every playbook would lead to the same place"
    rest = url.replace("{path}", "").replace("{line}", "")
    return "`edit_url` has braces that stand for nothing" if "{" in rest or "}" in rest else ""


class CatalogueFiles:
    """The catalogue with the sources it came from, for findings that show only when playbooks are known."""

    def __init__(self, folder: Folder) -> None:
        self.findings: list[Finding] = []
        self.places: dict[tuple[str, str], tuple[Source, Node]] = {}
        records: dict[str, Any] = {kind: self._read(folder, kind) for kind in KINDS}
        self.catalogue = Catalogue.model_construct(None, **records)
        self._look_at_access()
        self._look_for_strays(folder)

    def _read(self, folder: Folder, kind: str) -> dict[str, BaseModel]:
        path = folder.root / CATALOGUE / f"{kind}.yaml"
        source, node = None, None
        if path.exists() or path.is_symlink():
            source, found = read_source(path, folder.name(CATALOGUE, path.name), folder.root)
            self.findings += found
        if source is not None:
            node, found = parse_nodes(source)
            self.findings += found
        if source is not None and node is not None and node.kind == "mapping":
            return self._entries(kind, node, source)
        if source is not None and node is not None:
            hint = "write one `id: {name: …}` a line"
            self.findings.append(source.finding(node.line, node.column, "shape", "the file must be a mapping", hint))
        always = ALWAYS if kind == "hazards" else {}
        lost = {LOST: RECORDS[kind].model_construct(name=LOST)} if path.exists() or path.is_symlink() else {}
        return {**lost, **{name: Hazard.model_validate(entry) for name, entry in always.items()}}

    def _entries(self, kind: str, node: Node, source: Source) -> dict[str, BaseModel]:
        records: dict[str, BaseModel] = {}
        for name, entry in node.entries.items():
            key = node.keys[name]
            self.places[kind, name] = source, key
            if not IDENTIFIER.match(name):
                hint = "use small letters a-z, digits and hyphens only"
                message = f"`{name}` is not a name"
                self.findings.append(source.finding(key.line, key.column, "notation", message, hint))
            always = ALWAYS.get(name, {}) if kind == "hazards" else {}
            record, found = read_record(RECORDS[kind], entry, source, {}, always)
            self.findings += found
            if isinstance(record, Hazard) and always and "signal" not in entry.lost:
                self._look_at_signal(name, record, entry.at(("signal",)), source)
            if isinstance(record, Hazard) and always:
                record = with_words(record, always["words"])
            if record is not None:
                records[name] = record
        if kind == "hazards":
            for name in ALWAYS.keys() - records.keys():
                records[name] = Hazard.model_validate(ALWAYS[name])
        return records

    def _look_at_signal(self, name: str, hazard: Hazard, place: Node, source: Source) -> None:
        least = str(ALWAYS[name]["signal"])
        if SIGNALS.index(hazard.signal) > SIGNALS.index(least):
            message = f"the signal word of `{name}` cannot be weaker than `{least}`"
            hint = f"write `signal: {least}`, or leave it out"
            self.findings.append(source.finding(place.line, place.column, "signal-weaker", message, hint))

    def _look_at_access(self) -> None:
        for name, job in self.catalogue.access.items():
            for hazard in job.hazards:
                if hazard not in self.catalogue.hazards and hazard != LOST and LOST not in self.catalogue.hazards:
                    source, key = self.places["access", name]
                    message = f"the access job `{name}` names the hazard `{hazard}`, which is not in the catalogue"
                    hint = "add it to hazards.yaml, or mend the name"
                    self.findings.append(source.finding(key.line, key.column, "unknown-hazard", message, hint))

    def _look_for_strays(self, folder: Folder) -> None:
        if not (folder.root / CATALOGUE).is_dir():
            return
        for entry in folder.entries(CATALOGUE):
            if entry.name.lower().endswith((".yaml", ".yml")) and entry.name not in {f"{kind}.yaml" for kind in KINDS}:
                message = "this is no file of the catalogue"
                hint = "the files are " + ", ".join(f"{kind}.yaml" for kind in KINDS)
                self.findings.append(Finding(folder.name(CATALOGUE, entry.name), 1, 1, "stray-file", message, hint))

    def unused(self, used: Mapping[str, frozenset[str]]) -> list[Finding]:
        """A warning for every entry that nobody uses; the hazards that always exist are never unused."""
        found: list[Finding] = []
        for (kind, name), (source, key) in self.places.items():
            if name not in used[kind] and not (kind == "hazards" and name in ALWAYS):
                message = f"nothing uses `{name}`"
                hint = "delete it, or name it in a playbook"
                found.append(source.finding(key.line, key.column, "unused-entry", message, hint, WARNING))
        return found


def with_words(hazard: Hazard, words: tuple[str, ...]) -> Hazard:
    """The hazard with further words in front of its own, each once: a library adds words and removes none."""
    return hazard.model_copy(update={"words": tuple(dict.fromkeys((*words, *hazard.words)))})
