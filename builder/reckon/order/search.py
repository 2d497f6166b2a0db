"""The search for the best order: best-first over evidence, with a policy above and a proven bound below at any time.

What is known after some results and repairs does not depend on their order, so each body of evidence is one node. From
it lead the steps that may come next (a node for each result), the repairs (gone, or still there) and the professional.
Every node keeps a bound below which no order from it can come and the cost of a policy from it. The search goes down
from the root along the action whose bound is the least, to the result whose gap is the largest, and widens what it
finds. Each node is made once; its cost is in proportion to the causes.

Sources: AND/OR search with a lower bound is AO* (Martelli and Montanari 1978; Nilsson 1980), applied to the sequencing
of tests by Pattipati and Alexandridis (IEEE Transactions on Systems, Man and Cybernetics 20, 1990); going down by the
gap between two bounds is HSVI (Smith and Simmons 2004); repairs as trials in troubleshooting are those of Heckerman,
Breese and Rommelse (Communications of the ACM 38, 1995). The bound of a new node is that of perfect information: the
true cause known, each repaired at its cheapest. Where repairs alone are tried, chance over cost is their order (Kadane
and Simon 1977), which gives new nodes their first policy.

Example: two causes of one half each, no steps, repairs at 10 and 20, a professional at 100 for either. The cheap repair
comes first: 10 + 0.5 · 20 = 20, and the bound of perfect information is 0.5 · 10 + 0.5 · 20 = 15.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal

from builder.reckon.order.evidence import NOTHING_SEEN, Evidence, fees_after, weights_after
from builder.reckon.order.fees import Dues, Ledger
from builder.reckon.order.problem import Item, Problem

TOLERANCE: Final = 1e-9
"""How near bound and policy must come, as a share of the cost, to count as the same."""

NEVER: Final = 1e-15
"""A share of cases that is nothing but what rounding left over."""

Kind = Literal["step", "ending", "professional"]


@dataclass(slots=True, eq=False)
class Action:
    """What may be done at a node: ``fixed`` is paid by all who come there, ``after`` are the nodes that may follow.

    ``results`` are the numbers of the results that lead to them; empty for repairs, whose one node is "still there".
    """

    kind: Kind
    number: int
    fixed: float
    results: tuple[int, ...] = ()
    after: tuple["Node", ...] = ()

    @property
    def low(self) -> float:
        """A bound of what it costs in the end."""
        total = self.fixed
        for node in self.after:
            total += node.low
        return total

    @property
    def high(self) -> float:
        """What it costs by the best policies that are known."""
        total = self.fixed
        for node in self.after:
            total += node.high
        return total


@dataclass(slots=True, eq=False)
class Node:
    """A body of evidence. ``weights`` add up to ``whole``, the share of cases that come here; costs are by that share.

    ``seen`` gives the result of each step, -1 where it was not done; ``failed`` are endings as a bit set.
    """

    seen: tuple[int, ...]
    failed: int
    weights: tuple[float, ...]
    whole: float
    own: int
    shop: int
    dues: Dues
    low: float
    high: float
    actions: list[Action] | None = field(default=None)


class Search:
    """A search from a body of evidence; ``effort`` counts the nodes that were made."""

    def __init__(self, problem: Problem, evidence: Evidence = NOTHING_SEEN) -> None:
        self.problem = problem
        self.evidence = evidence
        self.ledger = Ledger(problem, evidence.closed)
        self.nodes: dict[tuple[tuple[int, ...], int], Node] = {}
        needed = {step for item in (*problem.steps, *problem.endings) for step, _ in item.after}
        self.needed = frozenset(needed)
        seen = [-1] * len(problem.steps)
        for step, result in evidence.seen:
            seen[step] = result
        failed = sum(1 << e for e in set(evidence.failed))
        self.root = self.node(tuple(seen), failed, weights_after(problem, evidence), *fees_after(problem, evidence))

    @property
    def effort(self) -> int:
        """How many nodes were made."""
        return len(self.nodes)

    def node(self, seen: tuple[int, ...], failed: int, weights: tuple[float, ...], own: int, shop: int) -> Node:
        """The node of a body of evidence, made if it is new."""
        key = seen, failed
        known = self.nodes.get(key)
        if known is not None:
            return known
        dues = self.ledger.dues(own, shop)
        low = whole = 0.0
        for weight, least in zip(weights, dues.least, strict=True):
            low += weight * least
            whole += weight
        made = Node(seen, failed, weights, whole, own, shop, dues, low, 0.0)
        made.high = self.by_repairs(made)[0]
        made.low = min(low, made.high)
        self.nodes[key] = made
        return made

    def by_repairs(self, node: Node) -> tuple[float, list[int]]:
        """What repairs alone cost from a node, tried by chance over cost, and how many of them are worth it.

        After the last, a professional finishes; that may be before the first.
        """
        problem = self.problem
        weights, whole, dues, failed = list(node.weights), node.whole, node.dues, node.failed
        spent = 0.0
        best = self._handed_over(weights, whole, dues)
        tried: list[int] = []
        worth = 0
        while whole > NEVER:
            choice = self._likeliest_for_its_cost(node.seen, weights, dues, failed)
            if choice is None:
                break
            ending, share = choice
            paid = dues.endings[ending]
            spent += whole * paid.cost + share * paid.due
            if spent >= best:
                break
            weights = [0.0 if right else w for w, right in zip(weights, problem.settles[ending], strict=True)]
            whole = sum(weights)
            failed |= 1 << ending
            dues = self.ledger.dues(paid.own, paid.shop)
            tried.append(ending)
            cost = spent + self._handed_over(weights, whole, dues)
            if cost < best:
                best, worth = cost, len(tried)
        return best, tried[:worth]

    def _handed_over(self, weights: Sequence[float], whole: float, dues: Dues) -> float:
        total = whole * dues.due
        for weight, bill in zip(weights, self.problem.bills, strict=True):
            total += weight * bill
        return total

    def _likeliest_for_its_cost(
        self, seen: tuple[int, ...], weights: Sequence[float], dues: Dues, failed: int
    ) -> tuple[int, float] | None:
        """The repair with the largest share of the cases for what it costs, and that share."""
        best: tuple[int, float] | None = None
        best_ratio = 0.0
        for ending in self.ledger.open:
            if failed >> ending & 1 or not _may_follow(self.problem.endings[ending], seen):
                continue
            share = 0.0
            for weight, right in zip(weights, self.problem.settles[ending], strict=True):
                if right:
                    share += weight
            ratio = share / (dues.endings[ending].cost + 1e-9)
            if share > 0 and ratio > best_ratio:
                best, best_ratio = (ending, share), ratio
        return best

    def widen(self, node: Node) -> None:
        """Find all that may be done at a node: the professional, repairs, steps, each in the playbook's order."""
        actions = [Action("professional", 0, self._handed_over(node.weights, node.whole, node.dues))]
        actions += self._repairs(node)
        actions += self._steps(node)
        node.actions = actions
        self.update(node)

    def _repairs(self, node: Node) -> Iterator[Action]:
        for ending in self.ledger.open:
            if node.failed >> ending & 1 or not _may_follow(self.problem.endings[ending], node.seen):
                continue
            share = 0.0
            for weight, right in zip(node.weights, self.problem.settles[ending], strict=True):
                if right:
                    share += weight
            if share > NEVER * node.whole and node.whole * node.dues.endings[ending].cost < node.high:
                yield self.repair(node, ending)

    def repair(self, node: Node, ending: int) -> Action:
        """A repair as a trial: gone, where the job ends, or still there, where its causes are ruled out."""
        settled = self.problem.settles[ending]
        weights = tuple([0.0 if right else weight for weight, right in zip(node.weights, settled, strict=True)])
        left = sum(weights)
        paid = node.dues.endings[ending]
        fixed = node.whole * paid.cost + (node.whole - left) * paid.due
        if left <= NEVER * node.whole:
            return Action("ending", ending, fixed)
        after = self.node(node.seen, node.failed | 1 << ending, weights, paid.own, paid.shop)
        return Action("ending", ending, fixed, (), (after,))

    def _steps(self, node: Node) -> Iterator[Action]:
        problem, seen = self.problem, node.seen
        for step, item in enumerate(problem.steps):
            if seen[step] >= 0 or step in self.evidence.barred or not _may_follow(item, seen):
                continue
            if step not in self.needed and not _tells(problem.chances[step], node.weights):
                continue
            paid = node.dues.steps[step]
            low = node.whole * paid.cost
            for weight, least in zip(node.weights, self.ledger.dues(paid.own, paid.shop).least, strict=True):
                low += weight * least
            if low >= node.high:
                continue
            yield self.step(node, step)

    def step(self, node: Node, step: int) -> Action:
        """A step, with a node for each result that can come up."""
        seen, paid = node.seen, node.dues.steps[step]
        results, after = [], []
        for result, chances in enumerate(self.problem.chances[step]):
            weights = tuple([weight * chance for weight, chance in zip(node.weights, chances, strict=True)])
            if sum(weights) > NEVER * node.whole:
                results.append(result)
                known = (*seen[:step], result, *seen[step + 1 :])
                after.append(self.node(known, node.failed, weights, paid.own, paid.shop))
        return Action("step", step, node.whole * paid.cost, tuple(results), tuple(after))

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
            before = top.low, top.high
            widened = trail[-1].actions is None
            if widened:
                self.widen(trail.pop())
            for node in reversed(trail):
                self.update(node)
            if not widened and (top.low, top.high) == before:
                break
        return top

    def _down(self, top: Node) -> list[Node]:
        """The nodes from the top to one that is not widened yet, or below which nothing is open."""
        trail = [top]
        node = top
        while node.actions is not None:
            action = self.update(node)
            gap = 0.0
            following: Node | None = None
            for after in action.after:
                if after.high - after.low > gap:
                    gap, following = after.high - after.low, after
            if following is None:
                break
            trail.append(following)
            node = following
        return trail


def _may_follow(item: Item, seen: tuple[int, ...]) -> bool:
    return all(seen[step] in results for step, results in item.after)


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
