"""A source: the text of one file of the library, read safely, and the places in it."""

import codecs
import re
import stat
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Final

from builder.read import limits
from builder.read.findings import ERROR, Finding, Severity, short
from builder.read.meant import ODD_SPACE, odd_space_in
from builder.read.own import is_hidden
from builder.read.words.letters import INVISIBLE

# C0 and C1 controls, the two Unicode line separators, half surrogates, the byte order mark and the last two code
# points of the plane, which are no characters: none has a place in a playbook, and YAML 1.2 (5.1) bars most.
CONTROL: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
# Bidirectional marks, embeddings, overrides and isolates (Unicode UAX #9, section 2).
BIDI: Final = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
# Scripts in which a joiner or non-joiner between two letters is part of spelling (Unicode UAX #31, section 2.3), and
# pictures, which a joiner makes one of (UTS #51, section 2.3).
_PICTURES: Final = "\u2190-\u23ff\u25a0-\u27bf\u2b00-\u2bff\U0001f300-\U0001faff"
_JOINED: Final = f"\u0600-\u0dff\u1000-\u109f\u1780-\u18af\ufb50-\ufdff\ufe70-\ufefc{_PICTURES}"
# Characters that are shown as nothing, or that mean nothing without a font of one's own (private use).
HIDDEN: Final = re.compile(
    f"(?<![{_JOINED}\ufe0f])[\u200c\u200d]|[\u200c\u200d](?![{_JOINED}])|(?<![{_PICTURES}])\ufe0f"
    f"|(?![\u200c\u200d\ufe0f]|{CONTROL.pattern}|{BIDI.pattern}){INVISIBLE.pattern}"
    "|[\ufff9-\ufffc\ue000-\uf8ff\ufdd0-\ufdef\U000f0000-\U0010ffff]"
)
TAB: Final = re.compile("\t")
STRUCTURE: Final = re.compile(rf"(?:[ -]|{ODD_SPACE.pattern})*(?:[\w-]+:{ODD_SPACE.pattern}+)?")
"""What of a line says how it belongs to others: its indentation, the marks of items, a key and the space behind it."""

NEWLINE: Final = re.compile("\r\n|\r|\n")

UNWANTED: Final = (
    (
        CONTROL,
        "control-character",
        "control character U+{:04X}",
        "delete it; it may be invisible in your editor",
    ),
    (
        BIDI,
        "bidi-control",
        "bidirectional control character U+{:04X} makes text look other than it is",
        "delete it; write the text in its natural order",
    ),
    (
        HIDDEN,
        "invisible-character",
        "invisible character U+{:04X}",
        "delete it; nobody sees it, and it takes words apart",
    ),
    (TAB, "tab", "tab character", "use spaces"),
)


@dataclass(frozen=True)
class Source:
    """One file's text. ``name`` is the path as shown to people; lines count from 1.

    ``tabs`` are the lines where a tab stood, for which the text has a space.
    """

    name: str
    text: str
    tabs: frozenset[int] = frozenset()

    @cached_property
    def lines(self) -> list[str]:
        """Its lines without their ends."""
        return NEWLINE.split(self.text)

    @cached_property
    def _starts(self) -> list[int]:
        """Offset of the first character of each line."""
        return [0, *(newline.end() for newline in NEWLINE.finditer(self.text))]

    def finding(
        self,
        line: int,
        column: int,
        rule: str,
        message: str,
        hint: str = "",
        severity: Severity = ERROR,
    ) -> Finding:
        """A finding at a line and column (from 1), with the text of the line."""
        lines = self.lines
        text = lines[line - 1] if 0 < line <= len(lines) else ""
        return Finding(self.name, line, column, rule, short(message), short(hint), severity, text)

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column (from 1) of a character offset."""
        line = bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1

    def near(self, start: int, end: int, piece: str) -> tuple[int, int]:
        """The place of a piece of the text between two offsets; of the first, where it is not found to the letter."""
        found = self.text.find(piece, start, end)
        return self.place(found if found >= 0 else start)


def read_source(path: Path, name: str, root: Path) -> tuple[Source | None, list[Finding]]:
    """Read one file as a source, with findings for what must not be in it.

    Unwanted characters are reported and replaced by spaces, so that the rest of the file is still checked.

    Raises:
        OSError: the file cannot be read (permission, input/output error).
    """
    refusal = _refuse(path, name, root)
    if refusal:
        return None, [refusal]
    data = path.read_bytes().removeprefix(codecs.BOM_UTF8)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return None, [Finding(name, 1, 1, "not-utf8", "the file is UTF-16 text", "save the file as UTF-8")]
    findings: list[Finding] = []
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        text = data.decode("utf-8", errors="replace")
        place = Source(name, data[: error.start].decode("utf-8")).place(error.start)
        findings.append(
            Source(name, text).finding(
                *place,
                "not-utf8",
                f"byte 0x{data[error.start]:02X} is not UTF-8 text",
                "save the file as UTF-8",
            )
        )
    findings += _unwanted(Source(name, text))
    tabs = frozenset(finding.line for finding in findings if finding.rule == "tab")
    return Source(name, plain_structure(blank(text)), tabs), findings


def leads_out(path: Path, root: Path) -> bool:
    """Whether a path leads out of a folder, with symbolic links followed; a loop of links leads nowhere."""
    try:
        return not path.resolve().is_relative_to(root.resolve())
    except RuntimeError:  # the loop, up to Python 3.12
        return False


def _refuse(path: Path, name: str, root: Path) -> Finding | None:
    if leads_out(path, root):
        message = "the symbolic link leaves the library"
        return Finding(name, 1, 1, "link-outside", message, "put the file itself here")
    if is_hidden(path, root):
        message = "the symbolic link leads to a hidden file"
        return Finding(name, 1, 1, "link-outside", message, "put the file itself here")
    if not path.exists():
        return Finding(name, 1, 1, "broken-link", "the symbolic link leads nowhere", "put the file itself here")
    status = path.stat()
    if not stat.S_ISREG(status.st_mode):
        return Finding(name, 1, 1, "not-a-file", "this is not a regular file", "put a YAML file here")
    if status.st_size > limits.FILE.most:
        message = f"the file has {status.st_size} bytes; the most is {limits.FILE.most}"
        return Finding(name, 1, 1, "too-big", message, f"split it; {limits.FILE.why}")
    return None


def unwanted_in(text: str) -> Iterator[tuple[int, str, str, str]]:
    """Offset, rule, message and hint for the first unwanted character of each kind."""
    for pattern, rule, message, hint in UNWANTED:
        if match := pattern.search(text):
            yield match.start(), rule, message.format(ord(match.group())), hint


def _unwanted(source: Source) -> list[Finding]:
    """One finding for each kind of unwanted character and line."""
    findings: list[Finding] = []
    if next(unwanted_in(source.text), None) is not None:
        findings = [
            source.finding(number, offset + 1, rule, message, hint)
            for number, line in enumerate(source.lines, start=1)
            for offset, rule, message, hint in unwanted_in(line)
        ]
    return findings + list(_odd_spaces(source))


def _odd_spaces(source: Source) -> Iterator[Finding]:
    """One finding for each line that other spaces than plain ones hold in its place; in prose they are welcome."""
    for number, line in enumerate(source.lines if ODD_SPACE.search(source.text) else (), start=1):
        held = STRUCTURE.match(line)
        if held and (odd := ODD_SPACE.search(held[0])):
            message = f"{odd_space_in(odd[0])} where a plain space belongs"
            hint = "type a plain space; it is read as one here"
            yield source.finding(number, odd.start() + 1, "odd-space", message, hint)


def plain_structure(text: str) -> str:
    """The text with plain spaces wherever a space says how lines belong together."""
    if not ODD_SPACE.search(text):
        return text
    lines = text.split("\n")
    return "\n".join(STRUCTURE.sub(lambda held: ODD_SPACE.sub(" ", held[0]), line, count=1) for line in lines)


def blank(text: str) -> str:
    """The text with a space for every unwanted character."""
    for pattern, *_ in UNWANTED:
        text = pattern.sub(" ", text)
    return text
