"""The best shape that is found for a playbook: every step stands once, and all steps and endings are reached.

It starts from the best policy and from the order that is written, and takes up any single change that costs less in
the end (local search with the exact cost of :func:`builder.reckon.order.shape.cost_of`) until none does or the effort
is spent. The changes: a result leads elsewhere; a step moves to another result, and what came after it closes up.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from builder.reckon.order.policy import Entry
from builder.reckon.order.problem import Problem, Target
from builder.reckon.order.shape import Shape, cost_of, is_in_turn, is_sound

LESS: Final = 1e-9
"""How much less, as a share, a change must cost to count as one."""

Ways = tuple[tuple[Target, ...], ...]


@dataclass
class Shaping:
    """A local search; ``effort`` counts the shapes that were tried, ``most`` is how many may be."""

    problem: Problem
    most: int
    effort: int = 0
    known: dict[tuple[int, Ways], float] = field(default_factory=dict)

    def cost(self, shape: Shape) -> float:
        """What a shape costs in the end; infinite where no playbook may be written so."""
        key = shape.start, shape.ways
        if key not in self.known:
            self.effort += 1
            self.known[key] = cost_of(self.problem, shape) if is_sound(self.problem, shape) else float("inf")
        return self.known[key]

    def improved(self, shape: Shape) -> Shape:
        """The shape after every change that costs less, each taken as soon as it is found."""
        cost = self.cost(shape)
        found = True
        while found and self.effort < self.most:
            found = False
            for make in (self._led_elsewhere, self._moved):
                for other in make(shape):
                    if self.effort >= self.most:
                        break
                    if self.cost(other) < cost * (1 - LESS):
                        shape, cost, found = other, self.cost(other), True
                        break
        return shape

    def _led_elsewhere(self, shape: Shape) -> Iterator[Shape]:
        """Every shape in which one result leads elsewhere."""
        order = shape.order or ()
        endings = [Target("ending", e) for e in range(len(self.problem.endings))]
        for place, step in enumerate(order):
            later = [Target("step", s) for s in order[place + 1 :]]
            for result, now in enumerate(shape.ways[step]):
                if now.kind != "handover":
                    yield from (led(shape, step, result, target) for target in (*endings, *later) if target != now)

    def _moved(self, shape: Shape) -> Iterator[Shape]:
        """Every shape in which a step stands before another place, and those around it close up."""
        for step in shape.order or ():
            for through in range(len(shape.ways[step])):
                without = _closed_up(shape, step, through)
                if without is None:
                    continue
                yield from _first(without, step)
                for other in without.order or ():
                    for result in range(len(without.ways[other])):
                        yield from _inserted(without, step, other, result)


def led(shape: Shape, step: int, result: int, target: Target) -> Shape:
    """The shape with one result that leads elsewhere."""
    way = shape.ways[step]
    changed = (*way[:result], target, *way[result + 1 :])
    return replace(shape, ways=(*shape.ways[:step], changed, *shape.ways[step + 1 :]))


def _closed_up(shape: Shape, step: int, through: int) -> Shape | None:
    """The shape without a step: what led to it leads to where one of its results did."""
    onwards, gone = shape.ways[step][through], Target("step", step)
    if onwards.kind == "handover" or (shape.start == step and onwards.kind != "step"):
        return None
    start = onwards.number if shape.start == step else shape.start
    ways = tuple(tuple(onwards if target == gone else target for target in way) for way in shape.ways)
    return replace(shape, start=start, ways=ways)


def _first(shape: Shape, step: int) -> Iterator[Shape]:
    """The shapes that begin with a step; results of it that led to a step, and one more, lead to what was the first."""
    first = Target("step", shape.start)
    for way in _onwards(shape.ways[step], first):
        if first in way:
            yield replace(shape, start=step, ways=(*shape.ways[:step], way, *shape.ways[step + 1 :]))


def _inserted(shape: Shape, step: int, other: int, result: int) -> Iterator[Shape]:
    """The shapes in which a step stands between a result of another and where that led."""
    after = shape.ways[other][result]
    for way in _onwards(shape.ways[step], after):
        ways = list(shape.ways)
        ways[step] = way
        ways[other] = (*ways[other][:result], Target("step", step), *ways[other][result + 1 :])
        yield replace(shape, ways=tuple(ways))


def _onwards(way: tuple[Target, ...], after: Target) -> Iterator[tuple[Target, ...]]:
    """The ways of a step before another place: what led to steps leads there, and at most one result more."""
    plain = tuple(target if target.kind != "step" else after for target in way)
    yield plain
    for result, target in enumerate(plain):
        if target != after and target.kind != "handover":
            yield (*plain[:result], after, *plain[result + 1 :])


def shape_of_policy(problem: Problem, entries: Sequence[Entry]) -> Shape:
    """A shape near a policy: each step where the policy comes to it oftenest, what it never does after the rest.

    It may leave steps or endings that nothing leads to; :func:`completed` mends that.
    """
    hand_over = _hand_over(problem)
    oftenest: dict[int, Entry] = {}
    for entry in entries:
        known = oftenest.get(entry.number)
        if entry.kind == "step" and (known is None or entry.chance > known.chance):
            oftenest[entry.number] = entry
    rank = {step: place for place, step in enumerate(_in_policy_order(entries, problem))}
    ways = []
    for step in range(len(problem.steps)):
        found = oftenest.get(step)
        way = []
        for result in range(len(problem.results[step])):
            target = _target(entries, found.to[result], hand_over) if found else hand_over
            if target.kind == "step" and rank[target.number] <= rank[step]:
                target = hand_over
            way.append(target)
        ways.append(tuple(way))
    start = entries[0].number if entries[0].kind == "step" else min(rank, key=lambda step: rank[step])
    return Shape(start, tuple(ways))


def _in_policy_order(entries: Sequence[Entry], problem: Problem) -> list[int]:
    """Steps in the order in which the policy first comes to them, then the others."""
    met = [entry.number for entry in entries if entry.kind == "step" and entry.chance > 0]
    return list(dict.fromkeys([*met, *range(len(problem.steps))]))


def _target(entries: Sequence[Entry], place: int, hand_over: Target) -> Target:
    entry = entries[place]
    if entry.kind == "professional":
        return hand_over
    return Target("step" if entry.kind == "step" else "ending", entry.number)


def _hand_over(problem: Problem) -> Target:
    """The ending at which a professional takes over, the cheapest of them; the first ending where there is none."""
    without = [e for e, row in enumerate(problem.settles) if not any(row)]
    cheapest = min(without, key=lambda e: (problem.endings[e].cost, e), default=0)
    return Target("ending", cheapest)


def bare(problem: Problem) -> Shape:
    """One step that needs no other, after which a professional takes over; something to complete."""
    first = next((s for s, item in enumerate(problem.steps) if not item.after), 0)
    return Shape(first, tuple(tuple(_hand_over(problem) for _ in results) for results in problem.results))


def completed(shaping: Shaping, shape: Shape) -> Shape:
    """The shape with every step and ending reached, each put where that costs least and after what it needs.

    As far as that can be done: where one has no place, it stays unreached.
    """
    problem = shaping.problem
    while True:
        order = shape.order or ()
        missing = [Target("step", s) for s in range(len(problem.steps)) if s not in order]
        missing += [Target("ending", e) for e in range(len(problem.endings)) if e not in shape.endings]
        for target in missing:
            best = min(_with(shaping, shape, target), key=lambda one: one[0], default=None)
            if best is not None:
                shape = best[1]
                break
        else:
            return shape


def _with(shaping: Shaping, shape: Shape, target: Target) -> Iterator[tuple[float, Shape]]:
    """Shapes in which something leads to a step or an ending that nothing led to, with what each costs in the end."""
    for step in shape.order or ():
        for result, now in enumerate(shape.ways[step]):
            if now.kind == "handover":
                continue
            if target.kind == "step":
                other = next(_inserted(shape, target.number, step, result))
                other = replace(other, ways=_all_to(other.ways, target.number, now))
            else:
                other = led(shape, step, result, target)
                if _loses(shape, other):
                    continue
            if is_in_turn(shaping.problem, other):
                shaping.effort += 1
                yield cost_of(shaping.problem, other), other


def _all_to(ways: Ways, step: int, target: Target) -> Ways:
    return (*ways[:step], tuple(target for _ in ways[step]), *ways[step + 1 :])


def _loses(before: Shape, after: Shape) -> bool:
    """Whether something that was reached no longer is."""
    if after.order is None:
        return True
    return bool(set(before.order or ()) - set(after.order) or before.endings - after.endings)


def best_shape(problem: Problem, starts: Sequence[Shape], most: int) -> tuple[Shape, float, int]:
    """The best shape that is found from some to start with, what it costs, and how many were tried.

    A start that is sound is never left for one that costs more. The cost is infinite where no sound shape was found.
    """
    shaping = Shaping(problem, 0)
    begun = [start if is_in_turn(problem, start) else None for start in starts]
    kept = [start for start in begun if start] or [bare(problem)]
    found: list[tuple[float, int, Shape]] = []
    for number, start in enumerate(kept):
        shaping.most = shaping.effort + most // len(kept)
        shape = completed(shaping, start)
        if shaping.cost(shape) < float("inf"):
            shape = shaping.improved(shape)
        found.append((shaping.cost(shape), number, shape))
    if min(cost for cost, _, _ in found) == float("inf") and kept != [bare(problem)]:
        return best_shape(problem, [], most)
    cost, _, shape = min(found, key=lambda one: one[:2])
    return shape, cost, shaping.effort
