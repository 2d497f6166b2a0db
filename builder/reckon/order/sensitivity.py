"""The guesses of a playbook: how far the cost in the end moves when one is a third higher or lower.

One guess is changed at a time, and what must add up to 100 % with it gives way in proportion (one-way sensitivity
analysis, as in decision analysis since Howard 1968). The order stays as it is; what the best order would begin with is
looked for anew.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import fsum
from typing import Final, Literal, NamedTuple

from builder.read.notation import UNLISTED, Amount
from builder.read.records import Catalogue, Playbook, Settings
from builder.reckon.amounts import mean, times
from builder.reckon.order.policy import policy_of
from builder.reckon.order.problem import Problem, problem_of
from builder.reckon.order.search import Search
from builder.reckon.order.shape import Shape, cost_of

FACTORS: Final = (2 / 3, 4 / 3)

LOOKED: Final = 150
"""How many nodes of the search are looked at for the first thing to do, for each changed guess."""

Kind = Literal["share", "chance", "price"]
First = tuple[str, int]
Rows = tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Guess:
    """``names`` say what was guessed: a cause; a step, a result and a cause (or `otherwise`); what has a price.

    ``value`` is what was guessed (a share of 1, or money), ``costs`` the cost in the end where it is a third lower, and
    a third higher; ``firsts`` what the best order then begins with, where that is something else.
    """

    kind: Kind
    names: tuple[str, ...]
    value: float
    costs: tuple[float, float]
    firsts: tuple[str | None, str | None]

    def moves(self, cost: float) -> float:
        """How far it moves the cost in the end at most."""
        return max(abs(other - cost) for other in self.costs)


class _Trial(NamedTuple):
    kind: Kind
    names: tuple[str, ...]
    value: float
    changed: Callable[[float], Problem]


def guesses(
    playbook: Playbook, catalogue: Catalogue, settings: Settings, shape: Shape, looked: int = LOOKED
) -> list[Guess]:
    """Every guess of a playbook that has odds, what moves the cost of a shape most first.

    With ``looked`` 0, nobody looks for what to do first.
    """
    problem = problem_of(playbook, catalogue, settings)
    if problem is None:
        return []
    cost, first = cost_of(problem, shape), _first(problem, looked)
    trials = [*_shares(problem), *_chances(playbook, problem), *_prices(playbook, catalogue, settings)]
    found = [_guess(trial, shape, first, looked) for trial in trials]
    return sorted(found, key=lambda guess: (-guess.moves(cost), guess.kind, guess.names))


def _guess(trial: _Trial, shape: Shape, first: str, looked: int) -> Guess:
    problems = [trial.changed(factor) for factor in FACTORS]
    low, high = (cost_of(problem, shape) for problem in problems)
    firsts = [_first(problem, looked) for problem in problems]
    other, another = (name if name != first else None for name in firsts)
    return Guess(trial.kind, trial.names, trial.value, (low, high), (other, another))


def _first(problem: Problem, looked: int) -> str:
    """What the best order that is found begins with; empty where nobody looks."""
    if not looked:
        return ""
    search = Search(problem)
    search.solve(looked)
    entry = policy_of(search, search.root)[0]
    if entry.kind == "professional":
        return entry.kind
    return (problem.steps if entry.kind == "step" else problem.endings)[entry.number].name


def _shares(problem: Problem) -> Iterator[_Trial]:
    for c, (cause, weight) in enumerate(zip(problem.causes, problem.weights, strict=True)):

        def changed(factor: float, c: int = c) -> Problem:
            return replace(problem, weights=with_other(problem.weights, c, factor))

        if cause != UNLISTED and weight > 0:
            yield _Trial("share", (cause,), weight, changed)


def with_other(row: Sequence[float], place: int, factor: float) -> tuple[float, ...]:
    """Figures with one of them times a factor, at most all of them together; the others give way in proportion.

    Where the others are all 0, they share what it leaves.
    """
    whole = fsum(row)
    new = min(whole, row[place] * factor)
    rest = whole - row[place]
    if rest > 0:
        return tuple(new if i == place else figure * (whole - new) / rest for i, figure in enumerate(row))
    return tuple(new if i == place else (whole - new) / max(1, len(row) - 1) for i in range(len(row)))


def _chances(playbook: Playbook, problem: Problem) -> Iterator[_Trial]:
    for s, (name, step) in enumerate(playbook.steps.items()):
        for r, (key, result) in enumerate(step.results.items()):
            if result.chance is None or result.chance.rest or len(step.results) == 1:
                continue
            others = frozenset(problem.causes) - result.chance.by_cause.keys()
            groups = [(cause, chance, frozenset({cause})) for cause, chance in result.chance.by_cause.items()]
            if result.chance.otherwise is not None:
                groups.append(("otherwise", result.chance.otherwise, others))
            for said, chance, causes in groups:

                def changed(factor: float, s: int = s, r: int = r, causes: frozenset[str] = causes) -> Problem:
                    return _with_chance(problem, s, r, causes, factor)

                if chance > 0 and causes:
                    yield _Trial("chance", (name, key, said), float(chance), changed)


def _with_chance(problem: Problem, s: int, r: int, causes: frozenset[str], factor: float) -> Problem:
    columns = list(zip(*problem.chances[s], strict=True))
    for c, cause in enumerate(problem.causes):
        if cause in causes:
            columns[c] = with_other(columns[c], r, factor)
    rows: Rows = tuple(zip(*columns, strict=True))
    return replace(problem, chances=(*problem.chances[:s], rows, *problem.chances[s + 1 :]))


def _prices(playbook: Playbook, catalogue: Catalogue, settings: Settings) -> Iterator[_Trial]:
    """Prices of the tools and parts that a playbook needs, and costs of its steps and endings."""
    work = playbook.work().values()
    for kind in ("tools", "parts"):
        entries = getattr(catalogue, kind)
        for name in sorted({name for one in work for name in getattr(one, kind)}):
            if mean(entries[name].price) and not (kind == "tools" and entries[name].usual):

                def priced(factor: float, kind: str = kind, name: str = name) -> Problem:
                    table = {**getattr(catalogue, kind)}
                    table[name] = table[name].model_copy(update={"price": times(table[name].price, factor)})
                    return _problem(playbook, catalogue.model_copy(update={kind: table}), settings)

                yield _Trial("price", (name,), mean(entries[name].price), priced)
    for kind in ("steps", "endings"):
        for name, one in getattr(playbook, kind).items():
            if mean(one.cost):

                def costing(factor: float, kind: str = kind, name: str = name, cost: Amount = one.cost) -> Problem:
                    table = {**getattr(playbook, kind)}
                    table[name] = table[name].model_copy(update={"cost": times(cost, factor)})
                    return _problem(playbook.model_copy(update={kind: table}), catalogue, settings)

                yield _Trial("price", (name,), mean(one.cost), costing)


def _problem(playbook: Playbook, catalogue: Catalogue, settings: Settings) -> Problem:
    problem = problem_of(playbook, catalogue, settings)
    if problem is None:
        raise ValueError(f"the playbook `{playbook.slug}` has no odds")
    return problem
