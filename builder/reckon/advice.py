"""Advice: warnings for editors that only the numbers show. Asked only of playbooks that have no errors."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from builder.read.findings import WARNING, Finding, in_ticks
from builder.read.reading import Appraisal, Reading
from builder.read.records import Playbook
from builder.reckon.order.changes import changes, in_words
from builder.reckon.order.orders import Effort, NoOrderError, Orders, arranged, orders_of
from builder.reckon.order.shape import written_shape
from builder.reckon.reckoning import Reckoning, reckoning_of
from builder.reckon.standing import standings

LEAST_SHARE: Final = 0.05
"""What another order must save of the cost in the end to be worth a word."""

EFFORTS: Final = ((50, Effort(300, 1_500)), (500, Effort(150, 300)))
"""How much is tried for each playbook of a library with at most so many; more is tried where there are few."""

LEAST_EFFORT: Final = Effort(60, 100)
"""For each playbook of a larger library."""

MOST_RESULTS: Final = 150
"""Orders of playbooks whose steps have more results are not looked for at every build and check: it takes minutes."""

MOSTLY: Final = 0.5
"""The share of the cases at an ending above which one cause that it does not settle is said to be the one it meets."""

Advisor = Callable[[Reading, Reckoning], Iterator[Finding]]


def appraise(reading: Reading) -> Appraisal:
    """The warnings of this room for one playbook, and its orders, as :class:`Orders`; none without odds."""
    effort = effort_for(len(reading.slugs))
    try:
        playbook = _arranged(reading, effort)
    except NoOrderError as error:
        return Appraisal(reading.playbook, (no_order(reading, error),))
    reading = replace(reading, playbook=playbook)
    reckoning = reckoning_of(playbook, reading.catalogue, reading.settings)
    found = list(cause_unsettled(reading))
    if reckoning.odds is None:
        return Appraisal(playbook, tuple(found), whole=True)
    for advisor in ADVISORS:
        found += advisor(reading, reckoning)
    orders = None if _is_large(playbook) else orders_of(playbook, reading.catalogue, reading.settings, effort)
    if orders:
        found += [*dear_order(reading, orders), *dear_playbook(reading, orders)]
    return Appraisal(playbook, tuple(found), orders, whole=True)


def arrange(reading: Reading) -> Appraisal:
    """A playbook whose order is to be worked out, with that order; any other as it is. Nothing is warned of."""
    try:
        effort = effort_for(len(reading.slugs))
        return Appraisal(_arranged(reading, effort))
    except NoOrderError as error:
        return Appraisal(reading.playbook, (no_order(reading, error),))


def _arranged(reading: Reading, effort: Effort) -> Playbook:
    """A playbook with its order worked out, if it asks for that.

    Raises:
        NoOrderError: there is none, or it is too large to look for one.
    """
    if reading.playbook.order == "best" and _is_large(reading.playbook):
        raise NoOrderError(f"the order of steps with more than {MOST_RESULTS} results is not worked out")
    return arranged(reading.playbook, reading.catalogue, reading.settings, effort)


def _is_large(playbook: Playbook) -> bool:
    return len([result for step in playbook.steps.values() for result in step.results]) > MOST_RESULTS


def no_order(reading: Reading, error: NoOrderError) -> Finding:
    """An order that is to be worked out, and cannot be."""
    hint = "write `start` and every `next`, or give every cause a share and every result a chance, and loosen `after`"
    return reading.finding(("order",), "no-order", str(error), hint)


def effort_for(playbooks: int) -> Effort:
    """How much is tried for each playbook of a library with so many."""
    return next((effort for most, effort in EFFORTS if playbooks <= most), LEAST_EFFORT)


def cause_unsettled(reading: Reading) -> Iterator[Finding]:
    """A cause that no ending puts right."""
    for cause in reading.playbook.causes:
        if not any(ending.puts_right(cause) for ending in reading.playbook.endings.values()):
            message = f"no ending puts the cause `{cause}` right"
            hint = "add an ending that settles it, if an owner or a workshop can repair it"
            yield reading.finding(("causes", cause), "cause-unsettled", message, hint, WARNING, key=True)


def ending_mostly_wrong(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """An ending that puts the true cause right in less than half of the cases that come to it."""
    for node, standing in zip(reckoning.graph.nodes, standings(reckoning), strict=True):
        if standing.right is None or standing.right >= 0.5:
            continue
        share = f"{standing.right * 100:.0f} %"
        message = f"the ending `{node.name}` is right in only {share} of the cases that reach it"
        hint = f"most often the cause is `{standing.mistaken}`; add a step that tells it apart"
        if standing.causes and standing.mistaken and standing.causes[standing.mistaken] > MOSTLY:
            settled = in_ticks(reading.playbook.endings[node.name].settles)
            message += f": it settles {settled}, and {standing.causes[standing.mistaken] * 100:.0f} % of them have "
            message += f"`{standing.mistaken}`"
            if standing.mistaken in reading.playbook.causes:
                hint = f"write `settles: [{standing.mistaken}]` if it puts that right, or lead its results elsewhere"
        yield reading.finding(("endings", node.name), "ending-mostly-wrong", message, hint, WARNING, key=True)


def result_never(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """A result with no chance under any cause that has a share."""
    odds = reckoning.given_odds
    possible = [c for c, share in enumerate(odds.shares) if share > 0]
    for i, node in enumerate(reckoning.graph.nodes):
        for edge, chances in zip(reckoning.graph.edges[i], odds.chances[i], strict=True):
            if not any(chances[c] for c in possible):
                message = f"the result `{edge.result}` has no chance under any cause"
                hint = "give it a chance, or delete it"
                location = ("steps", node.name, "results", edge.result)
                yield reading.finding(location, "result-never", message, hint, WARNING, key=True)


def step_tells_nothing(reading: Reading, reckoning: Reckoning) -> Iterator[Finding]:
    """A step whose results say nothing of the cause and all lead to the same place."""
    for i, node in enumerate(reckoning.graph.nodes):
        edges = reckoning.graph.edges[i]
        same_place = len(edges) > 1 and len({edge.target for edge in edges}) == 1
        if same_place and all(len(set(chances)) == 1 for chances in reckoning.given_odds.chances[i]):
            message = f"the results of `{node.name}` change no odds and lead to the same place"
            hint = "let them lead to different steps, give chances by cause, or delete the step"
            yield reading.finding(("steps", node.name), "step-tells-nothing", message, hint, WARNING, key=True)


def dear_order(reading: Reading, orders: Orders) -> Iterator[Finding]:
    """Another order, that a playbook can be written in, saves a good part of the cost in the end."""
    written = written_shape(reading.playbook, orders.problem)
    if orders.written is None or written is None or not orders.written:
        return
    saved = orders.written - orders.playbook_shaped
    if saved < LEAST_SHARE * orders.written or saved < reading.settings.worth_saving:
        return
    share, most = (100 * (orders.written - cost) / orders.written for cost in (orders.playbook_shaped, orders.bound))
    message = f"another order saves {share:.0f} % of the cost in the end (bound {most:.0f} %)"
    first = changes(orders.problem, written, orders.shape)[0]
    hint = (
        f"{in_words(orders.problem, first)}; `droplight order {reading.playbook.slug}` shows all, `--write` writes it"
    )
    yield reading.finding(("start",), "dear-order", message, hint, WARNING, key=True)


def dear_playbook(reading: Reading, orders: Orders) -> Iterator[Finding]:
    """Handing the car over at once costs less than the playbook does in the end."""
    cost = orders.playbook_shaped if orders.written is None else orders.written
    if cost > orders.at_once * (1 + 1e-9):
        message = f"following it costs {cost:.0f} in the end; handing over at once {orders.at_once:.0f}"
        hint = (
            "look for cheaper checks or another order, or accept it and say on the page why one would still follow it"
        )
        location = ("start",) if reading.has(("start",)) else ("order",)
        yield reading.finding(location, "dear-playbook", message, hint, WARNING, key=True)


ADVISORS: Final[tuple[Advisor, ...]] = (ending_mostly_wrong, result_never, step_tells_nothing)
