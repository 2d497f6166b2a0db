"""A policy: what to do first, and after everything that may be seen, what then; its cost in the end when walked."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Any

from builder.reckon.order.problem import Problem
from builder.reckon.order.search import Action, Kind, Node, Search


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing to do: the number of the step or ending, how often it comes to that, and what comes after it.

    ``to`` gives the place of the next entry by the number of the result; a repair has the key -1 alone: still there.
    """

    kind: Kind
    number: int
    chance: float
    to: dict[int, int]


STILL_THERE = -1


def policy_of(search: Search, root: Node) -> list[Entry]:
    """The best policy that a search has found from a node, the first thing to do first; chances are of all cases.

    Entries stand in the order in which they are met when the likeliest ways are not told apart: by breadth, results in
    the order of the playbook.
    """
    entries: list[Entry] = []
    waiting: list[tuple[Node | None, list[int] | None]] = [(root, None)]
    for node, planned in waiting:
        if node is None:
            entries.append(Entry("professional", 0, 0.0, {}))
            continue
        action, repairs = chosen(search, node, planned)
        to = {}
        for key, after in _following(search.problem, action):
            to[key] = len(waiting)
            waiting.append((after, repairs))
        entries.append(Entry(action.kind, action.number, node.whole, to))
    return entries


def _following(problem: Problem, action: Action) -> Iterator[tuple[int, Node | None]]:
    """The nodes after an action by results; none for a result that cannot come up, after which a professional looks."""
    if action.kind != "step":
        yield from ((STILL_THERE, node) for node in action.after)
        return
    known = dict(zip(action.results, action.after, strict=True))
    yield from ((result, known.get(result)) for result in range(len(problem.results[action.number])))


def chosen(search: Search, node: Node, repairs: list[int] | None = None) -> tuple[Action, list[int] | None]:
    """What the best known policy does at a node; ``repairs`` are those still to be tried where it does no more.

    Where a node was not widened, or where repairs alone are as good as all that was found, they come in their order.
    """
    if repairs is None:
        if node.actions is not None:
            best = min(node.actions, key=lambda action: action.high)
            if best.high <= node.high * (1 + 1e-12):
                return best, None
        repairs = search.by_repairs(node)[1]
    if not repairs:
        return Action("professional", 0, 0.0), []
    first, *rest = repairs
    return search.open(node, search.repair(node, first)), rest


def cost_of_policy(search: Search, entries: Sequence[Entry], root: Node) -> float:
    """What a policy costs in the end when it is walked, from the causes as they stand at the root.

    Every path is gone through: fees once, a professional's bill for what is left.
    """
    problem = search.problem
    sums: list[float] = []
    waiting = [(0, root.weights, root.dues.own, root.dues.shop)]
    while waiting:
        place, weights, own, shop = waiting.pop()
        entry, dues = entries[place], search.ledger.dues(own, shop)
        whole = fsum(weights)
        if entry.kind == "professional":
            sums += [whole * dues.due, *(w * bill for w, bill in zip(weights, problem.bills, strict=True))]
            continue
        paid = (dues.steps if entry.kind == "step" else dues.endings)[entry.number]
        sums.append(whole * paid.cost)
        if entry.kind == "step":
            for result, after in entry.to.items():
                chances = problem.chances[entry.number][result]
                seen = tuple(w * chance for w, chance in zip(weights, chances, strict=True))
                waiting.append((after, seen, paid.own, paid.shop))
            continue
        settled = problem.settles[entry.number]
        left = tuple(0.0 if right else w for w, right in zip(weights, settled, strict=True))
        sums.append((whole - fsum(left)) * paid.due)
        waiting += [(after, left, paid.own, paid.shop) for after in entry.to.values()]
    return fsum(sums)


def as_json(problem: Problem, entries: Sequence[Entry]) -> list[dict[str, Any]]:
    """A policy as ``droplight order SLUG --json`` prints it."""
    return [_entry_json(problem, entry) for entry in entries]


def _entry_json(problem: Problem, entry: Entry) -> dict[str, Any]:
    if entry.kind == "professional":
        return {"do": "professional", "kind": "professional", "chance": entry.chance, "to": {}}
    if entry.kind == "ending":
        to = dict.fromkeys(["still there"] if entry.to else [], entry.to.get(STILL_THERE))
        return {"do": problem.endings[entry.number].name, "kind": "ending", "chance": entry.chance, "to": to}
    results = problem.results[entry.number]
    to = {results[result]: place for result, place in entry.to.items()}
    return {"do": problem.steps[entry.number].name, "kind": "step", "chance": entry.chance, "to": to}
