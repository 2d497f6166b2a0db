"""The site as one zip file: the same bytes for the same files, whatever Python there is.

Python's own compressor will not do: ``zlib`` is another library on other machines (zlib, zlib-ng, Chromium's), and the
same input gives other bytes there. libdeflate, as the package ``deflate`` brings it along, chooses by whole numbers
alone at levels up to 9, so that one version of it gives the same bytes everywhere; the version is pinned. Since files
are compressed by the workers and ``zipfile`` cannot take compressed data, the few records of the format are written
here (APPNOTE.TXT 6.3.3, sections 4.3.7 to 4.3.16; tests read them with ``zipfile``).
"""

import hashlib
import zlib
from dataclasses import dataclass, field
from pathlib import Path
from struct import pack
from typing import IO, Final

import deflate

LEVEL: Final = 9
STORED: Final = 0
DEFLATED: Final = 8
UTF_8: Final = 1 << 11
FIRST_DAY: Final = 1 << 5 | 1
"""The date of every file in it, 1 January 1980: the first that the format knows."""

UNIX: Final = 3 << 8
PLAIN_FILE: Final = 0o100644 << 16
NEEDS: Final = 20
NEEDS_64: Final = 45
MOST: Final = 0xFFFF
FURTHEST: Final = 0xFFFFFFFF


@dataclass(frozen=True, slots=True)
class Sealed:
    """A file of the site with its size in bytes and its SHA-256; ``packed`` is it compressed, where that is smaller."""

    name: str
    size: int
    digest: str
    crc: int
    packed: bytes | None


@dataclass(frozen=True, slots=True)
class Sealing:
    """Where the files are that are to be sealed, and whether they are wanted compressed."""

    folder: Path
    compress: bool


def seal(sealing: Sealing, name: str) -> Sealed:
    """A file of the site as it stands in the folder.

    Raises:
        OSError: it cannot be read.
    """
    return sealed(name, (sealing.folder / name).read_bytes(), sealing.compress)


def sealed(name: str, data: bytes, compress: bool = True) -> Sealed:
    """Some bytes under a name."""
    packed = bytes(deflate.deflate_compress(data, LEVEL)) if compress else data
    small = packed if compress and len(packed) < len(data) else None
    return Sealed(name, len(data), hashlib.sha256(data).hexdigest(), zlib.crc32(data), small)


@dataclass
class Archive:
    """A zip file that is being written to ``file``; each file in it is smaller than 4 GiB."""

    file: IO[bytes]
    entries: list[bytes] = field(default_factory=list)

    def add(self, one: Sealed, folder: Path | None = None) -> None:
        """Add a file; one that is not compressed is read from the folder, or is empty.

        Raises:
            OSError: the machine refuses.
        """
        name, place = one.name.encode(), self.file.tell()
        data = one.packed if one.packed is not None else (folder / one.name).read_bytes() if folder else b""
        method = STORED if one.packed is None else DEFLATED
        sizes = pack("<HHHHIII", UTF_8, method, 0, FIRST_DAY, one.crc, len(data), one.size)
        self.file.write(b"PK\3\4" + pack("<H", NEEDS) + sizes + pack("<HH", len(name), 0) + name + data)
        extra = pack("<HHQ", 1, 8, place) if place >= FURTHEST else b""
        head = b"PK\1\2" + pack("<HH", UNIX | NEEDS, NEEDS_64 if extra else NEEDS) + sizes
        rest = pack("<HHHHHII", len(name), len(extra), 0, 0, 0, PLAIN_FILE, min(place, FURTHEST))
        self.entries.append(head + rest + name + extra)

    def close(self) -> None:
        """Write the list of all entries.

        Raises:
            OSError: the machine refuses.
        """
        count, start = len(self.entries), self.file.tell()
        size = sum(map(len, self.entries))
        self.file.writelines(self.entries)
        if count >= MOST or start + size >= FURTHEST:
            record = pack("<QHHIIQQQQ", 44, UNIX | NEEDS_64, NEEDS_64, 0, 0, count, count, size, start)
            self.file.write(b"PK\6\6" + record + b"PK\6\7" + pack("<IQI", 0, start + size, 1))
        few = min(count, MOST)
        end = pack("<HHHHIIH", 0, 0, few, few, min(size, FURTHEST), min(start, FURTHEST), 0)
        self.file.write(b"PK\5\6" + end)
