"""The zip file: read by Python's own reader of the format, and the same bytes wherever it is made."""

import hashlib
import json
import zipfile
from io import BytesIO
from pathlib import Path
from typing import Final

from builder.publish.hosting.archive import Archive, Sealing, seal, sealed
from builder.publish.hosting.offline import site_bytes, site_files

TEXT: Final = "".join(f"Step {number}: measure {number * 37 % 101} mV.\n" for number in range(500)).encode()
PACKED: Final = "0b8bf898bb88"
"""Beginning of the SHA-256 of the text as libdeflate 1.25 compresses it."""


def archive_of(files: dict[str, bytes]) -> bytes:
    out = BytesIO()
    archive = Archive(out)
    for name, data in files.items():
        archive.add(sealed(name, data), None)
    archive.close()
    return out.getvalue()


def test_the_zip_file_holds_the_whole_site_as_it_is(site_dir: Path) -> None:
    listed = json.loads((site_dir / "offline.json").read_text(encoding="utf-8"))
    with zipfile.ZipFile(site_dir / "site.zip") as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        for entry in archive.infolist():
            assert entry.date_time == (1980, 1, 1, 0, 0, 0)
            assert entry.compress_size <= entry.file_size
            assert entry.external_attr >> 16 == 0o100644
            if entry.filename != "version.js":
                assert archive.read(entry) == (site_dir / entry.filename).read_bytes()
        assert archive.read("version.js").startswith(b'droplight.take("version","",{"commit":"",')
    assert len(names) == len(set(names))
    written_later = {"site.zip", "headers.txt", "uploads.tsv"}
    assert set(names) == set(site_files(site_dir)) - written_later
    assert {name for name, _, _ in listed["files"]} < set(names)
    assert (site_dir / "site.zip").stat().st_size < site_bytes(site_dir, names) / 3


def test_the_same_text_is_compressed_to_the_same_bytes_everywhere() -> None:
    """A golden hash: another version of the compressor, or one that differs by machine, would show here."""
    packed = sealed("a.txt", TEXT).packed
    assert packed
    assert hashlib.sha256(packed).hexdigest()[:12] == PACKED


def test_names_of_any_letters_and_files_that_do_not_shrink_are_kept(tmp_path: Path) -> None:
    files = {"files/ä ö.txt": b"a" * 1000, "b.bin": hashlib.sha256(b"b").digest(), "empty": b""}
    out = BytesIO()
    archive = Archive(out)
    for name, data in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
        one = seal(Sealing(tmp_path, compress=True), name)
        assert (one.packed is None) == (name != "files/ä ö.txt")
        archive.add(one, tmp_path)
    archive.close()
    with zipfile.ZipFile(out) as read:
        assert {name: read.read(name) for name in read.namelist()} == files


def test_more_files_than_the_old_format_can_count() -> None:
    """ZIP64, APPNOTE.TXT 4.3.14: more than 65,535 entries."""
    data = archive_of({f"{number:05}": b"" for number in range(70_000)})
    with zipfile.ZipFile(BytesIO(data)) as read:
        assert len(read.namelist()) == 70_000
        assert read.namelist()[-1] == "69999"


def test_what_is_not_wanted_compressed_is_only_hashed(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(TEXT)
    assert seal(Sealing(tmp_path, compress=False), "a.txt").packed is None
    assert seal(Sealing(tmp_path, compress=True), "a.txt") == sealed("a.txt", TEXT)
