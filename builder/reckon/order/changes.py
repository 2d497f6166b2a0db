"""Where two shapes of a playbook part: what the one does next, what the other, and what that saves on average.

Two shapes that have done the same up to a place have paid the same and know the same, so what the other saves from
there on is the difference of what both cost from there. Places where they part in the same way count as one change.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum, log2

from builder.reckon.order.fees import Ledger
from builder.reckon.order.problem import Problem, Target
from builder.reckon.order.shape import Shape, cost_from

FOLLOWED = 2_000
"""At most so many places are followed; the rest of a large playbook counts as the same."""


@dataclass(frozen=True, slots=True)
class Change:
    """``after`` is the step and the result before which nothing differs; ``None`` at the start.

    ``saves`` is what the change saves on average over all cases, in the library's currency; ``chance`` how many of
    them come there. ``costs`` are what the two things to do cost there by themselves, ``tells`` how many bits each
    tells of the cause (0 for endings), ``rights`` the chance that each puts the fault right (0 for steps).
    """

    after: tuple[int, int] | None
    written: Target
    better: Target
    saves: float
    chance: float
    costs: tuple[float, float]
    tells: tuple[float, float]
    rights: tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Place:
    after: tuple[int, int] | None
    one: Target
    other: Target
    weights: tuple[float, ...]
    own: int
    shop: int


def changes(problem: Problem, written: Shape, better: Shape) -> list[Change]:
    """Where the shapes part, what saves most first."""
    alike: dict[tuple[tuple[int, int] | None, Target, Target], list[_Place]] = {}
    for place in _partings(problem, written, better):
        alike.setdefault((place.after, place.one, place.other), []).append(place)
    found = [_change(problem, written, better, places) for places in alike.values()]
    return sorted(found, key=lambda change: -change.saves)


def _partings(problem: Problem, one: Shape, other: Shape) -> Iterator[_Place]:
    ledger = Ledger(problem)
    starts = Target("step", one.start), Target("step", other.start)
    waiting = [_Place(None, *starts, problem.weights, 0, 0)]
    for followed, place in enumerate(waiting):
        if place.one != place.other:
            yield place
        elif place.one.kind == "step" and followed < FOLLOWED:
            step = place.one.number
            paid = ledger.dues(place.own, place.shop).steps[step]
            for result, chances in enumerate(problem.chances[step]):
                weights = tuple(w * chance for w, chance in zip(place.weights, chances, strict=True))
                if fsum(weights) > 0:
                    ways = one.ways[step][result], other.ways[step][result]
                    waiting.append(_Place((step, result), *ways, weights, paid.own, paid.shop))


def _change(problem: Problem, one: Shape, other: Shape, places: Sequence[_Place]) -> Change:
    saved = []
    for place in places:
        fees = place.weights, place.own, place.shop
        saved += [cost_from(problem, one, place.one, *fees), -cost_from(problem, other, place.other, *fees)]
    likeliest = max(places, key=lambda place: fsum(place.weights))
    targets = likeliest.one, likeliest.other
    return Change(
        after=likeliest.after,
        written=likeliest.one,
        better=likeliest.other,
        saves=fsum(saved),
        chance=fsum(weight for place in places for weight in place.weights),
        costs=(_cost(problem, likeliest, targets[0]), _cost(problem, likeliest, targets[1])),
        tells=(_tells(problem, likeliest, targets[0]), _tells(problem, likeliest, targets[1])),
        rights=(_right(problem, likeliest, targets[0]), _right(problem, likeliest, targets[1])),
    )


def _cost(problem: Problem, place: _Place, target: Target) -> float:
    if target.kind == "handover":
        return 0.0
    dues = Ledger(problem).dues(place.own, place.shop)
    return (dues.steps if target.kind == "step" else dues.endings)[target.number].cost


def _tells(problem: Problem, place: _Place, target: Target) -> float:
    return information(place.weights, problem.chances[target.number]) if target.kind == "step" else 0.0


def _right(problem: Problem, place: _Place, target: Target) -> float:
    if target.kind != "ending":
        return 0.0
    settled = problem.settles[target.number]
    whole = fsum(place.weights)
    return fsum(weight for weight, right in zip(place.weights, settled, strict=True) if right) / whole


def information(weights: Sequence[float], chances: Sequence[Sequence[float]]) -> float:
    """How much a step tells of the cause, in bits, where the causes stand as in ``weights`` (of any sum).

    ``chances`` are those of its results by cause. Mutual information of cause and result:
    Σ p(c, r) · log2(p(c, r) / (p(c) · p(r))) (Shannon 1948).
    """
    whole = fsum(weights)
    if whole <= 0:
        return 0.0
    causes = [weight / whole for weight in weights]
    told = []
    for row in chances:
        joint = [share * chance for share, chance in zip(causes, row, strict=True)]
        result = fsum(joint)
        told += [p * log2(p / (share * result)) for p, share in zip(joint, causes, strict=True) if p > 0]
    return fsum(told)


def in_words(problem: Problem, change: Change) -> str:
    """A change as a sentence without its end: what to do instead of what, what it saves, and why.

    Sums are whole, or with two decimals below 10.
    """
    written, better = (name_of(problem, target) for target in (change.written, change.better))
    where = "first" if change.after is None else f"after `{_result(problem, *change.after)}`"
    return f"{where}, `{better}` rather than `{written}`: saves {_sum(change.saves)} on average, because {_why(change)}"


def name_of(problem: Problem, target: Target) -> str:
    """The id of a step or an ending; in words for another playbook."""
    if target.kind == "handover":
        return "the other playbook"
    return (problem.steps if target.kind == "step" else problem.endings)[target.number].name


def _result(problem: Problem, step: int, result: int) -> str:
    return f"{problem.steps[step].name}: {problem.results[step][result]}"


def _why(change: Change) -> str:
    """Why the better one is better, by what is plainest: its cost, what it tells, whether the repair is right."""
    cost, dear = (_sum(cost) for cost in reversed(change.costs))
    right, right_better = (f"{right * 100:.0f} %" for right in change.rights)
    if change.better.kind == "step" and change.written.kind == "step":
        return _why_step(change, cost, dear)
    if change.better.kind == "step":
        if change.rights[0]:
            return f"that repair would help in only {right} of these cases, and a look costs {cost}"
        return f"a look costs {cost} there, and the fault may still be found"
    if change.rights[1]:
        return f"it puts the fault right in {right_better} of these cases, for {cost}"
    return "going on costs more than handing over there"


def _why_step(change: Change, cost: str, dear: str) -> str:
    written, better = change.tells
    if change.costs[1] < change.costs[0]:
        return f"it costs {cost} there instead of {dear} and tells {_bits(better, written)}"
    if better > written:
        return f"it tells {_bits(better, written)}, though it costs {cost} there and not {dear}"
    return "what comes after it is cheaper then"


def _bits(better: float, written: float) -> str:
    ratio = better / written if written else float("inf")
    if ratio > 1.05:
        return "more"
    return "as much" if ratio > 0.95 else "nearly as much" if ratio > 0.8 else "enough for that"


def _sum(money: float) -> str:
    return f"{money:.2f}" if abs(money) < 10 else f"{money:.0f}"
