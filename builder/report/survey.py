"""The survey of a library for a terminal and for machines."""

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

from rich.table import Table
from rich.text import Text

from builder.draw.figures import Figures
from builder.read.records import Library
from builder.reckon.survey import Survey, Weakness

NOTHING = "–"


def survey_json(survey: Survey, changed: Mapping[str, str]) -> dict[str, Any]:
    """The survey as one object; ``changed`` says of each playbook on which day it last changed."""
    return {
        "playbooks": [{**asdict(one), "changed": changed.get(one.slug)} for one in survey.playbooks],
        "without_odds": list(survey.without_odds),
        "unused": {kind: list(names) for kind, names in survey.unused.items()},
        "sources": dict(survey.sources),
    }


def survey_table(survey: Survey, figures: Figures, changed: Mapping[str, str], most: int) -> Iterator[Table | Text]:
    """The weakest playbooks as a table, then what holds for the whole library."""
    yield Text(f"{len(survey.playbooks)} playbooks, the weakest first")
    table = Table(box=None, pad_edge=False)
    for head in ("playbook", "put right", "gap at least", "unproven", "own count", "reviewed", "changed"):
        table.add_column(head, justify="left" if head == "playbook" else "right", overflow="fold")
    for one in survey.playbooks[:most]:
        table.add_row(*map(Text, _row(one, figures, changed)))
    yield table
    if len(survey.playbooks) > most:
        yield Text(f"and {len(survey.playbooks) - most} more (--all)")
    yield from _whole(survey)


def _row(one: Weakness, figures: Figures, changed: Mapping[str, str]) -> tuple[str, ...]:
    return (
        one.slug,
        "no odds" if one.settled is None else figures.share(one.settled),
        NOTHING if one.gap is None else figures.money(one.gap),
        str(len(one.unproven)),
        NOTHING if one.seen is None else figures.count(one.seen),
        one.reviewed or NOTHING,
        changed.get(one.slug, NOTHING),
    )


def _whole(survey: Survey) -> Iterator[Text]:
    if survey.without_odds:
        yield Text("without odds: " + ", ".join(survey.without_odds))
    for kind, names in survey.unused.items():
        yield Text(f"unused {kind}: " + ", ".join(names))
    rests = ", ".join(f"{count} {what}" for what, count in sorted(survey.sources.items()))
    yield Text(f"shares and chances rest on: {rests or 'nothing'}")


def days(library: Library, seconds: Mapping[str, int]) -> dict[str, str]:
    """The day (ISO 8601, UTC) on which each playbook last changed, of those that are in a commit."""
    dated = {slug: seconds.get(book.path) for slug, book in library.playbooks.items()}
    return {slug: datetime.fromtimestamp(date, UTC).date().isoformat() for slug, date in dated.items() if date}
