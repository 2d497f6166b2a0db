"""A library, read: settings, catalogue and playbooks as records, and every finding of the run."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import islice
from pathlib import Path

from builder.read import limits
from builder.read.answers import idle_answers, is_accepted, unanswered
from builder.read.catalogue import CatalogueFiles, read_settings
from builder.read.checks import CHECKS
from builder.read.checks.entries import library_hazards
from builder.read.checks.plausible import dear_prices
from builder.read.checks.references import work_at
from builder.read.checks.texts import library_texts, text_findings
from builder.read.common import Plain, is_said_by_check, with_checks
from builder.read.findings import WARNING, Finding, has_errors, in_order
from builder.read.folder import CATALOGUE, KINDS, SETTINGS, Folder, PlaybookFile, list_playbooks
from builder.read.linked import Linked
from builder.read.nodes import Node, parse_nodes
from builder.read.prose import links_and_html
from builder.read.reading import ALL_READ, Appraise, Reading, Unread
from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.read.records.playbook import FORMAT
from builder.read.shape import read_record
from builder.read.source import Source, read_source
from builder.read.turns import Run, in_turn


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What reading one playbook needs to know of the library around it."""

    folder: Folder
    settings: Settings
    catalogue: Catalogue
    unread: Unread
    slugs: frozenset[str]
    appraise: Appraise | None
    checks: Mapping[str, Plain]


@dataclass(frozen=True, slots=True)
class HandOver:
    """A result that leads from one playbook to another, and the finding to give if that goes round."""

    slug: str
    target: str
    finding: Finding


@dataclass(frozen=True, slots=True)
class Claim:
    """An old slug that a playbook says was its own, and the finding to give if it is not free."""

    slug: str
    finding: Finding


@dataclass(frozen=True, slots=True)
class Pointer:
    """A link to a step or an ending of another playbook, and the finding to give if there is none."""

    slug: str
    name: str
    finding: Finding


@dataclass(frozen=True, slots=True)
class PlaybookRead:
    """One playbook as it was read: the record, ``None`` where there is none in the file, and what checks found.

    ``lines`` says on which line each step and ending begins, ``found`` is what the appraisal found.
    """

    playbook: Playbook | None
    findings: list[Finding]
    hand_overs: tuple[HandOver, ...] = ()
    claims: tuple[Claim, ...] = ()
    pointers: tuple[Pointer, ...] = ()
    lines: dict[str, int] = field(default_factory=dict)
    found: object = None


@dataclass(frozen=True, slots=True)
class LibraryRead:
    """A library as it was read, and what of it could not be.

    ``library`` is ``None`` where its settings are missing or too broken to go on. Its records are partial where there
    are ``findings``, which are in the order of files and lines; ``shown`` is what they call the folder. ``unreadable``
    are slugs of playbooks that stand in the folder and are not in the library, ``unread`` says what of the catalogue
    is not, or not whole. ``files`` are those that playbooks lead to, where somebody has looked at them.
    is not, or not whole. ``found`` is what the appraisal found, by slug.
    """

    library: Library | None
    findings: tuple[Finding, ...]
    shown: str
    unreadable: frozenset[str] = frozenset()
    unread: Unread = ALL_READ
    files: Mapping[str, Linked] = field(default_factory=dict)
    found: Mapping[str, object] = field(default_factory=dict)

    @property
    def sound(self) -> Library | None:
        """The library, if it has no errors."""
        return None if has_errors(self.findings) else self.library

    @property
    def playbooks(self) -> Mapping[str, Playbook]:
        """The playbooks that could be read, by slug."""
        return self.library.playbooks if self.library else {}

    @property
    def catalogue(self) -> Catalogue:
        """What could be read of the catalogue."""
        return self.library.catalogue if self.library else Catalogue()

    @property
    def base_is_sound(self) -> bool:
        """Whether settings and catalogue, on which all numbers rest, have no errors."""
        return self._has_none(SETTINGS, *(f"{CATALOGUE}/{kind}.yaml" for kind in KINDS))

    def is_sound(self, slug: str) -> bool:
        """Whether the numbers of a playbook can be trusted: its own file has no errors, nor what it rests on."""
        return self.base_is_sound and self._has_none(self.playbooks[slug].path)

    def _has_none(self, *paths: str) -> bool:
        """Whether files, by their paths within the library, have no errors."""
        files = {f"{self.shown.rstrip('/')}/{path}" for path in paths}
        return not has_errors(finding for finding in self.findings if finding.file in files)


def read_library(
    root: Path, shown: str | None = None, appraise: Appraise | None = None, run: Run = in_turn
) -> LibraryRead:
    """Read a library and check it; ``appraise`` judges the numbers of playbooks that have no errors.

    It is asked only where settings, catalogue and folders have none either, for it reckons with them.

    Raises:
        OSError: the folder or a file in it cannot be read.
    """
    folder = Folder(root, shown if shown is not None else root.as_posix())
    file, findings = read_settings(folder)
    files = CatalogueFiles(folder)
    findings += files.findings
    settings = file.settings if file else None
    if file:
        findings += library_hazards(file, files)
        findings += library_texts(file, files)
    findings += dear_prices(files)
    if settings is None or not settings.areas:
        return LibraryRead(None, tuple(in_order(findings)), folder.shown, unread=files.unread)
    listed = list_playbooks(folder, settings.areas)
    findings += listed.findings
    slugs = frozenset(file.slug for file in listed.files)
    asked = None if has_errors(findings) else appraise
    around = Surroundings(folder, settings, files.catalogue, files.unread, slugs, asked, files.checks)
    read = list(run(read_playbook, listed.files, around))
    for one in read:
        findings += one.findings
    playbooks = {one.playbook.slug: one.playbook for one in read if one.playbook}
    if not has_errors(findings):
        findings += files.unused(_used(playbooks.values(), files.catalogue))
    findings += _rings([hand_over for one in read for hand_over in one.hand_overs])
    findings += _astray([pointer for one in read for pointer in one.pointers], read)
    findings += _taken([claim for one in read for claim in one.claims], slugs)
    lines = {one.playbook.slug: one.lines for one in read if one.playbook}
    library = Library.model_construct(settings=settings, catalogue=files.catalogue, playbooks=playbooks, lines=lines)
    unreadable = (slugs | listed.elsewhere) - playbooks.keys()
    found = {one.playbook.slug: one.found for one in read if one.playbook and one.found is not None}
    return LibraryRead(library, tuple(in_order(findings)), folder.shown, unreadable, files.unread, found=found)


def read_playbook(around: Surroundings, file: PlaybookFile) -> PlaybookRead:
    """One playbook with the findings of every check."""
    root = around.folder.root
    source, findings = read_source(root / file.area / f"{file.slug}.yaml", file.name, root)
    if source is None:
        return PlaybookRead(None, findings)
    node, found = parse_nodes(source)
    findings += found
    if node is None:
        return PlaybookRead(None, findings)
    if newer := _of_a_newer_format(node, source):
        return PlaybookRead(None, [*findings, newer])
    own = {"slug": file.slug, "area": file.area}
    complete = partial(with_checks, checks=around.checks)
    playbook, found = read_record(Playbook, node, source, own, complete=complete, excuses=is_said_by_check)
    findings += found
    if playbook is None:
        return PlaybookRead(None, findings)
    whole = not findings
    findings += islice(text_findings(Playbook, node, source), limits.FOUND.most)
    given = around.settings, around.catalogue, around.unread, around.slugs, root
    reading = Reading(playbook, node, source, *given, whole=whole)
    for check in CHECKS:
        findings += islice(check(reading), limits.FOUND.most)
    judged: object = None
    if around.appraise and not has_errors(findings):
        appraisal = around.appraise(reading)
        playbook, judged = appraisal.playbook, appraisal.found
        findings += appraisal.findings
        findings += idle_answers(reading, list(findings)) if appraisal.whole else ()
    told = unanswered(reading, findings)
    leading = tuple(_hand_overs(reading)), tuple(_claims(reading)), tuple(_pointers(reading))
    return PlaybookRead(playbook, told, *leading, reading.lines, judged)


def _of_a_newer_format(node: Node, source: Source) -> Finding | None:
    """The one finding of a file whose format is newer than this program: nothing else can be said of it."""
    place = node.child("format")
    if place is None or not place.text.isdecimal() or int(place.text[:9]) <= FORMAT:
        return None
    message = f"`format: {place.text}` is newer than this Droplight, which reads format {FORMAT}"
    return source.finding(place.line, place.column, "new-format", message, "install a newer Droplight")


def _hand_overs(reading: Reading) -> Iterator[HandOver]:
    for step_name, step in reading.playbook.steps.items():
        for result_name, result in step.results.items():
            location = ("steps", step_name, "results", result_name, "next")
            if result.next.playbook and not is_accepted(reading, location, "handover-ring"):
                hint = "let one of them end in a hand-over to a professional instead"
                finding = reading.finding(location, "handover-ring", "", hint, WARNING)
                yield HandOver(reading.playbook.slug, result.next.playbook, finding)


def _pointers(reading: Reading) -> Iterator[Pointer]:
    for location, work in work_at(reading):
        node = reading.node.at((*location, "do"))
        for link in links_and_html(work.do or "")[0]:
            if link.playbook and link.fragment:
                line, column = reading.source.near(node.start, node.end, link.target)
                message = f"the link `{link.target}` leads to no step or ending of `{link.playbook}`"
                hint = "name one of that playbook, or leave the `#` and what follows out"
                finding = reading.source.finding(line, column, "bad-link", message, hint)
                yield Pointer(link.playbook, link.fragment, finding)


def _astray(pointers: Iterable[Pointer], read: Iterable[PlaybookRead]) -> Iterator[Finding]:
    """Links to steps and endings that playbooks without errors do not have."""
    known = {one.playbook.slug: one.playbook.work() for one in read if one.playbook and not has_errors(one.findings)}
    for pointer in pointers:
        if pointer.slug in known and pointer.name not in known[pointer.slug]:
            yield pointer.finding


def _claims(reading: Reading) -> Iterator[Claim]:
    for location, slug in reading.names(("was",)):
        hint = "delete it; an old slug leads to one playbook and is the slug of none"
        yield Claim(slug, reading.finding(location, "was-taken", "", hint))


def _taken(claims: Sequence[Claim], slugs: frozenset[str]) -> Iterator[Finding]:
    """A finding for every old slug that is the slug of a playbook, or that an earlier playbook had as well."""
    owners: dict[str, str] = {}
    for claim in claims:
        finding = claim.finding
        if claim.slug in slugs:
            yield replace(finding, message=f"the old slug `{claim.slug}` is the slug of a playbook")
        elif claim.slug in owners:
            yield replace(
                finding, message=f"the old slug `{claim.slug}` is claimed twice; first in {owners[claim.slug]}"
            )
        owners.setdefault(claim.slug, finding.file)


def _rings(hand_overs: Sequence[HandOver]) -> Iterator[Finding]:
    """A warning for every hand-over from which the playbooks lead back to where it started."""
    targets: dict[str, list[str]] = {}
    for hand_over in hand_overs:
        targets.setdefault(hand_over.slug, []).append(hand_over.target)
    for hand_over in hand_overs:
        way = _way(hand_over.target, hand_over.slug, targets)
        if way:
            message = "hand-overs go round in a ring: " + " → ".join([hand_over.slug, *way])
            yield replace(hand_over.finding, message=message)


def _way(start: str, goal: str, targets: dict[str, list[str]]) -> list[str]:
    """The shortest way from one playbook to another along hand-overs; empty where there is none."""
    trails = [[start]]
    seen = {start}
    for trail in trails:
        if trail[-1] == goal:
            return trail
        for after in targets.get(trail[-1], ()):
            if after not in seen:
                seen.add(after)
                trails.append([*trail, after])
    return []


def _used(playbooks: Iterable[Playbook], catalogue: Catalogue) -> dict[str, frozenset[str]]:
    """Names of the catalogue that playbooks use, by kind; hazards through access jobs as well."""
    used: dict[str, set[str]] = {"tools": set(), "parts": set(), "access": set(), "hazards": set(), "checks": set()}
    for playbook in playbooks:
        for work in playbook.work().values():
            used["tools"].update(work.tools)
            used["parts"].update(work.parts)
            used["access"].update(work.access)
            used["hazards"].update(work.hazards, work.no_hazards)
        used["hazards"].update(playbook.no_hazards)
        used["checks"].update(step.check for step in playbook.steps.values() if step.check)
    for kind in ("access", "tools"):
        entries = getattr(catalogue, kind)
        for name in used[kind] & entries.keys():
            used["hazards"].update(entries[name].hazards)
    return {kind: frozenset(names) for kind, names in used.items()}
