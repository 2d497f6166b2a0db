"""The theme: templates, scripts and assets, the built-in ones or, one by one, somebody's own in their place.

Assets are named by what is in them, so that a browser may keep them for ever.
"""

import hashlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from traceback import extract_tb
from typing import Final

from babel.messages.pofile import PoFileError
from jinja2 import (
    BaseLoader,
    BytecodeCache,
    ChoiceLoader,
    FileSystemLoader,
    PrefixLoader,
    TemplateError,
    TemplateSyntaxError,
)
from jinja2.bccache import Bucket
from rcssmin import cssmin

from builder.publish.styles import refuse_hiding_styles
from builder.read.findings import in_ticks

BUILT_IN_PREFIX: Final = "builtin"
"""``builtin/base.html`` is the built-in template, even where one's own ``base.html`` takes its place."""

TEMPLATES: Final = "templates"
TRADE: Final = "trade"
ASSETS: Final = "assets"
SCRIPTS: Final = "scripts"
PARTS: Final = (TEMPLATES, ASSETS, SCRIPTS, "locale", TRADE)


class NoThemeError(Exception):
    """The folder is no theme."""


class ThemeError(Exception):
    """A template of a theme cannot be filled in, its scripts cannot be joined, or its words cannot be read."""


@lru_cache(maxsize=1)
def theme_folder() -> Path:
    """The built-in theme: within the installed package, or beside it in a checkout.

    Raises:
        FileNotFoundError: there is none.
    """
    package = Path(__file__).parents[2]
    for folder in (package / "theme", package.parent / "theme"):
        if (folder / TEMPLATES).is_dir():
            return folder
    raise FileNotFoundError(2, "the theme is missing", str(package / "theme"))


@dataclass(frozen=True, slots=True)
class Theme:
    """What the pages are made with; what ``own``, a folder of one's own, holds goes before what is built in."""

    own: Path | None = None

    def loader(self) -> BaseLoader:
        """Finds templates: one's own first; below ``builtin/`` always the built-in ones."""
        built_in = FileSystemLoader(theme_folder() / TEMPLATES)
        mine = [FileSystemLoader(self.own / TEMPLATES)] if self.own else []
        return ChoiceLoader([*mine, built_in, PrefixLoader({BUILT_IN_PREFIX: built_in})])


BUILT_IN: Final = Theme()


def theme_at(folder: Path) -> Theme:
    """The theme in a folder of one's own.

    Raises:
        NoThemeError: it holds no part of one.
    """
    if not any((folder / part).is_dir() for part in PARTS):
        known = in_ticks(PARTS)
        raise NoThemeError(f"{folder} is no theme: it has none of the folders {known}")
    return Theme(folder)


def read_assets(theme: Theme = BUILT_IN) -> dict[str, bytes]:
    """Every file of the theme's ``assets`` folder, by its name, style sheets minified; hidden files are passed over.

    Raises:
        BannerError: a style sheet of one's own hides the safety banner.
    """
    own = _files_of(theme.own / ASSETS) if theme.own else {}
    for name, data in own.items():
        if name.endswith(".css"):
            refuse_hiding_styles(name, data.decode("utf-8", errors="replace"))
    found = {**_files_of(theme_folder() / ASSETS), **own}
    return {name: cssmin(data) if name.endswith(".css") else data for name, data in sorted(found.items())}


def _files_of(folder: Path) -> dict[str, bytes]:
    if not folder.is_dir():
        return {}
    paths = (path for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
    return {path.name: path.read_bytes() for path in paths}


def fingerprinted(assets: Mapping[str, bytes]) -> dict[str, str]:
    """Where each asset stands in the site: its name with a piece of its SHA-256 in it."""
    names: dict[str, str] = {}
    for name, data in assets.items():
        stem, dot, suffix = name.rpartition(".")
        names[name] = f"assets/{stem}.{hashlib.sha256(data).hexdigest()[:10]}{dot}{suffix}"
    return names


@contextmanager
def naming_theme_faults() -> Iterator[None]:
    """Turns what a template or a catalogue of words cannot do into a message with its place.

    Raises:
        ThemeError: instead of any error of theirs.
    """
    try:
        yield
    except PoFileError as error:
        raise ThemeError(f"a catalogue of words cannot be read: {error}") from error
    except TemplateSyntaxError as error:
        raise ThemeError(f"{error.filename or error.name}:{error.lineno}: {error.message}") from error
    except TemplateError as error:
        frames = [frame for frame in extract_tb(error.__traceback__) if Path(frame.filename).parent.name == TEMPLATES]
        place = f"{frames[-1].filename}:{frames[-1].lineno}: " if frames else ""
        raise ThemeError(f"{place}{error.message or type(error).__name__}") from error


class Compiled(BytecodeCache):
    """Templates that were compiled before, in memory; one whose text has changed is compiled again."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take a template that was compiled before."""
        if code := self.kept.get(bucket.key):
            bucket.bytecode_from_string(code)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template that was compiled."""
        self.kept[bucket.key] = bucket.bytecode_to_string()


COMPILED: Final = Compiled()
"""Those of this process: every build in it, and every save that a preview shows, compiles only what is new."""
