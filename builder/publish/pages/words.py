"""Words of the theme in the language of the library: gettext catalogues, compiled in memory when a build needs them.

The texts in templates, Python and scripts are English and name themselves; a catalogue translates them. ``de-AT`` takes
the catalogue ``de_AT`` if there is one, else ``de``, else the texts stay as they are.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path
from typing import Final

from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from builder.publish.pages.modules import GLOBAL, HEAD
from builder.publish.pages.theme import theme_folder
from builder.read.hazards import BUILT_IN
from builder.read.records import Library

DOMAIN: Final = "droplight"
LOCALE: Final = "locale"
SCRIPT: Final = "words.js"
"""The asset with the texts of the scripts; there is none where the source texts are what is shown."""


@dataclass(frozen=True, slots=True)
class Words:
    """``translations`` are for templates and Python, ``scripts`` is what the browser needs: text by source text."""

    translations: NullTranslations
    scripts: Mapping[str, str]

    def gettext(self, text: str) -> str:
        """A text of the theme in the library's language, or as it is where nobody has translated it."""
        # Catalogues keep their own description under the empty text.
        return self.translations.gettext(text) if text else ""

    def script(self) -> dict[str, bytes]:
        """The asset that gives the browser its texts, by its name; none where it has them already."""
        if not self.scripts:
            return {}
        table = json.dumps(self.scripts, ensure_ascii=False, indent=1)
        return {SCRIPT: f"{HEAD}{GLOBAL}.texts={table};\n".encode()}


@lru_cache(maxsize=8)
def words_of(language: str, own: Path | None = None) -> Words:
    """The words for a language (as in ``de-AT``); catalogues of a theme of one's own go before the built-in ones."""
    folders = [folder / LOCALE for folder in (own, theme_folder()) if folder]
    catalogues = [read_catalogue(path) for path in _paths(language, folders)]
    translations = NullTranslations()
    scripts: dict[str, str] = {}
    for catalogue in reversed(catalogues):
        compiled = _compiled(catalogue)
        compiled.add_fallback(translations)
        translations = compiled
        scripts |= {str(message.id): str(message.string) for message in catalogue if _is_for_scripts(message)}
    return Words(translations, dict(sorted(scripts.items())))


def has_words(language: str, own: Path | None = None) -> bool:
    """Whether a theme says its own texts in a language; they are written in English."""
    folders = [folder / LOCALE for folder in (own, theme_folder()) if folder]
    return Locale.parse(language.replace("-", "_")).language == "en" or any(_paths(language, folders))


def _paths(language: str, folders: list[Path]) -> Iterator[Path]:
    """Files of catalogues, the one that fits best first."""
    locale = Locale.parse(language.replace("-", "_"))
    names = dict.fromkeys(
        "_".join(filter(None, parts))
        for parts in (
            (locale.language, locale.script, locale.territory),
            (locale.language, locale.territory),
            (locale.language, locale.script),
            (locale.language,),
        )
    )
    for name in names:
        for folder in folders:
            path = folder / name / "LC_MESSAGES" / f"{DOMAIN}.po"
            if path.is_file():
                yield path


def read_catalogue(path: Path) -> Catalog:
    """A message catalogue from its file."""
    with path.open("rb") as file:
        return read_po(file, domain=DOMAIN, abort_invalid=True)


def _compiled(catalogue: Catalog) -> GNUTranslations:
    """The catalogue ready for use; messages that a translator has not looked at again are left out."""
    compiled = BytesIO()
    write_mo(compiled, catalogue)
    return GNUTranslations(BytesIO(compiled.getvalue()))


def _is_for_scripts(message: object) -> bool:
    locations = getattr(message, "locations", ())
    finished = getattr(message, "string", "") and not getattr(message, "fuzzy", False)
    return bool(finished) and any(str(path).endswith(".js") for path, _ in locations)


def in_language(library: Library, words: Words) -> Library:
    """The library with those texts of its hazards that are the builder's own in the language of the site."""
    hazards = dict(library.catalogue.hazards)
    for name, texts in BUILT_IN.items():
        hazard = hazards[name]
        own = {
            key: words.gettext(texts[key]) for key in ("name", "harm", "avoid") if getattr(hazard, key) == texts[key]
        }
        hazards[name] = hazard.model_copy(update=own)
    return library.model_copy(update={"catalogue": library.catalogue.model_copy(update={"hazards": hazards})})
