"""Renames the package of a wheel: paths, imports, metadata and the record of hashes."""

import ast
import base64
import hashlib
import zipfile
from pathlib import Path

FOLDER = "builder"
PACKAGE = "droplight"


def rename_package(wheel: Path) -> None:
    """Calls the package of a wheel by its own name, in paths, imports, metadata and the record of hashes."""
    with zipfile.ZipFile(wheel) as before:
        infos = [info for info in before.infolist() if not info.filename.endswith(".dist-info/RECORD")]
        (record,) = (info for info in before.infolist() if info.filename.endswith(".dist-info/RECORD"))
        entries = [(_renamed(info), _content(info.filename, before.read(info))) for info in infos]
    lines = [f"{info.filename},{_digest(data)},{len(data)}" for info, data in entries]
    with zipfile.ZipFile(wheel, "w", zipfile.ZIP_DEFLATED) as after:
        for info, data in entries:
            after.writestr(info, data, zipfile.ZIP_DEFLATED)
        after.writestr(record, "\n".join([*lines, f"{record.filename},,"]) + "\n", zipfile.ZIP_DEFLATED)


def _renamed(info: zipfile.ZipInfo) -> zipfile.ZipInfo:
    if info.filename.startswith(f"{FOLDER}/"):
        info.filename = PACKAGE + info.filename.removeprefix(FOLDER)
    return info


def _content(name: str, data: bytes) -> bytes:
    if name.endswith(".dist-info/top_level.txt"):
        return f"{PACKAGE}\n".encode()
    return with_own_imports(data.decode()).encode() if name.endswith(".py") else data


def with_own_imports(source: str) -> str:
    """A module whose imports of the folder's name are of the package's; nothing else in it changes."""
    lines = source.splitlines(keepends=True)
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and not node.level and _is_own(node.module or ""):
            line = lines[node.lineno - 1]
            lines[node.lineno - 1] = line[: node.col_offset] + line[node.col_offset :].replace(FOLDER, PACKAGE, 1)
        elif isinstance(node, ast.Import) and any(_is_own(alias.name) for alias in node.names):
            message = f"write `from {FOLDER} import …`, which can be renamed"
            raise ValueError(message)
    return "".join(lines)


def _is_own(module: str) -> bool:
    return module == FOLDER or module.startswith(f"{FOLDER}.")


def _digest(data: bytes) -> str:
    return "sha256=" + base64.urlsafe_b64encode(hashlib.sha256(data).digest()).decode().rstrip("=")
