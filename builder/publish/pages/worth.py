"""What following a playbook is worth: its cost in the end, the verdict on its order, oneself or a workshop."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from builder.read.records import Ending, Playbook, Tool
from builder.reckon.amounts import add_up, mean
from builder.reckon.bill import PathBill
from builder.reckon.order.makeup import Makeup, makeup_of
from builder.reckon.order.shape import written_shape
from builder.reckon.order.verdict import Parting, Verdict
from builder.reckon.reckoning import Reckoning
from builder.reckon.standing import Standing
from builder.reckon.totals import Totals


@dataclass(frozen=True, slots=True)
class Outcome:
    """Means in the library's currency: what following the playbook costs in the end, and handing over at once.

    ``left`` is the share of cases that end without the fault put right, ``bill`` what one of those then costs.
    """

    in_the_end: float
    at_once: float
    makeup: Makeup
    left: float
    bill: float


@dataclass(frozen=True, slots=True)
class Either:
    """An ending done by oneself or by a workshop: likely money, tools to buy in it, likely minutes, and the price.

    ``mishap`` is its mean cost, ``chance`` how often it happens. ``saves`` is the price less money and mishap, so what
    the minutes earn; below 0 where the workshop is cheaper.
    """

    money: float
    tools: float
    minutes: float
    chance: float
    mishap: float
    price: float

    @property
    def saves(self) -> float:
        """What doing it oneself saves on average."""
        return self.price - self.money - self.mishap


@dataclass(frozen=True, slots=True)
class Told:
    """A change to the order in titles; ``after`` is a step and what is seen at it, ``None`` at the start."""

    after: tuple[str, str] | None
    written: str
    better: str
    saves: float


@dataclass(frozen=True, slots=True)
class VerdictView:
    """The verdict on the order, with the first changes in titles."""

    verdict: Verdict
    told: Sequence[Told]


def outcome_of(reckoning: Reckoning, totals: Totals) -> Outcome | None:
    """What following a playbook costs in the end, and what of; ``None`` without odds."""
    problem = reckoning.problem
    shape = written_shape(reckoning.playbook, problem) if problem else None
    if problem is None or shape is None or totals.in_the_end is None or totals.settled is None:
        return None
    makeup = makeup_of(problem, shape)
    left = max(0.0, 1 - totals.settled)
    bill = makeup.professional / left if left > 1e-9 else 0.0
    return Outcome(totals.in_the_end, problem.at_once, makeup, left if bill else 0.0, bill)


def bill_after(reckoning: Reckoning, ending: Ending, standing: Standing) -> float | None:
    """What a professional takes on average after an ending, of the cases there that it does not put right.

    ``None`` where there are none.
    """
    problem = reckoning.problem
    if problem is None or not standing.causes:
        return None
    bills = dict(zip(problem.causes, problem.bills, strict=True))
    left = {cause: share for cause, share in standing.causes.items() if not ending.puts_right(cause)}
    whole = fsum(left.values())
    return fsum(share * bills[cause] for cause, share in left.items()) / whole if whole > 1e-9 else None


def either_of(ending: Ending, bill: PathBill, tools: Sequence[tuple[str, Tool]]) -> Either | None:
    """An ending by oneself or by a workshop; ``None`` where it repairs nothing, or only a workshop may do it."""
    if ending.who == "shop" or not ending.settles:
        return None
    bought = fsum(tool.price.likely for _, tool in tools if not tool.usual)
    chance, mishap = (float(ending.mishap.chance), mean(ending.mishap.cost)) if ending.mishap else (0.0, 0.0)
    sums = add_up(bill.money).likely, bought, add_up(bill.minutes).likely
    return Either(*sums, chance, chance * mishap, add_up(bill.shop_money).likely)


def verdict_view(playbook: Playbook, verdict: Verdict, titles: Mapping[str, str]) -> VerdictView:
    """The verdict with the titles of what it names; ``titles`` are those of all playbooks, by slug."""
    return VerdictView(verdict, [_told(playbook, parting, titles) for parting in verdict.partings])


def _told(playbook: Playbook, parting: Parting, titles: Mapping[str, str]) -> Told:
    def title(target: tuple[str, str]) -> str:
        kind, name = target
        return titles.get(name, name) if kind == "handover" else playbook.work()[name].title

    after = None
    if parting.after:
        step = playbook.steps[parting.after[0]]
        after = step.title, step.results[parting.after[1]].expect
    return Told(after, title(parting.written), title(parting.better), parting.saves)
