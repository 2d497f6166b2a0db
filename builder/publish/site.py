"""The site: every page of a library, written to a folder."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Final

from markupsafe import Markup

from builder.draw.charts import spending_chart
from builder.draw.figures import figures_of
from builder.draw.flowchart import Words, flowchart
from builder.draw.layout import lay_out
from builder.draw.svg import alone, inline, page_svg
from builder.publish import address
from builder.publish.assets import fingerprinted, read_assets
from builder.publish.cards import Card, card_of
from builder.publish.index import Index, index_of
from builder.publish.jobschema import job_schema_text
from builder.publish.lists import write_home, write_lists, write_moved
from builder.publish.model import data_file, model_of
from builder.publish.offline import (
    FILE_LIST,
    SERVICE_WORKER,
    file_list,
    site_bytes,
    site_files,
    write_archive,
)
from builder.publish.pages import Pages
from builder.publish.search import write_search
from builder.publish.structured import how_to
from builder.publish.views import PathView, PlaybookView, playbook_view
from builder.read.hazards import BANNER
from builder.read.records import Library
from builder.read.schema import schema_text
from builder.reckon.totals import Reckoning, reckoning_of, totals

CHUNK: Final = 8


@dataclass(frozen=True)
class Job:
    """All that writing pages needs; made once and shared by every worker."""

    library: Library
    library_root: Path
    index: Index
    titles: Mapping[str, str]
    assets: Mapping[str, str]
    folder: Path
    dot: Path | None

    @cached_property
    def pages(self) -> Pages:
        return Pages(self.library, figures_of(self.library.settings), self.assets)

    def write(self, page: str, text: str) -> None:
        path = self.folder / page
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")


@dataclass(frozen=True, slots=True)
class Written:
    """What was written for a chunk of playbooks: their cards, the pages, and files of the library to bring along."""

    cards: Sequence[Card]
    pages: Sequence[str]
    files: frozenset[str]


RunJob = Callable[[Callable[[Job, Sequence[str]], Written], Job, Sequence[Sequence[str]]], Iterable[Written]]
"""Calls a function with a job and every chunk of slugs, in order; may spread the calls over processes."""


def in_turn(
    write: Callable[[Job, Sequence[str]], Written], job: Job, chunks: Sequence[Sequence[str]]
) -> Iterable[Written]:
    return (write(job, chunk) for chunk in chunks)


def write_site(
    library: Library, library_root: Path, folder: Path, dot: Path | None = None, run: RunJob = in_turn
) -> int:
    """Write every page of a library that has no errors to a folder, and give the number of pages.

    Raises:
        LayoutError: the layout program is missing or failed.
        OSError: the machine refuses.
    """
    assets = read_assets()
    titles = {slug: playbook.title for slug, playbook in library.playbooks.items()}
    job = Job(library, library_root, index_of(library), titles, fingerprinted(assets), folder, dot)
    for name, data in assets.items():
        path = folder / job.assets[name]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    slugs = list(library.playbooks)
    chunks = [slugs[i : i + CHUNK] for i in range(0, len(slugs), CHUNK)]
    written = list(run(write_playbooks, job, chunks))
    cards = {card.slug: card for part in written for card in part.cards}
    pages = [page for part in written for page in part.pages]
    pages += write_lists(job, cards)
    moved = write_moved(job)
    job.write(address.SCHEMA, schema_text())
    job.write(address.JOB_SCHEMA, job_schema_text())
    write_search(job)
    _bring_files(job, frozenset().union(*(part.files for part in written)))
    _write_sitemap(job, pages)
    (folder / ".nojekyll").write_bytes(b"")
    job.write("manifest.webmanifest", job.pages.json_text(web_manifest(job)))
    _take_along(job, cards)
    return len(pages) + moved + 1


def _take_along(job: Job, cards: Mapping[str, Card]) -> None:
    """The home page (which says how large the site is), the service worker with its list, and the zip file."""
    write_home(job, cards, site_bytes(job.folder, site_files(job.folder)))
    names = site_files(job.folder)
    size = site_bytes(job.folder, names)

    def closing(version: str) -> dict[str, str]:
        worker = job.pages.render(SERVICE_WORKER, SERVICE_WORKER, version=version)
        return {SERVICE_WORKER: worker, FILE_LIST: file_list(version, size, names)}

    write_archive(job.folder, names, closing)


def write_playbooks(job: Job, slugs: Sequence[str]) -> Written:
    """Write the pages of some playbooks: the playbook, its flowchart alone, and a sheet for each listed path."""
    cards: list[Card] = []
    pages: list[str] = []
    job.pages.used_files.clear()
    for slug in slugs:
        job.pages.rendered.clear()
        playbook = job.library.playbooks[slug]
        reckoning = reckoning_of(playbook, job.library.catalogue, job.library.settings)
        view, drawing = _view_and_flowchart(job, reckoning)
        page = address.page("playbook", slug)
        job.write(page, _playbook_page(job, view, inline(drawing), page))
        job.write(address.page("flow", slug), alone(drawing, f"../{page}"))
        model = model_of(reckoning, view, job.pages, job.titles)
        for name in (slug, *playbook.was):
            job.write(f"data/{name}.js", data_file("playbook", name, model))
        pages.append(page)
        pages += _write_sheets(job, view)
        cards.append(card_of(view, reckoning))
    return Written(cards, pages, frozenset(job.pages.used_files))


def _view_and_flowchart(job: Job, reckoning: Reckoning) -> tuple[PlaybookView, Any]:
    library, pages, playbook = job.library, job.pages, reckoning.playbook
    view = playbook_view(reckoning, totals(reckoning, library.settings.currency), library.catalogue, job.titles)
    gettext = pages.gettext
    words = Words(gettext("Start"), gettext("Go on in:"), pages.signal_words)
    dot = flowchart(reckoning, library.catalogue, pages.figures, words, job.titles)
    title = gettext("Flowchart: %(title)s", title=playbook.title)
    description = gettext("The same as the list of steps: each box is a step, each arrow a result.")
    return view, page_svg(lay_out(dot.source, job.dot), title, description, "flow")


def _playbook_page(job: Job, view: PlaybookView, drawing: str, page: str) -> str:
    slug = view.playbook.slug
    return job.pages.render(
        "playbook.html",
        page,
        view=view,
        nodes=view.nodes,
        flowchart=Markup(drawing),  # noqa: S704 - every text in it was escaped when it was drawn
        structured=job.pages.json(how_to(view, job.library.settings)),
        chart=_chart(job, view),
        related=job.index.related[slug],
        titles=job.titles,
        path_steps=path_steps,
    )


def _chart(job: Job, view: PlaybookView) -> Markup:
    within = view.totals.spend_within
    if not view.curve or not within:
        return Markup("")
    pages = job.pages
    money = {f"within{percent}": pages.figures.money(amount) for percent, amount in within.items()}
    title = pages.gettext("Share of owners who are done, by money spent")
    description = pages.gettext(
        "50 %% are done for %(within50)s or less, 80 %% for %(within80)s, 95 %% for %(within95)s.",
        **money,
    )
    return Markup(inline(spending_chart(view.curve, pages.figures, title, description)))  # noqa: S704 - made by us


def path_steps(path: PathView) -> list[tuple[str, str]]:
    """Names of the steps of a path, each with its result."""
    return list(zip(path.totals.steps, path.totals.results, strict=True))


def _write_sheets(job: Job, view: PlaybookView) -> list[str]:
    """The sheet of each listed path; what many of them share is rendered once for all."""
    if not view.paths:
        return []
    shared = _sheet_pieces(job, view)
    written: list[str] = []
    for path in view.paths:
        page = address.page("path", path.key)
        hazards = [hazard for hazard in view.hazards if hazard.name in path.totals.hazards]
        html = job.pages.render(
            "sheet.html",
            page,
            view=view,
            path=path,
            hazards=[hazard for hazard in hazards if hazard.name not in BANNER],
            hazards_banner=[hazard for hazard in hazards if hazard.name in BANNER],
            **shared,
        )
        job.write(page, html)
        written.append(page)
    return written


def _sheet_pieces(job: Job, view: PlaybookView) -> dict[str, Any]:
    """Pieces of sheets: what each step says and how it goes on, what follows each ending, hazards and tools."""
    book = view.playbook
    page = address.page("path", view.paths[0].key)
    pieces = job.pages.macros("sheet_pieces.html", page)
    steps = {i: work for i, work in view.nodes.items() if work.kind == "step"}
    own_page = address.page("playbook", book.slug)
    return {
        "said": {i: pieces.said(work, book) for i, work in view.nodes.items()},
        "goes_on": {
            (i, choice.name): pieces.goes_on(work, choice.name, own_page)
            for i, work in steps.items()
            for choice in work.choices
        },
        "after": {i: pieces.after(work) for i, work in view.nodes.items() if work.kind == "ending"},
        "panels": {hazard.name: pieces.panel(hazard) for hazard in view.hazards},
        "tools": {name: pieces.tool(tool) for name, tool in view.tools},
    }


def web_manifest(job: Job) -> dict[str, Any]:
    """The web app manifest, by which a phone can keep the site as an app."""
    icons = [
        {"src": job.assets["icon.svg"], "sizes": "any", "type": "image/svg+xml"},
        {"src": job.assets["icon-192.png"], "sizes": "192x192", "type": "image/png"},
        {"src": job.assets["icon-512.png"], "sizes": "512x512", "type": "image/png", "purpose": "any maskable"},
    ]
    settings = job.library.settings
    return {
        "name": settings.title,
        "short_name": settings.title[:12].strip(),
        "lang": settings.language,
        "start_url": address.HOME,
        "scope": "./",
        "display": "standalone",
        "background_color": "#f1ecdd",
        "theme_color": "#f1ecdd",
        "icons": icons,
    }


def _bring_files(job: Job, files: frozenset[str]) -> None:
    for name in sorted(files):
        target = job.folder / "files" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes((job.library_root / name).read_bytes())


def _write_sitemap(job: Job, pages: Sequence[str]) -> None:
    site = job.library.settings.site_url
    if site:
        hidden = (address.NOT_FOUND, address.WALK, address.SETTINGS)
        shown = [address.HOME, *(page for page in pages if not page.startswith("path/") and page not in hidden)]
        job.write("sitemap.xml", job.pages.render("sitemap.xml", "sitemap.xml", site=site.rstrip("/"), pages=shown))
