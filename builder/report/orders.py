"""The orders of a playbook, for a terminal: what each costs, where another begins to differ, which guesses matter."""

from collections.abc import Iterator, Sequence
from typing import Final

from rich.table import Table
from rich.text import Text

from builder.draw.figures import Figures
from builder.reckon.order.changes import Change, in_words
from builder.reckon.order.orders import Orders
from builder.reckon.order.sensitivity import Guess

CHANGES: Final = 5
"""Changes that are told; they come with what saves most first."""

GUESSES: Final = 6
"""Guesses that are told, beside those with which the best order would begin with something else."""


def orders_table(slug: str, orders: Orders, figures: Figures) -> Iterator[Table | Text]:
    """What each order costs in the end, in money and as a share of what is written."""
    whole = orders.playbook_shaped if orders.written is None else orders.written
    table = Table(box=None, pad_edge=False)
    table.add_column(Text(f"{slug}: cost in the end"))
    table.add_column("", justify="right")
    table.add_column("", justify="right")
    for said, cost in _costs(orders):
        share = figures.share(cost / whole) if whole else "–"
        table.add_row(Text(said), Text(figures.money(cost)), Text(share))
    yield table
    yield Text(_verdict(orders, figures))


def _costs(orders: Orders) -> Iterator[tuple[str, float]]:
    rows = (
        ("as written", orders.written),
        ("as written, then the best order after a repair that did not help", orders.written_then_best),
        ("the best playbook-shaped order", orders.playbook_shaped),
        ("the best order", orders.best),
        ("no order can cost less than", orders.bound),
        ("handed over at once", orders.at_once),
    )
    yield from ((said, cost) for said, cost in rows if cost is not None)


def _verdict(orders: Orders, figures: Figures) -> str:
    if orders.is_proven:
        return f"The best order is proven; {figures.count(orders.effort)} states were looked at."
    gap = figures.share((orders.best - orders.bound) / orders.best)
    states = figures.count(orders.effort)
    return f"The best order found may be up to {gap} dearer than the best there is; {states} states were looked at."


def changes_told(orders: Orders, changes: Sequence[Change]) -> Iterator[Text]:
    """Where the playbook-shaped order begins to differ from what is written, in words."""
    if not changes:
        yield Text("No other order that a playbook can be written in was found to cost less.")
        return
    yield Text("Where the playbook-shaped order differs first:")
    for change in changes[:CHANGES]:
        yield Text(f"- {in_words(orders.problem, change)}")
    if len(changes) > CHANGES:
        yield Text(f"- and {len(changes) - CHANGES} more")


def guesses_told(guesses: Sequence[Guess], cost: float, figures: Figures) -> Iterator[Text]:
    """The guesses that matter most: those that move the cost in the end, and those that change what comes first."""
    told = [guess for place, guess in enumerate(guesses) if place < GUESSES or any(guess.firsts)]
    if told:
        yield Text("Guesses worth a look in the books (cost in the end if they are a third lower, and a third higher):")
    for guess in told[: 2 * GUESSES]:
        low, high = (figures.money(other) for other in guess.costs)
        yield Text(f"- {_guessed(guess, figures)}: {low}, {high} (now {figures.money(cost)}){_first(guess)}")


def _guessed(guess: Guess, figures: Figures) -> str:
    if guess.kind == "share":
        return f"the share of `{guess.names[0]}`, {figures.share(guess.value)}"
    if guess.kind == "chance":
        step, result, cause = guess.names
        return f"the chance of `{result}` at `{step}` for `{cause}`, {figures.share(guess.value)}"
    return f"the price of `{guess.names[0]}`, {figures.money(guess.value)}"


def _first(guess: Guess) -> str:
    lower, higher = guess.firsts
    if lower and lower == higher:
        return f"; the best order would begin with `{lower}` either way"
    said = [f"with `{name}` if {how}" for name, how in ((lower, "lower"), (higher, "higher")) if name]
    return f"; the best order would begin {' and '.join(said)}" if said else ""
