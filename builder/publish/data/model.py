"""The model of a playbook for the walk: the records, with what the browser needs to add up and to weigh.

Amounts stay (low, likely, high) and chances stay by cause, so that the browser works from the same figures as
:mod:`builder.reckon`; nothing here is rounded.
"""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from builder.publish.pages.address import WALK
from builder.publish.pages.markdown import both_systems
from builder.publish.pages.pages import Pages
from builder.publish.pages.views import PlaybookView, WorkView
from builder.read.hazards import BANNER
from builder.read.records import Ending, Step
from builder.reckon.bill import Bill, Item
from builder.reckon.reckoning import Reckoning
from builder.reckon.trials import clean_trials_needed


def model_of(reckoning: Reckoning, view: PlaybookView, pages: Pages, titles: Mapping[str, str]) -> dict[str, Any]:
    """The model of one playbook, ready for JSON; links in its HTML are seen from the walk's page."""
    playbook, odds = reckoning.playbook, reckoning.odds
    nodes = [_node(reckoning, view, pages, titles, i) for i in range(len(reckoning.graph.nodes))]
    model = {
        "slug": playbook.slug,
        "title": playbook.title,
        "summary": playbook.symptom.summary,
        "shows": list(playbook.symptom.conditions),
        "preconditions": [str(both_systems(text, pages.figures)) for text in playbook.preconditions],
        "causes": [[name, _cause_name(pages, view, name)] for name in odds.causes] if odds else None,
        "prior": list(odds.prior) if odds else None,
        "nodes": nodes,
        **_catalogue(reckoning.bill, view, pages),
    }
    return {**model, "hash": short_hash(model)}


def data_file(kind: str, name: str, data: object) -> str:
    """A data file: a script, since pages in a folder cannot fetch; the browser takes it by kind and name."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return f"droplight.take({json.dumps(kind)},{json.dumps(name)},{text});\n"


def short_hash(data: object) -> str:
    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _cause_name(pages: Pages, view: PlaybookView, name: str) -> str:
    cause = view.playbook.causes.get(name)
    return cause.name if cause else pages.gettext("something else")


def _node(reckoning: Reckoning, view: PlaybookView, pages: Pages, titles: Mapping[str, str], i: int) -> dict[str, Any]:
    node, item = reckoning.graph.nodes[i], reckoning.bill.items[i]
    work = view.nodes.get(i)
    if work is None:
        return {"kind": "handover", "name": node.name, "title": titles.get(node.name, node.name), **_costs(item)}
    shown: dict[str, Any] = {
        "kind": node.kind,
        "name": node.name,
        "title": work.work.title,
        "number": work.number,
        "banner": [hazard.name for hazard in work.hazards if hazard.name in BANNER],
        "hazards": pages.render("walk_hazards.html", WALK, view=work).text,
        "html": pages.render("walk_work.html", WALK, view=work, book=view.playbook).text,
    }
    shown |= _results(reckoning, i, work, pages) if isinstance(work.work, Step) else _ending(reckoning, i, work.work)
    return {**shown, "hash": _reading_hash(shown), **_costs(item)}


def _reading_hash(shown: Mapping[str, Any]) -> str:
    """Changes when what an owner reads at a step or ending changes; where it stands and its odds do not count."""
    texts = [shown[key] for key in ("title", "hazards", "html")]
    return short_hash([*texts, [(result["name"], result["expect"]) for result in shown.get("results", ())]])


def _costs(item: Item) -> dict[str, Any]:
    return {
        "cost": item.cost,
        "time": item.time,
        "shop": item.shop,
        "tools": item.tools,
        "parts": dict(item.parts),
        "access": item.access,
    }


def _results(reckoning: Reckoning, i: int, view: WorkView, pages: Pages) -> dict[str, Any]:
    """The results of a step; ``html`` is what to expect with its quantities in both systems of units."""
    chances: list[Any] = reckoning.odds.likelihoods[i] if reckoning.odds else [None] * len(view.choices)
    edges = reckoning.graph.edges[i]
    return {
        "results": [
            {
                "name": choice.name,
                "expect": choice.expect,
                "html": str(both_systems(choice.expect, pages.figures)),
                "to": edge.target,
                "chance": chance,
            }
            for choice, edge, chance in zip(view.choices, edges, chances, strict=True)
        ]
    }


def _ending(reckoning: Reckoning, i: int, ending: Ending) -> dict[str, Any]:
    prove = ending.prove
    return {
        "rights": list(reckoning.odds.rights[i]) if reckoning.odds else None,
        "repairs": bool(ending.settles),
        "prove": prove
        and {"trial": prove.trial, "shows": float(prove.shows), "needed": clean_trials_needed(prove.shows)},
    }


def _catalogue(bill: Bill, view: PlaybookView, pages: Pages) -> dict[str, Any]:
    return {
        "tools": {
            name: {"name": tool.name, "price": bill.tools[name], "borrow": tool.borrow} for name, tool in view.tools
        },
        "parts": {name: {"name": part.name, "price": part.price} for name, part in view.parts},
        "access": {name: {"name": job.name, "open": job.open, "close": job.close} for name, job in view.access},
    }
