"""Collects the words of the theme and brings the catalogues up to date: ``python -m builder.publish.pages.collect``.

Texts come from templates, Python and scripts, where a call marks them, and from records whose texts are shown on pages:
fields, rules, trouble codes, hazards that always exist. What has changed in a text is marked fuzzy in every catalogue;
builds leave it in English until somebody has looked at it.
"""

import re
from collections.abc import Iterator, Mapping
from io import BytesIO
from pathlib import Path
from typing import Any, Final

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from builder.format.fields import OPTIONS, form_notations, form_records
from builder.format.rules import GROUPS
from builder.publish.files import write_over
from builder.publish.pages.guide import NOTATIONS, groups
from builder.publish.pages.theme import theme_folder
from builder.publish.pages.words import DOMAIN, LOCALE, read_catalogue
from builder.read.codes import SUBSYSTEMS, SYSTEMS
from builder.read.hazards import BUILT_IN
from builder.read.limits import LIMITS

TEMPLATE: Final = f"{DOMAIN}.pot"
KEYWORDS: Final[dict[str, Any]] = {"_": None, "gettext": None, "ngettext": (1, 2), "say": None}
SCRIPTS: Final[dict[str, Any]] = {"template_string": False}
"""Template strings are read like other code, since the texts in them hold brackets of their own."""
NEEDED_BY_NONE: Final = re.compile(
    rb'^"(?:Project|Report|POT|PO|Last|Language-Team|Generated)[\w-]*: [^"]*"\n', re.MULTILINE
)
"""Lines at the head of a catalogue that say nothing, or something else on another day."""


def template() -> Catalog:
    """Every text of the theme, without translations."""
    catalogue = Catalog(domain=DOMAIN, project="Droplight", header_comment="# Words of the theme.", fuzzy=False)
    for path, text, comments in [*_marked(), *_recorded()]:
        catalogue.add(text, locations=[(path, 1)], auto_comments=comments)
    return catalogue


def _marked() -> Iterator[tuple[str, Any, list[str]]]:
    """Texts that a call marks: the file, the text (with its plural, if it has one), comments for translators."""
    for folder, pattern, method, options in (
        (theme_folder() / "templates", "**.*", "jinja2", {}),
        (theme_folder() / "scripts", "**.js", "javascript", SCRIPTS),
        (Path(__file__).parents[2], "**.py", "python", {}),
    ):
        found = extract_from_dir(folder, [(pattern, method)], {pattern: options}, KEYWORDS)
        for name, _, text, comments, _ in sorted(found, key=lambda one: (one[0], one[1])):
            yield f"{_shown(folder)}/{name}", text, comments


def _shown(folder: Path) -> str:
    """A folder as seen from the top of the project."""
    return folder.name if folder.name == "builder" else f"{folder.parent.name}/{folder.name}"


def _recorded() -> Iterator[tuple[str, str, list[str]]]:
    """Texts of records that pages show: the file and the text."""
    fields = ((text, "read/records") for group in groups() for text in (group.title, group.says, *_says(group.fields)))
    rules = ((text, "format/rules") for title, rules in GROUPS.items() for text in (title, *_says(rules)))
    codes = ((text, "read/codes") for table in (SYSTEMS, SUBSYSTEMS) for text in table.values())
    hazards = ((str(hazard[key]), "read/hazards") for hazard in BUILT_IN.values() for key in ("name", "harm", "avoid"))
    labels = (field.label for fields in form_records().values() for field in fields)
    forms = ((text, "format/fields") for text in (*labels, *OPTIONS.values()))
    notations = ((one["says"], "format/forms") for one in form_notations().values() if one["says"])
    held = ((text, "read/limits") for limit in LIMITS for text in (limit.what, limit.why))
    for text, module in (*fields, *rules, *codes, *hazards, *forms, *notations, *held):
        yield f"builder/{module}.py", text, []
    for notation in NOTATIONS:
        for text in (notation.title, notation.says):
            yield "builder/publish/pages/guide.py", text, []


def _says(many: Any) -> list[str]:
    return [one.says for one in many]


def updated(catalogue: Catalog, words: Catalog) -> Catalog:
    """A catalogue with the texts that there are now; those that are gone are dropped."""
    catalogue.update(words)
    catalogue.obsolete.clear()
    return catalogue


def as_bytes(catalogue: Catalog) -> bytes:
    """The file of a catalogue; the same texts give the same bytes on any day."""
    file = BytesIO()
    write_po(file, catalogue, width=120, include_lineno=False)
    return NEEDED_BY_NONE.sub(b"", file.getvalue())


def files() -> Mapping[Path, bytes]:
    """Every file of the catalogues as it should be, by its path."""
    folder, words = theme_folder() / LOCALE, template()
    found = {folder / TEMPLATE: as_bytes(words)}
    for path in sorted(folder.glob(f"*/LC_MESSAGES/{DOMAIN}.po")):
        found[path] = as_bytes(updated(read_catalogue(path), words))
    return found


if __name__ == "__main__":
    for path, data in files().items():
        write_over(path, data.decode())
