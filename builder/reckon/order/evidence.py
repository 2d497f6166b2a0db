"""Evidence: what an owner has seen (results of steps, repairs that did not help) and what has been paid for good."""

from dataclasses import dataclass, field

from builder.reckon.order.problem import Item, Problem


@dataclass(frozen=True, slots=True)
class Evidence:
    """``seen`` gives results by step, ``failed`` the endings that were done and did not help.

    ``paid`` are the numbers of fees that cost nothing any more, ``barred`` steps and ``closed`` endings that the owner
    will not do. ``weights`` are the shares of the causes to begin with, if they are not those of the problem.
    """

    seen: tuple[tuple[int, int], ...] = ()
    failed: tuple[int, ...] = ()
    paid: tuple[int, ...] = ()
    barred: frozenset[int] = field(default=frozenset())
    closed: frozenset[int] = field(default=frozenset())
    weights: tuple[float, ...] | None = None


NOTHING_SEEN = Evidence()


def weights_after(problem: Problem, evidence: Evidence) -> tuple[float, ...]:
    """Weight of each cause: its share times the chances of the results, nothing where a repair has ruled it out."""
    weights = list(evidence.weights or problem.weights)
    for step, result in evidence.seen:
        chances = problem.chances[step][result]
        weights = [weight * chance for weight, chance in zip(weights, chances, strict=True)]
    for ending in evidence.failed:
        settled = problem.settles[ending]
        weights = [0.0 if right else weight for weight, right in zip(weights, settled, strict=True)]
    return tuple(weights)


def fees_after(problem: Problem, evidence: Evidence) -> tuple[int, int]:
    """Fees met so far as bit sets: those that are the owner's, and those that are a shop's alone."""
    own = shop = 0
    done: list[Item] = [problem.steps[s] for s, _ in evidence.seen]
    done += [problem.endings[e] for e in evidence.failed]
    for item in done:
        for fee in item.own:
            own |= 1 << fee
        for fee in item.shop:
            shop |= 1 << fee
    for fee in evidence.paid:
        own |= 1 << fee
    return own, shop & ~own


def may_follow(item: Item, seen: dict[int, int]) -> bool:
    """Whether all that an item needs before it has been done, with a result that allows it."""
    return all(seen.get(step, -1) in results for step, results in item.after)
