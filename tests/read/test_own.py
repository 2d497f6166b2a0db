"""Files of a library's own: nothing hidden and nothing from around it, however a link or a picture says it."""

from collections.abc import Callable
from pathlib import Path

import pytest

from builder.read.library import read_library
from builder.read.limits import FILE_BYTES
from builder.read.own import NotOwnError, file_bytes, is_hidden, own_file
from tests.hostile.large import row

Write = Callable[..., Path]


@pytest.fixture
def root(tmp_path: Path, write_library: Write) -> Path:
    """A library at the top of a repository, with links that lead where nothing is its own."""
    root = write_library(tmp_path / ".hidden" / "library", {"area/horn": row()})
    files = (".git/config", ".env.txt", "area/.secret.txt", "area/.git/x.txt", "area/plug.txt", "area/sub/deep.txt")
    for name in (*files, "notes.txt", "other/plug.txt", "../outside.txt"):
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name)
    links = {
        "area/config.txt": "../.git/config",
        "area/env.txt": "../.env.txt",
        "area/git": "../.git",
        "area/out.txt": "../../outside.txt",
        "area/side.txt": "../other/plug.txt",
        "area/again.txt": "plug.txt",
        "area/ring.txt": "ring.txt",
    }
    for name, target in links.items():
        (root / name).symlink_to(target)
    return root


OWN = ("area/plug.txt", "area/sub/deep.txt", "area/again.txt", "area/./plug.txt", "other/../area/plug.txt")
FOREIGN = {
    ".git/config": "hidden",
    ".env.txt": "hidden",
    "area/.secret.txt": "hidden",
    "area/.git/x.txt": "hidden",
    "area/config.txt": "hidden",
    "area/env.txt": "hidden",
    "area/git/config": "hidden",
    "area/../.git/config": "hidden",
    "area/out.txt": "leaves",
    "../outside.txt": "leaves",
    "area/side.txt": "no area",
    "other/plug.txt": "no area",
    "notes.txt": "no area",
    "area/ring.txt": "no file",
    "area": "no file",
    "area/gone.txt": "no file",
    "area/\0.txt": "no file",
}


@pytest.mark.parametrize("path", OWN)
def test_what_lies_in_an_area_is_its_own(path: str, root: Path) -> None:
    assert own_file(root, ["area"], path).is_relative_to(root.resolve())
    assert file_bytes(root, ["area"], path)


@pytest.mark.parametrize("path", FOREIGN)
def test_anything_else_is_not(path: str, root: Path) -> None:
    with pytest.raises(NotOwnError, match=FOREIGN[path]):
        file_bytes(root, ["area"], path)


@pytest.mark.parametrize("path", [path for path in FOREIGN if "\0" not in path and path != "area"])
def test_a_link_there_is_a_finding(path: str, root: Path, write_library: Write) -> None:
    book = row()
    book["steps"]["s0"]["do"] = f"[a](../{path})"
    write_library(root, {"area/horn": book})
    assert [one.rule for one in read_library(root).findings if one.severity == "error"] == ["bad-link"]


def test_what_the_library_itself_lies_in_may_be_hidden(root: Path) -> None:
    assert not is_hidden(root / "area" / "plug.txt", root)


def test_a_playbook_and_an_area_are_no_links_to_what_is_hidden(root: Path) -> None:
    (root / "area" / "config.yaml").symlink_to("../.git/config")
    found = [(one.rule, one.message) for one in read_library(root).findings if one.severity == "error"]
    assert found == [("link-outside", "the symbolic link leads to a hidden file")]
    (root / "area" / "config.yaml").unlink()
    (root / "area").rename(root / ".area")
    (root / "area").symlink_to(".area")
    found = [(one.rule, one.message) for one in read_library(root).findings if one.severity == "error"]
    assert found == [("link-outside", "the area `area` is a symbolic link to a hidden folder")]


def test_a_file_that_grows_after_the_check_is_not_brought(root: Path) -> None:
    with (root / "area" / "plug.txt").open("r+b") as file:
        file.truncate(FILE_BYTES.most + 1)
    with pytest.raises(NotOwnError, match="bytes"):
        file_bytes(root, ["area"], "area/plug.txt")
