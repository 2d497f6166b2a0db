"""The bill: what every step and ending costs by itself, and what a path pays only once."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import fsum

from builder.read.notation import ZERO, Amount
from builder.read.records import Catalogue, Settings
from builder.reckon.amounts import mean, times
from builder.reckon.graph import Graph


@dataclass(frozen=True, slots=True)
class Item:
    """What one node of the graph needs. ``labour`` is its time at the workshop's rate, whoever does it."""

    cost: Amount
    time: Amount
    wait: Amount
    labour: Amount
    shop: bool
    tools: tuple[str, ...]
    parts: Mapping[str, int]
    access: tuple[str, ...]
    hazards: frozenset[str]


NOTHING = Item(ZERO, ZERO, ZERO, ZERO, False, (), {}, (), frozenset())


@dataclass(frozen=True)
class Bill:
    """``items`` by number of the node; prices of tools (0 if usual) and parts; times of access jobs in minutes."""

    items: Sequence[Item]
    tools: Mapping[str, Amount]
    parts: Mapping[str, Amount]
    access: Mapping[str, tuple[Amount, Amount]]
    rate: float
    """What a workshop charges for a minute."""

    @cached_property
    def material(self) -> list[float]:
        """Mean money of each node for its cost and its parts."""
        return [
            fsum([mean(item.cost), *(mean(self.parts[part]) * count for part, count in item.parts.items())])
            for item in self.items
        ]

    @cached_property
    def money(self) -> list[float]:
        """Mean money of each node without what is paid once: cost, parts, and labour if only a shop may do it."""
        pairs = zip(self.material, self.items, strict=True)
        return [material + (mean(item.labour) if item.shop else 0.0) for material, item in pairs]

    @cached_property
    def minutes(self) -> list[float]:
        """Mean minutes of each node, without access jobs."""
        return [mean(item.time) for item in self.items]

    @cached_property
    def needy(self) -> list[bool]:
        """Whether each node needs anything that is paid for by the path."""
        return [bool(item.tools or item.parts or item.access) for item in self.items]

    @cached_property
    def own_money(self) -> list[float]:
        """Mean cost of each node, without parts, tools and labour."""
        return [mean(item.cost) for item in self.items]

    @cached_property
    def shop_labour(self) -> list[float]:
        """Mean labour of each node that only a shop may do; 0 for the owner's."""
        return [mean(item.labour) if item.shop else 0.0 for item in self.items]

    def access_minutes(self, job: str) -> float:
        """The mean minutes of an access job, opening and closing together."""
        return fsum(mean(amount) for amount in self.access[job])


@dataclass(frozen=True, slots=True)
class PathBill:
    """The amounts that a path is the sum of, each one independent quantity, and what it needs."""

    money: list[Amount]
    shop_money: list[Amount]
    minutes: list[Amount]
    wait: list[Amount]
    tools: list[str]
    parts: dict[str, int]
    hazards: list[str]


def bill_of(graph: Graph, catalogue: Catalogue, settings: Settings) -> Bill:
    """The bill of a playbook that has passed the checks."""
    rate = settings.labour_rate / 60
    items = []
    for node in graph.nodes:
        work = node.work
        if work is None:
            items.append(NOTHING)
            continue
        labour = times(work.time, rate)
        hazards = catalogue.hazards_of(work)
        names = tuple(dict.fromkeys(work.tools)), work.parts, tuple(dict.fromkeys(work.access))
        items.append(Item(work.cost, work.time, work.wait, labour, work.who == "shop", *names, hazards))
    tools = {name: ZERO if tool.usual else tool.price for name, tool in catalogue.tools.items()}
    parts = {name: part.price for name, part in catalogue.parts.items()}
    access = {name: (job.open, job.close) for name, job in catalogue.access.items()}
    return Bill(items, tools, parts, access, rate)


@dataclass(frozen=True, slots=True)
class _Needs:
    """What a way pays once: tools, parts with their quantities, access jobs, and those of them that are the shop's."""

    tools: list[str]
    parts: dict[str, int]
    jobs: list[str]
    shop_jobs: list[str]


def _needs_of(items: Sequence[Item]) -> _Needs:
    counted = Counter[str]()
    for item in items:
        counted.update(item.parts)
    owners = {job for item in items if not item.shop for job in item.access}
    jobs = sorted({job for item in items for job in item.access})
    return _Needs(
        tools=sorted({tool for item in items for tool in item.tools}),
        parts={name: counted[name] for name in sorted(counted)},
        jobs=jobs,
        shop_jobs=[job for job in jobs if job not in owners],
    )


def path_bill(bill: Bill, way: Sequence[int]) -> PathBill:
    """Everything that the nodes on a way cost together: tools and access jobs once, labour for shop items.

    An access job is the owner's, and costs nothing, unless every node on the way that needs it is the shop's.
    """
    items = [bill.items[i] for i in way]
    needs = _needs_of(items)
    opening = [amount for job in needs.jobs for amount in bill.access[job]]
    parts = [times(bill.parts[name], count) for name, count in needs.parts.items()]
    material = [item.cost for item in items] + parts
    shop_opening = [amount for job in needs.shop_jobs for amount in bill.access[job]]
    return PathBill(
        money=[
            *material,
            *(bill.tools[tool] for tool in needs.tools),
            *(item.labour for item in items if item.shop),
            *(times(amount, bill.rate) for amount in shop_opening),
        ],
        shop_money=[
            *material,
            *(item.labour for item in items),
            *(times(amount, bill.rate) for amount in opening),
        ],
        minutes=[*(item.time for item in items), *opening],
        wait=[item.wait for item in items if any(item.wait)],
        tools=needs.tools,
        parts=needs.parts,
        hazards=sorted({hazard for item in items for hazard in item.hazards}),
    )


def way_means(bill: Bill, way: Sequence[int]) -> tuple[float, float]:
    """Mean money and mean minutes of a way: to the last digit those of its :func:`path_bill`, and much sooner had."""
    needs = _needs_of([bill.items[i] for i in way if bill.needy[i]])
    shop_opening = [amount for job in needs.shop_jobs for amount in bill.access[job]]
    money = [
        *(bill.own_money[i] for i in way),
        *(bill.shop_labour[i] for i in way),
        *(mean(times(bill.parts[name], count)) for name, count in needs.parts.items()),
        *(mean(bill.tools[tool]) for tool in needs.tools),
        *(mean(times(amount, bill.rate)) for amount in shop_opening),
    ]
    opening = [mean(amount) for job in needs.jobs for amount in bill.access[job]]
    return fsum(money), fsum([*(bill.minutes[i] for i in way), *opening])


def way_money(bill: Bill, way: Sequence[int]) -> float:
    """Mean money of a way."""
    return way_means(bill, way)[0]
