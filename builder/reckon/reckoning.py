"""A reckoning: a playbook made ready for every figure of it, its graph, its bill and, if it has them, its odds."""

from dataclasses import dataclass
from functools import cached_property

from builder.read.records import Catalogue, Playbook, Settings
from builder.reckon.bill import Bill, bill_of
from builder.reckon.graph import Graph, graph_of
from builder.reckon.odds import Odds, odds_of
from builder.reckon.order.problem import Problem, problem_of
from builder.reckon.order.shape import cost_of, written_shape

Row = tuple[float, ...]
"""One figure a cause."""


@dataclass(frozen=True)
class Reckoning:
    """A playbook and what its figures are reckoned from.

    ``odds``, and the ``problem`` of its order, are ``None`` where shares or chances are not given.
    """

    playbook: Playbook
    graph: Graph
    bill: Bill
    odds: Odds | None
    problem: Problem | None

    @property
    def given_odds(self) -> Odds:
        """The odds of a playbook that has them.

        Raises:
            ValueError: it has none.
        """
        if self.odds is None:
            raise ValueError(f"the playbook `{self.playbook.slug}` has no odds")
        return self.odds

    @cached_property
    def in_the_end(self) -> float | None:
        """What following the playbook costs in the end, in the library's currency."""
        shape = written_shape(self.playbook, self.problem) if self.problem else None
        return cost_of(self.problem, shape) if self.problem and shape else None

    @cached_property
    def reach(self) -> list[Row]:
        """For every node and cause: the chance that the cause is the one and that a path comes through the node."""
        odds = self.given_odds
        causes = range(len(odds.causes))
        rows = [[0.0] * len(causes) for _ in self.graph.nodes]
        rows[0] = list(odds.prior)
        for i, edges in enumerate(self.graph.edges):
            row = rows[i]
            for edge, chance in zip(edges, odds.likelihoods[i], strict=True):
                target = rows[edge.target]
                for c in causes:
                    target[c] += row[c] * chance[c]
        return [tuple(row) for row in rows]


def reckoning_of(playbook: Playbook, catalogue: Catalogue, settings: Settings) -> Reckoning:
    """Get a playbook that has passed the checks ready for reckoning."""
    graph = graph_of(playbook)
    problem = problem_of(playbook, catalogue, settings)
    return Reckoning(playbook, graph, bill_of(graph, catalogue, settings), odds_of(playbook, graph), problem)
