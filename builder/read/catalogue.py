"""The settings and the catalogue: files that every playbook leans on."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel

from builder.read.codes import bad_code_text, parse_code
from builder.read.common import Plain
from builder.read.findings import WARNING, Finding
from builder.read.folder import CATALOGUE, KINDS, SETTINGS, Folder
from builder.read.hazards import BUILT_IN, SIGNALS
from builder.read.mends import known_or_new
from builder.read.nodes import Node, parse_nodes
from builder.read.notation import IDENTIFIER, as_name
from builder.read.reading import Unread
from builder.read.records import (
    AccessJob,
    Catalogue,
    CodeMeaning,
    CommonCheck,
    Hazard,
    Part,
    Settings,
    Tool,
)
from builder.read.shape import read_record
from builder.read.source import Source, read_source

RECORDS: Final[Mapping[str, type[BaseModel]]] = {
    "tools": Tool,
    "parts": Part,
    "access": AccessJob,
    "hazards": Hazard,
    "checks": CommonCheck,
    "codes": CodeMeaning,
}

NEARLY: Final = frozenset({"library.yml", "library.yaml", "library.yaml.txt", "library.txt", "settings.yaml"})
"""Names, in small letters, that people give to the file of the settings."""


@dataclass(frozen=True, slots=True)
class SettingsFile:
    """The settings with the source that they came from, for findings that show only when the catalogue is known."""

    settings: Settings | None
    source: Source
    node: Node


def read_settings(folder: Folder) -> tuple[SettingsFile | None, list[Finding]]:
    """The settings, ``None`` where there is nothing to look at, and what is wrong with them."""
    path = folder.root / SETTINGS
    if not path.exists():
        message = f"the library has no {SETTINGS}"
        near = next((entry.name for entry in folder.entries() if entry.name.lower() in NEARLY), "")
        hint = f"name `{near}` so" if near else "write one with `title`, `currency`, `labour_rate` and `areas`"
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
    for key in ("edit_url", "new_url"):
        url = getattr(settings, key, None)
        if url and (message := _fault_of_url(key, url)):
            place = node.at((key,))
            findings.append(source.finding(place.line, place.column, "edit-url", message, _URL_HINTS[key]))
    return SettingsFile(settings, source, node), findings


_URL_HINTS: Final = {
    "edit_url": "write `{path}` for the file of a playbook and, where it helps, `{line}`",
    "new_url": "write `{path}` for the file of a playbook and, where the host takes it, `{text}`",
}


def _fault_of_url(key: str, url: str) -> str:
    """What is wrong with the pattern of a web address, ``""`` if nothing is."""
    if key == "edit_url" and "{path}" not in url:
        return "`edit_url` has no `{path}`, so every playbook would lead to the same place"
    rest = url.replace("{path}", "").replace("{line}" if key == "edit_url" else "{text}", "")
    return f"`{key}` has braces that stand for nothing" if "{" in rest or "}" in rest else ""


class CatalogueFiles:
    """The catalogue with the sources it came from, for findings that show only when playbooks are known."""

    def __init__(self, folder: Folder) -> None:
        self.findings: list[Finding] = []
        self.places: dict[tuple[str, str], tuple[Source, Node]] = {}
        self.nodes: dict[tuple[str, str], Node] = {}
        self.checks: dict[str, Plain] = {}
        """What each common check says, as plain text, for the steps that take it."""
        self._unread_kinds: set[str] = set()
        self._torn: set[tuple[str, str]] = set()
        records: dict[str, Any] = {kind: self._read(folder, kind) for kind in KINDS}
        self.catalogue = Catalogue.model_construct(None, **records)
        self.unread = Unread(frozenset(self._unread_kinds), frozenset(self._torn))
        self._judge_hazards("access", "access job")
        self._judge_hazards("tools", "tool")
        self._judge_checks()
        self._find_strays(folder)

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
        if source is not None and node is not None and node.sound:
            hint = "write one `id: {name: …}` a line"
            self.findings.append(source.finding(node.line, node.column, "shape", "the file must be a mapping", hint))
        if path.exists() or path.is_symlink():
            self._unread_kinds.add(kind)
        return {name: Hazard.model_validate(entry) for name, entry in BUILT_IN.items()} if kind == "hazards" else {}

    def _entries(self, kind: str, node: Node, source: Source) -> dict[str, BaseModel]:
        records: dict[str, BaseModel] = {}
        for name, entry in node.entries.items():
            key = node.keys[name]
            self.places[kind, name] = source, key
            self.nodes[kind, name] = entry
            self._judge_name(kind, name, source, key)
            always = BUILT_IN.get(name, {}) if kind == "hazards" else {}
            record, found = read_record(RECORDS[kind], entry, source, {}, always)
            self.findings += found
            if found or name in node.lost or entry.is_torn:
                self._torn.add((kind, name))
            if isinstance(record, Hazard) and always and "signal" not in entry.lost:
                self._judge_signal(name, record, entry.at(("signal",)), source)
            if record is not None:
                records[name] = record
            if kind == "checks" and entry.kind == "mapping":
                self.checks[name] = entry.plain()
        if kind == "hazards":
            for name, always in BUILT_IN.items():
                if name not in records:
                    records[name] = Hazard.model_validate(always)
        return records

    def _judge_name(self, kind: str, name: str, source: Source, key: Node) -> None:
        """A finding where an entry has no name; the one that is probably meant then counts as not read."""
        rule, (message, hint) = "bad-code", bad_code_text(name)
        if kind != "codes":
            rule, message = "notation", f"`{name}` is not a name"
            hint = "use small letters a-z, digits and hyphens only"
        if not (parse_code(name) if kind == "codes" else IDENTIFIER.match(name)):
            self.findings.append(source.finding(key.line, key.column, rule, message, hint))
            self._torn.add((kind, name.upper() if kind == "codes" else as_name(name)))

    def _judge_signal(self, name: str, hazard: Hazard, place: Node, source: Source) -> None:
        least = str(BUILT_IN[name]["signal"])
        if SIGNALS.index(hazard.signal) > SIGNALS.index(least):
            message = f"the signal word of `{name}` cannot be weaker than `{least}`"
            hint = f"write `signal: {least}`, or leave it out"
            self.findings.append(source.finding(place.line, place.column, "signal-weaker", message, hint))

    def _judge_hazards(self, kind: str, called: str) -> None:
        """Hazards that entries of a kind carry to the steps that need them must be in the catalogue."""
        for name, entry in getattr(self.catalogue, kind).items():
            for hazard in entry.hazards:
                if hazard not in self.catalogue.hazards and not self.unread.may_hold("hazards", hazard):
                    message = f"the {called} `{name}` names the hazard `{hazard}`, which is not in the catalogue"
                    hint = known_or_new("hazards", hazard, self.catalogue.hazards)
                    self._report((kind, name), "unknown-hazard", message, hint)

    def _report(self, entry: tuple[str, str], rule: str, message: str, hint: str) -> None:
        """A finding at the name of an entry, given by its kind and name."""
        source, key = self.places[entry]
        self.findings.append(source.finding(key.line, key.column, rule, message, hint))

    def _judge_checks(self) -> None:
        """What common checks name must be in the catalogue; a fact of the car costs nothing."""
        rules = {
            "tools": "unknown-tool",
            "parts": "unknown-part",
            "access": "unknown-access",
            "hazards": "unknown-hazard",
        }
        for name, check in self.catalogue.checks.items():
            for kind, rule in rules.items():
                known = getattr(self.catalogue, kind)
                for one in getattr(check, kind):
                    if one not in known and not self.unread.may_hold(kind, one):
                        hint = known_or_new(kind, one, known)
                        message = f"the check `{name}` names `{one}`, which is not in {kind}.yaml"
                        self._report(("checks", name), rule, message, hint)
            costs = any(check.time) or any(check.cost) or any(check.wait)
            if check.about == "car" and (costs or check.tools or check.parts or check.access):
                message = f"the check `{name}` is about the car, and is to cost nothing"
                hint = "delete `about: car`, or what it costs and needs"
                self._report(("checks", name), "car-fact-costs", message, hint)

    def _find_strays(self, folder: Folder) -> None:
        if not (folder.root / CATALOGUE).is_dir():
            return
        for entry in folder.entries(CATALOGUE):
            if entry.name.lower().endswith((".yaml", ".yml")) and entry.name not in {f"{kind}.yaml" for kind in KINDS}:
                message = "this is no file of the catalogue"
                stem = entry.name.lower().rpartition(".")[0]
                hint = "the files are " + ", ".join(f"{kind}.yaml" for kind in KINDS)
                hint = f"name it `{stem}.yaml`" if stem in KINDS else hint
                self.findings.append(Finding(folder.name(CATALOGUE, entry.name), 1, 1, "stray-file", message, hint))

    def unused(self, used: Mapping[str, frozenset[str]]) -> list[Finding]:
        """A warning for every entry that nobody uses; the hazards that always exist are never unused."""
        found: list[Finding] = []
        for (kind, name), (source, key) in self.places.items():
            if kind in used and name not in used[kind] and not (kind == "hazards" and name in BUILT_IN):
                message = f"nothing uses `{name}`"
                hint = "delete it, or name it in a playbook"
                found.append(source.finding(key.line, key.column, "unused-entry", message, hint, WARNING))
        return found
