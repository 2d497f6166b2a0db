"""Markdown to HTML: raw HTML stays text, links lead to pages of the site or openly elsewhere."""

import posixpath
from collections.abc import MutableMapping, Sequence
from pathlib import PurePosixPath
from typing import Any, Final
from urllib.parse import quote

from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import OptionsDict
from markupsafe import Markup

from builder.draw.figures import keep_units
from builder.publish.address import page, relative
from builder.read.prose import SCHEMES, Link, parser

HEADING_BELOW: Final = 3
"""Headings within a step stand below its own heading."""

Env = MutableMapping[str, Any]


class Renderer(RendererHTML):
    """Writes tokens as HTML; the environment names the page and the playbook's slug and area."""

    def link_open(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        token = tokens[idx]
        link = Link("link", str(token.attrs.get("href", "")))
        token.attrs["href"] = target_of(link, env)
        if link.scheme:
            token.attrs["rel"] = "external noopener noreferrer"
        return self.renderToken(tokens, idx, options, env)

    def image(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        token = tokens[idx]
        token.attrs["src"] = target_of(Link("image", str(token.attrs.get("src", ""))), env)
        token.attrs["loading"] = "lazy"
        return str(super().image(tokens, idx, options, env))

    def text(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        tokens[idx].content = keep_units(tokens[idx].content)
        return str(super().text(tokens, idx, options, env))

    def heading_open(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        tokens[idx].tag = f"h{min(6, int(tokens[idx].tag[1]) + HEADING_BELOW)}"
        return self.renderToken(tokens, idx, options, env)

    heading_close = heading_open

    def td_open(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: Env) -> str:
        # The policy of the pages allows no style within a page; the style sheet knows these classes.
        if side := str(tokens[idx].attrs.pop("style", "")).removeprefix("text-align:"):
            tokens[idx].attrs["class"] = side
        return self.renderToken(tokens, idx, options, env)

    th_open = td_open


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
    if PurePosixPath(path).suffix == ".yaml":
        return relative(page("playbook", PurePosixPath(path).stem), env["page"])
    env["files"].add(path)
    return quote(relative(f"files/{path}", env["page"]))


_MARKDOWN: Final = parser()
_MARKDOWN.renderer = Renderer()


def render(text: str, env: Env) -> Markup:
    """A Markdown text as HTML for the page that the environment names."""
    return Markup(_MARKDOWN.render(text, env))  # noqa: S704 - the renderer escapes everything it is given
