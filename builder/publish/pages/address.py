"""Addresses: where every page of the site is, and how one page links to another.

No two things share an address: each kind has a folder of its own, and the names in it are those of the library.
"""

import hashlib
import posixpath
from collections.abc import Sequence
from functools import lru_cache
from typing import Final, Literal

Kind = Literal["playbook", "area", "cause", "code", "tool", "part", "access", "hazard", "path", "sheet", "flow"]

HOME: Final = "index.html"
SAFETY: Final = "safety.html"
CAUSES: Final = "causes.html"
CODES: Final = "codes.html"
CATALOGUE: Final = "catalogue.html"
NOT_FOUND: Final = "404.html"
WALK: Final = "walk.html"
SETTINGS: Final = "settings.html"
ARCHIVE: Final = "site.zip"
GUIDE: Final = "guide.html"
FORM: Final = "form.html"
SHEET: Final = "sheet.html"
"""Where the browser makes the sheet of any path."""

SCHEMA: Final = "schema/playbook.json"
JOB_SCHEMA: Final = "schema/job.json"
SEARCH: Final = "data/search.js"
FORM_DATA: Final = "data/form.js"
ORIGINS: Final = "data/origin/"

DIGITS: Final = 32
"""Hexadecimal digits by which a sheet's address tells paths apart: 128 bits, so that no two ever meet by chance."""


def page(kind: Kind, name: str) -> str:
    """The page of a playbook, area, cause, tool …, from the top of the site."""
    return f"{kind}/{name}.{'svg' if kind == 'flow' else 'html'}"


def further(page: str, number: int) -> str:
    """A page of a list that goes on over several, counted from 1; the first is the page itself."""
    return page if number == 1 else f"{page.removesuffix('.html')}/{number}.html"


def model(slug: str) -> str:
    """The data of a playbook for the browser, from the top of the site."""
    return f"data/playbook/{slug}.js"


def origin(slug: str) -> str:
    """The text of a playbook's file with the places in it, for the form."""
    return f"{ORIGINS}{slug}.js"


def result_anchor(step: str, result: str) -> str:
    """Where a result of a step stands on the playbook's page; no name has a full stop, so none run together."""
    return f"result-{step}.{result}"


def path_key(slug: str, steps: Sequence[str], results: Sequence[str]) -> str:
    """The name of a path's sheet: the same as long as its steps and results are, and that of no other path."""
    way = ">".join(f"{step}:{result}" for step, result in zip(steps, results, strict=True))
    return f"{slug}--{hashlib.sha256(way.encode()).hexdigest()[:DIGITS]}"


def made_sheet(slug: str, results: Sequence[str]) -> str:
    """The sheet of a path by its results, made in the browser when it is opened."""
    return f"{SHEET}#playbook={slug}&results={'.'.join(results)}"


def relative(target: str, start: str) -> str:
    """The link from one page of the site to another; both from the top of the site."""
    return _from_folder(target, posixpath.dirname(start))


@lru_cache(maxsize=50_000)
def _from_folder(target: str, folder: str) -> str:
    path, mark, anchor = target.partition("#")
    return (posixpath.relpath(path, folder or ".") if path else "") + mark + anchor
