"""The odds: causes are exclusive, results independent given the cause; posterior shares by Bayes' rule."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import lcm

from builder.read.notation import Chance
from builder.read.records import Playbook, Step
from builder.reckon.amounts import exact_sum, whole_sum
from builder.reckon.graph import Graph


@dataclass(frozen=True)
class Odds:
    """Shares and chances as whole numbers over common denominators, so that products stay exact.

    ``shares[c] / share_unit`` is the share of cause ``c``; ``chances[i][e][c] / unit`` the chance of result ``e`` of
    node ``i`` under it. ``rights[i][c]`` says whether node ``i`` is an ending that puts cause ``c`` right;
    ``repairs[i]`` whether it is an ending that claims to put anything right.
    """

    causes: tuple[str, ...]
    shares: tuple[int, ...]
    share_unit: int
    chances: Sequence[Sequence[tuple[int, ...]]]
    unit: int
    rights: Sequence[tuple[bool, ...]]
    repairs: Sequence[bool]

    @cached_property
    def prior(self) -> tuple[float, ...]:
        """Share of each cause, of 1."""
        return tuple(share / self.share_unit for share in self.shares)

    @cached_property
    def likelihoods(self) -> list[list[tuple[float, ...]]]:
        """``chances`` as shares of 1."""
        return [[tuple(chance / self.unit for chance in edge) for edge in edges] for edges in self.chances]

    def weights(self, graph: Graph, results: Sequence[str]) -> tuple[int, ...]:
        """Share of each cause times the chance of the results under it, over ``share_unit · unit^len(results)``."""
        weights = self.shares
        i = 0
        for result in results:
            names = [edge.result for edge in graph.edges[i]]
            e = names.index(result)
            weights = tuple(weight * chance for weight, chance in zip(weights, self.chances[i][e], strict=True))
            i = graph.edges[i][e].target
        return weights

    def posterior(self, graph: Graph, results: Sequence[str]) -> dict[str, float] | None:
        """Share of each cause after results, from the start on; ``None`` where they cannot happen together.

        Bayes' rule: share(cause | results) = share · Π chance(result | cause), divided by its sum over the causes.

        Raises:
            ValueError: a result does not belong to the step that is reached.
        """
        return self.normal(self.weights(graph, results))

    def normal(self, weights: Sequence[int]) -> dict[str, float] | None:
        """Weights of the causes divided by their sum, by name of the cause."""
        total = whole_sum(weights)
        if total == 0:
            return None
        return {cause: weight / total for cause, weight in zip(self.causes, weights, strict=True)}


def odds_of(playbook: Playbook, graph: Graph) -> Odds | None:
    """The odds of a playbook that has passed the checks; ``None`` where shares or chances are not given."""
    shares = playbook.shares
    if shares is None:
        return None
    causes = tuple(shares)
    table: list[list[tuple[Fraction, ...]]] = []
    for node in graph.nodes:
        edges = step_chances(node.work, causes) if isinstance(node.work, Step) else []
        if edges is None:
            return None
        table.append(edges)
    unit = lcm(*(chance.denominator for edges in table for edge in edges for chance in edge))
    share_unit = lcm(*(share.denominator for share in shares.values()))
    endings = playbook.endings
    return Odds(
        causes,
        tuple(int(share * share_unit) for share in shares.values()),
        share_unit,
        [[tuple(int(chance * unit) for chance in edge) for edge in edges] for edges in table],
        unit,
        [
            tuple(node.kind == "ending" and endings[node.name].puts_right(cause) for cause in causes)
            for node in graph.nodes
        ],
        [node.kind == "ending" and bool(endings[node.name].settles) for node in graph.nodes],
    )


def step_chances(step: Step, causes: Sequence[str]) -> list[tuple[Fraction, ...]] | None:
    """Chance of every result of a step under every cause; a single result needs no chance, it is certain.

    What is written adds up to 1 within a tolerance; here it does exactly, under each cause: each chance is divided by
    their sum, so that no error grows from step to step. A cause of which no chance speaks is none that there is.
    """
    if len(step.results) == 1 and all(result.chance is None for result in step.results.values()):
        return [tuple(Fraction(1) for _ in causes)]
    given = [result.chance for result in step.results.values()]
    known = [chance for chance in given if chance is not None]
    if len(known) < len(given):
        return None
    return list(zip(*(_normal([_chance(chance, cause, known) for chance in known]) for cause in causes), strict=True))


def _normal(chances: Sequence[Fraction]) -> Sequence[Fraction]:
    """Chances of the results of a step under one cause, divided by their sum."""
    whole = exact_sum(chances)
    return chances if whole in (0, 1) else [chance / whole for chance in chances]


def _chance(chance: Chance, cause: str, all_chances: Sequence[Chance]) -> Fraction:
    if not chance.rest:
        return chance.given(cause) or Fraction(0)
    others = exact_sum(other.given(cause) or Fraction(0) for other in all_chances if not other.rest)
    return max(Fraction(0), 1 - others)
