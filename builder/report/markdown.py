"""A comparison as Markdown for a pull request.

The comment is posted with the rights of whoever posts it, and much of its text is from strangers. So every piece of
text from a library stands in a code span of one line (CommonMark 0.31, section 6.1): there, Markdown, HTML, links,
mentions and references mean nothing, and the fence is always longer than any run of backticks within.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from builder.compare.compare import Comparison, PlaybookChange
from builder.compare.differences import Difference, entries
from builder.compare.losses import Loss, LossKind, Place
from builder.compare.numbers import Numbers, reckoned
from builder.compare.path_changes import PathChange, PathNumbers, Paths
from builder.draw.figures import Figures, figures_of
from builder.read.findings import ERROR, Finding
from builder.read.library import LibraryRead
from builder.read.notation import Amount
from builder.report.spans import cell, code, count_of, listed
from builder.report.text import summary
from builder.report.values import change_rows
from builder.report.words import word_rows

LIMIT: Final = 60_000
"""Most bytes of a comment; hosts take about 65,536 characters."""

RESERVE: Final = 100
"""Bytes that a section keeps for the line that says what was left out."""

UNCHANGED: Final = "Nothing changed in substance: the playbooks, their numbers and their warnings are as before.\n"

NOT_COMPARED: Final = (
    "### ⚠️ All warnings may be gone: the libraries could not be compared\n\n"
    "The comparison ended before it was done; its messages say why. Until it works, take it that every warning of the "
    "library is gone.\n"
)
"""What stands in place of a comparison that failed."""

LESS: Final[Mapping[LossKind, str]] = {
    "hazard": "The hazard {hazard} **is no longer in the catalogue**.",
    "playbook": "{playbook} **no longer names {hazard} anywhere**; it was named by {places}.",
    "job": "The access job {name} **no longer carries {hazard}** to the steps that need it.",
    "tool": "The tool {name} **no longer carries {hazard}** to the steps that need it.",
    "signal": "The signal word of {hazard} **is weaker**: {before} became {after}.",
    "removed-playbook": "{playbook} **is removed, and with it {hazard}** at {places}.",
    "place": "{playbook} **no longer names {hazard}** at {places}; it still does elsewhere.",
    "denied": "{playbook} **denies {hazard}** at {places}, and says: {after}",
    "denied-playbook": "{playbook} **denies {hazard}** as a whole, and says: {after}",
    "denied-entry": "The entry {name} of the catalogue **denies {hazard}**, and says: {after}",
    "words": "The word {name} **no longer calls for {hazard}**.",
    "owner": "{playbook} **leaves to the owner** what was for a workshop only: {places}.",
    "wording": "The {name} of {hazard} **has other words**. Before: {before} Now: {after}",
}
MORE: Final[Mapping[LossKind, str]] = {
    "hazard": "The hazard {hazard} is new in the catalogue.",
    "playbook": "{playbook} now names {hazard}, at {places}.",
    "job": "The access job {name} now carries {hazard} to the steps that need it.",
    "tool": "The tool {name} now carries {hazard} to the steps that need it.",
    "signal": "The signal word of {hazard} is stronger: {after} became {before}.",
    "removed-playbook": "{playbook} is new and names {hazard} at {places}.",
    "place": "{playbook} names {hazard} at {places} as well.",
    "denied": "{playbook} no longer denies {hazard} at {places}.",
    "denied-playbook": "{playbook} no longer denies {hazard} as a whole.",
    "denied-entry": "The entry {name} of the catalogue no longer denies {hazard}.",
    "words": "The word {name} now calls for {hazard}.",
    "owner": "{playbook} leaves to a workshop only: {places}.",
    "wording": "",
}


@dataclass(frozen=True, slots=True)
class Section:
    """Lines that always stand, and rows of which as many stand as there is room for."""

    head: list[str]
    rows: list[str] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How many bytes it takes at most, with the line that says what was left out."""
        return _size([*self.head, *self.rows]) + RESERVE


def as_markdown(comparison: Comparison) -> str:
    """The Markdown of a comparison, in less than :data:`LIMIT` bytes of UTF-8; what warns less comes first."""
    sections = [section for section in _sections(comparison) if section.rows or not section.head[0].startswith("#")]
    if comparison.is_empty:
        return _fitted([Section([UNCHANGED.rstrip()]), *sections[1:]])
    return _fitted(sections)


def _sections(comparison: Comparison) -> Iterator[Section]:
    less = list(_less(comparison))
    if less:
        yield Section([f"### ⚠️ {count_of(len(less), 'warning')} gone or weaker: look here first", ""], less)
    yield Section(["### What can hurt, before and now", ""], list(word_rows(comparison.words, grave=True)))
    yield Section([*_summary(comparison)])
    yield Section(["### New findings", ""], _finding_rows(comparison.new_findings))
    yield Section(["### Errors that were there before", ""], _finding_rows(comparison.kept))
    yield Section(["### Numbers", "", *NUMBERS_HEAD], list(_number_rows(comparison)))
    yield Section(["### Playbooks", ""], list(_playbook_rows(comparison)))
    yield Section(["### Other words, before and now", ""], list(word_rows(comparison.words, grave=False)))
    yield Section(["### Paths", ""], list(_path_rows(comparison)))
    yield Section(["### Catalogue and settings", ""], list(_base_rows(comparison)))
    yield Section(["### Warnings that come", ""], [_loss_row(gain, MORE, "new") for gain in comparison.gains])
    yield Section(["### Findings that are gone", ""], _finding_rows(comparison.gone_findings))


def _fitted(sections: Sequence[Section]) -> str:
    """The sections within the limit: each takes what the ones after it leave, and never less than half of the room."""
    lines: list[str] = []
    room = LIMIT - sum(_size(section.head) + RESERVE for section in sections)
    for place, section in enumerate(sections):
        later = sum(_size(after.rows) for after in sections[place + 1 :])
        rows = _those_that_fit(section.rows, max(room // 2, room - later))
        room -= _size(rows)
        lines += [*section.head, *rows]
        if len(rows) < len(section.rows):
            lines += ["", f"… and {len(section.rows) - len(rows)} more, left out to keep this short."]
        lines.append("")
    return "\n".join(lines).rstrip("\n") + "\n"


def _those_that_fit(rows: Sequence[str], room: int) -> list[str]:
    fitting: list[str] = []
    for row in rows:
        room -= _size([row])
        if room < 0:
            break
        fitting.append(row)
    return fitting


def _size(lines: Iterable[str]) -> int:
    return sum(len(line.encode()) + 1 for line in lines)


# --- What warns less, and more --------------------------------------------------------------------------------------


def _less(comparison: Comparison) -> Iterator[str]:
    for slug in comparison.unreadable:
        yield f"- {code(slug)} **cannot be read any more**, so nobody can tell which warnings it keeps."
    for kind, name in comparison.unclear:
        yield f"- {code(name)} in {code(f'{kind}.yaml')} **cannot be read in full**, nor which warnings it keeps."
    for loss in comparison.losses:
        yield _loss_row(loss, LESS, "gone")


def _loss_row(loss: Loss, words: Mapping[LossKind, str], gone: str) -> str:
    return "- " + words[loss.kind].format(
        hazard=code(loss.hazard),
        playbook=code(loss.playbook),
        places=listed([_place(place, gone) for place in loss.places]),
        name=code(loss.name),
        before=code(loss.before),
        after=code(loss.after),
    )


def _place(place: Place, gone: str) -> str:
    return f"the {place.kind} {code(place.name)}" + (f" ({gone})" if place.gone else "")


# --- The change as a whole ------------------------------------------------------------------------------------------


def _summary(comparison: Comparison) -> Iterator[str]:
    if not comparison.old.library:
        yield "**The library before the change cannot be read**; what follows is about the new one alone.\n"
    if not comparison.new.library:
        yield "**The library after the change cannot be read**, so nothing else can be compared.\n"
    written = [change for change in comparison.changed if _is_written(change)]
    counts = (
        (len(comparison.added), "added"),
        (len(comparison.removed), "removed"),
        (len(written), "changed"),
        (len(comparison.changed) - len(written), "with other numbers through catalogue or settings alone"),
        (comparison.unchanged, "as before"),
    )
    said = ", ".join(f"{count} {what}" for count, what in counts if count) or "none"
    yield f"**Playbooks:** {said}. **New findings:** {summary(comparison.new_findings)}."
    if comparison.unread:
        names = listed([code(slug) for slug in comparison.unread])
        yield f"\nNot compared, since they could not be read before: {names}."


def _is_written(change: PlaybookChange) -> bool:
    return bool(change.differences) or change.slug != change.was


def _finding_rows(findings: Sequence[Finding]) -> list[str]:
    return [_finding_row(finding) for finding in sorted(findings, key=lambda finding: finding.severity != ERROR)]


def _finding_row(finding: Finding) -> str:
    place = code(f"{finding.file}:{finding.line}:{finding.column}")
    hint = f" ({code(finding.hint)})" if finding.hint else ""
    return f"- {finding.severity} {code(finding.rule)} at {place}: {code(finding.message)}{hint}"


# --- Playbooks ------------------------------------------------------------------------------------------------------


def _playbook_rows(comparison: Comparison) -> Iterator[str]:
    for slug in comparison.added:
        yield f"- {code(slug)} is new: {_in_short(comparison.new, slug)}"
    for slug in comparison.removed:
        yield f"- {code(slug)} is removed: {_in_short(comparison.old, slug)}"
    for change in comparison.changed:
        if _is_written(change):
            was = f" (was {code(change.was)})" if change.was != change.slug else ""
            books = comparison.old.playbooks[change.was], comparison.new.playbooks[change.slug]
            rows = list(change_rows(tuple(change.differences), *books)) or ["  - only the name"]
            yield "\n".join([f"- {code(change.slug)}{was}:", *rows])


def _in_short(side: LibraryRead, slug: str) -> str:
    title = code(side.playbooks[slug].title)
    numbers = reckoned(side, slug)
    if not numbers:
        return f"{title}; errors keep its numbers from being reckoned"
    figures = _cells(numbers, _figures(side))
    names = ("expected", "time", "put right", "wasted")
    said = ", ".join(f"{name} {code(figure)}" for name, figure in zip(names, figures, strict=True))
    return f"{title}; {count_of(numbers.path_count, 'path')}" + (f"; {said}" if numbers.expected else "; no odds")


def _figures(side: LibraryRead) -> Figures:
    return figures_of(side.library.settings) if side.library else Figures("en", "EUR")


# --- Numbers --------------------------------------------------------------------------------------------------------

NUMBERS_HEAD: Final = (
    "| playbook | expected money | expected time | put right | wasted |",
    "| --- | --- | --- | --- | --- |",
)


def _number_rows(comparison: Comparison) -> Iterator[str]:
    old, new = _figures(comparison.old), _figures(comparison.new)
    for change in comparison.changed:
        cells = [_arrow(*pair) for pair in zip(_cells(change.before, old), _cells(change.after, new), strict=True)]
        if any("→" in figure for figure in cells):
            yield f"| {cell(change.slug)} | " + " | ".join(map(cell, cells)) + " |"


def _cells(numbers: Numbers | None, figures: Figures) -> tuple[str, str, str, str]:
    """Expected money and time, chance to be put right, and waste, for people."""
    if numbers is None:
        return ("errors",) * 4
    if numbers.expected is None or numbers.settled is None or numbers.wasted is None:
        return ("no odds",) * 4
    money, minutes = figures.money(numbers.expected.money), figures.minutes(numbers.expected.minutes)
    return money, minutes, figures.share(numbers.settled), figures.money(numbers.wasted)


def _arrow(before: str, after: str) -> str:
    return before if before == after else f"{before} → {after}"


# --- Paths ----------------------------------------------------------------------------------------------------------


def _path_rows(comparison: Comparison) -> Iterator[str]:
    figures = _figures(comparison.old), _figures(comparison.new)
    for change in sorted(comparison.changed, key=lambda change: not _is_written(change)):
        if change.paths and (change.paths.added or change.paths.removed or change.paths.changed):
            shown = change.paths.shown if _is_written(change) else change.paths.shown[:1]
            rows = [f"\n  - {_path_change(one, *figures)}" for one in shown]
            yield f"- {code(change.slug)}: {_path_counts(change.paths)}:{''.join(rows)}"


def _path_counts(paths: Paths) -> str:
    counts = ((paths.added, "new"), (paths.removed, "gone"))
    said = [f"{count_of(count, 'path')} {what}" for count, what in counts if count]
    if paths.changed:
        said.append(f"{paths.changed} of {count_of(paths.compared, 'path')} compared changed")
    return ", ".join(said)


def _path_change(change: PathChange, old: Figures, new: Figures) -> str:
    way = code(" → ".join([*change.results, change.end]))
    before = _path_numbers(change.before, old) if change.before else None
    after = _path_numbers(change.after, new) if change.after else None
    pairs = zip(before or after or (), after or before or (), strict=True)
    chance, money, time = (code(_arrow(*pair)) for pair in pairs)
    what = "" if before and after else "new, " if after else "gone, "
    return f"{way}: {what}chance {chance}, money {money}, time {time}"


def _path_numbers(numbers: PathNumbers, figures: Figures) -> tuple[str, str, str]:
    chance = "no odds" if numbers.chance is None else figures.share(numbers.chance)
    return chance, figures.money(numbers.money), figures.minutes(numbers.minutes)


# --- Catalogue and settings -----------------------------------------------------------------------------------------


def _base_rows(comparison: Comparison) -> Iterator[str]:
    for difference in comparison.base:
        name = f"The {difference.kind} {code(difference.name)}" if difference.name else "Settings"
        if difference.how == "changed":
            fields = [_field(comparison, difference, one) for one in difference.fields]
            yield f"- {name}: {', '.join(fields)}"
        else:
            yield f"- {name} is {'new' if difference.how == 'added' else 'removed'}"


def _field(comparison: Comparison, difference: Difference, name: str) -> str:
    if "." in name or name == "wait":  # a result of a common check; days are no figure that pages add up
        return code(name)
    is_time = difference.kind == "access job" or name == "time"
    values = [
        _value(getattr(_record(side, difference), name), _figures(side), is_time=is_time)
        for side in (comparison.old, comparison.new)
    ]
    if "" in values:
        return code(name)
    return f"{code(name)} {code(_arrow(*values))}"


def _record(side: LibraryRead, difference: Difference) -> object:
    if difference.kind == "settings":
        return side.library and side.library.settings
    return entries(side, difference.kind)[difference.name]


def _value(value: object, figures: Figures, *, is_time: bool) -> str:
    """A value that moves numbers, for people; empty for all others."""
    if isinstance(value, Amount):
        shown = figures.minutes_range if is_time else figures.money_range
        return shown(value.low, value.high)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return figures.money(value)
    return ""
