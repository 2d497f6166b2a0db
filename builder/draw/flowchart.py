"""The flowchart of a playbook as a DOT graph, in symbols of ISO 5807.

Terminator: start and endings. Process: what a step does. Decision: what one sees then (only where a step has two or
more results). Predefined process: a hand-over to another playbook.
"""

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import graphviz

from builder.draw.figures import Figures, keep_units
from builder.draw.marks import marks
from builder.read.hazards import SIGNALS
from builder.read.notation import Amount
from builder.read.records import Catalogue, Step
from builder.reckon.amounts import add_up
from builder.reckon.bill import path_bill
from builder.reckon.reckoning import Reckoning
from builder.reckon.standing import result_chances

BOX_WIDTH: Final = 26
ARROW_WIDTH: Final = 20
ARROW_LINES: Final = 3
THIN: Final = 1.0
THICK: Final = 6.0
"""Widths of arrows that are never and always walked, in points."""

NOTHING: Final = Amount(0, 0, 0)

GAP: Final = "\u00a0"
"""Makes room in a box for its first line, which is set larger and bold; the layout program does not know that."""

WORDS_AT_ARROWS: Final = {
    "shape": "plaintext",
    "margin": "0.1,0.03",
    "width": "0.2",
    "height": "0.2",
    "class": "result",
}

FONT: Final = "Helvetica,Arial,Arimo,sans-serif"


@dataclass(frozen=True, slots=True)
class Words:
    """The few words of a flowchart, in the language of the site."""

    start: str
    handover: str
    signals: Mapping[str, str]


def flowchart(
    reckoning: Reckoning, catalogue: Catalogue, figures: Figures, words: Words, titles: Mapping[str, str]
) -> graphviz.Digraph:
    """The graph to lay out; ``titles`` are those of the playbooks that hand-overs lead to, by slug.

    Every text goes through :func:`_label`, so that nothing in it is read as markup or as an escape.
    """
    graph = reckoning.graph
    often = result_chances(reckoning) if reckoning.odds else None
    mark = marks(graph)
    dot = graphviz.Digraph("flow")
    dot.attr("graph", rankdir="TB", nodesep="0.35", ranksep="0.3", bgcolor="transparent", fontname=FONT)
    dot.attr("node", fontname=FONT, fontsize="12", margin="0.14,0.08", height="0.3")
    dot.attr("edge", fontname=FONT, fontsize="11", arrowsize="0.7")
    dot.node("start", _label([words.start]), shape="box", style="rounded", **{"class": "terminator start"})
    dot.edge("start", "n0", **{"class": "arrow"})
    for i, node in enumerate(graph.nodes):
        if node.kind == "handover":
            lines = [words.handover, *_wrap(titles.get(node.name, node.name), BOX_WIDTH)]
            style = {
                "shape": "box",
                "peripheries": "1",
                "margin": "0.24,0.08",
                "class": "handover",
                "URL": f"{node.name}.html",
            }
            dot.node(f"n{i}", _label(lines), id=f"flow-to-{node.name}", **style)
        else:
            _draw_work(dot, reckoning, catalogue, figures, words, i, mark[i], often)
    return dot


def _draw_work(
    dot: graphviz.Digraph,
    reckoning: Reckoning,
    catalogue: Catalogue,
    figures: Figures,
    words: Words,
    i: int,
    mark: str,
    often: Sequence[Sequence[float]] | None,
) -> None:
    """A step or an ending: its mark, title, and what it costs by itself, without tools that others may need as well."""
    node = reckoning.graph.nodes[i]
    work = node.work
    if work is None:
        return
    signal = strongest(reckoning.bill.items[i].hazards, catalogue)
    first = f"{mark} · {words.signals[signal]}" if signal else mark
    room = GAP * (len(first) // 3 + 1)
    lines = [f"{room}{first}{room}"]
    lines += _wrap(work.title, BOX_WIDTH)
    bill = path_bill(replace(reckoning.bill, tools=dict.fromkeys(reckoning.bill.tools, NOTHING)), [i])
    lines.append(f"{figures.money(add_up(bill.money).likely)} · {figures.minutes(add_up(bill.minutes).likely)}")
    is_step = isinstance(work, Step)
    classes = ["process" if is_step else "terminator ending"] + ([f"signal {signal}"] if signal else [])
    dot.node(
        f"n{i}",
        _label(lines),
        id=f"flow-{node.kind}-{node.name}",
        shape="box",
        style="" if is_step else "rounded",
        URL=f"#{node.kind}-{node.name}",
        **{"class": " ".join(classes)},
    )
    _arrows(dot, reckoning, i, often)


def _arrows(dot: graphviz.Digraph, reckoning: Reckoning, i: int, often: Sequence[Sequence[float]] | None) -> None:
    """The results of a step; the oftener an arrow is walked, the thicker it is."""
    graph = reckoning.graph
    work = graph.nodes[i].work
    if not isinstance(work, Step):
        return
    tail = f"n{i}"
    if len(graph.edges[i]) > 1:
        tail = f"d{i}"
        dot.node(tail, "", shape="diamond", width="0.3", height="0.3", margin="0", **{"class": "decision"})
        dot.edge(f"n{i}", tail, arrowhead="none", weight="10", **{"class": "arrow"})
    for e, edge in enumerate(graph.edges[i]):
        expect = _wrap(work.results[edge.result].expect, ARROW_WIDTH)
        if len(expect) > ARROW_LINES:
            expect = [*expect[: ARROW_LINES - 1], expect[ARROW_LINES - 1] + " …"]
        width = f"{THIN + (THICK - THIN) * often[i][e] if often else THIN:.1f}"
        # The words are a node of their own, so that no line, not even their own, is laid across them.
        words = f"r{i}-{e}"
        dot.node(words, _label(expect), fontsize="11", **WORDS_AT_ARROWS)
        dot.edge(tail, words, arrowhead="none", penwidth=width, **{"class": "arrow"})
        dot.edge(words, f"n{edge.target}", penwidth=width, **{"class": "arrow"})


def strongest(hazards: frozenset[str], catalogue: Catalogue) -> str | None:
    """The most severe signal word among hazards."""
    signals = {catalogue.hazards[name].signal for name in hazards if name in catalogue.hazards}
    return next((signal for signal in SIGNALS if signal in signals), None)


def _wrap(text: str, width: int) -> list[str]:
    return textwrap.wrap(keep_units(text), width) or [""]


def _label(lines: list[str]) -> str:
    """Lines as a label in which nothing is markup, an entity or an escape but the line breaks."""
    safe = (graphviz.escape(line.replace("&", "&amp;")) for line in lines)
    label: str = graphviz.nohtml("\\n".join(safe))
    return label
