"""Markdown to HTML: raw HTML stays text, links lead to pages of the site or openly elsewhere."""

import posixpath
from collections import deque
from collections.abc import Mapping, MutableMapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from typing import Any, Final, NamedTuple
from urllib.parse import quote

from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import OptionsDict
from markupsafe import Markup, escape

from builder.draw.figures import Figures, keep_units
from builder.draw.quantities import Quantity, quantities
from builder.draw.units import System
from builder.publish.pages.address import page, relative
from builder.read.prose import SCHEMES, Link, parser

HEADING_BELOW: Final = 3
"""Headings within a step stand below its own heading."""

Env = MutableMapping[str, Any]


class Renderer(RendererHTML):
    """Writes tokens as HTML; the environment names the page, slug and area of the playbook, and how figures look."""

    def link_open(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        """A link to where its target stands in the site; one that leads elsewhere passes nothing on."""
        token = tokens[idx]
        link = Link("link", str(token.attrs.get("href", "")))
        token.attrs["href"] = target_of(link, env)
        if link.scheme:
            token.attrs["rel"] = "external noopener noreferrer"
        return self.renderToken(tokens, idx, options, env)

    def image(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        """A picture of the library, loaded when it comes into sight."""
        token = tokens[idx]
        token.attrs["src"] = target_of(Link("image", str(token.attrs.get("src", ""))), env)
        token.attrs["loading"] = "lazy"
        return str(super().image(tokens, idx, options, env))

    def renderInline(self, tokens: Sequence[Token], options: OptionsDict, env: Env) -> str:  # noqa: N802 - the name of the library
        """A paragraph, in the whole of which quantities are looked for."""
        # Whether a figure is a trade size or a difference shows in the words around it, which may be bold or a link.
        texts = ["" if token.nesting else token.content or " " for token in tokens]
        env["starts"] = list(accumulate(map(len, texts), initial=0))
        env["quantities"] = deque(quantities("".join(texts), env["figures"].locale))
        return str(super().renderInline(tokens, options, env))

    def text(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        """A piece of a paragraph, with the quantities in it in both systems of units."""
        content, start, ahead = tokens[idx].content, env["starts"][idx], env["quantities"]
        own: list[Quantity] = []
        while ahead and ahead[0].start < start + len(content):
            quantity = ahead.popleft()
            if start <= quantity.start and quantity.end <= start + len(content):
                own.append(quantity)
        return str(_both_systems(content, own, start, env["figures"]))

    def heading_open(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        """A heading below those of the page."""
        tokens[idx].tag = f"h{min(6, int(tokens[idx].tag[1]) + HEADING_BELOW)}"
        return self.renderToken(tokens, idx, options, env)

    heading_close = heading_open

    def td_open(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        """A cell of a table, its alignment as a class."""
        # The policy of the pages allows no style within a page; the style sheet knows these classes.
        if side := str(tokens[idx].attrs.pop("style", "")).removeprefix("text-align:"):
            tokens[idx].attrs["class"] = side
        return self.renderToken(tokens, idx, options, env)

    th_open = td_open


@lru_cache(maxsize=20_000, typed=True)
def both_systems(text: str, figures: Figures) -> Markup:
    """A plain text as HTML, its quantities in both systems of units; the first is that of the library's language."""
    plain = text.unescape() if isinstance(text, Markup) else text
    return _both_systems(plain, quantities(plain, figures.locale), 0, figures)


def _both_systems(text: str, found: Sequence[Quantity], begins: int, figures: Figures) -> Markup:
    """A text with the quantities in it, whose places are counted from ``begins`` characters before it."""
    pieces: list[str] = []
    done = 0
    for quantity in found:
        start, end = quantity.start - begins, quantity.end - begins
        shown = {quantity.system: keep_units(text[start:end]), quantity.other_system: quantity.other}
        pieces += escape(keep_units(text[done:start])), _quantity(shown, figures.us_first)
        done = end
    return Markup("").join([*pieces, escape(keep_units(text[done:]))])


def _quantity(shown: Mapping[System, str], us_first: bool) -> Markup:
    """One figure and the other in brackets; they change places where the owner of a device asks for it."""
    si, us = (Markup('<span class="{}">{}</span>').format(system, figure) for system, figure in sorted(shown.items()))
    return Markup('<span class="quantity">{} ({})</span>').format(*((us, si) if us_first else (si, us)))


def target_of(link: Link, env: Env) -> str:
    """Where a link of a playbook leads on the site; nowhere (``#``) if its scheme is not allowed."""
    if link.scheme:
        return link.target if link.scheme in SCHEMES and link.kind == "link" else "#"
    if link.target.startswith("#"):
        own, anchor = page("playbook", env["slug"]), f"#{env['kinds'].get(link.fragment, 'step')}-{link.fragment}"
        return anchor if env["page"] == own else relative(own, env["page"]) + anchor
    path = link.path_from(env["area"])
    if path.startswith("..") or posixpath.isabs(path):
        return "#"
    if link.playbook:
        kind = env["elsewhere"].get((link.playbook, link.fragment))
        anchor = f"#{kind}-{link.fragment}" if kind else ""
        return relative(page("playbook", link.playbook), env["page"]) + anchor
    env["files"].add(path)
    fragment = f"#{quote(link.fragment, safe='=&')}" if link.fragment else ""
    return quote(relative(f"files/{path}", env["page"])) + fragment


_MARKDOWN: Final = parser()
_MARKDOWN.renderer = Renderer()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a Markdown text stands: on which page, in which playbook, and how figures are written there.

    ``kinds`` says of each name of the playbook whether it is a step or an ending, ``elsewhere`` the same of names of
    other playbooks that the text leads to.
    """

    page: str
    slug: str
    area: str
    kinds: tuple[tuple[str, str], ...]
    figures: Figures
    elsewhere: tuple[tuple[tuple[str, str], str], ...] = ()


class Prose(NamedTuple):
    """A Markdown text as HTML, and the files of the library that it leads to."""

    html: Markup
    files: frozenset[str]


@lru_cache(maxsize=2_000)
def prose(text: str, place: Place) -> Prose:
    """A Markdown text as HTML for a place."""
    own = {name: getattr(place, name) for name in ("page", "slug", "area", "figures")}
    env: Env = {"files": set(), "kinds": dict(place.kinds), "elsewhere": dict(place.elsewhere), **own}
    html = Markup(_MARKDOWN.render(text, env))  # noqa: S704 - the renderer escapes everything it is given
    return Prose(html, frozenset(env["files"]))
