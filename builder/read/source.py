"""A source: the text of one file of the library, read safely, and the places in it."""

import re
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from builder.read.findings import ERROR, Finding, Severity

MAX_BYTES: Final = 1_000_000

# C0 and C1 controls and the two Unicode line separators: none has a place in a playbook.
CONTROL: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029]")
# Explicit bidirectional embeddings, overrides and isolates (Unicode UAX #9, section 2).
BIDI: Final = re.compile("[\u202a-\u202e\u2066-\u2069]")
TAB: Final = re.compile("\t")
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
    (TAB, "tab", "tab character", "use spaces"),
)


@dataclass(frozen=True, slots=True)
class Source:
    """One file's text. ``name`` is the path as shown to people; lines count from 1."""

    name: str
    text: str

    @property
    def lines(self) -> list[str]:
        return NEWLINE.split(self.text)

    def finding(
        self,
        line: int,
        column: int,
        rule: str,
        message: str,
        hint: str = "",
        severity: Severity = ERROR,
    ) -> Finding:
        lines = self.lines
        text = lines[line - 1] if 0 < line <= len(lines) else ""
        return Finding(self.name, line, column, rule, message, hint, severity, text)

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column (from 1) of a character offset."""
        before = NEWLINE.split(self.text[:offset])
        return len(before), len(before[-1]) + 1


def read_source(path: Path, name: str, root: Path) -> tuple[Source | None, list[Finding]]:
    """Read one file as a source, with findings for what must not be in it.

    Unwanted characters are reported and replaced by spaces, so that the rest of the file is still checked.

    Raises:
        OSError: the file cannot be read (permission, input/output error).
    """
    refusal = _refuse(path, name, root)
    if refusal:
        return None, [refusal]
    data = path.read_bytes()
    if len(data) > MAX_BYTES:
        message = f"the file has {len(data)} bytes; the most is {MAX_BYTES}"
        return None, [Finding(name, 1, 1, "too-big", message, "split it into several playbooks")]
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
    source = Source(name, text.removeprefix("\ufeff"))
    findings += _unwanted(source)
    return Source(name, _blank(source.text)), findings


def _refuse(path: Path, name: str, root: Path) -> Finding | None:
    if not path.resolve().is_relative_to(root.resolve()):
        message = "the symbolic link leaves the library"
        return Finding(name, 1, 1, "link-outside", message, "put the file itself here")
    if not path.exists():
        return Finding(name, 1, 1, "broken-link", "the symbolic link leads nowhere", "put the file itself here")
    if not stat.S_ISREG(path.stat().st_mode):
        return Finding(name, 1, 1, "not-a-file", "this is not a regular file", "put a YAML file here")
    return None


def _unwanted(source: Source) -> list[Finding]:
    """One finding for each kind of unwanted character and line."""
    found: list[Finding] = []
    for pattern, rule, message, hint in UNWANTED:
        if not pattern.search(source.text):
            continue
        for number, line in enumerate(source.lines, start=1):
            if match := pattern.search(line):
                found.append(source.finding(number, match.start() + 1, rule, message.format(ord(match.group())), hint))
    return found


def _blank(text: str) -> str:
    for pattern, *_ in UNWANTED:
        text = pattern.sub(" ", text)
    return text
