"""A playbook's shape: a start, and for every result of a step what comes next; its cost in the end, exactly.

One pass over the graph per cause gives how often each node is met; a fee is paid by the chance that a path meets at
least one of its users, as in :mod:`builder.reckon.expect`. Paths are never listed.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import fsum

from builder.read.records import Playbook
from builder.reckon.order.problem import Item, Problem, Target, numbered


@dataclass(frozen=True)
class Shape:
    """``ways[s][r]`` is where result ``r`` of step ``s`` leads; ``handovers`` are slugs of other playbooks."""

    start: int
    ways: tuple[tuple[Target, ...], ...]
    handovers: tuple[str, ...] = ()

    @cached_property
    def order(self) -> tuple[int, ...] | None:
        """Steps that can be reached, each after all that lead to it; ``None`` where they go round."""
        state: dict[int, int] = {}
        done: list[int] = []
        trail: list[tuple[int, Iterator[Target]]] = [(self.start, iter(self.ways[self.start]))]
        state[self.start] = 1
        while trail:
            step, ahead = trail[-1]
            target = next((one for one in ahead if one.kind == "step"), None)
            if target is None:
                trail.pop()
                state[step] = 2
                done.append(step)
            elif state.get(target.number) == 1:
                return None
            elif target.number not in state:
                state[target.number] = 1
                trail.append((target.number, iter(self.ways[target.number])))
        return tuple(reversed(done))

    @property
    def endings(self) -> frozenset[int]:
        """Endings that can be reached."""
        return frozenset(target.number for s in self.order or () for target in self.ways[s] if target.kind == "ending")

    def as_json(self, problem: Problem) -> tuple[str, dict[str, dict[str, object]]]:
        """The start, and for each step and result what comes next, by their names."""
        ways = {
            step.name: {
                result: self.name_of(target, problem) for result, target in zip(problem.results[s], way, strict=True)
            }
            for s, (step, way) in enumerate(zip(problem.steps, self.ways, strict=True))
        }
        return problem.steps[self.start].name, ways

    def name_of(self, target: Target, problem: Problem) -> object:
        """A target as a playbook writes it."""
        if target.kind == "handover":
            return {"playbook": self.handovers[target.number]}
        items = problem.steps if target.kind == "step" else problem.endings
        return items[target.number].name


def written_shape(playbook: Playbook, problem: Problem) -> Shape | None:
    """The shape that a playbook is written in; ``None`` where its order is to be worked out."""
    if playbook.start is None:
        return None
    steps, endings = numbered(problem.steps), numbered(problem.endings)
    handovers: dict[str, int] = {}
    ways = []
    for step in playbook.steps.values():
        way = []
        for result in step.results.values():
            if result.next.playbook:
                number = handovers.setdefault(result.next.playbook, len(handovers))
                way.append(Target("handover", number))
                continue
            name = str(result.next.name)
            way.append(Target("step", steps[name]) if name in steps else Target("ending", endings[name]))
        ways.append(tuple(way))
    return Shape(steps[playbook.start], tuple(ways), tuple(handovers))


Row = list[float]


def cost_of(problem: Problem, shape: Shape) -> float:
    """What a shape costs in the end; where its ending does not settle the fault, a professional finishes.

    Raises:
        ValueError: its steps go round.
    """
    return cost_from(problem, shape, Target("step", shape.start), problem.weights)


def cost_from(
    problem: Problem, shape: Shape, place: Target, weights: Sequence[float], own: int = 0, shop: int = 0
) -> float:
    """What a shape costs from a place on, times the share of cases that come there.

    ``weights`` are those cases by cause; ``own`` and ``shop`` are the fees, as bit sets, that were met on the way:
    the owner's are paid, a shop's are paid here, since the owner may still come to need them.

    Raises:
        ValueError: its steps go round.
    """
    order = shape.order
    if order is None:
        raise ValueError("the steps go round")
    steps, endings, left = _reached(problem, shape, order, place, weights)
    causes = range(len(problem.causes))
    sums = [problem.steps[s].cost * fsum(steps[s]) for s in order]
    for e, row in endings.items():
        sums.append(problem.endings[e].cost * fsum(row))
        settled = problem.settles[e]
        sums += [row[c] * problem.bills[c] for c in causes if row[c] and not settled[c]]
    sums += [weight * bill for weight, bill in zip(left, problem.bills, strict=True)]
    whole = fsum(weights)
    met = {*(Target("step", s) for s in order), *(Target("ending", e) for e in endings)}
    for number, (fee, users) in enumerate(zip(problem.fees, problem.users, strict=True)):
        if own >> number & 1:
            continue
        owners, shops = users[0] & met, users[1] & met
        by_owner = _meets(problem, shape, order, place, weights, owners) if owners else 0.0
        by_any = whole if shop >> number & 1 else by_owner
        if shops and by_any < whole:
            by_any = _meets(problem, shape, order, place, weights, owners | shops)
        sums += [fee.own * by_owner, fee.shop * (by_any - by_owner)]
    return fsum(sums)


def _reached(
    problem: Problem, shape: Shape, order: Sequence[int], place: Target, weights: Sequence[float]
) -> tuple[Mapping[int, Row], Mapping[int, Row], Row]:
    """By cause, the chance to come to each step, to each ending, and to leave for another playbook."""
    causes = range(len(problem.causes))
    steps: dict[int, Row] = {s: [0.0] * len(causes) for s in order}
    endings: dict[int, Row] = {}
    left = [0.0] * len(causes)

    def row_of(target: Target) -> Row:
        if target.kind == "step":
            return steps[target.number]
        return endings.setdefault(target.number, [0.0] * len(causes)) if target.kind == "ending" else left

    row_of(place)[:] = weights
    for s in order:
        row = steps[s]
        for target, chances in zip(shape.ways[s], problem.chances[s], strict=True):
            into = row_of(target)
            for c in causes:
                into[c] += row[c] * chances[c]
    return steps, endings, left


def _meets(
    problem: Problem,
    shape: Shape,
    order: Sequence[int],
    place: Target,
    weights: Sequence[float],
    users: frozenset[Target],
) -> float:
    """The chance that a path from a place on meets at least one of some steps and endings."""
    causes = range(len(problem.causes))
    ones, none = [1.0] * len(causes), [0.0] * len(causes)
    rows: dict[Target, Row] = {}
    for s in reversed(order):
        here = Target("step", s)
        if here in users:
            rows[here] = ones
            continue
        row = [0.0] * len(causes)
        for target, chances in zip(shape.ways[s], problem.chances[s], strict=True):
            after = rows[target] if target.kind == "step" else ones if target in users else none
            if after is not none:
                for c in causes:
                    row[c] += after[c] * chances[c]
        rows[here] = row
    met = rows[place] if place.kind == "step" else ones if place in users else none
    return fsum(weight * chance for weight, chance in zip(weights, met, strict=True))


def is_sound(problem: Problem, shape: Shape) -> bool:
    """Whether a playbook may be written so: nothing goes round, all is reached, what needs another comes after it."""
    order = shape.order
    if order is None or len(order) < len(problem.steps) or len(shape.endings) < len(problem.endings):
        return False
    return is_in_turn(problem, shape)


def is_in_turn(problem: Problem, shape: Shape) -> bool:
    """Whether nothing goes round, and all that is reached comes after what it needs."""
    order = shape.order
    if order is None:
        return False
    reached = {*(Target("step", s) for s in order), *(Target("ending", e) for e in shape.endings)}
    return all(_comes_after(shape, order, place, item) for place, item in _needy(problem) if place in reached)


def _needy(problem: Problem) -> Iterator[tuple[Target, Item]]:
    yield from ((Target("step", s), item) for s, item in enumerate(problem.steps) if item.after)
    yield from ((Target("ending", e), item) for e, item in enumerate(problem.endings) if item.after)


def _comes_after(shape: Shape, order: Sequence[int], place: Target, item: Item) -> bool:
    """Whether every way to a place leads through each of the steps that it needs, with a result that allows it."""
    if place == Target("step", shape.start):
        return False
    for needed, results in item.after:
        without = {shape.start}  # steps that some way reaches without what is needed
        for s in order:
            if s not in without:
                continue
            for r, target in enumerate(shape.ways[s]):
                if s == needed and r in results:
                    continue
                if target == place:
                    return False
                if target.kind == "step":
                    without.add(target.number)
    return True
