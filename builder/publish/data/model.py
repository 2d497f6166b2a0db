"""The model of a playbook for the walk: the records, with what the browser needs to add up and to weigh.

Amounts stay (low, likely, high) and chances stay by cause, so that the browser works from the same figures as
:mod:`builder.reckon`; nothing here is rounded.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from builder.draw.units import conversion
from builder.publish.pages.address import WALK
from builder.publish.pages.markdown import both_systems
from builder.publish.pages.pages import Pages
from builder.publish.pages.views import HazardView, PlaybookView, WorkView
from builder.read.hazards import BANNER
from builder.read.notation import Range
from builder.read.records import DIAGNOSIS, Ending, Measurement, Settings, Step, Work
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
        "was": list(playbook.was),
        "vehicles": list(playbook.vehicles),
        "codes": list(playbook.symptom.codes),
        "shows": list(playbook.symptom.conditions),
        "preconditions": [str(both_systems(text, pages.figures)) for text in playbook.preconditions],
        "causes": [[name, _cause_name(pages, view, name)] for name in odds.causes] if odds else None,
        "prior": list(odds.prior) if odds else None,
        "nodes": nodes,
        "listed": _listed(reckoning),
        "avoid_danger": float(pages.library.settings.avoid_danger),
        "professional": _professional(view, pages.library.settings),
        "hazards": {hazard.name: _hazard(hazard, pages) for hazard in view.hazards},
        **_catalogue(reckoning.bill, view),
    }
    return {**model, "hash": short_hash(model)}


def data_file(kind: str, name: str, data: object) -> str:
    """A data file: a script, since pages in a folder cannot fetch; the browser takes it by kind and name."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return f"droplight.take({json.dumps(kind)},{json.dumps(name)},{text});\n"


def short_hash(data: object) -> str:
    """Twelve hex digits of the SHA-256 of some data as JSON with sorted keys."""
    text = json.dumps(data, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _cause_name(pages: Pages, view: PlaybookView, name: str) -> str:
    cause = view.playbook.causes.get(name)
    return cause.name if cause else pages.gettext("something else")


def _listed(reckoning: Reckoning) -> dict[str, list[int]]:
    """The numbers of steps and endings in the order of the playbook's file, as the search for the best takes them."""
    numbers, playbook = reckoning.graph.number, reckoning.playbook
    return {
        "steps": [numbers["step", name] for name in playbook.steps],
        "endings": [numbers["ending", name] for name in playbook.endings],
    }


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
        "hazards": [hazard.name for hazard in work.hazards],
        "html": pages.render("walk_work.html", WALK, view=work, book=view.playbook).text,
        "was": list(work.work.was),
        "mishap": _mishap(work.work),
        "after": {name: list(results) for name, results in work.work.after.items()},
    }
    own = work.work
    shown |= _step(reckoning, i, own, work, pages) if isinstance(own, Step) else _ending(reckoning, i, own)
    return {**shown, "hash": _reading_hash(shown, [_hazard_hash(hazard) for hazard in work.hazards]), **_costs(item)}


def _reading_hash(shown: Mapping[str, Any], hazards: Sequence[str]) -> str:
    """Changes when what an owner reads at a step or ending changes; where it stands and its odds do not count."""
    results = [(result["name"], result["expect"]) for result in shown.get("results", ())]
    return short_hash([shown["title"], hazards, shown["html"], results])


def _hazard_hash(hazard: HazardView) -> str:
    """Changes when an owner who has acknowledged a hazard would read something else."""
    record = hazard.record
    return short_hash([record.signal, record.name, record.harm, record.avoid])


def _hazard(hazard: HazardView, pages: Pages) -> dict[str, Any]:
    panel = pages.render("walk_hazard.html", WALK, hazard=hazard).text
    record = hazard.record
    return {
        "name": record.name,
        "signal": record.signal,
        "word": pages.signal_words[record.signal],
        "html": panel,
        "hash": _hazard_hash(hazard),
    }


def _mishap(work: Work) -> dict[str, Any] | None:
    mishap = work.mishap
    return {"what": mishap.what, "chance": float(mishap.chance), "cost": mishap.cost} if mishap else None


def _professional(view: PlaybookView, settings: Settings) -> dict[str, Any]:
    """What a professional needs who takes over: minutes to find the fault, and money for one that no ending settles."""
    given = [one for one in (view.playbook.professional, settings.professional) if one]
    return {
        "diagnosis": next((one.diagnosis for one in given if one.diagnosis), DIAGNOSIS),
        "unlisted": next((one.unlisted for one in given if one.unlisted), None),
    }


def _costs(item: Item) -> dict[str, Any]:
    return {
        "cost": item.cost,
        "wait": item.wait,
        "time": item.time,
        "shop": item.shop,
        "tools": item.tools,
        "parts": dict(item.parts),
        "access": item.access,
    }


def _step(reckoning: Reckoning, i: int, step: Step, view: WorkView, pages: Pages) -> dict[str, Any]:
    """A step's own keys; ``html`` of a result is what to expect with its quantities in both systems of units."""
    chances: list[Any] = reckoning.odds.likelihoods[i] if reckoning.odds else [None] * len(view.choices)
    edges = reckoning.graph.edges[i]
    check = pages.library.catalogue.checks.get(step.check or "")
    return {
        "check": step.check,
        "car": bool(check and check.about == "car"),
        "reading": step.reading and _measurement(step.reading),
        "results": [
            {
                "name": choice.name,
                "expect": choice.expect,
                "html": str(both_systems(choice.expect, pages.figures)),
                "to": edge.target,
                "chance": chance,
                "range": _range(step.results[choice.name].range),
                "was": list(step.results[choice.name].was),
            }
            for choice, edge, chance in zip(view.choices, edges, chances, strict=True)
        ],
    }


def _measurement(reading: Measurement) -> dict[str, Any]:
    """What is measured; ``other`` is the unit of the other system, with factor and offset of a figure told in it."""
    other = conversion(reading.unit)
    return {
        "of": reading.of,
        "unit": reading.unit,
        "other": other and {"unit": other.unit, "factor": other.factor, "offset": other.offset, "system": other.system},
    }


def _range(stretch: Range | None) -> list[float | None] | None:
    return stretch and [None if end is None else float(end) for end in stretch]


def _ending(reckoning: Reckoning, i: int, ending: Ending) -> dict[str, Any]:
    prove = ending.prove
    return {
        "rights": list(reckoning.odds.rights[i]) if reckoning.odds else None,
        "repairs": bool(ending.settles),
        "prove": prove
        and {"trial": prove.trial, "shows": float(prove.shows), "needed": clean_trials_needed(prove.shows)},
    }


def _catalogue(bill: Bill, view: PlaybookView) -> dict[str, Any]:
    return {
        "tools": {
            name: {"name": tool.name, "price": bill.tools[name], "borrow": tool.borrow} for name, tool in view.tools
        },
        "parts": {name: {"name": part.name, "price": part.price} for name, part in view.parts},
        "access": {name: {"name": job.name, "open": job.open, "close": job.close} for name, job in view.access},
    }
