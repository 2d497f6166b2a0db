"""Taking the site along: what the service worker keeps of it, each file by its size and its SHA-256."""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from builder.publish.hosting.archive import Sealed
from builder.publish.pages import address

SERVICE_WORKER: Final = "sw.js"
FILE_LIST: Final = "offline.json"
FOR_EDITORS: Final = ("write.js", "form.css")
"""Assets that only the form for playbooks loads."""


def site_files(folder: Path) -> list[str]:
    """Every file of the site but hidden ones, by name."""
    names = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())
    return [name for name in names if not name.startswith(".")]


def editors_files(names: Iterable[str], assets: Mapping[str, str]) -> frozenset[str]:
    """Those files of the site that only people need who write playbooks, and no owner takes along: the form and schema.

    ``assets`` are the addresses of assets by their names in the theme.
    """
    own = {address.FORM, address.FORM_DATA, address.SCHEMA, *(assets[name] for name in FOR_EDITORS)}
    return frozenset(name for name in names if name in own or name.startswith(address.ORIGINS))


def site_bytes(folder: Path, names: Iterable[str]) -> int:
    """How many bytes some files of the site hold together."""
    return sum((folder / name).stat().st_size for name in names)


def file_list(
    files: Sequence[Sealed], sets: Mapping[str, Iterable[str]], areas: Mapping[str, Sequence[str]]
) -> dict[str, Any]:
    """What can be kept, ready for JSON.

    ``files`` are name, bytes and SHA-256 of each; ``sets`` say by slug which of them (by number) a playbook needs, and
    ``areas`` which playbooks an area has. What is in no set is needed by all. The version is a hash of the rest, so it
    changes with any name or byte.
    """
    numbers = {file.name: number for number, file in enumerate(files)}
    listed: dict[str, Any] = {
        "files": [[file.name, file.size, file.digest] for file in files],
        "sets": {slug: sorted(numbers[name] for name in sets[slug] if name in numbers) for slug in sorted(sets)},
        "areas": {area: list(slugs) for area, slugs in areas.items()},
    }
    return {"version": hashlib.sha256(list_text(listed).encode()).hexdigest()[:16], **listed}


def list_text(listed: Mapping[str, Any]) -> str:
    """The list as it stands in its file."""
    return json.dumps(listed, ensure_ascii=False, separators=(",", ":")) + "\n"
