"""Evidence: what is known (results of steps, repairs that did not help), what is paid for, and what is ruled out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import inf

from builder.reckon.order.problem import Item, Problem


@dataclass(frozen=True, slots=True)
class Evidence:
    """``seen`` gives results by step, ``failed`` the endings that were done and did not help.

    ``unsure`` gives for some steps the weights of their results, where nobody is sure which it was; only their ratios
    count. ``own`` and ``shop`` are the fees that are met, as bit sets (see :func:`paid_by`). ``barred`` are steps and
    ``closed`` endings that the owner will not do, ``budget`` the money that may still be spent on own work. ``weights``
    are the shares of the causes to begin with, if they are not those of the problem.
    """

    seen: tuple[tuple[int, int], ...] = ()
    unsure: tuple[tuple[int, tuple[float, ...]], ...] = ()
    failed: tuple[int, ...] = ()
    own: int = 0
    shop: int = 0
    barred: frozenset[int] = field(default=frozenset())
    closed: frozenset[int] = field(default=frozenset())
    budget: float = inf
    weights: tuple[float, ...] | None = None

    def results(self, steps: int) -> tuple[int, ...]:
        """The result of each of so many steps, -1 where it was not done; the likeliest where nobody is sure."""
        found = [-1] * steps
        for step, result in self.seen:
            found[step] = result
        for step, weights in self.unsure:
            found[step] = weights.index(max(weights))
        return tuple(found)


NOTHING_SEEN = Evidence()


def weights_after(problem: Problem, evidence: Evidence) -> tuple[float, ...]:
    """Weight of each cause: its share times the chances of the results, nothing where a repair has ruled it out.

    A result that nobody is sure of counts by the weighted chances of all of the step's (virtual evidence; Pearl,
    Probabilistic Reasoning in Intelligent Systems, 1988, section 2.2.2).
    """
    weights = list(evidence.weights or problem.weights)
    for step, result in evidence.seen:
        weights = [weight * chance for weight, chance in zip(weights, problem.chances[step][result], strict=True)]
    for step, shares in evidence.unsure:
        for c, weight in enumerate(weights):
            likely = 0.0
            for share, chances in zip(shares, problem.chances[step], strict=True):
                likely += share * chances[c]
            weights[c] = weight * likely
    for ending in evidence.failed:
        weights = [0.0 if right else w for w, right in zip(weights, problem.settles[ending], strict=True)]
    return tuple(weights)


def paid_by(problem: Problem, steps: Iterable[int], endings: Iterable[int]) -> tuple[int, int]:
    """The fees that some work has met, as bit sets: those that are the owner's, and those that are a shop's alone."""
    own = shop = 0
    for item in (*(problem.steps[s] for s in steps), *(problem.endings[e] for e in endings)):
        for fee in item.own:
            own |= 1 << fee
        for fee in item.shop:
            shop |= 1 << fee
    return own, shop & ~own


def may_follow(item: Item, seen: Sequence[int]) -> bool:
    """Whether all that an item needs before it has been done, with a result that allows it."""
    return all(seen[step] in results for step, results in item.after)
