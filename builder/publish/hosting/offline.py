"""Taking the site along: the list of its files for the service worker, and the whole of it as a zip file.

The zip file stores its files as they are: a compressor's output differs between its versions, and the same input
must give the same bytes on any machine.
"""

import hashlib
import json
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Final

from builder.publish.pages.address import ARCHIVE

FIRST_DAY: Final = (1980, 1, 1, 0, 0, 0)
"""The date of every file in the zip file: the first that the format knows."""

PLAIN_FILE: Final = 0o100644 << 16

SERVICE_WORKER: Final = "sw.js"
FILE_LIST: Final = "offline.json"


def site_files(folder: Path) -> list[str]:
    """Every file of the site but hidden ones, by name."""
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    return [name for name in names if not name.startswith(".")]


def site_bytes(folder: Path, names: Sequence[str]) -> int:
    """How many bytes some files of the site hold together."""
    return sum((folder / name).stat().st_size for name in names)


def file_list(version: str, size: int, names: Sequence[str]) -> str:
    """What the service worker keeps, as JSON: the version, the bytes of all files, and their names."""
    return json.dumps({"version": version, "bytes": size, "files": names}, separators=(",", ":")) + "\n"


def write_archive(folder: Path, names: Sequence[str], closing: Callable[[str], Mapping[str, str]]) -> None:
    """Write the whole site as one zip file, the same bytes for the same files.

    The version of the site changes with the name or the bytes of any file. ``closing`` gives the files, by name, that
    hold it; they are written to the folder and come last.
    """
    digest = hashlib.sha256()
    with zipfile.ZipFile(folder / ARCHIVE, "w", zipfile.ZIP_STORED) as archive:
        for name in names:
            data = (folder / name).read_bytes()
            digest.update(f"{name}\0".encode() + hashlib.sha256(data).digest())
            archive.writestr(_entry(name), data)
        for name, text in closing(digest.hexdigest()[:16]).items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")
            archive.writestr(_entry(name), text.encode())


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, FIRST_DAY)
    entry.create_system = 3
    entry.external_attr = PLAIN_FILE
    return entry
