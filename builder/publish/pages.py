"""Pages: templates of the theme filled with views. Autoescape is on; a missing name is an error."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from jinja2.utils import htmlsafe_json_dumps
from markupsafe import Markup

from builder.draw.figures import Figures, keep_units
from builder.publish import address
from builder.publish.assets import theme_folder
from builder.publish.markdown import render
from builder.read.codes import parse_code
from builder.read.hazards import BANNER, SIGNALS
from builder.read.records import Library
from builder.reckon.trials import clean_trials_needed, sure_after

POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'"
)
"""Content-Security-Policy of every page: nothing but the site's own files."""


@dataclass(frozen=True)
class Pages:
    """Renders pages of one library; ``assets`` says where each asset of the theme stands in the site."""

    library: Library
    figures: Figures
    assets: Mapping[str, str]
    used_files: set[str] = field(default_factory=set)

    @cached_property
    def environment(self) -> Environment:
        environment = Environment(
            loader=FileSystemLoader(theme_folder() / "templates"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
            extensions=["jinja2.ext.i18n"],
        )
        environment.install_null_translations(newstyle=True)  # type: ignore[attr-defined]
        figures = self.figures
        environment.filters |= {
            "about": figures.about,
            "money": figures.money,
            "minutes": figures.minutes,
            "share": figures.share,
            "units": keep_units,
        }
        environment.globals |= {
            "library": self.library,
            "settings": self.library.settings,
            "catalogue": self.library.catalogue,
            "policy": POLICY,
            "site_id": hashlib.sha256(self.library.settings.title.encode()).hexdigest()[:10],
            "assets": self.assets,
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

    def gettext(self, text: str, **values: str) -> str:
        """A text of the theme in the language of the site, with its values filled in."""
        return text % values if values else text

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

    def render(self, template: str, page: str, **view: Any) -> str:
        """The HTML of one page, ``page`` being its address from the top of the site."""

        def link(target: str) -> str:
            return address.relative(target, page)

        def markdown(text: str, playbook: Any) -> Markup:
            kinds = {**dict.fromkeys(playbook.steps, "step"), **dict.fromkeys(playbook.endings, "ending")}
            env = {"page": page, "area": playbook.area, "kinds": kinds, "files": self.used_files}
            return render(text, env)

        root = "../" * page.count("/")
        shown = self.environment.get_template(template)
        return shown.render(page=page, root=root, link=link, markdown=markdown, **view)
