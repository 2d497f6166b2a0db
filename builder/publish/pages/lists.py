"""Lists: home, areas, and the pages of everything that playbooks name (tools, parts, codes, causes, hazards …)."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from builder.publish.build import Build
from builder.publish.pages import address
from builder.publish.pages.cards import Card
from builder.publish.pages.codes import code_facts
from builder.publish.pages.guide import guide_view
from builder.publish.pages.index import Use
from builder.publish.pages.views import HazardView, severest_first
from builder.read.codes import parse_code
from builder.read.hazards import BANNER
from builder.read.words.calls import has_words

MOST_AT_HOME: Final = 100
"""Playbooks that the home page lists; a larger library begins with its areas."""

MOST_CARDS: Final = 150
"""Playbooks on a page of an area, and among those that use something."""

MOST_ROWS: Final = 400
"""Codes or causes on a page; with what their playbooks are called a page stays below 300 KiB."""


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a list: the page that it leads to, and what stands in its cells."""

    page: str
    title: str
    cells: Sequence[str]


@dataclass(frozen=True, slots=True)
class CodeRow:
    """A trouble code, the playbooks that start from it, and what its structure says."""

    code: str
    page: str
    means: str
    slugs: Sequence[str]
    facts: Sequence[str]


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a list with a heading, the heads of its columns, and its rows."""

    name: str
    title: str
    heads: Sequence[str]
    rows: Sequence[Row]


def write_lists(build: Build, cards: Mapping[str, Card]) -> list[str]:
    """Write every page that is not of one playbook; gives their addresses."""
    written: list[str] = []
    for template, page, view in list_pages(build, cards):
        build.write(page, build.pages.render(template, page, **view).text)
        written.append(page)
    return written


def list_pages(build: Build, cards: Mapping[str, Card]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Template, address and view of every list."""
    areas = _areas(build, cards)
    for name, area in build.library.settings.areas.items():
        view = {"area": name, "name": area.title, "count": len(areas[name])}
        yield from _in_pages("area.html", address.page("area", name), view, "cards", areas[name], MOST_CARDS)
    yield from _catalogue(build, cards)
    yield from _codes(build, cards)
    yield from _causes(build, cards)
    yield from _safety(build, cards)
    yield "missing.html", address.NOT_FOUND, {}
    yield "walk.html", address.WALK, {}
    yield "made_sheet.html", address.SHEET, {}
    yield "settings.html", address.SETTINGS, {}
    yield "guide.html", address.GUIDE, guide_view(build.pages)
    yield "form.html", address.FORM, {}


def _in_pages(
    template: str, page: str, view: Mapping[str, Any], key: str, rows: Sequence[Any], most: int
) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """A list in pages of so many rows at most; each knows the addresses of all of them as ``pages``."""
    starts = range(0, max(len(rows), 1), most)
    pages = [address.further(page, number) for number, _ in enumerate(starts, 1)]
    for one, start in zip(pages, starts, strict=True):
        yield template, one, {**view, key: rows[start : start + most], "pages": pages}


def write_moved(build: Build) -> int:
    """Write a page at the address of every old slug that leads to where the playbook is now; gives their number."""
    site = build.library.settings.site_url
    old = {slug: playbook for playbook in build.library.playbooks.values() for slug in playbook.was}
    for slug, playbook in old.items():
        page, target = address.page("playbook", slug), address.page("playbook", playbook.slug)
        canonical = f"{site.rstrip('/')}/{target}" if site else address.relative(target, page)
        view = {"title": playbook.title, "target": target, "canonical": canonical}
        build.write(page, build.pages.render("moved.html", page, **view).text)
    return len(old)


def write_home(build: Build, cards: Mapping[str, Card], size: int) -> None:
    """Write the home page, which says how large the site is in bytes."""
    view: dict[str, Any] = {"areas": _areas(build, cards), "codes": build.index.codes, "archive": build.archive}
    view["is_large"] = len(cards) > MOST_AT_HOME
    view["site_size"] = build.pages.figures.bytes(size)
    build.write(address.HOME, build.pages.render("home.html", address.HOME, **view).text)


def _areas(build: Build, cards: Mapping[str, Card]) -> dict[str, list[Card]]:
    return {area: [card for card in cards.values() if card.area == area] for area in build.library.settings.areas}


def hazard_views(build: Build, names: Sequence[str]) -> list[HazardView]:
    """Views of hazards by name, each once, the severest first."""
    hazards = build.library.catalogue.hazards
    return severest_first(HazardView(name, hazards[name], ()) for name in dict.fromkeys(names))


def _banner(build: Build, cards: Mapping[str, Card], slugs: Sequence[str]) -> list[HazardView]:
    """The banner of a page that leads to playbooks with steps that involve timing or lifting."""
    return hazard_views(build, [name for slug in slugs for name in cards[slug].banner])


def _banner_at(build: Build, uses: Sequence[Use]) -> list[HazardView]:
    """The banner of a page about something that is used at steps or endings with timing or lifting."""
    places = {(use.slug, kind, name) for use in uses for kind, name, _ in use.work}
    dangers = build.index.uses["hazard"]
    return hazard_views(
        build,
        [
            hazard
            for hazard in BANNER
            if any((use.slug, kind, name) in places for use in dangers.get(hazard, ()) for kind, name, _ in use.work)
        ],
    )


def _item(build: Build, title: str, list_page: str, list_name: str, **view: Any) -> dict[str, Any]:
    empty: dict[str, Any] = {"facts": [], "hazards": [], "hazards_banner": [], "uses": [], "cards": []}
    own = {"title": title, "list_page": list_page, "list_name": list_name, "titles": build.titles, "most": MOST_CARDS}
    return {**empty, **own, **view}


def _catalogue(build: Build, cards: Mapping[str, Card]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    _, figures, catalogue, uses = build.pages.gettext, build.pages.figures, build.library.catalogue, build.index.uses
    title = _("Tools and parts")

    def of(kind: str, name: str) -> Sequence[Any]:
        return uses[kind].get(name, ())  # type: ignore[index]

    def count(kind: str, name: str) -> str:
        return str(len(of(kind, name)))

    def money(amount: Any) -> str:
        return figures.money_range(amount.low, amount.high)

    tools, parts, access = [], [], []
    for name, tool in catalogue.tools.items():
        page, borrow = address.page("tool", name), money(tool.borrow) if tool.borrow is not None else "–"
        price = _("usual, costs nothing") if tool.usual else money(tool.price)
        tools.append(Row(page, tool.name, (price, borrow, count("tool", name))))
        facts = [(_("Price"), price)] + ([(_("To borrow"), borrow)] if tool.borrow is not None else [])
        facts += [(_("Note"), tool.note)] if tool.note else []
        view = {"facts": facts, "uses": of("tool", name), "hazards_banner": _banner_at(build, of("tool", name))}
        yield "item.html", page, _item(build, tool.name, address.CATALOGUE, title, **view)
    for name, part in catalogue.parts.items():
        page = address.page("part", name)
        parts.append(Row(page, part.name, (money(part.price), part.note or "", count("part", name))))
        facts = [(_("Price"), money(part.price))] + ([(_("Note"), part.note)] if part.note else [])
        view = {"facts": facts, "uses": of("part", name), "hazards_banner": _banner_at(build, of("part", name))}
        yield "item.html", page, _item(build, part.name, address.CATALOGUE, title, **view)
    for name, work in catalogue.access.items():
        page = address.page("access", name)
        opening = figures.minutes_range(work.open.low, work.open.high)
        closing = figures.minutes_range(work.close.low, work.close.high)
        access.append(Row(page, work.name, (opening, closing, count("access", name))))
        facts = [(_("To open"), opening), (_("To close again"), closing)]
        facts += [(_("Note"), work.note)] if work.note else []
        hazards = hazard_views(build, work.hazards)
        view = {
            "hazards": [hazard for hazard in hazards if hazard.name not in BANNER],
            "hazards_banner": [hazard for hazard in hazards if hazard.name in BANNER],
        }
        item = _item(build, work.name, address.CATALOGUE, title, facts=facts, uses=of("access", name), **view)
        yield "item.html", page, item
    playbooks = _("Playbooks")
    sections = [
        Section("tools", _("Tools"), (_("Tool"), _("Price"), _("To borrow"), playbooks), tools),
        Section("parts", _("Parts"), (_("Part"), _("Price"), _("Note"), playbooks), parts),
        Section("access", _("Access jobs"), (_("Access job"), _("To open"), _("To close"), playbooks), access),
    ]
    lead = _("What playbooks may ask for. Buy a part only when the results of a playbook have led you to it.")
    yield "list.html", address.CATALOGUE, {"title": title, "lead": lead, "sections": sections, "pages": []}


def _codes(build: Build, cards: Mapping[str, Card]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    _, rows, meanings = build.pages.gettext, [], build.library.catalogue.codes
    title = _("Trouble codes")
    for code, slugs in build.index.codes.items():
        page, parsed = address.page("code", code), parse_code(code)
        if parsed is None:
            continue
        facts = code_facts(parsed, _)
        meaning = meanings.get(code)
        rows.append(CodeRow(code, page, meaning.means if meaning else "", slugs, [value for _label, value in facts]))
        if meaning:
            facts = [(_("Means"), meaning.means), *([(_("Source"), meaning.source)] if meaning.source else []), *facts]
        view = {
            "facts": facts,
            "cards": [cards[slug] for slug in slugs],
            "hazards_banner": _banner(build, cards, slugs),
        }
        yield "item.html", page, _item(build, code, address.CODES, title, **view)
    view = {"title": title, "titles": build.titles}
    yield from _in_pages("codes.html", address.CODES, view, "rows", rows, MOST_ROWS)


def _causes(build: Build, cards: Mapping[str, Card]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    _, title = build.pages.gettext, build.pages.gettext("Causes")
    rows: list[Row] = []
    for cause, slugs in build.index.causes.items():
        page, name = address.page("cause", cause), cards[slugs[0]].causes[cause]
        if cause not in build.index.shared_causes:
            rows.append(Row(_where_found(cards[slugs[0]], cause), name, (build.titles[slugs[0]],)))
            continue
        rows.append(Row(page, name, (", ".join(build.titles[slug] for slug in slugs),)))
        view = {
            "cause": cause,
            "cards": [cards[slug] for slug in slugs],
            "hazards_banner": _banner(build, cards, slugs),
        }
        yield "cause.html", page, _item(build, name, address.CAUSES, title, **view)
    rows.sort(key=lambda row: (row.title.casefold(), row.page))
    lead = _("What may be wrong, and the playbooks that tell it apart from other causes.")
    heads = _("Cause"), _("Playbooks")
    for template, one, part in _in_pages("list.html", address.CAUSES, {}, "rows", rows, MOST_ROWS):
        sections = [Section("causes", title, heads, part["rows"])]
        yield template, one, {"title": title, "lead": lead, "sections": sections, "pages": part["pages"]}


def _where_found(card: Card, cause: str) -> str:
    """Where the one playbook that names a cause puts it right; its page, if it does not."""
    endings = [f"#ending-{found.ending}" for found in card.found[cause]]
    return address.page("playbook", card.slug) + (endings or [""])[0]


def _safety(build: Build, cards: Mapping[str, Card]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    _, catalogue = build.pages.gettext, build.library.catalogue
    hazards = hazard_views(build, list(catalogue.hazards))
    banner = [hazard for hazard in hazards if hazard.name in BANNER]
    known = has_words(build.library.settings.language)
    yield "safety.html", address.SAFETY, {"hazards": hazards, "hazards_banner": banner, "words_known": known}
    for hazard in hazards:
        own = [hazard] if hazard.name in BANNER else []
        uses = build.index.uses["hazard"].get(hazard.name, ())
        view = {"hazards": [] if own else [hazard], "hazards_banner": own, "uses": uses}
        item = _item(build, hazard.record.name, address.SAFETY, _("Safety"), **view)
        yield "item.html", address.page("hazard", hazard.name), item
