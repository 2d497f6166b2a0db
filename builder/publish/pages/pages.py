"""Pages: templates of the theme filled with views. Autoescape is on; a missing name is an error."""

import hashlib
import json
import posixpath
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any, Final

from babel import Locale
from jinja2 import Environment, StrictUndefined
from jinja2.utils import htmlsafe_json_dumps
from markupsafe import Markup

from builder.draw.figures import Figures, keep_units
from builder.publish.guard import Panel, panel_html, require_banner
from builder.publish.hosting.feed import FEED, feed_of
from builder.publish.pages import address
from builder.publish.pages.markdown import Place, Prose, both_systems, prose
from builder.publish.pages.theme import BUILT_IN, BUILT_IN_PREFIX, COMPILED, Theme
from builder.publish.pages.views import HazardView
from builder.publish.pages.words import Words, words_of
from builder.read.codes import parse_code
from builder.read.hazards import BANNER, SIGNALS
from builder.read.history import NO_HISTORY, History
from builder.read.prose import links_and_html
from builder.read.records import Library, Playbook
from builder.reckon.trials import clean_trials_needed, sure_after

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'"
)
"""Content-Security-Policy of every page: nothing but the site's own files."""


@dataclass(frozen=True, slots=True)
class Rendered:
    """A file of the site: its address, its text, and the files of the library that it uses."""

    page: str
    text: str
    files: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Pages:
    """Renders pages of one library; ``assets`` says where each asset of the theme stands in the site."""

    library: Library
    figures: Figures
    assets: Mapping[str, str]
    history: History = NO_HISTORY
    theme: Theme = BUILT_IN
    frames: dict[tuple[str, str], Markup] = field(default_factory=dict)
    """Pieces that were made before, by what they are and the folder that they are seen from."""

    @cached_property
    def words(self) -> Words:
        """The texts of the theme in the library's language."""
        return words_of(self.library.settings.language, self.theme.own)

    @cached_property
    def environment(self) -> Environment:
        """The templates with all that they may use; an undefined name in one is an error."""
        environment = Environment(
            loader=self.theme.loader(),
            bytecode_cache=COMPILED,
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
            extensions=["jinja2.ext.i18n"],
        )
        environment.install_gettext_translations(self.words.translations, newstyle=True)  # type: ignore[attr-defined]
        figures = self.figures
        environment.filters |= {
            "about": figures.about,
            "count_of": figures.count,
            "money": figures.money,
            "minutes": figures.minutes,
            "share": figures.share,
            "units": _units,
            "quantities": partial(both_systems, figures=figures),
        }
        environment.globals |= {
            "library": self.library,
            "settings": self.library.settings,
            "direction": Locale.parse(figures.locale).text_direction,
            "units_first": "us" if figures.us_first else "si",
            "catalogue": self.library.catalogue,
            "policy": POLICY,
            "site_id": hashlib.sha256(self.library.settings.title.encode()).hexdigest()[:10],
            "assets": self.assets,
            "feed": FEED if feed_of(self.library, self.history) else "",
            "address": address,
            "money_range": figures.money_range,
            "minutes_range": figures.minutes_range,
            "parse_code": parse_code,
            "trials_needed": clean_trials_needed,
            "sure_after": sure_after,
            "BANNER": BANNER,
            "SIGNALS": SIGNALS,
        }
        return environment

    def _prose(self, text: str, playbook: Playbook, page: str) -> Prose:
        """A Markdown text of a playbook for a page."""
        kinds = *dict.fromkeys(playbook.steps, "step").items(), *dict.fromkeys(playbook.endings, "ending").items()
        elsewhere = tuple(self._led_to(text))
        return prose(text, Place(page, playbook.slug, playbook.area, kinds, self.figures, elsewhere))

    def _led_to(self, text: str) -> Iterator[tuple[tuple[str, str], str]]:
        """Steps and endings of other playbooks that a text leads to, each with which of the two it is."""
        for link in links_and_html(text)[0]:
            book = self.library.playbooks.get(link.playbook)
            if book and link.fragment in book.work():
                yield (link.playbook, link.fragment), "ending" if link.fragment in book.endings else "step"

    def _frame(self, part: str, page: str) -> Markup:
        """A piece that every page has, such as its header; the same for every page of a folder."""
        key = part, posixpath.dirname(page)
        if key not in self.frames:
            link = partial(address.relative, start=page)
            self.frames[key] = Markup(self.environment.get_template(part).render(link=link))  # noqa: S704 - autoescaped
        return self.frames[key]

    def gettext(self, text: str, **values: str) -> str:
        """A text of the theme in the language of the site, with its values filled in."""
        translated = self.words.gettext(text)
        return translated % values if values else translated

    @property
    def signal_words(self) -> dict[str, str]:
        """Signal words of ANSI Z535.6 in the language of the site."""
        words = {"danger": "DANGER", "warning": "WARNING", "caution": "CAUTION", "notice": "NOTICE"}
        return {signal: self.gettext(word) for signal, word in words.items()}

    @staticmethod
    def json_text(data: object) -> str:
        """An object as JSON in a file of its own."""
        return json.dumps(data, ensure_ascii=False, indent=1) + "\n"

    @staticmethod
    def json(data: object) -> Markup:
        """An object as JSON that is safe within a ``script`` element."""
        return htmlsafe_json_dumps(data, ensure_ascii=False)

    def render(self, template: str, page: str, **view: Any) -> Rendered:
        """One page, or a piece of one, ``page`` being its address from the top of the site.

        Raises:
            BannerError: the view has hazards for the safety banner, and the page does not begin with it.
        """
        files: set[str] = set()
        html = self.environment.get_template(template).render(**self._own(page, files), **view)
        require_banner(page, html, self.panels_of(view.get("hazards_banner", ())))
        return Rendered(page, html, frozenset(files))

    @cached_property
    def _panels(self) -> Mapping[str, Panel]:
        """What the built-in templates say of each hazard that calls for the banner."""
        built_in: Any = self.environment.get_template(f"{BUILT_IN_PREFIX}/parts.html").module
        hazards = {name: HazardView(name, self.library.catalogue.hazards[name], ()) for name in BANNER}
        return {
            name: Panel(hazard.record.name, panel_html(built_in.signal_panel(hazard)))
            for name, hazard in hazards.items()
        }

    def panels_of(self, hazards: Iterable[HazardView]) -> list[Panel]:
        """The panels that a page must show for those of some hazards that call for the banner."""
        return [self._panels[hazard.name] for hazard in hazards if hazard.name in BANNER]

    def macros(self, template: str, page: str) -> tuple[Any, set[str]]:
        """The macros of a template, for pieces of pages that lie in the folder of ``page``.

        The set fills with the files of the library that the pieces use.
        """
        files: set[str] = set()
        return self.environment.get_template(template).make_module(self._own(page, files)), files

    def _own(self, page: str, files: set[str]) -> dict[str, Any]:
        """What templates know of the page that they are rendered for; ``files`` takes what it uses of the library."""

        def markdown(text: str, playbook: Playbook) -> Markup:
            said = self._prose(text, playbook, page)
            files.update(said.files)
            return said.html

        def frame(part: str) -> Markup:
            return self._frame(part, page)

        link = partial(address.relative, start=page)
        return {"page": page, "root": "../" * page.count("/"), "link": link, "markdown": markdown, "frame": frame}


def _units(text: str) -> str:
    """Text in which numbers stay on one line with their units; HTML stays HTML."""
    return type(text)(keep_units(text))
