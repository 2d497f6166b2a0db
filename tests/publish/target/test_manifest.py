"""The manifest: what a build made, by name and hash, read back as it was written, and never believed beyond that."""

import json
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.publish.target.manifest import (
    MANIFEST,
    NOTHING,
    Manifest,
    ManifestError,
    digest,
    read_manifest,
    write_manifest,
)

# FIPS 180-4, "abc" (the example of its section on SHA-256 in the examples of the standard's publisher)
ABC: Final = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_the_hash_of_a_file_is_its_sha_256(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"abc")
    assert digest(tmp_path / "file") == ABC


def test_every_file_is_recorded_with_its_hash_but_one(tmp_path: Path) -> None:
    (tmp_path / "path").mkdir()
    (tmp_path / "path" / "a.html").write_bytes(b"abc")
    (tmp_path / "mark").write_bytes(b"")
    assert write_manifest(tmp_path, "mark") == Manifest({"path/a.html": ABC}) == read_manifest(tmp_path)
    data = json.loads((tmp_path / MANIFEST).read_text(encoding="ascii"))
    assert data == {"format": 2, "files": {"path/a.html": ABC}}


def test_folders_are_those_of_the_files() -> None:
    assert Manifest({"a": None, "b/c/d": None}).folders == {"b", "b/c"}


@given(st.sets(st.text(st.characters(exclude_characters="/\0"), min_size=1, max_size=30)))
def test_any_names_come_back(tmp_path_factory: pytest.TempPathFactory, names: set[str]) -> None:
    """Also such as no file system takes; a name that would lead elsewhere is refused whole."""
    folder = tmp_path_factory.mktemp("site")
    files = dict.fromkeys(names - {MANIFEST, ".", ".."}, ABC)
    (folder / MANIFEST).write_text(json.dumps({"format": 2, "files": files}), encoding="ascii")
    assert read_manifest(folder) == Manifest(files)


@pytest.mark.parametrize(
    "name", ["../x", "/etc/x", "a//b", "a/./b", "a/../../x", "", ".", "..", "a/", "a\0b", MANIFEST]
)
@pytest.mark.parametrize("form", ["first", "second"])
def test_a_name_that_leads_elsewhere_makes_the_whole_worthless(tmp_path: Path, name: str, form: str) -> None:
    text = json.dumps({"format": 2, "files": {name: ABC}}) if form == "second" else f"{name}\n{MANIFEST}\n"
    (tmp_path / MANIFEST).write_text(text, encoding="ascii")
    with pytest.raises(ManifestError):
        read_manifest(tmp_path)


@pytest.mark.parametrize(
    "text",
    [
        *("", "\n", "{", "{}", "[]", "null", '{"format": 2}', '{"format": 2, "files": []}', "index.html", "\udcff"),
        *(
            f'{{"format": 2, "files": {{"a": {value}}}}}'
            for value in ("null", "1", '"x"', f'"{ABC.upper()}"', '"' + ABC + '0"')
        ),
        *('{"format": 1, "files": {}}', '{"format": "2", "files": {}}', '{"a":' * 100_000),
    ],
)
def test_what_no_build_wrote_is_an_error(tmp_path: Path, text: str) -> None:
    (tmp_path / MANIFEST).write_bytes(text.encode(errors="surrogateescape"))
    with pytest.raises(ManifestError):
        read_manifest(tmp_path)


def test_what_a_newer_version_wrote_is_an_error_that_says_so(tmp_path: Path) -> None:
    (tmp_path / MANIFEST).write_text('{"format": 3, "pages": {}}', encoding="ascii")
    with pytest.raises(ManifestError, match="newer"):
        read_manifest(tmp_path)


def test_a_link_or_a_folder_is_no_manifest(tmp_path: Path) -> None:
    for name in ("link", "folder"):
        (tmp_path / name).mkdir()
    (tmp_path / "real").write_text('{"format": 2, "files": {}}', encoding="ascii")
    (tmp_path / "link" / MANIFEST).symlink_to("../real")
    (tmp_path / "folder" / MANIFEST).mkdir()
    for name in ("link", "folder"):
        with pytest.raises(ManifestError):
            read_manifest(tmp_path / name)


def test_a_folder_without_one_has_none(tmp_path: Path) -> None:
    assert read_manifest(tmp_path) is None
    assert read_manifest(tmp_path / "missing") is None


# -- The first format --------------------------------------------------------------------------------------------------


def first_format(folder: Path, *names: str) -> Manifest | None:
    (folder / MANIFEST).write_text("\n".join([*names, MANIFEST]) + "\n", encoding="utf-8")
    return read_manifest(folder)


def test_a_list_without_hashes_is_read(tmp_path: Path) -> None:
    assert first_format(tmp_path, "a.html", "path/ü.html") == Manifest({"a.html": None, "path/ü.html": None})


def test_a_list_that_a_name_may_have_forged_is_not_believed(tmp_path: Path) -> None:
    """Names were written in their order; a name with a line feed breaks it, or can still be seen in the folder."""
    assert first_format(tmp_path, "files/a", "CNAME", "z.png") is NOTHING
    assert first_format(tmp_path, "files/a", "own.txt") == Manifest({"files/a": None, "own.txt": None})
    (tmp_path / "files").mkdir()
    (tmp_path / "files" / "a\nown.txt").write_text("picture", encoding="utf-8")
    assert first_format(tmp_path, "files/a", "own.txt") is NOTHING


# -- What a build made -------------------------------------------------------------------------------------------------


def test_only_the_recorded_bytes_in_a_regular_file_count_as_made(tmp_path: Path) -> None:
    (tmp_path / "same").write_bytes(b"abc")
    (tmp_path / "edited").write_bytes(b"abd")
    (tmp_path / "link").symlink_to("same")
    (tmp_path / "folder").mkdir()
    made = Manifest({"page": ABC, "old": None})
    assert made.made("page", tmp_path / "same")
    assert made.made("old", tmp_path / "edited")
    for name in ("edited", "link", "folder"):
        assert not made.made("page", tmp_path / name)
    for name in ("link", "folder"):
        assert not made.made("old", tmp_path / name)
    assert not made.made("other", tmp_path / "same")
