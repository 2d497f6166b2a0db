"""Likely causes: what probably keeps a text from being YAML, by looking at its lines as a person would.

A parser stops where it can go no further, which is often lines behind the slip. Each cause here looks for one slip at
or before that place; the first that is found is told, at its own line.
"""

import json
import re
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

from builder.read.source import Source

LOOKED_BACK: Final = 400
"""How many lines before the place where the parser stopped a slip is looked for."""

LONGEST: Final = 2_000
"""Longest line that is looked at, in characters."""

_CONFLICT: Final = re.compile(r"(?:<{7}|={7}|>{7})(?: |$)")
_ITEM: Final = r"\s*(?:- +)*"
_KEY: Final = r"[A-Za-z0-9_-]+"
_VALUE: Final = re.compile(rf"({_ITEM}(?:{_KEY}: +)?)(\S.*?)\s*$")
_GLUED: Final = re.compile(rf"({_ITEM})({_KEY}):(?!//)([^\s:/].*)$")
_TWO_COLONS: Final = re.compile(rf"{_ITEM}({_KEY}): +(?![\"'\[{{|>&*!])(.*: .*|.*:)$")
_NO_COLON: Final = re.compile(rf"({_ITEM})({_KEY}) +([^:#]*)$")
_NO_SPACE: Final = re.compile(r"(\s*)-([^\s-].*)$")
_PAIR: Final = re.compile(rf"[\s,{{]({_KEY}):(?= )")
_STARTS: Final = {
    "*": "an asterisk",
    "@": "an at sign",
    "`": "a backtick",
    "%": "a percent sign",
    "[": "a bracket",
    "{": "a brace",
    "|": "a bar",
    ">": "a greater-than sign",
    "#": "a hash",
    "?": "a question mark",
}


class Cause(NamedTuple):
    """A likely cause: line and column from 1, what it is, and how to mend it."""

    line: int
    column: int
    message: str
    hint: str


class Stop(NamedTuple):
    """Where the parser stopped, and where what it was reading then had begun; lines and columns from 1."""

    line: int
    column: int
    since: int
    problem: str


def likely_cause(source: Source, stop: Stop) -> Cause | None:
    """The likeliest cause of a syntax error, ``None`` where no line looks like one."""
    for number, line in enumerate(source.lines, start=1):
        if _CONFLICT.match(line):
            hint = "keep one of the two versions, and delete the marks"
            return Cause(number, 1, "a mark of a merge conflict stands here", hint)
    before = [number for number in range(stop.line, 0, -1) if _says_something(source, number)][:LOOKED_BACK]
    wide = sorted({*before[:2], stop.since}, reverse=True)
    for look in LOOKS:
        for number in sorted({*before, stop.since}) if look in FAR else wide:
            if 0 < number <= len(source.lines) and (cause := look(source, number, stop)):
                return cause
    return None


def _says_something(source: Source, number: int) -> bool:
    line = source.lines[number - 1].strip() if number <= len(source.lines) else ""
    return 0 < len(line) <= LONGEST and not line.startswith("#")


def quoted_whole(text: str) -> str:
    """A text in quotes that it does not hold itself, where there are such."""
    if '"' in text and "'" not in text:
        return f"'{text}'"
    return json.dumps(text, ensure_ascii=False)


def _open_quote(source: Source, number: int, stop: Stop) -> Cause | None:
    """A value that begins with a quote and goes on behind it, or does not close it on its line."""
    value = _VALUE.match(source.lines[number - 1])
    if not value:
        return None
    for text, column in _values(source.lines[number - 1]):
        quote = text[0]
        if quote not in "\"'":
            continue
        end = _closed_at(text, quote)
        if end is None and _swallows(source, number, quote):
            body = text[1:].rstrip(" ,}]")
            # An apostrophe, and not the beginning of a quotation.
            whole = quoted_whole(f"'{body}" if quote == "'" else body)
            return Cause(number, column, "a quote opens here and is not closed", f"write `{whole}`")
        if end is not None and (rest := text[end + 1 :].strip()) and rest[0] not in ",}]#:":
            tail = re.split(r"\s*(?:[}\]]|, +[\w-]+: ).*$", rest)[0] if column > value.start(2) + 1 else rest
            whole = text[: end + 1] + text[end + 1 :].split(tail)[0] + tail
            message = "a quote opens and closes within a text, so the text ends there"
            return Cause(number, column, message, f"write `{quoted_whole(whole)}`")
    return None


def _swallows(source: Source, number: int, quote: str) -> bool:
    """Whether a quote that opens on a line takes keys of further lines for text, up to where it closes."""
    for line in source.lines[number:]:
        before, closes, _ = line.partition(quote)
        if re.match(rf"{_ITEM}{_KEY}:(?: |$)", before):
            return True
        if closes:
            return False
    return True


def _values(line: str) -> Iterator[tuple[str, int]]:
    """Texts behind a key or a dash, also within braces, with their columns from 1."""
    for found in re.finditer(rf"(?:^{_ITEM}(?:{_KEY}: +)?|[{{,] *{_KEY}: +|[\[,] +|\[)(?=[\"'])", line):
        yield line[found.end() :], found.end() + 1


def _closed_at(text: str, quote: str) -> int | None:
    """Where a quoted text closes, by the rules of YAML for its quote."""
    at = 1
    while at < len(text):
        if quote == '"' and text[at] == "\\":
            at += 1
        elif text[at] == quote:
            if quote == "'" and text[at + 1 : at + 2] == "'":
                at += 1
            else:
                return at
        at += 1
    return None


def _odd_start(source: Source, number: int, stop: Stop) -> Cause | None:
    """A text that begins with a sign which means something else there."""
    line = source.lines[number - 1]
    for found in re.finditer(rf"[{{,] *{_KEY}: +(?=[*@`%])", line):
        text = re.split(r"[,}]", line[found.end() :])[0].strip()
        message = f"a text that begins with {_STARTS[text[0]]} needs quotes"
        return Cause(number, found.end() + 1, message, f"write `{quoted_whole(text)}`")
    value = _VALUE.match(line)
    if not value or value[2][0] not in _STARTS or re.match(r"[|>][0-9+-]*\s*(?:#|$)", value[2]):
        return None
    text = value[2]
    closing = {"[": "]", "{": "}"}.get(text[0])
    if closing and (closing not in text or text.endswith((closing, ",")) or re.search(rf"{_KEY}: ", text)):
        return None  # a list or a mapping that goes on, or whose fault is within
    message = f"a text that begins with {_STARTS[text[0]]} needs quotes"
    return Cause(number, value.start(2) + 1, message, f"write `{quoted_whole(text)}`")


def _brackets(source: Source, number: int, stop: Stop) -> Cause | None:
    """Brackets of one line that do not match, or entries without a comma between them."""
    line = source.lines[number - 1]
    bare = re.sub(r"\"(?:[^\"\\]|\\.)*\"|'(?:[^']|'')*'", lambda text: "_" * len(text[0]), line)
    if not re.search(r"[\[{]", bare) and not re.search(r"[\]}]", bare):
        return None
    stack: list[tuple[str, int]] = []
    for column, char in enumerate(bare, start=1):
        if char in "[{":
            stack.append((char, column))
        elif char in "]}" and (not stack or stack.pop()[0] != {"]": "[", "}": "{"}[char]):
            return Cause(
                number, column, f"this `{char}` closes nothing", "delete it, or add the bracket that it closes"
            )
    if stack and (number < stop.line or stop.column > len(line.rstrip())):
        opened, column = stack[-1]
        closing = {"[": "]", "{": "}"}[opened]
        following = next((n for n in range(number + 1, len(source.lines) + 1) if _says_something(source, n)), number)
        if not _goes_on(source, number, following):
            end = len(line.rstrip()) + 1
            text = line.strip().rstrip(",") + "".join({"[": "]", "{": "}"}[one] for one, _ in reversed(stack))
            return Cause(
                number,
                end,
                f"the `{opened}` in column {column} is not closed: a `{closing}` is missing",
                f"write `{text}`",
            )
    return _missing_comma(bare, line, number)


def _goes_on(source: Source, number: int, following: int) -> bool:
    """Whether the line behind an open bracket may belong within it."""
    line, after = source.lines[number - 1], source.lines[following - 1]
    depth = len(after) - len(after.lstrip())
    return following > number and depth > len(line) - len(line.lstrip()) and line.rstrip().endswith((",", "[", "{"))


def _missing_comma(bare: str, line: str, number: int) -> Cause | None:
    """A second ``key:`` within one entry of braces."""
    for inner in re.finditer(r"\{([^{}]*)\}?", bare):
        for entry in re.finditer(r"[^,]+", inner[1]):
            pairs = list(_PAIR.finditer(" " + entry[0]))
            if len(pairs) > 1:
                at = inner.start(1) + entry.start() + pairs[1].start() - 1
                before = re.search(rf"{_KEY}: (?:(?!{_KEY}: )[^,])*$", line[:at].rstrip())
                mended = line[:at].rstrip() + ", " + line[at:].lstrip()
                message = f"a comma is missing before `{pairs[1][1]}:`"
                start = before.start() if before else at
                shown = mended[start : len(line[:at].rstrip()) + 2 + len(pairs[1][1]) + 1]
                return Cause(number, at + 2, message, f"write `{shown.strip()} …`")
    return None


def _two_colons(source: Source, number: int, stop: Stop) -> Cause | None:
    """A text that holds a colon with a space behind it."""
    line = source.lines[number - 1]
    found = _TWO_COLONS.match(line)
    if not found:
        return None
    text = re.sub(r"\s+#.*$", "", found[2]).strip()
    return Cause(number, found.start(2) + 1, "a text that holds a colon needs quotes", f"write `{quoted_whole(text)}`")


def _glued(source: Source, number: int, stop: Stop) -> Cause | None:
    """A key without a space behind its colon."""
    found = _GLUED.match(source.lines[number - 1])
    if not found:
        return None
    column = found.end(2) + 2
    return Cause(number, column, "a space is missing behind the colon", f"write `{found[2]}: {found[3].strip()}`")


def _glued_item(source: Source, number: int, stop: Stop) -> Cause | None:
    """An item without a space behind its dash."""
    found = _NO_SPACE.match(source.lines[number - 1])
    if not found:
        return None
    return Cause(number, len(found[1]) + 2, "a space is missing behind the dash", f"write `- {found[2].strip()}`")


def _shallow_block(source: Source, number: int, stop: Stop) -> Cause | None:
    """A text below `|` or `>` that stands no deeper than its key."""
    above = next((n for n in range(number - 1, 0, -1) if _says_something(source, n)), 0)
    if not above or not (found := re.match(rf"{_ITEM}({_KEY}): +[|>][+-]?\s*$", source.lines[above - 1])):
        return None
    least = found.start(1)
    if _depth(source.lines[number - 1]) > least:
        return None
    message = f"the text of `{found[1]}` stands no deeper than `{found[1]}` itself"
    return Cause(number, _depth(source.lines[number - 1]) + 1, message, f"indent it by {least + 2} spaces or more")


def _no_colon(source: Source, number: int, stop: Stop) -> Cause | None:
    """A key without a colon."""
    line = source.lines[number - 1]
    after = next((n for n in range(number + 1, len(source.lines) + 1) if _says_something(source, n)), 0)
    alone = re.match(rf"({_ITEM})({_KEY})\s*$", line)
    if alone and after and _depth(source.lines[after - 1]) > len(alone[1]):
        return Cause(number, alone.end(2) + 1, f"a colon is missing behind `{alone[2]}`", f"write `{alone[2]}:`")
    found = _NO_COLON.match(line)
    if "expected ':'" not in stop.problem or not found or not found[3]:
        return None
    column = found.end(2) + 1
    return Cause(number, column, f"a colon is missing behind `{found[2]}`", f"write `{found[2]}: {found[3].strip()}`")


def _indentation(source: Source, number: int, stop: Stop) -> Cause | None:
    """A line that stands deeper or less deep than those that it belongs to."""
    before = next((n for n in range(number - 1, 0, -1) if _says_something(source, n)), 0)
    if number != stop.line or number > len(source.lines) or not before:
        return None
    depth, above = _depth(source.lines[number - 1]), _depth(source.lines[before - 1])
    if _deeper_than_text(source, before, depth):
        hint = f"indent it by {above}, or put the text into quotes where it goes on here"
        return Cause(number, depth + 1, "this line stands deeper than the one above, which has its text already", hint)
    depths = {_depth(source.lines[n - 1]) for n in range(number - 1, 0, -1) if _says_something(source, n)}
    if depth in depths:
        return None
    fitting = min(depths, key=lambda one: (abs(one - depth), one != above, one))
    message = f"this line is indented by {depth} space{'s' if depth != 1 else ''}, and fits none of the lines above"
    return Cause(number, depth + 1, message, f"indent it by {fitting}, as those that it belongs to")


def _deeper_than_text(source: Source, before: int, depth: int) -> bool:
    """Whether a line stands below a key that has its value on its own line already."""
    line = source.lines[before - 1]
    return depth > _depth(line) and bool(re.match(rf"{_ITEM}{_KEY}: +\S", line))


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


Look = Callable[[Source, int, Stop], Cause | None]

LOOKS: Final[tuple[Look, ...]] = (
    _open_quote,
    _odd_start,
    _brackets,
    _shallow_block,
    _two_colons,
    _glued,
    _glued_item,
    _no_colon,
    _indentation,
)
FAR: Final[frozenset[Look]] = frozenset({_open_quote})
"""Slips that show far behind where they are."""
