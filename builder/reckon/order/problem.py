"""The problem of the order: causes, steps and repairs with what each costs, free of records and files.

What an order costs in the end is a sum over its steps and repairs, in the library's currency: money, the owner's own
hours at what they are worth to them, mishaps of the owner's work, dangers that the owner meets, and a professional's
bill where the fault is left. What is paid once on a path (a tool, an access job, a danger) is a fee.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import fsum
from typing import Final, Literal, NamedTuple

from builder.read.notation import UNLISTED, Amount
from builder.read.records import DIAGNOSIS, Catalogue, Ending, Playbook, Settings, Step
from builder.read.records.work import Work
from builder.reckon.amounts import mean, times
from builder.reckon.odds import step_chances


class Fee(NamedTuple):
    """Something that a path pays once: ``own`` where any owner's work needs it, else ``shop``; and the money of it."""

    name: str
    own: float
    shop: float
    own_money: float = 0.0
    shop_money: float = 0.0

    @property
    def kind(self) -> str:
        """What it is for: ``tool``, ``access`` or ``hazard``."""
        return self.name.partition(" ")[0]


class Target(NamedTuple):
    """Where a result leads: the number of a step or an ending, or of a hand-over to another playbook."""

    kind: Literal["step", "ending", "handover"]
    number: int


class Pieces(NamedTuple):
    """What the cost of a piece of work is made up of: money spent, parts, a workshop's labour, own hours, mishaps."""

    spent: float = 0.0
    parts: float = 0.0
    labour: float = 0.0
    hours: float = 0.0
    mishap: float = 0.0


NO_PIECES: Final = Pieces()


@dataclass(frozen=True, slots=True)
class Item:
    """A step or an ending: ``cost`` by itself, and the numbers of the fees that it needs as the owner's or a shop's.

    ``after`` names steps by their numbers, each with the numbers of the results that allow it. ``money`` is the part of
    the cost that is money, ``pieces`` are all that the cost is made up of.
    """

    name: str
    cost: float
    own: tuple[int, ...]
    shop: tuple[int, ...]
    after: tuple[tuple[int, frozenset[int]], ...]
    money: float = 0.0
    pieces: Pieces = NO_PIECES


@dataclass(frozen=True)
class Problem:
    """``weights`` are the shares of the causes, ``bills`` what a professional takes for each of them.

    ``chances[s][r][c]`` is the chance of result ``r`` of step ``s`` under cause ``c``; ``settles[e][c]`` says whether
    ending ``e`` puts cause ``c`` right. Endings that settle nothing stand among the ``endings`` as well.
    """

    causes: tuple[str, ...]
    weights: tuple[float, ...]
    bills: tuple[float, ...]
    fees: tuple[Fee, ...]
    steps: tuple[Item, ...]
    results: tuple[tuple[str, ...], ...]
    chances: tuple[tuple[tuple[float, ...], ...], ...]
    endings: tuple[Item, ...]
    settles: tuple[tuple[bool, ...], ...]

    @property
    def repairs(self) -> list[int]:
        """Numbers of the endings that put something right."""
        return [e for e, row in enumerate(self.settles) if any(row)]

    @cached_property
    def users(self) -> tuple[tuple[frozenset[Target], frozenset[Target]], ...]:
        """For each fee, the steps and endings that need it as the owner's, and those that need it as a shop's."""
        items = [(Target("step", s), item) for s, item in enumerate(self.steps)]
        items += [(Target("ending", e), item) for e, item in enumerate(self.endings)]

        def of(field: str, number: int) -> frozenset[Target]:
            return frozenset(place for place, item in items if number in getattr(item, field))

        return tuple((of("own", number), of("shop", number)) for number in range(len(self.fees)))

    @property
    def at_once(self) -> float:
        """A professional's mean bill from the start."""
        return fsum(weight * bill for weight, bill in zip(self.weights, self.bills, strict=True))


def problem_of(playbook: Playbook, catalogue: Catalogue, settings: Settings) -> Problem | None:
    """The problem of a playbook that has passed the checks; ``None`` where shares or chances are not given."""
    shares = playbook.shares
    if shares is None:
        return None
    causes = tuple(shares)
    chances = [step_chances(step, causes) for step in playbook.steps.values()]
    if any(rows is None for rows in chances):
        return None
    fees = _Fees(catalogue, settings)
    numbers = {name: s for s, name in enumerate(playbook.steps)}
    results = tuple(tuple(step.results) for step in playbook.steps.values())

    def item(name: str, work: Step | Ending) -> Item:
        after = tuple(_after(numbers[step], names, results) for step, names in work.after.items())
        cost, money, pieces = _cost(work, catalogue, settings)
        return Item(name, cost, *fees.of(work), after, money, pieces)

    steps = tuple(item(name, step) for name, step in playbook.steps.items())
    endings = tuple(item(name, ending) for name, ending in playbook.endings.items())
    return Problem(
        causes=causes,
        weights=tuple(float(share) for share in shares.values()),
        bills=bills_of(playbook, catalogue, settings, causes),
        fees=tuple(fees.fees),
        steps=steps,
        results=results,
        chances=tuple(tuple(tuple(map(float, row)) for row in rows) for rows in chances if rows is not None),
        endings=endings,
        settles=tuple(tuple(ending.puts_right(cause) for cause in causes) for ending in playbook.endings.values()),
    )


def _after(step: int, names: tuple[str, ...], results: tuple[tuple[str, ...], ...]) -> tuple[int, frozenset[int]]:
    """A step that must have been done, with the numbers of the results that allow it: all where none is named."""
    return step, frozenset(r for r, name in enumerate(results[step]) if not names or name in names)


class _Fees:
    """The fees that are met, each by one number."""

    def __init__(self, catalogue: Catalogue, settings: Settings) -> None:
        self.catalogue, self.settings = catalogue, settings
        self.fees: list[Fee] = []
        self.numbers: dict[str, int] = {}

    def of(self, work: Work) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Numbers of the fees of a piece of work: those that are the owner's, and those of a shop."""
        own = [self._number(self._tool(name)) for name in dict.fromkeys(work.tools)]
        jobs = [self._number(self._access(name)) for name in dict.fromkeys(work.access)]
        if work.who == "shop":
            return _known(own), _known(jobs)
        danger = self.settings.avoid_danger
        dangers = [
            self._number(Fee(f"hazard {name}", danger, danger))
            for name in sorted(self.catalogue.hazards_of(work))
            if self.catalogue.hazards[name].signal == "danger"
        ]
        return _known([*own, *jobs, *dangers]), ()

    def _tool(self, name: str) -> Fee:
        tool = self.catalogue.tools[name]
        price = 0.0 if tool.usual else mean(tool.price)
        return Fee(f"tool {name}", price, price, price, price)

    def _access(self, name: str) -> Fee:
        job = self.catalogue.access[name]
        hours = (mean(job.open) + mean(job.close)) / 60
        labour = hours * self.settings.labour_rate
        return Fee(f"access {name}", hours * self.settings.owner_hour, labour, 0.0, labour)

    def _number(self, fee: Fee) -> int | None:
        if not fee.own and not fee.shop:
            return None
        if fee.name not in self.numbers:
            self.numbers[fee.name] = len(self.fees)
            self.fees.append(fee)
        return self.numbers[fee.name]


def _known(numbers: list[int | None]) -> tuple[int, ...]:
    return tuple(sorted(number for number in numbers if number is not None))


def _cost(work: Work, catalogue: Catalogue, settings: Settings) -> tuple[float, float, Pieces]:
    """What a piece of work costs in the end by itself, the money of it, and what it is made up of.

    Cost, parts and labour of a shop are money; own hours and mishaps of the owner's work are not.
    """
    spent, hours = mean(work.cost), mean(work.time) / 60
    parts = [mean(times(catalogue.parts[name].price, count)) for name, count in work.parts.items()]
    if work.who == "shop":
        labour = hours * settings.labour_rate
        money = fsum([spent, *parts, labour])
        return money, money, Pieces(spent, fsum(parts), labour)
    money, own = fsum([spent, *parts]), hours * settings.owner_hour
    mishap = float(work.mishap.chance) * mean(work.mishap.cost) if work.mishap else 0.0
    return fsum([money, own, mishap]), money, Pieces(spent, fsum(parts), 0.0, own, mishap)


def bills_of(
    playbook: Playbook, catalogue: Catalogue, settings: Settings, causes: tuple[str, ...]
) -> tuple[float, ...]:
    """What a professional takes for each cause who gets the car with the fault in it.

    The labour rate × the mean diagnosis, and the least mean workshop price among the endings that settle the cause,
    each taken alone; for `unlisted` its own figure; where there is none, the dearest of the others.
    """
    alone = [_alone(ending, catalogue, settings) for ending in playbook.endings.values()]
    repairs = list(zip(playbook.endings.values(), alone, strict=True))
    known: dict[str, float] = {}
    for cause in causes:
        prices = [price for ending, price in repairs if ending.puts_right(cause)]
        if prices and cause != UNLISTED:
            known[cause] = min(prices)
    unlisted = _professional(playbook, settings, "unlisted")
    dearest = max(known.values(), default=0.0)
    if unlisted is not None:
        known[UNLISTED] = mean(unlisted)
    diagnosis = mean(_professional(playbook, settings, "diagnosis") or DIAGNOSIS) / 60 * settings.labour_rate
    return tuple(diagnosis + known.get(cause, dearest) for cause in causes)


def _professional(playbook: Playbook, settings: Settings, field: str) -> Amount | None:
    """What the playbook says of a professional, else the settings."""
    own: Amount | None = getattr(playbook.professional, field) if playbook.professional else None
    said: Amount | None = getattr(settings.professional, field)
    return said if own is None else own


def _alone(ending: Ending, catalogue: Catalogue, settings: Settings) -> float:
    """The mean workshop price of an ending by itself: cost, parts and all time; no tools."""
    rate = settings.labour_rate / 60
    opened = [catalogue.access[name] for name in dict.fromkeys(ending.access)]
    opening = [mean(times(amount, rate)) for job in opened for amount in (job.open, job.close)]
    parts = [mean(times(catalogue.parts[name].price, count)) for name, count in ending.parts.items()]
    return fsum([mean(ending.cost), *parts, mean(times(ending.time, rate)), *opening])


def numbered(names: tuple[Item, ...]) -> Mapping[str, int]:
    """The number of each item by its name."""
    return {item.name: i for i, item in enumerate(names)}
