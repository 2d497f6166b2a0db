"""Assets: the theme's files, named by what is in them so that a browser may keep them for ever."""

import hashlib
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

import builder


@lru_cache(maxsize=1)
def theme_folder() -> Path:
    """The theme: within the installed package, or beside it in a checkout.

    Raises:
        FileNotFoundError: there is none.
    """
    package = Path(builder.__file__).parent
    for folder in (package / "theme", package.parent / "theme"):
        if (folder / "templates").is_dir():
            return folder
    raise FileNotFoundError(2, "the theme is missing", str(package / "theme"))


def read_assets() -> dict[str, bytes]:
    """Every file of the theme's ``assets`` folder, by its name."""
    folder = theme_folder() / "assets"
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file()}


def fingerprinted(assets: Mapping[str, bytes]) -> dict[str, str]:
    """Where each asset stands in the site: its name with a piece of its SHA-256 in it."""
    names: dict[str, str] = {}
    for name, data in assets.items():
        stem, dot, suffix = name.rpartition(".")
        names[name] = f"assets/{stem}.{hashlib.sha256(data).hexdigest()[:10]}{dot}{suffix}"
    return names
