"""Source: the text of a file, what must not be in it, and the places in it."""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.findings import Finding
from builder.read.limits import FILE
from builder.read.source import Source, read_source

LINES = st.lists(st.text(st.characters(exclude_characters="\r\n", exclude_categories=["Cs"]), max_size=5), min_size=1)


def read(folder: Path, data: bytes) -> tuple[Source | None, list[Finding]]:
    path = folder / "file.yaml"
    path.write_bytes(data)
    return read_source(path, "library/file.yaml", folder)


def refused(path: Path, root: Path) -> tuple[str, str]:
    source, (finding,) = read_source(path, "library/file.yaml", root)
    assert source is None
    assert (finding.file, finding.line, finding.column, finding.severity) == ("library/file.yaml", 1, 1, "error")
    return finding.rule, finding.message


@given(LINES, st.sampled_from(["\n", "\r\n", "\r"]), st.data())
def test_an_offset_has_the_line_and_column_that_it_was_made_from(
    lines: list[str], end: str, data: st.DataObject
) -> None:
    number = data.draw(st.integers(1, len(lines)))
    column = data.draw(st.integers(1, len(lines[number - 1]) + 1))
    offset = sum(len(line) + len(end) for line in lines[: number - 1]) + column - 1
    assert Source("f", end.join(lines)).place(offset) == (number, column)


def test_a_finding_carries_its_line() -> None:
    finding = Source("f", "one\ntwo\n").finding(2, 3, "rule", "message", "hint")
    assert (finding.text, finding.severity) == ("two", "error")


def test_plain_text_is_taken_as_it_is(tmp_path: Path) -> None:
    source, findings = read(tmp_path, "a: ä€😀\r\nb: 1\n".encode())
    assert source
    assert (source.text, findings) == ("a: ä€😀\r\nb: 1\n", [])


def test_a_byte_order_mark_counts_no_column(tmp_path: Path) -> None:
    source, findings = read(tmp_path, b"\xef\xbb\xbfa: \tb\n")
    assert source
    assert source.text == "a:  b\n"
    assert [(one.rule, one.line, one.column) for one in findings] == [("tab", 1, 4)]


@pytest.mark.parametrize(
    ("character", "rule"),
    [
        ("\0", "control-character"),
        ("\x1b", "control-character"),
        ("\x7f", "control-character"),
        ("\x85", "control-character"),
        ("\x9b", "control-character"),
        ("\u2028", "control-character"),
        ("\ufeff", "control-character"),
        ("\uffff", "control-character"),
        ("\u202a", "bidi-control"),
        ("\u202e", "bidi-control"),
        ("\u2066", "bidi-control"),
        ("\u061c", "bidi-control"),
        ("\u200e", "bidi-control"),
        ("\u200f", "bidi-control"),
        ("\u00ad", "invisible-character"),
        ("\u034f", "invisible-character"),
        ("\u180e", "invisible-character"),
        ("\u200b", "invisible-character"),
        ("\u200c", "invisible-character"),
        ("\u200d", "invisible-character"),
        ("\u2060", "invisible-character"),
        ("\u2062", "invisible-character"),
        ("\u2800", "invisible-character"),
        ("\u3164", "invisible-character"),
        ("\ufe0f", "invisible-character"),
        ("\ufffc", "invisible-character"),
        ("\ue000", "invisible-character"),
        ("\ufdd0", "invisible-character"),
        ("\U000e0061", "invisible-character"),
        ("\U000f0000", "invisible-character"),
        ("\t", "tab"),
    ],
)
def test_unwanted_characters_are_found_and_blanked(tmp_path: Path, character: str, rule: str) -> None:
    source, (finding,) = read(tmp_path, f"a: 1\nb: x{character}y\n".encode())
    assert source
    assert source.text == "a: 1\nb: x y\n"
    assert (finding.rule, finding.line, finding.column) == (rule, 2, 5)
    assert rule == "tab" or f"U+{ord(character):04X}" in finding.message
    assert finding.hint


@pytest.mark.parametrize(
    "text",
    ["می\u200cخواهم", "क्\u200dष", "👨\u200d👩\u200d👧", "⚙\ufe0f", "👁\ufe0f\u200d🗨\ufe0f"],
    ids=["Persian", "Devanagari", "family", "gear", "eye"],
)
def test_joiners_stay_where_spelling_or_a_picture_needs_them(tmp_path: Path, text: str) -> None:
    source, findings = read(tmp_path, f"a: {text}\n".encode())
    assert source
    assert (source.text, findings) == (f"a: {text}\n", [])


def test_every_line_with_an_unwanted_character_is_named_once(tmp_path: Path) -> None:
    _, findings = read(tmp_path, b"\t\ta: \0\n\tb: 1\n")
    assert [(one.rule, one.line) for one in findings] == [("control-character", 1), ("tab", 1), ("tab", 2)]


def test_what_is_not_utf8_is_named_and_the_rest_still_read(tmp_path: Path) -> None:
    source, (finding,) = read(tmp_path, b"a: 1\nb: caf\xe9\n")
    assert source
    assert (finding.rule, finding.line, finding.column) == ("not-utf8", 2, 7)
    assert finding.message == "byte 0xE9 is not UTF-8 text"
    assert source.text == "a: 1\nb: caf\ufffd\n"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le"])
def test_utf16_has_one_finding(tmp_path: Path, encoding: str) -> None:
    mark = b"\xfe\xff" if encoding == "utf-16-be" else b"\xff\xfe" if encoding == "utf-16-le" else b""
    source, (finding,) = read(tmp_path, mark + "a: 1\nb: 2\n".encode(encoding))
    assert source is None
    assert (finding.rule, finding.message) == ("not-utf8", "the file is UTF-16 text")


def test_size_has_a_limit(tmp_path: Path) -> None:
    assert read(tmp_path, b"#" * FILE.most)[0]
    (tmp_path / "file.yaml").write_bytes(b"#" * (FILE.most + 1))
    assert refused(tmp_path / "file.yaml", tmp_path) == (
        "too-big",
        "the file has 1000001 bytes; the most is 1000000",
    )


def test_a_huge_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "file.yaml"
    path.touch()
    os.truncate(path, 2**40)  # sparse: larger than any memory, and takes no room
    assert refused(path, tmp_path)[0] == "too-big"


def test_links_out_of_the_library_are_refused(tmp_path: Path) -> None:
    root = tmp_path / "library"
    root.mkdir()
    (tmp_path / "secret.yaml").write_text("a: 1\n")
    (root / "file.yaml").symlink_to(tmp_path / "secret.yaml")
    assert refused(root / "file.yaml", root) == ("link-outside", "the symbolic link leaves the library")


def test_links_within_the_library_are_followed(tmp_path: Path) -> None:
    (tmp_path / "real.yaml").write_text("a: 1\n")
    (tmp_path / "file.yaml").symlink_to("real.yaml")
    source, findings = read_source(tmp_path / "file.yaml", "f", tmp_path)
    assert source
    assert (source.text, findings) == ("a: 1\n", [])


@pytest.mark.parametrize("target", ["missing.yaml", "file.yaml"])
def test_broken_and_circular_links_are_refused(tmp_path: Path, target: str) -> None:
    (tmp_path / "file.yaml").symlink_to(target)
    assert refused(tmp_path / "file.yaml", tmp_path) == ("broken-link", "the symbolic link leads nowhere")


def test_folders_and_pipes_are_refused_unread(tmp_path: Path) -> None:
    (tmp_path / "folder.yaml").mkdir()
    os.mkfifo(tmp_path / "pipe.yaml")
    for name in ("folder.yaml", "pipe.yaml"):
        assert refused(tmp_path / name, tmp_path) == ("not-a-file", "this is not a regular file")
