"""Large playbooks: valid in every field, and as large in one way as somebody wishes.

Steps stand in a row (``row``), each result leads to the next step, and the last step to the endings. What is large
costs nothing to write, and was found to cost a build everything.
"""

from typing import Any

Playbook = dict[str, Any]


def causes(count: int) -> dict[str, Any]:
    """Causes with shares that leave a little over."""
    share = 100_000_000 // (count + 1)
    return {f"c{c}": {"name": f"Cause {c}", "share": f"{share / 1_000_000:.6f}%"} for c in range(count)}


def chances(results: int, r: int, names: list[str], step: int, *, graded: bool) -> Any:
    """The chance of result ``r`` of a step; where ``graded``, another one under every cause, with six decimals."""
    if r == results - 1:
        return "rest"
    most = 100_000_000 // results
    if not graded:
        return f"{most / 1_000_000:.6f}%"
    by_cause = {
        name: f"{(most - (7919 * (step + 1) * (c + 1) * (r + 1)) % (most // 2)) / 1_000_000:.6f}%"
        for c, name in enumerate(names)
    }
    return {**by_cause, "otherwise": f"{most / 1_000_000:.6f}%"}


def row(
    steps: int = 3,
    results: int = 2,
    named: int = 3,
    *,
    splits: int | None = None,
    graded: bool = False,
    own_endings: bool = False,
    fan: int = 1,
    **more: Any,
) -> Playbook:
    """A row of steps; the first ``splits`` of them (by default all) have several results, the others one.

    ``own_endings`` gives every step an ending of its own, to which its first result leads; ``fan`` lets results lead
    to so many of the steps that follow in place of one.
    """
    splits = steps if splits is None else splits
    names = list(causes(named))
    book: Playbook = {
        "format": 1,
        "title": "It makes a noise",
        "symptom": {"summary": "It makes a noise on the move."},
        **({"causes": causes(named)} if named else {}),
        "start": "s0",
        "steps": {},
        "endings": {"e": {"title": "Hand it over", **({"settles": "all"} if named else {}), "time": "10 min"}},
    }
    for s in range(steps):
        count = results if s < splits else 1
        ahead = [f"s{t}" if t < steps else "e" for t in range(s + 1, s + 1 + fan)]
        answers: dict[str, Any] = {}
        for r in range(count):
            one = {"expect": f"It sounds like {r}", "next": ahead[r % len(ahead)]}
            if named and count > 1:
                one["chance"] = chances(count, r, names, s, graded=graded)
            answers[f"r{r}"] = one
        if own_endings:
            answers["r0"]["next"] = f"e{s}"
            book["endings"][f"e{s}"] = {"title": f"Hand it over {s}", "time": "5 min"}
        book["steps"][f"s{s}"] = {"title": f"Listen to place {s}", "time": "5-10 min", "cost": s, "results": answers}
    return {**book, **more}
