"""Cards: what lists say of a playbook."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from builder.publish.pages.views import PlaybookView
from builder.reckon.amounts import mean
from builder.reckon.expect import Expected, makeup
from builder.reckon.reckoning import Reckoning


@dataclass(frozen=True, slots=True)
class Found:
    """Where a cause is found: an ending of a playbook that puts it right."""

    ending: str
    title: str
    money: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Card:
    """A playbook in a list; money and time are means, ``cheapest`` to ``longest`` of single paths.

    ``bill`` is what a professional takes on average where it ends with the fault not put right; ``None`` where it never
    does. ``form`` is what the expected money is made up of, so that a list can follow an owner's own prices.
    """

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
    bill: float | None
    form: Mapping[str, Any] | None
    causes: Mapping[str, str]
    shares: Mapping[str, float] | None
    found: Mapping[str, Sequence[Found]]


def card_of(view: PlaybookView, reckoning: Reckoning) -> Card:
    """The card of a playbook, from its view and its reckoning."""
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
        bill=view.outcome.bill if view.outcome and view.outcome.left else None,
        form=_form(view, reckoning),
        causes={name: cause.name for name, cause in book.causes.items()},
        shares=totals.causes,
        found=found,
    )


def _form(view: PlaybookView, reckoning: Reckoning) -> dict[str, Any] | None:
    """Material, minutes of a workshop's labour, and for each tool the chance of needing it, its price and its loan."""
    if reckoning.odds is None:
        return None
    made = makeup(reckoning)
    borrow = {name: mean(tool.borrow) if tool.borrow is not None else None for name, tool in view.tools}
    tools = {name: [chance, mean(reckoning.bill.tools[name]), borrow[name]] for name, chance in made.tools.items()}
    return {"material": made.material, "minutes": made.shop_minutes, "tools": tools}
