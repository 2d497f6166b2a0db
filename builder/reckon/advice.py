"""Advice: warnings for editors that only the numbers show. Asked only of playbooks that have no errors."""

from collections.abc import Callable, Iterator, Sequence
from math import fsum, log2
from typing import Final

from builder.read.findings import WARNING, Finding
from builder.read.hazards import BANNER
from builder.read.reading import Check, Reading
from builder.reckon.amounts import add_up
from builder.reckon.bill import path_bill
from builder.reckon.reckoning import Reckoning, reckoning_of
from builder.reckon.standing import standings

DEAR: Final = 2
"""How many times dearer than the next step a step must be to be called dear."""

AS_MUCH: Final = 0.95
"""How much of what a step tells the next one must tell at least to tell as much."""

MOSTLY: Final = 0.5
"""The share of the cases at an ending above which one cause that it does not settle is said to be the one it meets."""

Advisor = Callable[[Reading, Reckoning], Iterator[Finding]]


def advise(reading: Reading) -> Iterator[Finding]:
    """Every warning of this room for one playbook."""
    reckoning = reckoning_of(reading.playbook, reading.catalogue, reading.settings)
    yield from cause_unsettled(reading)
    if reckoning.odds:
        for advisor in ADVISORS:
            yield from advisor(reading, reckoning)


def cause_unsettled(reading: Reading) -> Iterator[Finding]:
    """A cause that no ending puts right."""
    for cause in reading.playbook.causes:
        if not any(ending.puts_right(cause) for ending in reading.playbook.endings.values()):
            message = f"no ending puts the cause `{cause}` right"
            hint = "add an ending that settles it, if an owner or a workshop can repair it"
            yield reading.finding(("causes", cause), "cause-unsettled", message, hint, WARNING, key=True)


def ending_mostly_wrong(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """An ending that puts the true cause right in less than half of the cases that come to it."""
    for node, standing in zip(reckoning.graph.nodes, standings(reckoning), strict=True):
        if standing.right is None or standing.right >= 0.5:
            continue
        share = f"{standing.right * 100:.0f} %"
        message = f"the ending `{node.name}` is right in only {share} of the cases that reach it"
        hint = f"most often the cause is `{standing.mistaken}`; add a step that tells it apart"
        if standing.causes and standing.mistaken and standing.causes[standing.mistaken] > MOSTLY:
            settled = ", ".join(f"`{cause}`" for cause in reading.playbook.endings[node.name].settles)
            message += f": it settles {settled}, and {standing.causes[standing.mistaken] * 100:.0f} % of them have "
            message += f"`{standing.mistaken}`"
            if standing.mistaken in reading.playbook.causes:
                hint = f"write `settles: [{standing.mistaken}]` if it puts that right, or lead its results elsewhere"
        yield reading.finding(("endings", node.name), "ending-mostly-wrong", message, hint, WARNING, key=True)


def result_never(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """A result with no chance under any cause that has a share."""
    odds = reckoning.given_odds
    possible = [c for c, share in enumerate(odds.shares) if share > 0]
    for i, node in enumerate(reckoning.graph.nodes):
        for edge, chances in zip(reckoning.graph.edges[i], odds.chances[i], strict=True):
            if not any(chances[c] for c in possible):
                message = f"the result `{edge.result}` has no chance under any cause"
                hint = "give it a chance, or delete it"
                location = ("steps", node.name, "results", edge.result)
                yield reading.finding(location, "result-never", message, hint, WARNING, key=True)


def step_tells_nothing(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """A step whose results say nothing of the cause and all lead to the same place."""
    for i, node in enumerate(reckoning.graph.nodes):
        edges = reckoning.graph.edges[i]
        same_place = len(edges) > 1 and len({edge.target for edge in edges}) == 1
        if same_place and all(len(set(chances)) == 1 for chances in reckoning.given_odds.chances[i]):
            message = f"the results of `{node.name}` change no odds and lead to the same place"
            hint = "let them lead to different steps, give chances by cause, or delete the step"
            yield reading.finding(("steps", node.name), "step-tells-nothing", message, hint, WARNING, key=True)


def dear_first(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """A dear step, or one with timing or lifting, before a cheaper one of the owner's that would tell as much."""
    for i, node in enumerate(reckoning.graph.nodes):
        row = reckoning.reach[i]
        told = AS_MUCH * information(reckoning, row, i)
        for after in {edge.target: None for edge in reckoning.graph.edges[i]}:
            why = _better_later(reckoning, reading.settings.owner_hour, i, after)
            if why and told > 0 and information(reckoning, row, after) >= told:
                other = reckoning.graph.nodes[after].name
                message = f"the step `{node.name}` {why}, and `{other}` after it would tell as much"
                hint = f"let `{other}` come first"
                yield reading.finding(("steps", node.name), "dear-first", message, hint, WARNING, key=True)
                break


def _better_later(reckoning: Reckoning, owner_hour: float, i: int, after: int) -> str:
    """Why a step would better come after the one that follows it; empty where it would not.

    What both need (tools, access jobs) is paid by whichever comes first and does not count.
    """
    items = reckoning.bill.items
    if reckoning.graph.nodes[after].kind != "step" or items[after].shop:
        return ""
    both = path_bill(reckoning.bill, [i, after])
    money, minutes = add_up(both.money).mean, add_up(both.minutes).mean
    alone = [path_bill(reckoning.bill, [one]) for one in (after, i)]
    own_money, other_money = (money - add_up(bill.money).mean for bill in alone)
    own_minutes, other_minutes = (minutes - add_up(bill.minutes).mean for bill in alone)
    own = own_money + own_minutes / 60 * owner_hour
    other = other_money + other_minutes / 60 * owner_hour
    if own > DEAR * other:
        return "is dearer"
    banner = [name for name in BANNER if name in items[i].hazards]
    if banner and other <= own and not any(name in items[after].hazards for name in BANNER):
        return "involves " + " and ".join(banner)
    return ""


def information(reckoning: Reckoning, row: Sequence[float], i: int) -> float:
    """How much a step tells of the cause, in bits, to one who gets to it with the causes standing as in ``row``.

    Mutual information of cause and result: Σ p(c, r) · log2(p(c, r) / (p(c) · p(r))) (Shannon 1948).
    """
    whole = fsum(row)
    if whole <= 0:
        return 0.0
    causes = [weight / whole for weight in row]
    told = []
    for chances in reckoning.given_odds.likelihoods[i]:
        joint = [share * chance for share, chance in zip(causes, chances, strict=True)]
        result = fsum(joint)
        told += [p * log2(p / (share * result)) for p, share in zip(joint, causes, strict=True) if p > 0]
    return fsum(told)


ADVISORS: Final[tuple[Advisor, ...]] = (ending_mostly_wrong, result_never, step_tells_nothing, dear_first)
ADVICE: Final[tuple[Check, ...]] = (advise,)
