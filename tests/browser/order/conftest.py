"""The browser's engine of the order under Node, and bodies of evidence for both engines."""

import json
import random
import shutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from pathlib import Path
from typing import Any

import pytest

from builder.draw.figures import figures_of
from builder.publish.data.model import model_of
from builder.publish.pages.pages import Pages
from builder.publish.pages.theme import theme_folder
from builder.publish.pages.views import playbook_view
from builder.read.notation import Amount
from builder.read.records import Library
from builder.reckon.order.evidence import Evidence, paid_by
from builder.reckon.order.problem import Problem, problem_of
from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import totals
from tests.browser.scripts import node
from tests.demo import demo_library

Engine = Callable[..., Any]


@pytest.fixture(scope="session")
def demo() -> Library:
    return demo_library()


@pytest.fixture(scope="session")
def models(demo: Library) -> Mapping[str, Any]:
    """What the site ships of every playbook of the demo."""
    pages = Pages(demo, figures_of(demo.settings), {})
    titles = {name: playbook.title for name, playbook in demo.playbooks.items()}
    found = {}
    for slug, playbook in demo.playbooks.items():
        reckoning = reckoning_of(playbook, demo.catalogue, demo.settings)
        view = playbook_view(reckoning, totals(reckoning, demo.settings.currency), demo.catalogue, titles)
        found[slug] = json.loads(json.dumps(model_of(reckoning, view, pages, titles)))
    return found


def answers_in(folder: Path) -> Engine:
    """Asks the browser's engine, copied into a folder; gives its answers to some cases, and its sums of lists."""
    shutil.copytree(theme_folder() / "scripts", folder / "scripts")
    shutil.copy(Path(__file__).with_name("drive.js"), folder)
    (folder / "package.json").write_text('{"type": "module"}', encoding="utf-8")

    def answers(models: Mapping[str, Any], cases: Sequence[Mapping[str, Any]], sums: Sequence[Any] = ()) -> Any:
        asked = {"models": models, "cases": cases, "sums": sums}
        (folder / "asked.json").write_text(json.dumps(asked), encoding="utf-8")
        done = node.run("drive.js", "asked.json", cwd=folder)
        assert done.returncode == 0, done.stderr[-2000:]
        return json.loads(done.stdout)

    return answers


@pytest.fixture(scope="session")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Engine:
    return answers_in(tmp_path_factory.mktemp("engine"))


@dataclass(frozen=True)
class Case:
    """One body of evidence in the words of both engines."""

    slug: str
    problem: Problem
    evidence: Evidence
    asked: Mapping[str, Any]


class Maker:
    """Makes bodies of evidence that may well be: seen under one of the causes, with doubts, limits and own prices."""

    def __init__(self, demo: Library, models: Mapping[str, Any], seed: int) -> None:
        self.demo, self.models = demo, models
        self.chance = random.Random(seed)

    def case(self, slug: str, effort: int = 100, **how: Any) -> Case:
        settings, library = self._settings()
        problem = problem_of(library.playbooks[slug], library.catalogue, library.settings)
        assert problem
        cause = self.chance.choices(range(len(problem.causes)), problem.weights)[0]
        seen, unsure = self._seen(slug, problem, cause)
        failed = [e for e in problem.repairs if not problem.settles[e][cause] and self.chance.random() < 0.15]
        done = [s for s in seen if self.chance.random() < 0.7]
        own, shop = paid_by(problem, done, failed)
        limits, barred, closed, budget = self._limits(slug, problem)
        names = [problem.steps[s].name for s in done] + [problem.endings[e].name for e in failed]
        said = {problem.steps[s].name: problem.results[s][r] for s, r in seen.items() if s not in unsure}
        for s, weights in unsure.items():
            said[problem.steps[s].name] = dict(zip(problem.results[s], weights, strict=True))
        asked = {
            "ask": "search",
            "model": slug,
            "effort": effort,
            "settings": {**settings, "limits": limits},
            "evidence": {
                "seen": said,
                "failed": [problem.endings[e].name for e in failed],
                "paid": self._paid(slug, names),
                "spent": {"money": 30, "minutes": 0},
            },
            **how,
        }
        order = [problem.steps[s].name for s in range(len(problem.steps))]
        places = [one["name"] for one in self.models[slug]["nodes"] if one["kind"] == "step"]
        sure = [(s, seen[s]) for s in sorted(seen, key=lambda s: places.index(order[s])) if s not in unsure]
        doubts = [(s, unsure[s]) for s in sorted(unsure, key=lambda s: places.index(order[s]))]
        evidence = Evidence(
            seen=tuple(sure),
            unsure=tuple(doubts),
            failed=tuple(failed),
            own=own,
            shop=shop,
            barred=frozenset(barred),
            closed=frozenset(closed),
            budget=budget,
        )
        return Case(slug, problem, evidence, asked)

    def _settings(self) -> tuple[dict[str, Any], Library]:
        """An owner's settings, and the library as one with these tools, parts and prices would write it."""
        demo, chance = self.demo, self.chance
        tools = {name: chance.choice(["own", "borrow"]) for name in demo.catalogue.tools if chance.random() < 0.3}
        parts = {name: chance.randrange(5, 90) for name in demo.catalogue.parts if chance.random() < 0.1}
        rate = chance.choice([demo.settings.labour_rate, 131.37])
        hour = chance.choice([demo.settings.owner_hour, 0, 33])
        mine = {}
        for name, tool in demo.catalogue.tools.items():
            how = tools.get(name)
            if how == "own":
                mine[name] = tool.model_copy(update={"usual": True})
            elif how == "borrow" and tool.borrow is not None and not tool.usual:
                mine[name] = tool.model_copy(update={"price": tool.borrow})
            else:
                mine[name] = tool
        prices = {
            name: part.model_copy(update={"price": Amount(*[float(parts[name])] * 3)}) if name in parts else part
            for name, part in demo.catalogue.parts.items()
        }
        library = Library.model_construct(
            settings=demo.settings.model_copy(update={"labour_rate": rate, "owner_hour": hour}),
            catalogue=demo.catalogue.model_copy(update={"tools": mine, "parts": prices}),
            playbooks=demo.playbooks,
        )
        return {"rate": rate, "hour": hour, "tools": tools, "parts": parts}, library

    def _seen(self, slug: str, problem: Problem, cause: int) -> tuple[dict[int, int], dict[int, tuple[float, ...]]]:
        """Results of some steps as they come up under a cause; of a few of them nobody is sure."""
        seen, unsure = {}, {}
        for s, rows in enumerate(problem.chances):
            if self.chance.random() < 0.4:
                seen[s] = self.chance.choices(range(len(rows)), [row[cause] for row in rows])[0]
                if self.chance.random() < 0.3:
                    unsure[s] = tuple(self.chance.choice([0.25, 0.5, 0.75]) for _ in rows)
        return seen, unsure

    def _limits(self, slug: str, problem: Problem) -> tuple[dict[str, Any], list[int], list[int], float]:
        model, chance = self.models[slug], self.chance
        nodes = {one["name"]: one for one in model["nodes"] if one["kind"] != "handover"}
        without = [name for name in ("lifting", "timing") if chance.random() < 0.2]
        aside = [name for name in nodes if chance.random() < 0.07]
        lacking = [name for name in model["tools"] if chance.random() < 0.07]
        limits: dict[str, Any] = {"without": without, "aside": aside, "lacking": lacking}
        budget = inf
        if chance.random() < 0.3:
            limits["budget"] = chance.choice([50, 120.5, 300])
            budget = limits["budget"] - 30

        def is_out(name: str) -> bool:
            work = nodes[name]
            owners = not work["shop"] and ({*without} & {*work["hazards"]} or {*lacking} & {*work["tools"]})
            return name in aside or bool(owners)

        barred = [s for s, item in enumerate(problem.steps) if is_out(item.name)]
        return limits, barred, [e for e, item in enumerate(problem.endings) if is_out(item.name)], budget

    def _paid(self, slug: str, names: Sequence[str]) -> dict[str, list[str]]:
        model = self.models[slug]
        works = [one for one in model["nodes"] if one["kind"] != "handover" and one["name"] in names]
        access = {job for one in works if not one["shop"] for job in one["access"]}
        dangers = {name for one in works if not one["shop"] for name in one["hazards"]}
        return {
            "tools": sorted({tool for one in works for tool in one["tools"]}),
            "access": sorted(access),
            "shop": sorted({job for one in works for job in one["access"]} - access),
            "dangers": sorted(name for name in dangers if model["hazards"][name]["signal"] == "danger"),
        }


@pytest.fixture(scope="session")
def maker(demo: Library, models: Mapping[str, Any]) -> Callable[[int], Maker]:
    return lambda seed: Maker(demo, models, seed)
