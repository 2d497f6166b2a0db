"""Cards: what lists say of a playbook."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.publish.views import PlaybookView
from builder.reckon.expect import Expected


@dataclass(frozen=True, slots=True)
class Found:
    """Where a cause is found: an ending of a playbook that puts it right."""

    ending: str
    title: str
    money: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Card:
    """A playbook in a list; money and time are means, ``cheapest`` to ``longest`` of single paths."""

    slug: str
    area: str
    title: str
    summary: str
    codes: Sequence[str]
    banner: Sequence[str]
    tools: Sequence[str]
    cheapest: float
    dearest: float
    quickest: float
    longest: float
    expected: Expected | None
    settled: float | None
    within: float | None
    causes: Mapping[str, str]
    shares: Mapping[str, float] | None
    found: Mapping[str, Sequence[Found]]


def card_of(view: PlaybookView) -> Card:
    book, totals, extremes = view.playbook, view.totals, view.extremes
    found = {
        cause: [
            Found(ending.name, ending.work.title, ending.money.likely, ending.minutes.likely)
            for ending in view.endings
            if book.endings[ending.name].puts_right(cause)
        ]
        for cause in book.causes
    }
    return Card(
        slug=book.slug,
        area=book.area,
        title=book.title,
        summary=book.symptom.summary,
        codes=tuple(dict.fromkeys(book.symptom.codes)),
        banner=[hazard.name for hazard in view.banner],
        tools=[name for name, tool in view.tools if not tool.usual],
        cheapest=extremes.cheapest.money.likely,
        dearest=extremes.dearest.money.likely,
        quickest=extremes.quickest.minutes.likely,
        longest=extremes.longest.minutes.likely,
        expected=totals.expected,
        settled=totals.settled,
        within=totals.spend_within["95"] if totals.spend_within else None,
        causes={name: cause.name for name, cause in book.causes.items()},
        shares=totals.causes,
        found=found,
    )
