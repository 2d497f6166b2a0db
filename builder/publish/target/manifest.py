"""The manifest: what a build made of a site, with the hash of each file, so that the next removes nothing else."""

import hashlib
import json
import os
import re
import stat
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path, PurePosixPath
from typing import Any, Final

MANIFEST: Final = ".droplight"
"""Its name, at the top of the site."""

FORMAT: Final = 2
"""Format 1 was a list of names, one a line, without hashes; a line feed in a name could forge others."""

HASH: Final = re.compile("[0-9a-f]{64}")


class ManifestError(Exception):
    """A file of the manifest's name that no build wrote, or a newer one than this."""


@dataclass(frozen=True)
class Manifest:
    """``files`` are what a build made, by name with ``/``, each with its SHA-256 or ``None`` if none was recorded."""

    files: Mapping[str, str | None]

    @cached_property
    def folders(self) -> frozenset[str]:
        """The folders that those files are in, without the top."""
        return frozenset(folder.as_posix() for name in self.files for folder in PurePosixPath(name).parents) - {"."}

    def made(self, name: str, path: Path) -> bool:
        """Whether the file at ``path`` is what a build made under a name, byte for byte as far as that is recorded.

        Raises:
            OSError: it cannot be read.
        """
        if name not in self.files or not stat.S_ISREG(path.lstat().st_mode):
            return False
        recorded = self.files[name]
        return recorded is None or recorded == digest(path)


NOTHING: Final = Manifest({})


def digest(path: Path) -> str:
    """The SHA-256 of a file in hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def write_manifest(folder: Path, but: str) -> Manifest:
    """Record every file below a folder ``but`` one, in the folder itself: the same bytes for the same files."""
    made = Manifest({name: digest(folder / name) for name in sorted(names_below(folder)) if name != but})
    data = {"format": FORMAT, "files": made.files}
    (folder / MANIFEST).write_text(json.dumps(data, indent=0) + "\n", encoding="ascii")
    return made


def read_manifest(folder: Path) -> Manifest | None:
    """What builds made of a folder; ``None`` if there is no manifest.

    Raises:
        ManifestError: it is none of ours, or of a newer format.
        OSError: it cannot be read.
    """
    path = folder / MANIFEST
    try:
        status = path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    if not stat.S_ISREG(status.st_mode):
        raise ManifestError(f"{path} is no file that a build wrote")
    try:
        text = path.read_bytes().decode("utf-8")
        return _parsed(text) if text.startswith("{") else _first_format(text, folder)
    except (ValueError, RecursionError) as error:
        raise ManifestError(f"{path} is not what a build wrote there") from error


def _parsed(text: str) -> Manifest:
    data: Any = json.loads(text)
    if isinstance(data.get("format"), int) and data["format"] > FORMAT:
        raise ManifestError("the site was built by a newer Droplight, whose record this one cannot read")
    files: Any = data.get("files")
    if data.get("format") != FORMAT or not isinstance(files, dict) or not all(map(_is_name, files)):
        raise ValueError("files")
    if not all(isinstance(value, str) and HASH.fullmatch(value) for value in files.values()):
        raise ValueError("hash")
    return Manifest(files)


def _first_format(text: str, folder: Path) -> Manifest:
    """A list of names without hashes, believed unless a line feed in the name of a file may have forged some."""
    *names, last = text.split("\n")[:-1]
    if last != MANIFEST or not all(map(_is_name, names)):
        raise ValueError("names")
    if names != sorted(names) or any("\n" in name for name in names_below(folder)):
        return NOTHING
    return Manifest(dict.fromkeys(names))


def _is_name(name: str) -> bool:
    """Whether a name leads to something below a folder, by the shortest way."""
    parts = name.split("/")
    return name != MANIFEST and not any(part in ("", ".", "..") or "\0" in part for part in parts)


def names_below(folder: Path) -> Iterator[str]:
    """Every file and link below a folder but the manifest, by name with ``/``; links are not followed."""

    def refuse(error: OSError) -> None:
        raise error

    for place, folders, files in os.walk(folder, onerror=refuse):
        links: Iterable[str] = (name for name in folders if Path(place, name).is_symlink())
        for name in (*files, *links):
            path = Path(place, name).relative_to(folder).as_posix()
            if path != MANIFEST:
                yield path
