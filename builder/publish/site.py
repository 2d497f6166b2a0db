"""The site: every page of a library, written to a folder."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, Final

from markupsafe import Markup

from builder.draw.charts import spending_chart
from builder.draw.flowchart import Words, flowchart
from builder.draw.layout import lay_out
from builder.draw.svg import alone, inline, note_svg, page_svg
from builder.format.schema import schema_text
from builder.publish.build import Build, Weight, Written
from builder.publish.data.formdata import write_form_data
from builder.publish.data.jobschema import job_schema_text, made_modules
from builder.publish.data.model import data_file, model_of
from builder.publish.data.origin import origin_file
from builder.publish.data.search import write_search
from builder.publish.guard import require_walk_panels, require_work_panels
from builder.publish.hosting.archive import Archive, Sealing, seal, sealed
from builder.publish.hosting.feed import FEED, feed_of
from builder.publish.hosting.headers import HEADERS_FILE, headers_text
from builder.publish.hosting.offline import (
    FILE_LIST,
    SERVICE_WORKER,
    editors_files,
    file_list,
    list_text,
    site_bytes,
    site_files,
)
from builder.publish.hosting.structured import how_to
from builder.publish.hosting.uploads import UPLOADS_FILE, uploads_text
from builder.publish.hosting.version import VERSION_FILE, version_text
from builder.publish.pages import address
from builder.publish.pages.cards import card_of
from builder.publish.pages.edits import edits_of
from builder.publish.pages.index import index_of
from builder.publish.pages.lists import write_home, write_lists, write_moved
from builder.publish.pages.pages import Rendered
from builder.publish.pages.scripts import scripts_of
from builder.publish.pages.sheets import path_sheets, whole_sheet
from builder.publish.pages.theme import BUILT_IN, Theme, fingerprinted, naming_theme_faults, read_assets
from builder.publish.pages.views import PlaybookView, playbook_view
from builder.publish.pages.words import in_language, words_of
from builder.read import limits
from builder.read.extent import places_of
from builder.read.history import NO_HISTORY, History
from builder.read.own import file_bytes
from builder.read.records import Library
from builder.read.turns import Run, in_turn
from builder.reckon.order.orders import Orders
from builder.reckon.order.verdict import verdict_of
from builder.reckon.reckoning import Reckoning, reckoning_of
from builder.reckon.totals import totals

MANIFEST: Final = "manifest.webmanifest"

NOTHING_FOUND: Final[Mapping[str, object]] = MappingProxyType({})


@naming_theme_faults()
def write_site(
    library: Library,
    library_root: Path,
    folder: Path,
    dot: Path | None = None,
    run: Run = in_turn,
    history: History = NO_HISTORY,
    theme: Theme = BUILT_IN,
    advance: Callable[[], None] = lambda: None,
    archive: bool = True,
    found: Mapping[str, object] = NOTHING_FOUND,
) -> Weight:
    """Write every page of a library that has no errors to a folder, and give what they weigh.

    ``advance`` is called for every playbook that is done; ``archive`` says whether the site is also wanted as one file;
    ``found`` is what the appraisal found, by slug.

    Raises:
        LayoutError: the layout program is missing or failed.
        ThemeError, BannerError: the theme is at fault.
        OSError: the machine refuses.
    """
    build, assets = build_of(library, library_root, folder, dot, history, theme, found)
    build = replace(build, archive=archive)
    library = build.library
    for name, data in assets.items():
        path = folder / build.assets[name]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    written: list[Written] = []
    for one in run(write_playbook, list(library.playbooks), build):
        written.append(one)
        advance()
    cards = {part.card.slug: part.card for part in written}
    pages = [page for part in written for page in part.pages]
    pages += write_lists(build, cards)
    moved = write_moved(build)
    build.write(address.SCHEMA, schema_text())
    build.write(address.JOB_SCHEMA, job_schema_text())
    write_search(build)
    write_form_data(build)
    _bring_files(build, frozenset().union(*(part.files for part in written)))
    _write_sitemap(build, pages)
    _write_feed(build)
    (folder / ".nojekyll").write_bytes(b"")
    build.write(MANIFEST, build.pages.json_text(web_manifest(build)))
    names = site_files(folder)
    write_home(build, cards, site_bytes(folder, set(names) - editors_files(names, build.assets)))
    _take_along(build, written, run)
    published = site_files(folder)
    build.write(UPLOADS_FILE, uploads_text(published))
    build.write(HEADERS_FILE, headers_text())
    editors = editors_files(published, build.assets)
    largest = max(site_bytes(folder, [page]) for page in [address.HOME, *pages])
    taken = set(published) - editors - {address.ARCHIVE}
    return Weight(len(pages) + moved + 1, site_bytes(folder, taken), largest, site_bytes(folder, editors))


def build_of(
    library: Library,
    library_root: Path,
    folder: Path,
    dot: Path | None,
    history: History,
    theme: Theme,
    found: Mapping[str, object] = NOTHING_FOUND,
) -> tuple[Build, dict[str, bytes]]:
    """The build of a library in the language that it asks for, and the assets of its theme by name.

    Raises:
        BannerError: a style sheet of the theme hides the safety banner.
        ThemeError: its scripts do not fit together.
    """
    words = words_of(library.settings.language, theme.own)
    library = in_language(library, words)
    assets = {**scripts_of(theme, made_modules()), **read_assets(theme), **words.script()}
    titles = {slug: playbook.title for slug, playbook in library.playbooks.items()}
    names = fingerprinted(assets)
    verdicts = {
        slug: verdict_of(library.playbooks[slug], one) for slug, one in found.items() if isinstance(one, Orders)
    }
    index = index_of(library)
    build = Build(library, library_root, index, titles, names, folder, dot, history, theme, verdicts=verdicts)
    return build, assets


def _take_along(build: Build, written: Sequence[Written], run: Run) -> None:
    """What devices need to keep the site or a part of it, the version, and the zip file.

    The zip file does not know the commit, so that it stays the same where no page has changed.
    """
    names = site_files(build.folder)
    editors = editors_files(names, build.assets)
    areas = {area: [one.card.slug for one in written if one.card.area == area] for area in build.library.settings.areas}
    files = []
    with (build.folder / address.ARCHIVE).open("wb") if build.archive else nullcontext() as file:
        archive = Archive(file) if file else None
        for one in run(seal, names, Sealing(build.folder, build.archive)):
            if one.name not in editors:
                files.append(replace(one, packed=None))
            if archive:
                archive.add(one, build.folder)
        listed = file_list(files, {one.card.slug: one.needs for one in written}, areas)
        version = listed["version"]
        worker = build.pages.render(SERVICE_WORKER, SERVICE_WORKER, version=version, version_file=VERSION_FILE).text
        closing = {FILE_LIST: list_text(listed), SERVICE_WORKER: worker}
        for name, text in closing.items():
            build.write(name, text)
        build.write(VERSION_FILE, version_text(version, build.history))
        if archive:
            for name, text in {**closing, VERSION_FILE: version_text(version)}.items():
                archive.add(sealed(name, text.encode()))
            archive.close()


@naming_theme_faults()
def write_playbook(build: Build, slug: str) -> Written:
    """Write every file of a playbook, and say what was written."""
    reckoning = reckoning_of(build.library.playbooks[slug], build.library.catalogue, build.library.settings)
    view = view_of(build, reckoning)
    files = list(playbook_files(build, reckoning, view))
    for file in files:
        build.write(file.page, file.text)
    made = [file.page for file in files]
    brought = frozenset().union(*(file.files for file in files))
    needs = frozenset([*made, *(f"files/{name}" for name in brought), *_linked(view)])
    pages = [page for page in made if page.endswith(".html")]
    return Written(card_of(view, reckoning), pages, brought, needs)


def _linked(view: PlaybookView) -> Iterator[str]:
    """Pages of what a playbook names, to which its pages link."""
    named: dict[address.Kind, Iterable[str]] = {
        "tool": (name for name, _ in view.tools),
        "part": (name for name, _ in view.parts),
        "access": (name for name, _ in view.access),
        "cause": view.playbook.causes,
        "code": view.playbook.symptom.codes,
    }
    for kind, names in named.items():
        yield from (address.page(kind, name) for name in names)


def playbook_files(build: Build, reckoning: Reckoning, view: PlaybookView) -> Iterator[Rendered]:
    """The files of one playbook, each made when its turn comes.

    They are its page, its flowchart alone, its model for the browser, its origin for the form, a sheet of all of
    it, and sheets of its likeliest paths.

    Raises:
        BannerError: a page lacks the safety banner, or a panel where the banner must repeat.
    """
    playbook = view.playbook
    drawing = _drawing(build, reckoning)
    page = address.page("playbook", playbook.slug)
    yield _playbook_page(build, view, inline(drawing), page)
    yield Rendered(address.page("flow", playbook.slug), alone(drawing, f"../{page}"))
    model = model_of(reckoning, view, build.pages, build.titles)
    for i, work in view.nodes.items():
        shown = "".join(model["hazards"][name]["html"] for name in model["nodes"][i]["hazards"])
        require_walk_panels(address.model(playbook.slug), shown, build.pages.panels_of(work.hazards))
    for name in (playbook.slug, *playbook.was):
        yield Rendered(address.model(name), data_file("playbook", name, model))
    if origin := origin_file(build.library_root, playbook):
        yield Rendered(address.origin(playbook.slug), origin)
    yield whole_sheet(build, view)
    yield from path_sheets(build, view)


def view_of(build: Build, reckoning: Reckoning) -> PlaybookView:
    """The view of a playbook, with all of its totals."""
    library = build.library
    verdict = build.verdicts.get(reckoning.playbook.slug)
    found = totals(reckoning, library.settings.currency)
    return playbook_view(reckoning, found, library.catalogue, build.titles, verdict)


def _drawing(build: Build, reckoning: Reckoning) -> Any:
    library, pages, playbook = build.library, build.pages, reckoning.playbook
    gettext = pages.gettext
    words = Words(gettext("Start"), gettext("Go on in:"), pages.signal_words)
    description = gettext("The same as the list of steps: each box is a step, each arrow a result.")
    if places_of(playbook) > limits.DRAWN.most:
        return note_svg(gettext("This flowchart is too large to be drawn: see the list of steps."), description, "flow")
    dot = flowchart(reckoning, library.catalogue, pages.figures, words, build.titles)
    title = gettext("Flowchart: %(title)s", title=playbook.title)
    return page_svg(lay_out(dot.source, build.dot), title, description, "flow")


def _playbook_page(build: Build, view: PlaybookView, drawing: str, page: str) -> Rendered:
    slug = view.playbook.slug
    made = build.pages.render(
        "playbook.html",
        page,
        view=view,
        hazards_banner=view.banner,
        nodes=view.nodes,
        flowchart=Markup(drawing),  # noqa: S704 - every text in it was escaped when it was drawn
        structured=build.pages.json(how_to(view, build.library.settings)),
        chart=_chart(build, view),
        related=build.index.related[slug],
        titles=build.titles,
        shared_causes=build.index.shared_causes,
        edits=edits_of(build.library, view.playbook),
    )
    panels = {f"{work.kind}-{work.name}": build.pages.panels_of(work.hazards) for work in view.nodes.values()}
    require_work_panels(page, made.text, panels)
    return made


def _chart(build: Build, view: PlaybookView) -> Markup:
    within = view.totals.spend_within
    if not view.curve or not within:
        return Markup("")
    pages = build.pages
    money = {f"within{percent}": pages.figures.money(amount) for percent, amount in within.items()}
    title = pages.gettext("Share of owners who are done, by money spent")
    description = pages.gettext(
        "50 %% are done for %(within50)s or less, 80 %% for %(within80)s, 95 %% for %(within95)s.",
        **money,
    )
    return Markup(inline(spending_chart(view.curve, pages.figures, title, description)))  # noqa: S704 - made by us


def web_manifest(build: Build) -> dict[str, Any]:
    """The web app manifest, by which a phone can keep the site as an app."""
    icons = [
        {"src": build.assets["icon.svg"], "sizes": "any", "type": "image/svg+xml"},
        {"src": build.assets["icon-192.png"], "sizes": "192x192", "type": "image/png"},
        {"src": build.assets["icon-512.png"], "sizes": "512x512", "type": "image/png", "purpose": "any maskable"},
    ]
    settings = build.library.settings
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


def _bring_files(build: Build, files: frozenset[str]) -> None:
    for name in sorted(files):
        target = build.folder / "files" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(file_bytes(build.library_root, build.library.settings.areas, name))


def _write_sitemap(build: Build, pages: Sequence[str]) -> None:
    site = build.library.settings.site_url
    if site:
        hidden = (address.NOT_FOUND, address.WALK, address.SETTINGS, address.FORM, address.SHEET)
        shown = [
            address.HOME,
            *(page for page in pages if not page.startswith(("path/", "sheet/")) and page not in hidden),
        ]
        build.write(
            "sitemap.xml", build.pages.render("sitemap.xml", "sitemap.xml", site=site.rstrip("/"), pages=shown).text
        )


def _write_feed(build: Build) -> None:
    site, entries = build.library.settings.site_url, feed_of(build.library, build.history)
    if site and entries:
        build.write(FEED, build.pages.render(FEED, FEED, site=site.rstrip("/"), entries=entries).text)
