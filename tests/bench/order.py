"""The search for the best order: states, seconds and the gap that is left, for the demo and for made-up problems.

``python -m tests.bench.order NODES``: so many states at most are looked at for each. Seconds are CPU time, memory that
of the process at its peak so far. The made-up problems have three results a step; in sparse ones a result speaks of few
causes, in dense ones each result has a chance of its own under each cause.
"""

import random
import resource
import sys
import time
from typing import Final

from builder.reckon.order.problem import Fee, Item, Problem, problem_of
from builder.reckon.order.search import Search
from tests.demo import demo_library

SIZES: Final = ((8, 6), (10, 8), (12, 8), (14, 10), (40, 15))
"""Steps and causes."""
RESULTS: Final = 3
TOOLS: Final = 4
MAXRSS_UNIT: Final = 1 if sys.platform == "darwin" else 1024
"""Bytes in a unit of ``ru_maxrss``, see getrusage(2)."""


def problem(steps: int, causes: int, dense: bool) -> Problem:
    """A problem of so many steps and causes, the last of which no repair settles; the same at any time."""
    chance = random.Random(steps * 1000 + causes + dense)
    shares = [chance.uniform(0.5, 1) * 0.75**cause for cause in range(causes)]
    tools = tuple(Fee(f"tool-{tool}", *[float(chance.randint(8, 40))] * 2) for tool in range(TOOLS))

    def item(name: str, low: float, high: float, needs: float) -> Item:
        own = (chance.randrange(TOOLS),) if chance.random() < needs else ()
        return Item(name, chance.uniform(low, high), own, (), ())

    items = tuple(item(f"step-{step}", 1, 15, 0.4) for step in range(steps))
    columns = [
        [(dense_column if dense else sparse_column)(chance, step % causes == cause) for cause in range(causes)]
        for step in range(steps)
    ]
    repairs = tuple(item(f"repair-{cause}", 15, 150, 0.3) for cause in range(causes - 1))
    return Problem(
        causes=tuple(f"cause-{cause}" for cause in range(causes)),
        weights=tuple(share / sum(shares) for share in shares),
        bills=(*(140 + 1.8 * repair.cost for repair in repairs), 500.0),
        fees=tools,
        steps=items,
        results=(("bad", "unclear", "good"),) * steps,
        chances=tuple(tuple(zip(*rows, strict=True)) for rows in columns),
        endings=(*repairs, Item("hand-over", 0.0, (), (), ())),
        settles=(
            *(tuple(cause == own for cause in range(causes)) for own in range(causes - 1)),
            (False,) * causes,
        ),
    )


def dense_column(chance: random.Random, _: bool) -> list[float]:
    parts = [chance.random() ** 3 + 0.02 for _ in range(RESULTS)]
    return [part / sum(parts) for part in parts]


def sparse_column(chance: random.Random, found: bool) -> list[float]:
    bad = chance.uniform(0.6, 0.95) if found or chance.random() < 0.15 else chance.uniform(0.01, 0.08)
    unclear = (1 - bad) * chance.uniform(0.1, 0.3)
    return [bad, unclear, 1 - bad - unclear]


def measure(name: str, made: Problem, nodes: int) -> float:
    """Prints a row for a problem; gives its seconds."""
    began = time.process_time()
    search = Search(made)
    root = search.solve(nodes)
    seconds = time.process_time() - began
    gap = 100 * (root.high - root.low) / root.high
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * MAXRSS_UNIT / (1 << 20)
    figures = f"{search.effort:>9}{seconds:>10.1f}{gap:>9.2f}{root.high:>10.2f}{root.low:>10.2f}{made.at_once:>10.2f}"
    print(f"{name:<36}{figures}{peak:>10.0f}", flush=True)
    return seconds


def main(nodes: int) -> None:
    head = f"{'states':>9}{'CPU s':>10}{'gap %':>9}{'best':>10}{'bound':>10}{'at once':>10}{'MiB':>10}"
    print(f"{'order of':<36}{head}")
    library = demo_library()
    total = 0.0
    for slug, playbook in library.playbooks.items() if library else ():
        made = problem_of(playbook, library.catalogue, library.settings) if library else None
        if made:
            total += measure(slug, made, nodes)
    print(f"{'the demo together':<36}{'':>9}{total:>10.1f}")
    for steps, causes in SIZES:
        for dense in (False, True):
            kind = "dense" if dense else "sparse"
            measure(f"{steps} steps, {causes} causes, {kind}", problem(steps, causes, dense), nodes)


if __name__ == "__main__":
    main(int(sys.argv[1]))
