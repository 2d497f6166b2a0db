"""The preview: every page of a library as it is now, made when it is asked for; nothing is written.

What is for a finished site alone (the zip file, the service worker with its list, the sitemap, the feed) is not there:
a copy that a browser keeps would hide what is saved next.
"""

import os
import secrets
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from threading import Condition, RLock
from typing import Any, Final, NamedTuple

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup

from builder.draw.layout import LayoutError
from builder.format.schema import schema_text
from builder.preview.memory import Memory, Stamp
from builder.publish.build import Build
from builder.publish.data.formdata import write_form_data
from builder.publish.data.jobschema import job_schema_text
from builder.publish.data.search import write_search
from builder.publish.guard import BannerError
from builder.publish.hosting.version import VERSION_FILE, version_text
from builder.publish.pages import address
from builder.publish.pages.lists import list_pages, write_home, write_moved
from builder.publish.pages.pages import Rendered
from builder.publish.pages.theme import Theme, ThemeError, naming_theme_faults, theme_folder
from builder.publish.pages.words import words_of
from builder.publish.site import MANIFEST, build_of, playbook_files, view_of, web_manifest
from builder.read.findings import Finding, has_errors
from builder.read.history import NO_HISTORY
from builder.read.library import read_library
from builder.read.own import file_bytes
from builder.read.records import Library
from builder.read.turns import Run, in_turn
from builder.reckon.advice import appraise
from builder.reckon.reckoning import reckoning_of
from builder.report.text import advice_of, summary

OWN: Final = ".preview/"
"""Where the preview's own files are, beside the pages."""

SHOWN: Final = 100
"""The most findings in the panel."""

FAULTS: Final = (ThemeError, BannerError, LayoutError, OSError)


class Answer(NamedTuple):
    """``name`` is the file that was answered with; its suffix says what it is."""

    status: int
    name: str
    body: bytes


class State(NamedTuple):
    """What a page asks for: another ``state`` is another panel, another ``site`` are other pages."""

    state: str
    site: str
    panel: str


@dataclass(frozen=True)
class MemoryBuild(Build):
    """A build that keeps in memory what it writes."""

    files: dict[str, bytes] = field(default_factory=dict)
    used: set[str] = field(default_factory=set)
    """Files of the library that pages which were made use."""

    def write(self, page: str, text: str) -> None:
        """Keep a text as a file of the site."""
        self.files[page] = text.encode()


class Preview:
    """A library that is followed: ``update`` reads what has changed, ``answer`` gives a page of the last good state."""

    def __init__(self, root: Path, own_theme: Path | None = None, dot: Path | None = None) -> None:
        self.root = root
        self.theme = Theme(own_theme)
        self.dot = dot
        self.memory = Memory()
        self.findings: Sequence[Finding] = ()
        self.problem = ""
        self._held: MemoryBuild | None = None
        self._look: object = None
        self._making = RLock()
        self._turned = Condition()
        self._state = State("", secrets.token_hex(8), "")
        self._environment = Environment(
            loader=FileSystemLoader(theme_folder() / "preview"), autoescape=True, trim_blocks=True, lstrip_blocks=True
        )

    @property
    def said(self) -> str:
        """What there is to mend, in a few words."""
        return "The theme or the machine is at fault" if self.problem else summary(self.findings)

    def is_stale(self) -> bool:
        """Whether a file of the library or of the theme has changed since the last update."""
        return self.look() != self._look

    def look(self) -> tuple[dict[str, Stamp], ...]:
        """The stamps of all files of the library, of the built-in theme and of one's own."""
        folders = [self.root, theme_folder(), *([self.theme.own] if self.theme.own else [])]
        return tuple(dict(_stamps(folder)) for folder in folders)

    def update(self, run: Run = in_turn) -> None:
        """Read what has changed; a library or a theme with errors leaves the pages as they are."""
        look = self.look()
        held, findings, problem = None, self.findings, ""
        try:
            words_of.cache_clear()
            reader = self.memory.reader(look[0], run)
            read = read_library(self.root, appraise=appraise, run=reader)
            findings = read.findings
            if read.sound:
                with naming_theme_faults():
                    held = self._hold(read.sound, run, read.found)
        except FAULTS as error:
            problem = str(error)
        with self._making:
            self._look, self.findings, self.problem = look, findings, problem
            self._held = held or self._held
            self._turn(secrets.token_hex(8) if held or not self._held else self._state.site)

    def _hold(self, library: Library, run: Run, found: Mapping[str, object]) -> MemoryBuild:
        build, assets = build_of(library, self.root, self.root, self.dot, NO_HISTORY, self.theme, found)
        held = MemoryBuild(**vars(build))
        held.files.update({held.assets[name]: data for name, data in assets.items()})
        self.memory.cards_of(held, run)
        return held

    def _turn(self, site: str) -> None:
        with self._turned:
            self._state = State(secrets.token_hex(8), site, self._panel(self.findings, self.problem))
            self._turned.notify_all()

    def state_after(self, seen: str, timeout: float) -> State:
        """The state as soon as it is another than the one that was seen; as it is when the time (in seconds) is up."""
        with self._turned:
            self._turned.wait_for(lambda: self._state.state != seen, timeout)
            return self._state

    def answer(self, name: str) -> Answer:
        """A file by its address from the top of the site, made now if it was not made before."""
        if name.startswith(OWN):
            return self._own_file(name)
        with self._making:
            if self._held is None:
                return self._waiting(503)
            try:
                with naming_theme_faults():
                    body = self._file(self._held, name)
                    status, name = (404, address.NOT_FOUND) if body is None else (200, name)
                    body = self._file(self._held, name) if body is None else body
            except FAULTS as error:
                return self._waiting(500, str(error))
        return Answer(status, name, self._with_script(body or b"", name))

    def _own_file(self, name: str) -> Answer:
        files = {f"{OWN}{path.name}": path for path in (theme_folder() / "preview").iterdir()}
        return Answer(200, name, files[name].read_bytes()) if name in files else Answer(404, "404.txt", b"")

    def _file(self, held: MemoryBuild, name: str) -> bytes | None:
        if name not in held.files:
            self._make(held, name)
        if name not in held.files and name.removeprefix("files/") in held.used:
            return file_bytes(self.root, held.library.settings.areas, name.removeprefix("files/"))
        return held.files.get(name)

    def _make(self, held: MemoryBuild, name: str) -> None:
        """Make a file of the site, and what has to be made on the way to it; nothing if there is no such file."""
        single: dict[str, Callable[[], object]] = {
            address.HOME: lambda: write_home(held, self.memory.cards_of(held), 0),
            address.SEARCH: lambda: write_search(held),
            address.FORM_DATA: lambda: write_form_data(held),
            MANIFEST: lambda: held.write(MANIFEST, held.pages.json_text(web_manifest(held))),
            VERSION_FILE: lambda: held.write(name, version_text("")),
            address.SCHEMA: lambda: held.write(name, schema_text()),
            address.JOB_SCHEMA: lambda: held.write(name, job_schema_text()),
        }
        if name in single:
            single[name]()
        elif slug := _slug_of(held.library, name):
            reckoning = reckoning_of(held.library.playbooks[slug], held.library.catalogue, held.library.settings)
            _write_until(name, held, playbook_files(held, reckoning, view_of(held, reckoning)))
        elif name.startswith("playbook/"):
            write_moved(held)
        else:
            for template, page, view in list_pages(held, self.memory.cards_of(held)):
                if page == name:
                    held.write(page, held.pages.render(template, page, **view).text)
                    return

    def _waiting(self, status: int, problem: str = "") -> Answer:
        """A page of findings where there is no page to show them over."""
        panel = Markup(self._panel([] if problem else self.findings, problem or self.problem))  # noqa: S704 - autoescaped
        html = self._environment.get_template("waiting.html").render(said=self.said, panel=panel)
        return Answer(status, address.HOME, self._with_script(html.encode(), address.HOME))

    def _panel(self, findings: Sequence[Finding], problem: str) -> str:
        view = {
            "said": self.said,
            "problem": problem,
            "findings": sorted(findings, key=lambda finding: (finding.severity, finding))[:SHOWN],
            "more": max(0, len(findings) - SHOWN),
            "stopped": has_errors(findings),
            "waits": self._held is None,
            "advice_of": advice_of,
        }
        return self._environment.get_template("panel.html").render(view).strip()

    def _with_script(self, body: bytes, name: str) -> bytes:
        """A page with what follows the library put into its head; any other file as it is."""
        if not name.endswith(".html"):
            return body
        tags = (
            f'<link rel="stylesheet" href="/{OWN}preview.css">\n'
            f'<script src="/{OWN}preview.js" data-site="{self._state.site}" defer></script>\n'
        )
        head, end, rest = body.partition(b"</head>")
        return head + tags.encode() + end + rest


def _write_until(name: str, held: MemoryBuild, files: Iterator[Rendered]) -> None:
    for file in files:
        held.write(file.page, file.text)
        held.used.update(file.files)
        if file.page == name:
            return


def _slug_of(library: Library, name: str) -> str | None:
    """The slug of the playbook that a file of the site is made of."""
    folder, _, file = name.rpartition("/")
    stem = file.rpartition(".")[0]
    if name == address.model(stem):
        was: Mapping[str, str] = {old: book.slug for book in library.playbooks.values() for old in book.was}
        stem = was.get(stem, stem)
    elif folder == "path":
        stem = stem.rpartition("--")[0]
    elif folder not in ("playbook", "flow", "sheet", "data/origin"):
        return None
    return stem if stem in library.playbooks else None


def _stamps(folder: Path) -> Iterator[tuple[str, Stamp]]:
    """Every file below a folder by its path with ``/``; hidden ones, and what vanishes meanwhile, are passed over."""
    for place, folders, files in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in files:
            if name.startswith("."):
                continue
            path = Path(place, name)
            try:
                status: Any = path.stat()
            except OSError:
                continue
            yield path.relative_to(folder).as_posix(), (status.st_mtime_ns, status.st_size, status.st_ino)
