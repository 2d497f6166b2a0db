"""The graph of a playbook: steps and the places where paths stop, numbered so that every result leads upwards."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from typing import Literal, NamedTuple

from builder.read.records import Ending, Next, Playbook, Step
from builder.reckon.amounts import whole_sum

Kind = Literal["step", "ending", "handover"]
Key = tuple[Kind, str]


class Edge(NamedTuple):
    """One result of a step and the number of the node it leads to."""

    result: str
    target: int


class Node(NamedTuple):
    """A step, an ending or a hand-over; ``name`` is the slug of the other playbook for a hand-over."""

    kind: Kind
    name: str
    work: Step | Ending | None


@dataclass(frozen=True)
class Graph:
    """``edges[i]`` are the results of node ``i``, in the order of the file; node 0 is the start."""

    nodes: Sequence[Node]
    edges: Sequence[Sequence[Edge]]

    @cached_property
    def number(self) -> dict[Key, int]:
        """The number of each step and ending by its kind and name."""
        return {(node.kind, node.name): i for i, node in enumerate(self.nodes)}

    @cached_property
    def path_counts(self) -> list[int]:
        """For every node, how many ways lead from it to where paths stop."""
        counts = [1] * len(self.nodes)
        for i in reversed(range(len(self.nodes))):
            if self.edges[i]:
                counts[i] = whole_sum(counts[edge.target] for edge in self.edges[i])
        return counts

    @cached_property
    def heights(self) -> list[int]:
        """For every node, the most results that a path from it can still have."""
        heights = [0] * len(self.nodes)
        for i in reversed(range(len(self.nodes))):
            if self.edges[i]:
                heights[i] = 1 + max(heights[edge.target] for edge in self.edges[i])
        return heights

    @property
    def path_count(self) -> int:
        """How many paths there are in all."""
        return self.path_counts[0]

    def follow(self, results: Sequence[str], start: int = 0) -> list[int]:
        """The nodes on the way that a sequence of results takes, ``start`` first.

        Raises:
            KeyError: a result does not belong to the step that is reached.
        """
        way = [start]
        for result in results:
            targets = {edge.result: edge.target for edge in self.edges[way[-1]]}
            way.append(targets[result])
        return way


def graph_of(playbook: Playbook) -> Graph:
    """The graph of a playbook that has passed the checks (every ``next`` is known, nothing goes round)."""
    leads: dict[Key, list[tuple[str, Key]]] = {}
    for name, step in playbook.steps.items():
        leads["step", name] = [(key, _target(playbook, result.next)) for key, result in step.results.items()]
    order = _in_order(("step", str(playbook.start)), leads, playbook)
    number = {key: i for i, key in enumerate(order)}
    work = playbook.work()
    nodes = [Node(kind, name, work[name] if kind != "handover" else None) for kind, name in order]
    edges = [tuple(Edge(result, number[target]) for result, target in leads.get(key, ())) for key in order]
    return Graph(nodes, edges)


def _target(playbook: Playbook, following: Next) -> Key:
    if following.playbook:
        return "handover", following.playbook
    return ("step" if following.name in playbook.steps else "ending"), str(following.name)


def _in_order(start: Key, leads: dict[Key, list[tuple[str, Key]]], playbook: Playbook) -> list[Key]:
    """What can be reached from the start, each after all that leads to it, else in the order of the file."""
    reached = {start: 0}
    waiting = [start]
    for key in waiting:
        for _, target in leads.get(key, ()):
            if target not in reached:
                waiting.append(target)
            reached[target] = reached.get(target, 0) + 1
    written: list[Key] = [("step", name) for name in playbook.steps] + [("ending", name) for name in playbook.endings]
    written += sorted(key for key in reached if key[0] == "handover")
    rank = {key: i for i, key in enumerate(written)}
    ready = [(rank[start], start)]
    order: list[Key] = []
    while ready:
        _, key = heappop(ready)
        order.append(key)
        for _, target in leads.get(key, ()):
            reached[target] -= 1
            if not reached[target]:
                heappush(ready, (rank[target], target))
    return order
