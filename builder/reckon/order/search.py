"""The search for the best order: best-first over evidence, with a policy above and a proven bound below at any time.

What is known after some results and repairs does not depend on their order, so each body of evidence is one node. From
it lead the steps that may come next (a node for each result), the repairs (gone, or still there) and the professional.
Every node keeps a bound below which no order from it can come and the cost of a policy from it. The search goes down
from the root along the action whose bound is the least, to the result whose gap is the largest, and widens what it
finds. The nodes after an action are made only when its bound is the least. Each node is made once; its cost is in
proportion to the pairs of causes.

Sources: AND/OR search with a lower bound is AO* (Martelli and Montanari 1978; Nilsson 1980), applied to the sequencing
of tests by Pattipati and Alexandridis (IEEE Transactions on Systems, Man and Cybernetics 20, 1990); going down by the
gap between two bounds is HSVI (Smith and Simmons 2004); repairs as trials in troubleshooting are those of Heckerman,
Breese and Rommelse (Communications of the ACM 38, 1995). The bound of a new node is that of perfect information, the
true cause known and repaired at its cheapest, and what pairs of causes add to it (:mod:`builder.reckon.order.pairs`).
Where repairs alone are tried, chance over cost is their order (Kadane and Simon 1977), which gives new nodes their
first policy.

Example: two causes of one half each, no steps, repairs at 10 and 20, a professional at 100 for either. The cheap repair
comes first: 10 + 0.5 · 20 = 20. The bound of perfect information is 0.5 · 10 + 0.5 · 20 = 15; as a pair they cost 20.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Final, Literal

from builder.reckon.amounts import whole_sum
from builder.reckon.order.evidence import NOTHING_SEEN, Evidence, may_follow, weights_after
from builder.reckon.order.fees import Dues, Ledger, Next
from builder.reckon.order.pairs import Pairs
from builder.reckon.order.problem import Item, Problem

TOLERANCE: Final = 1e-9
"""How near bound and policy must come, as a share of the cost, to count as the same."""

CLOSED: Final = 1e-10
"""The same below the top, so that what rounding leaves open there does not add up."""

NEVER: Final = 1e-15
"""A share of cases that is nothing but what rounding left over."""

Kind = Literal["step", "ending", "professional"]


@dataclass(slots=True, eq=False)
class Action:
    """What may be done at a node: ``fixed`` is paid by all who come there, ``after`` are the nodes that may follow.

    ``results`` are the numbers of the results that lead to them; empty for repairs, whose one node is "still there".
    Until it ``is_open``, there are no nodes, and ``least`` is the bound.
    """

    kind: Kind
    number: int
    fixed: float
    results: tuple[int, ...] = ()
    after: tuple["Node", ...] = ()
    is_open: bool = True
    least: float = 0.0

    @property
    def low(self) -> float:
        """A bound of what it costs in the end."""
        if not self.is_open:
            return self.least
        total = self.fixed
        for node in self.after:
            total += node.low
        return total

    @property
    def high(self) -> float:
        """What it costs by the best policies that are known."""
        if not self.is_open:
            return inf
        total = self.fixed
        for node in self.after:
            total += node.high
        return total


@dataclass(slots=True, eq=False)
class Node:
    """A body of evidence. ``weights`` add up to ``whole``, the share of cases that come here; costs are by that share.

    ``seen`` gives the result of each step, -1 where it was not done; ``failed`` are endings as a bit set; ``spent`` is
    the money since the root.
    """

    seen: tuple[int, ...]
    failed: int
    weights: tuple[float, ...]
    whole: float
    dues: Dues
    spent: float
    low: float
    high: float
    actions: list[Action] | None = field(default=None)

    @property
    def is_closed(self) -> bool:
        """Whether its bound and its policy come to the same."""
        return self.high - self.low <= CLOSED * self.high


class Search:
    """A search from a body of evidence; ``effort`` counts the nodes that were made.

    ``steps`` and ``repairs`` are the numbers of those that may be done at all.
    """

    def __init__(self, problem: Problem, evidence: Evidence = NOTHING_SEEN) -> None:
        self.problem = problem
        self.budget = evidence.budget
        self.steps = [s for s in range(len(problem.steps)) if s not in evidence.barred]
        self.repairs = [e for e in problem.repairs if e not in evidence.closed]
        self.needed = frozenset(step for item in (*problem.steps, *problem.endings) for step, _ in item.after)
        self.ledger = Ledger(problem, evidence.closed)
        self.pairs = Pairs(self.ledger, self.steps)
        self.nodes: dict[tuple[tuple[int, ...], int], Node] = {}
        failed = whole_sum(1 << e for e in set(evidence.failed))
        dues = self.ledger.dues(evidence.own, evidence.shop)
        self.root = self.node(evidence.results(len(problem.steps)), failed, weights_after(problem, evidence), dues, 0.0)

    @property
    def effort(self) -> int:
        """How many nodes were made."""
        return len(self.nodes)

    def node(self, seen: tuple[int, ...], failed: int, weights: tuple[float, ...], dues: Dues, spent: float) -> Node:
        """The node of a body of evidence, made if it is new."""
        key = seen, failed
        known = self.nodes.get(key)
        if known is not None:
            return known
        low = whole = 0.0
        for weight, least in zip(weights, dues.least, strict=True):
            low += weight * least
            whole += weight
        low += self.pairs.gain(_undone(seen), weights, dues)
        made = Node(seen, failed, weights, whole, dues, spent, low, 0.0)
        made.high = self.by_repairs(made)[0]
        made.low = min(low, made.high)
        self.nodes[key] = made
        return made

    def _may(self, item: Item, seen: tuple[int, ...], spent: float, paid: Next) -> bool:
        """Whether all that an item needs has been done, and the money lasts."""
        return may_follow(item, seen) and spent + paid.money <= self.budget

    def by_repairs(self, node: Node) -> tuple[float, list[int]]:
        """What repairs alone cost from a node, tried by chance over cost, and how many of them are worth it.

        After the last, a professional finishes; that may be before the first.
        """
        problem = self.problem
        weights, whole, dues, failed, money = list(node.weights), node.whole, node.dues, node.failed, node.spent
        spent = 0.0
        best = self.handed_over(weights, whole, dues)
        tried: list[int] = []
        worth = 0
        while whole > NEVER:
            choice = self._likeliest_for_its_cost(node.seen, weights, dues, failed, money)
            if choice is None:
                break
            ending, share = choice
            paid = dues.endings[ending]
            spent += whole * paid.cost + share * paid.due
            if spent >= best:
                break
            whole = 0.0
            for c, right in enumerate(problem.settles[ending]):
                if right:
                    weights[c] = 0.0
                whole += weights[c]
            failed |= 1 << ending
            money += paid.money
            dues = self.ledger.dues(paid.own, paid.shop)
            tried.append(ending)
            cost = spent + self.handed_over(weights, whole, dues)
            if cost < best:
                best, worth = cost, len(tried)
        return best, tried[:worth]

    def handed_over(self, weights: Sequence[float], whole: float, dues: Dues) -> float:
        """What a professional takes for all that is left."""
        total = whole * dues.due
        for weight, bill in zip(weights, self.problem.bills, strict=True):
            total += weight * bill
        return total

    def _likeliest_for_its_cost(
        self, seen: tuple[int, ...], weights: Sequence[float], dues: Dues, failed: int, spent: float
    ) -> tuple[int, float] | None:
        """The repair with the largest share of the cases for what it costs, and that share."""
        best: tuple[int, float] | None = None
        best_ratio = 0.0
        for ending in self.repairs:
            paid = dues.endings[ending]
            if failed >> ending & 1 or not self._may(self.problem.endings[ending], seen, spent, paid):
                continue
            share = self._share(ending, weights)
            ratio = share / (paid.cost + 1e-9)
            if share > 0 and ratio > best_ratio:
                best, best_ratio = (ending, share), ratio
        return best

    def _share(self, ending: int, weights: Sequence[float]) -> float:
        """The weight of the causes that a repair puts right."""
        share = 0.0
        for weight, right in zip(weights, self.problem.settles[ending], strict=True):
            if right:
                share += weight
        return share

    def widen(self, node: Node) -> None:
        """Find all that may be done at a node: the professional, repairs, steps, each in the playbook's order.

        What cannot cost less than the policy that is known is left out.
        """
        actions = [Action("professional", 0, self.handed_over(node.weights, node.whole, node.dues))]
        actions += [action for action in self._repairs(node) if action.least < node.high]
        actions += [action for action in self._steps(node) if action.least < node.high]
        node.actions = actions
        self.update(node)

    def _repairs(self, node: Node) -> Iterator[Action]:
        for ending in self.repairs:
            paid = node.dues.endings[ending]
            if node.failed >> ending & 1 or not self._may(self.problem.endings[ending], node.seen, node.spent, paid):
                continue
            if self._share(ending, node.weights) > NEVER * node.whole:
                yield self.repair(node, ending)

    def repair(self, node: Node, ending: int) -> Action:
        """A repair as a trial, not open yet: gone, which ends the job, or still there, which rules its causes out."""
        paid = node.dues.endings[ending]
        least = self.ledger.dues(paid.own, paid.shop).least
        settled = self.problem.settles[ending]
        low = left = 0.0
        for c, weight in enumerate(node.weights):
            if not settled[c]:
                left += weight
                low += weight * least[c]
        fixed = node.whole * paid.cost + (node.whole - left) * paid.due
        if left <= NEVER * node.whole:
            return Action("ending", ending, fixed)
        return Action("ending", ending, fixed, is_open=False, least=fixed + low)

    def _steps(self, node: Node) -> Iterator[Action]:
        problem, seen = self.problem, node.seen
        undone = _undone(seen)
        for step in self.steps:
            item, paid = problem.steps[step], node.dues.steps[step]
            if seen[step] >= 0 or not self._may(item, seen, node.spent, paid):
                continue
            if step not in self.needed and not _tells(problem.chances[step], node.weights):
                continue
            action = self.step(node, step)
            if action.least < node.high:
                dues = self.ledger.dues(paid.own, paid.shop)
                action.least = max(action.least + self.pairs.gain(undone, node.weights, dues, step), node.low)
            yield action

    def step(self, node: Node, step: int) -> Action:
        """A step, not open yet; its bound is that of perfect information."""
        paid = node.dues.steps[step]
        fixed = low = node.whole * paid.cost
        for weight, least in zip(node.weights, self.ledger.dues(paid.own, paid.shop).least, strict=True):
            low += weight * least
        return Action("step", step, fixed, is_open=False, least=low)

    def open(self, node: Node, action: Action) -> Action:
        """The action with the nodes that may follow it: one for each result that can come up, or "still there"."""
        if action.is_open:
            return action
        problem, number = self.problem, action.number
        paid = (node.dues.steps if action.kind == "step" else node.dues.endings)[number]
        dues = self.ledger.dues(paid.own, paid.shop)
        spent = node.spent + paid.money
        action.is_open = True
        if action.kind == "ending":
            settled = problem.settles[number]
            weights = tuple([0.0 if right else weight for weight, right in zip(node.weights, settled, strict=True)])
            action.after = (self.node(node.seen, node.failed | 1 << number, weights, dues, spent),)
            return action
        results, after = [], []
        for result, chances in enumerate(problem.chances[number]):
            weights = tuple([weight * chance for weight, chance in zip(node.weights, chances, strict=True)])
            if _whole(weights) > NEVER * node.whole:
                known = (*node.seen[:number], result, *node.seen[number + 1 :])
                results.append(result)
                after.append(self.node(known, node.failed, weights, dues, spent))
        action.results, action.after = tuple(results), tuple(after)
        return action

    def update(self, node: Node) -> Action:
        """Carry bounds and costs of what follows a node up to it; gives the action with the least bound.

        Raises:
            ValueError: the node was not widened.
        """
        if not node.actions:
            raise ValueError("the node is not widened")
        best = node.actions[0]
        low, high = best.low, best.high
        for action in node.actions:
            action_low, action_high = action.low, action.high
            if action_low < low:
                best, low = action, action_low
            high = min(high, action_high)
        node.high = min(node.high, high)
        node.low = min(max(node.low, low), node.high)
        return best

    def solve(self, effort: int, root: Node | None = None) -> Node:
        """Search from a node (by default the root) until its gap is closed or so many nodes were made in all."""
        top = root or self.root
        while top.high - top.low > TOLERANCE * top.high and self.effort < effort:
            trail = self._down(top)
            if trail[-1].actions is None:
                self.widen(trail[-1])
            for node in reversed(trail):
                self.update(node)
        return top

    def _down(self, top: Node) -> list[Node]:
        """The nodes from the top to one that is not widened yet, or below which all is closed, which closes it."""
        trail = [top]
        node = top
        while node.actions is not None:
            action = self.update(node)
            while not action.is_open:
                self.open(node, action)
                action = self.update(node)
            gap = 0.0
            following: Node | None = None
            for after in action.after:
                if after.high - after.low > gap and not after.is_closed:
                    gap, following = after.high - after.low, after
            if following is None:
                break
            trail.append(following)
            node = following
        return trail


def _undone(seen: Sequence[int]) -> int:
    """The steps that were not done, as a bit set."""
    undone = 0
    for step, result in enumerate(seen):
        if result < 0:
            undone |= 1 << step
    return undone


def _whole(weights: Sequence[float]) -> float:
    """The sum of some weights, added one by one as the browser does."""
    total = 0.0
    for weight in weights:
        total += weight
    return total


def _tells(chances: Sequence[Sequence[float]], weights: Sequence[float]) -> bool:
    """Whether some result is likelier under one cause that is still possible than under another."""
    for row in chances:
        first: float | None = None
        for chance, weight in zip(row, weights, strict=True):
            if weight > 0:
                if first is None:
                    first = chance
                elif chance != first:
                    return True
    return False
