"""The folder of a library: which files are there, and findings for what does not belong."""

import errno
import os
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Final, NamedTuple

from builder.read import limits
from builder.read.findings import Finding, near_miss
from builder.read.notation import IDENTIFIER
from builder.read.own import is_hidden
from builder.read.source import leads_out

SETTINGS: Final = "library.yaml"
CATALOGUE: Final = "catalogue"
KINDS: Final = ("tools", "parts", "access", "hazards", "checks", "codes")
"""The files of the catalogue."""

NAMED: Final = ("tools", "parts", "access", "hazards")
"""Those whose entries a step or an ending names."""

TAKEN: Final = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}
)
"""Names of devices, which Windows takes for no file whatever their ending (Microsoft, "Naming Files")."""

LEADS_NOWHERE: Final = frozenset({errno.ELOOP, errno.ENOTDIR, errno.ENAMETOOLONG})
"""What the machine says of a symbolic link that goes round or whose target cannot be."""


@dataclass(frozen=True, slots=True)
class Folder:
    """``root`` as given, ``shown`` as people see it in findings."""

    root: Path
    shown: str

    def name(self, *parts: str) -> str:
        """What findings call a file of the library, given by the parts of its path."""
        return "/".join([self.shown.rstrip("/"), *parts])

    def entries(self, *parts: str, hidden: bool = False) -> list[os.DirEntry[str]]:
        """What a folder of the library holds, by name: what is not hidden, or what is."""
        with os.scandir(self.root.joinpath(*parts)) as found:
            kept = (entry for entry in found if entry.name.startswith(".") is hidden)
            return sorted(kept, key=lambda entry: entry.name)


@dataclass(frozen=True, slots=True)
class PlaybookFile:
    """Where a playbook stands; ``name`` is what findings call its file."""

    area: str
    slug: str
    name: str


class Listing(NamedTuple):
    """What a library's folder holds: playbook files in the order of areas and slugs, and what does not belong there.

    ``elsewhere`` are slugs of playbooks that stand in a folder that is no area.
    """

    files: list[PlaybookFile]
    elsewhere: frozenset[str]
    findings: list[Finding]


def list_playbooks(folder: Folder, areas: Collection[str]) -> Listing:
    """What stands in a library's folder, beside its settings and its catalogue."""
    files: list[PlaybookFile] = []
    elsewhere: set[str] = set()
    findings: list[Finding] = []
    for entry in folder.entries():
        name = folder.name(entry.name)
        if _is_folder(entry):
            if entry.name == CATALOGUE:
                continue
            if entry.name in areas:
                files += _in_area(folder, entry, findings)
            elif stems := _yaml_stems(folder, entry.name):
                elsewhere.update(stems)
                message = f"the folder `{entry.name}` is no area"
                hint = near_miss(entry.name, areas) or f"add it to `areas` in {SETTINGS}"
                findings.append(Finding(name, 1, 1, "no-area", message, hint))
        elif entry.name in areas:
            findings.append(Finding(name, 1, 1, "stray-file", f"the area `{entry.name}` is no folder", "make it one"))
        elif entry.name != SETTINGS and _is_yaml(entry.name):
            meant = PurePath(entry.name.lower()).stem == PurePath(SETTINGS).stem
            hint = f"name it `{SETTINGS}`" if meant else "put playbooks into the folder of an area"
            findings.append(Finding(name, 1, 1, "stray-file", "this file is in no area", hint))
    if len(files) > limits.PLAYBOOKS.most:
        message = f"the library has {len(files)} playbooks"
        findings.append(Finding(folder.name(SETTINGS), 1, 1, "too-many", message, limits.PLAYBOOKS.hint))
        del files[limits.PLAYBOOKS.most :]
    order = list(areas)
    files.sort(key=lambda file: (order.index(file.area), file.slug))
    return Listing(list(_each_once(files, findings)), frozenset(elsewhere), findings)


def _in_area(folder: Folder, area: os.DirEntry[str], findings: list[Finding]) -> list[PlaybookFile]:
    """The playbooks of an area, unless its folder is a link to what is not the library's."""
    place = Path(area.path)
    out, hidden = leads_out(place, folder.root), is_hidden(place, folder.root)
    if not out and not hidden:
        return list(_playbooks_in(folder, area.name, findings))
    where = "that leaves the library" if out else "to a hidden folder"
    message = f"the area `{area.name}` is a symbolic link {where}"
    findings.append(Finding(folder.name(area.name), 1, 1, "link-outside", message, "put the folder itself here"))
    return []


def _playbooks_in(folder: Folder, area: str, findings: list[Finding]) -> Iterator[PlaybookFile]:
    for entry in folder.entries(area):
        name = folder.name(area, entry.name)
        stem, suffix = PurePath(entry.name).stem, PurePath(entry.name).suffix
        if _is_folder(entry) and not _is_yaml(entry.name):
            if _yaml_stems(folder, area, entry.name):
                hint = "put playbooks straight into the folder of an area"
                findings.append(Finding(name, 1, 1, "stray-file", "a folder within an area holds YAML files", hint))
        elif suffix == ".yaml" and IDENTIFIER.match(stem) and len(stem) <= limits.NAME.most and stem not in TAKEN:
            yield PlaybookFile(area, stem, name)
        elif suffix == ".yaml":
            hint = f"use small letters a-z, digits and hyphens, at most {limits.NAME.most}, and no name of a device"
            findings.append(Finding(name, 1, 1, "bad-slug", f"`{stem}` is not a slug", hint))
        elif _is_yaml(entry.name) or _is_yaml(stem):
            odd = suffix if _is_yaml(entry.name) else PurePath(stem).suffix + suffix
            findings.append(Finding(name, 1, 1, "stray-file", f"the file ends in `{odd}`", "let it end in `.yaml`"))
    findings += _hidden(folder, area)


def _hidden(folder: Folder, area: str) -> Iterator[Finding]:
    """Hidden files that look like playbooks; what editors and systems leave behind has other names."""
    for entry in folder.entries(area, hidden=True):
        plain = entry.name.removeprefix(".")
        if _is_yaml(plain) and IDENTIFIER.match(PurePath(plain).stem):
            name = folder.name(area, entry.name)
            yield Finding(name, 1, 1, "stray-file", "a hidden file is no playbook", f"name it `{plain}`, or delete it")


def _each_once(files: list[PlaybookFile], findings: list[Finding]) -> Iterator[PlaybookFile]:
    """The first file of each slug, and a finding for every further one."""
    first: dict[str, PlaybookFile] = {}
    for file in files:
        if first.setdefault(file.slug, file) is file:
            yield file
            continue
        message = f"the slug `{file.slug}` is used twice; first in {first[file.slug].name}"
        findings.append(Finding(file.name, 1, 1, "slug-twice", message, "rename one of the two files"))


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError as error:
        if error.errno not in LEADS_NOWHERE:
            raise
        return False


def _is_yaml(name: str) -> bool:
    return name.lower().endswith((".yaml", ".yml"))


def _yaml_stems(folder: Folder, *parts: str) -> list[str]:
    """Names of the YAML files in a folder of the library, without their endings."""
    return [PurePath(entry.name).stem for entry in folder.entries(*parts) if _is_yaml(entry.name)]
