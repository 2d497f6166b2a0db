"""What the form for playbooks is filled from: the fields, the notation, and what a playbook may name."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from builder.format.draft import modeline
from builder.format.fields import OPTIONS, form_notations, form_records
from builder.publish.build import Build
from builder.publish.data.model import data_file
from builder.publish.guard import require_walk_panels
from builder.publish.pages.address import FORM, FORM_DATA
from builder.publish.pages.pages import Pages
from builder.publish.pages.views import HazardView
from builder.read.catalogue import CatalogueFiles
from builder.read.checks.hazards import caller_of
from builder.read.folder import Folder
from builder.read.hazards import BANNER
from builder.read.records import DIAGNOSIS, Library


def write_form_data(build: Build) -> None:
    """Write what the form is filled from, as a script that its page loads from a folder."""
    checks = CatalogueFiles(Folder(build.library_root, "")).checks
    build.write(FORM_DATA, data_file("form", "", form_data(build.library, build.pages, checks)))


def form_data(library: Library, pages: Pages, checks: Mapping[str, Any]) -> dict[str, Any]:
    """All of it, ready for JSON; ``checks`` are the common checks as their file says them."""
    return {
        **_fields(pages),
        **_settings(library),
        **_catalogue(library, pages),
        "checks": checks,
        "words": hazard_words(library),
    }


def _fields(pages: Pages) -> dict[str, Any]:
    told = pages.gettext
    records = {
        name: [{**asdict(field), "label": told(field.label), "says": told(field.says)} for field in fields]
        for name, fields in form_records().items()
    }
    notations = {name: {**one, "says": told(one["says"])} for name, one in form_notations().items()}
    return {
        "records": records,
        "notations": notations,
        "options": {word: told(shown) for word, shown in OPTIONS.items()},
    }


def _settings(library: Library) -> dict[str, Any]:
    settings, books = library.settings, library.playbooks
    professional = settings.professional
    return {
        "areas": {name: {"title": area.title, "implies": area.implies} for name, area in settings.areas.items()},
        "playbooks": {slug: {"title": book.title, "area": book.area} for slug, book in books.items()},
        "taken": sorted({*books, *(old for book in books.values() for old in book.was)}),
        "professional": {"diagnosis": professional.diagnosis or DIAGNOSIS, "unlisted": professional.unlisted},
        "danger": settings.avoid_danger,
        "edit": settings.edit_url,
        "new": settings.new_url,
        "head": modeline(settings.site_url),
    }


def hazard_words(library: Library) -> list[dict[str, Any]]:
    """What finds hazard words in plain spelling: for each language its words by sign, and patterns over signs."""
    return [
        {
            **finder.lexicon.table(),
            "never": finder.never.pattern if finder.never else "",
            "hazards": {name: pattern.pattern for name, pattern in finder.hazards.items()},
            "own": {name: pattern.pattern for name, pattern in finder.own.items()},
        }
        for finder in caller_of(library.settings, library.catalogue).finders
    ]


def _catalogue(library: Library, pages: Pages) -> dict[str, Any]:
    catalogue = library.catalogue
    tools = {
        name: {
            "name": tool.name,
            "price": (0, 0, 0) if tool.usual else tool.price,
            "borrow": tool.borrow,
            "hazards": tool.hazards,
        }
        for name, tool in catalogue.tools.items()
    }
    access = {
        name: {"name": job.name, "open": job.open, "close": job.close, "hazards": job.hazards}
        for name, job in catalogue.access.items()
    }
    hazards = {name: _hazard(HazardView(name, hazard, ()), pages) for name, hazard in catalogue.hazards.items()}
    parts = {
        name: {"name": part.name, "price": part.price, "note": part.note or "", "answers": list(part.no_hazards)}
        for name, part in catalogue.parts.items()
    }
    return {"tools": tools, "parts": parts, "access": access, "hazards": hazards}


def _hazard(hazard: HazardView, pages: Pages) -> dict[str, Any]:
    panel = pages.render("walk_hazard.html", FORM, hazard=hazard).text
    require_walk_panels(FORM_DATA, panel, pages.panels_of([hazard]))
    record = hazard.record
    word = pages.signal_words[record.signal]
    banner = hazard.name in BANNER
    return {"name": record.name, "signal": record.signal, "word": word, "html": panel, "banner": banner}
