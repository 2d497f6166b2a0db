"""Marks: by what steps, results and endings are told apart on pages, flowcharts and paper."""

from collections import Counter
from string import ascii_lowercase

from builder.reckon.graph import Graph


def letter(place: int) -> str:
    """The letter of something by its place from 0: a to z, then aa, ab …

    >>> letter(0), letter(25), letter(26)
    ('a', 'z', 'aa')
    """
    before, last = divmod(place, len(ascii_lowercase))
    return (letter(before - 1) if before else "") + ascii_lowercase[last]


def marks(graph: Graph) -> list[str]:
    """The mark of each node: steps have numbers from 1, endings capital letters, hand-overs none."""
    counted: Counter[str] = Counter()
    found = []
    for node in graph.nodes:
        counted[node.kind] += 1
        place = counted[node.kind]
        found.append({"step": str(place), "ending": letter(place - 1).upper()}.get(node.kind, ""))
    return found
