"""Prose: the Markdown of a library, parsed safely. Raw HTML is off; links are looked at one by one."""

import posixpath
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final, Literal
from urllib.parse import unquote, urlsplit

from markdown_it import MarkdownIt
from markdown_it.rules_block.table import escapedSplit
from markdown_it.token import Token

SCHEMES: Final = frozenset({"http", "https", "mailto"})
BREAKS: Final = frozenset({"softbreak", "hardbreak", "paragraph_close", "heading_close", "td_close", "th_close"})
FILE_TYPES: Final = frozenset({".yaml", ".png", ".jpg", ".jpeg", ".webp", ".gif", ".pdf", ".txt", ".csv"})


def parser(*, html: bool = False) -> MarkdownIt:
    """CommonMark with tables; raw HTML stays text unless ``html`` asks to have it found, and labels of links kept."""
    markdown = MarkdownIt("commonmark", {"html": html, "store_labels": html}).enable("table")
    # Links are judged by the checks, with a finding for each, and not dropped without a word.
    markdown.validateLink = lambda url: True  # type: ignore[method-assign]
    return markdown


@dataclass(frozen=True, slots=True)
class Link:
    """A link or an image in Markdown; of an image, ``alt`` is what it says to those who cannot see it."""

    kind: Literal["link", "image"]
    target: str
    alt: str = ""

    @property
    def scheme(self) -> str:
        """The scheme of its target in small letters, ``""`` if it has none, ``?`` if it is no address."""
        try:
            return urlsplit(self.target).scheme.lower()
        except ValueError:
            return "?"

    @property
    def is_relative(self) -> bool:
        """Whether it leads somewhere seen from its own file."""
        return not self.scheme and not self.target.startswith(("/", "\\"))

    def path_from(self, folder: str) -> str:
        """The relative target as a path within the library, seen from a folder of it (both with ``/``)."""
        return posixpath.normpath(posixpath.join(folder, unquote(urlsplit(self.target).path)))

    @property
    def playbook(self) -> str:
        """The slug of the playbook that it leads to; empty where it leads elsewhere."""
        path = posixpath.basename(unquote(urlsplit(self.target).path)) if self.is_relative else ""
        return path.removesuffix(".yaml") if path.endswith(".yaml") else ""

    @property
    def fragment(self) -> str:
        """What its target says after the ``#``."""
        return unquote(urlsplit(self.target).fragment)


def all_tokens(tokens: list[Token]) -> Iterator[Token]:
    """Tokens with those within them, in the order of the text."""
    for token in tokens:
        yield token
        yield from all_tokens(token.children or [])


_FINDER: Final = parser(html=True)


@lru_cache(maxsize=1024)
def _tokens(text: str) -> tuple[Token, ...]:
    return tuple(all_tokens(_FINDER.parse(text)))


def plain_text(text: str) -> str:
    """A Markdown text as one reads it: without marks, entities as the characters that they stand for."""
    return "".join("\n" if token.type in BREAKS else token.content for token in _tokens(text) if token.type != "inline")


def shown(text: str) -> tuple[tuple[str, ...], ...]:
    """What a page shows of a Markdown text: its pieces with their kind, level and targets, white space aside."""
    pieces: list[tuple[str, ...]] = []
    words = ""
    for token in _tokens(text):
        if token.type in ("text", "softbreak"):
            words += token.content or " "
        elif token.type != "inline":
            pieces += [(" ".join(words.split()),)] if words else []
            words = ""
            pieces.append((token.type, token.tag, " ".join(token.content.split()), *map(str, token.attrs.values())))
    return tuple(pieces)


def links_and_html(text: str) -> tuple[tuple[Link, ...], tuple[str, ...]]:
    """Every link and image of a Markdown text, and every piece of raw HTML."""
    links: list[Link] = []
    raw: list[str] = []
    for token in _tokens(text):
        if token.type == "link_open":
            links.append(Link("link", str(token.attrs.get("href", ""))))
        elif token.type == "image":
            links.append(Link("image", str(token.attrs.get("src", "")), token.content.strip()))
        elif token.type in ("html_inline", "html_block"):
            raw.append(token.content.strip().splitlines()[0])
    return tuple(links), tuple(raw)


def beginnings(text: str) -> Iterator[tuple[str, bool]]:
    """How each line of a Markdown text begins that the page begins anew, and whether it is in the head of a table.

    Such lines are those of paragraphs, headings, items, cells and code, and what follows a hard break.
    """
    head = False
    for token in _FINDER.parse(text):
        head = token.type == "th_open" or (head and token.type != "th_close")
        if token.type == "inline":
            line: list[str] = []
            for piece in all_tokens(token.children or []):
                if piece.type == "hardbreak":
                    yield "".join(line), head
                    line = []
                elif piece.type != "image":  # its words follow as a piece of their own
                    line.append(" " if piece.type == "softbreak" else piece.content)
            yield "".join(line), head
        elif token.type in ("fence", "code_block", "html_block"):
            yield from ((line, False) for line in token.content.splitlines())


def unread_pieces(text: str) -> Iterator[str]:
    """What stands in a Markdown text and on no page: words behind a fence, titles, definitions that nothing uses,
    and cells of a row beyond those of its head.
    """
    env: dict[str, Any] = {}
    tokens = list(all_tokens(_FINDER.parse(text, env)))
    lines = text.splitlines()
    used = {token.meta.get("label") for token in tokens}
    for label, definition in env.get("references", {}).items():
        if label not in used:
            yield " ".join(lines[slice(*definition["map"])]).strip()
    for definition in env.get("duplicate_refs", ()):
        yield " ".join(lines[slice(*definition["map"])]).strip()
    columns = 0
    for token in tokens:
        if token.type == "fence" and token.info.strip():
            yield token.info.strip()
        elif title := str(token.attrs.get("title", "")).strip():
            yield title
        columns = 0 if token.type == "table_open" else columns + (token.type == "th_open")
        if token.type == "tr_open" and token.map and columns:
            cells = [cell.strip() for cell in escapedSplit(lines[token.map[0]].strip())]
            beyond = [cell for cell in cells[columns + (not cells[0]) :] if cell]
            if beyond:
                yield " | ".join(beyond)
