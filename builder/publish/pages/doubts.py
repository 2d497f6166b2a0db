"""Doubts about a theme: files of one's own that replace nothing, and a language that the theme has no words for."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from builder.publish.pages.theme import ASSETS, PARTS, TEMPLATES, Theme, theme_folder
from builder.publish.pages.words import has_words
from builder.read.findings import WARNING, Finding, near_miss, nearest
from builder.read.folder import SETTINGS
from builder.read.records import Settings

ABOUT: Final = re.compile(r"(?:readme|licen[cs]e|changelog|changes|notice)", re.IGNORECASE)
"""Files that say something of a theme and are no part of it."""


def theme_doubts(theme: Theme, settings: Settings, library: str) -> Iterator[Finding]:
    """Warnings for whoever builds the site; ``library`` is what findings call its folder."""
    if theme.own:
        yield from _strays(theme.own)
        yield from _idle_templates(theme.own)
        yield from _near_assets(theme.own)
    if not has_words(settings.language, theme.own):
        message = f"the theme has no words for `{settings.language}`: its own texts are in English"
        hint = f"add `locale/{settings.language.replace('-', '_')}/LC_MESSAGES/droplight.po` to a theme of your own"
        yield Finding(f"{library}/{SETTINGS}", 1, 1, "no-theme-words", message, hint, WARNING)


def _strays(own: Path) -> Iterator[Finding]:
    for path in _entries(own):
        if path.name not in PARTS and not ABOUT.match(path.name):
            hint = near_miss(path.name, PARTS) or "the folders of a theme are " + ", ".join(PARTS)
            yield _finding(path, "nothing takes this for a part of the theme", hint)


def _idle_templates(own: Path) -> Iterator[Finding]:
    """Templates that neither replace one nor are named by another of the theme."""
    built_in = {path.name for path in (theme_folder() / TEMPLATES).iterdir()}
    paths = _entries(own / TEMPLATES)
    said = "".join(path.read_text(encoding="utf-8", errors="replace") for path in paths if path.is_file())
    for path in paths:
        if path.name not in built_in and path.name not in said:
            hint = near_miss(path.name, built_in) or "give it the name of the template that it shall replace"
            yield _finding(path, "this template replaces none, and none of the theme names it", hint)


def _near_assets(own: Path) -> Iterator[Finding]:
    """Assets that are nearly called like a built-in one; any other may well be new."""
    built_in = {path.name for path in (theme_folder() / ASSETS).iterdir()}
    for path in _entries(own / ASSETS):
        if path.name not in built_in and (near := nearest(path.name, built_in)):
            yield _finding(path, "this asset replaces none", f"did you mean `{near}`?")


def _entries(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if not path.name.startswith("."))


def _finding(path: Path, message: str, hint: str) -> Finding:
    return Finding(path.as_posix(), 1, 1, "theme-idle", message, hint, WARNING)
