"""Totals as a table for a terminal."""

from collections.abc import Iterator

from rich.table import Table
from rich.text import Text

from builder.draw.figures import Figures
from builder.reckon.totals import PathTotals, Totals


def totals_table(totals: Totals, figures: Figures) -> Iterator[Table | Text]:
    """The numbers of a playbook as a whole, then a row for each listed path."""
    for line in _whole(totals, figures):
        yield Text(line)
    table = Table(box=None, pad_edge=False)
    for head, side in (
        ("results", "left"),
        ("ends in", "left"),
        ("money", "right"),
        ("time", "right"),
        ("workshop", "right"),
        ("chance", "right"),
        ("put right", "right"),
    ):
        table.add_column(head, justify="right" if side == "right" else "left", overflow="fold")
    for path in totals.paths:
        table.add_row(*map(Text, _row(path, figures)))
    yield table


def _whole(totals: Totals, figures: Figures) -> Iterator[str]:
    listed = len(totals.paths)
    more = f", {listed} of them listed" if listed < totals.path_count else ""
    yield f"{totals.slug}: {figures.count(totals.path_count)} paths{more}"
    if totals.expected is None or totals.settled is None or totals.wasted is None:
        yield "no odds: shares or chances are not given"
        return
    expected = totals.expected
    yield (
        f"expected: {figures.money(expected.money)}, {figures.minutes(expected.minutes)}; "
        f"at a workshop {figures.money(expected.shop_money)}"
    )
    yield f"put right: {figures.share(totals.settled)}; wasted on wrong repairs: {figures.money(totals.wasted)}"
    if totals.spend_within:
        within = totals.spend_within.items()
        yield "done for: " + ", ".join(f"{percent} % for {figures.money(money)} or less" for percent, money in within)


def _row(path: PathTotals, figures: Figures) -> tuple[str, ...]:
    return (
        " → ".join(path.results),
        path.ending or f"go on in {path.handover}",
        figures.money(path.money.likely),
        figures.minutes(path.minutes.likely),
        figures.money(path.shop_money.likely),
        figures.share(path.chance) if path.chance is not None else "–",
        figures.share(path.settled) if path.settled is not None else "–",
    )
