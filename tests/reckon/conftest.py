"""Libraries made in the tests: a small catalogue, playbooks from plain text values, ladders and random playbooks."""

from collections.abc import Callable, Mapping
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import strategies as st

from builder.compare.compare import Comparison, compare
from builder.read.findings import Finding
from builder.read.library import LibraryRead
from builder.read.records import Catalogue, Library, Playbook, Settings
from builder.reckon.reckoning import Reckoning, reckoning_of
from builder.reckon.totals import Totals, totals_of

Plain = dict[str, Any]

CATALOGUE: Plain = {
    "tools": {
        "wrench": {"name": "Wrench", "price": "30-60", "usual": "true"},
        "meter": {"name": "Meter", "price": "25"},
        "puller": {"name": "Puller", "price": {"low": "40", "likely": "50", "high": "80"}, "borrow": "5"},
    },
    "parts": {
        "bulb": {"name": "Bulb", "price": "3-9"},
        "seal": {"name": "Seal", "price": "4.50"},
    },
    "access": {
        "cover": {"name": "Cover off", "open": "5 min", "close": "10-16 min", "hazards": ["hot"]},
        "wheel": {"name": "Wheel off", "open": "10-22 min", "close": "15 min", "hazards": ["lifting"]},
    },
    "hazards": {
        "hot": {"name": "Hot", "signal": "caution", "harm": "Burns.", "avoid": "Wait."},
        "lifting": {"name": "Lifting", "signal": "danger", "harm": "Crushes.", "avoid": "Use stands."},
    },
}
"""Money without a unit, times in minutes."""


WORN: Plain = {
    "causes": {"wear": {"share": "60%"}, "dirt": {"share": "30%"}},
    "steps": {
        "look": {
            "time": "5-10 min",
            "hazards": ["hot"],
            "results": {
                "bad": {"chance": {"wear": "80%", "otherwise": "10%"}, "next": "renew"},
                "good": {"chance": "rest", "next": "shake"},
            },
        },
        "shake": {
            "time": "10 min",
            "access": ["wheel"],
            "tools": ["meter"],
            "results": {
                "loose": {"chance": {"dirt": "90%", "otherwise": "5%"}, "next": "clean"},
                "firm": {"chance": "rest", "next": "hand-over"},
            },
        },
    },
    "endings": {
        "renew": {"settles": ["wear"], "parts": {"bulb": "2"}, "time": "1 h"},
        "clean": {"settles": ["dirt"], "hazards": ["hot"], "time": "20 min"},
        "hand-over": {"who": "shop", "time": "1 h"},
    },
}
"""Two steps and three endings in plain text values; comparisons start from it."""


def fill_in(playbook: Plain) -> Plain:
    """A playbook with the texts that the numbers do not need: titles, expectations, names of causes."""
    steps = {
        name: {
            "title": name,
            **step,
            "results": {key: {"expect": key, **result} for key, result in step["results"].items()},
        }
        for name, step in playbook["steps"].items()
    }
    return {
        "format": "1",
        "slug": "x",
        "area": "y",
        "title": "X",
        "symptom": {"summary": "x"},
        "start": next(iter(steps)),
        **playbook,
        "causes": {name: {"name": name, **cause} for name, cause in playbook.get("causes", {}).items()},
        "steps": steps,
        "endings": {name: {"title": name, **ending} for name, ending in playbook.get("endings", {}).items()},
    }


@pytest.fixture(scope="session")
def catalogue() -> Plain:
    """The catalogue in plain text values."""
    return CATALOGUE


@pytest.fixture(scope="session")
def make_library() -> Callable[..., Library]:
    """Makes a library of one playbook ``x``; the labour rate is 60 an hour, one a minute, unless said otherwise.

    Settings may be added by name.
    """

    def make(playbook: Plain, catalogue: Mapping[str, Any] = CATALOGUE, rate: str = "60", **said: str) -> Library:
        settings = {"title": "T", "currency": "EUR", "labour_rate": rate, "areas": {"y": "Y"}, **said}
        return Library.model_construct(
            settings=Settings.model_validate(settings),
            catalogue=Catalogue.model_validate(catalogue),
            playbooks={"x": Playbook.model_validate(fill_in(playbook))},
        )

    return make


@pytest.fixture(scope="session")
def total(make_library: Callable[..., Library]) -> Callable[..., Totals]:
    """The totals of a playbook in plain text values."""

    def total(playbook: Plain, **how: Any) -> Totals:
        return totals_of("x", make_library(playbook, **how))

    return total


@pytest.fixture(scope="session")
def reckon(make_library: Callable[..., Library]) -> Callable[..., Reckoning]:
    """A playbook in plain text values made ready for reckoning."""

    def reckon(playbook: Plain, **how: Any) -> Reckoning:
        library = make_library(playbook, **how)
        return reckoning_of(library.playbooks["x"], library.catalogue, library.settings)

    return reckon


@pytest.fixture(scope="session")
def worn() -> Plain:
    """The playbook that comparisons start from."""
    return WORN


@pytest.fixture(scope="session")
def side(make_library: Callable[..., Library]) -> Callable[..., LibraryRead]:
    """Makes a side of a comparison from playbooks by slug."""

    def side(
        playbooks: dict[str, Plain],
        findings: tuple[Finding, ...] = (),
        unreadable: frozenset[str] = frozenset(),
        base: Plain = CATALOGUE,
        **how: Any,
    ) -> LibraryRead:
        made = {}
        for slug, playbook in playbooks.items():
            library = make_library({**playbook, "slug": slug}, catalogue=base, **how)
            made[slug] = library.playbooks["x"]
        whole = Library.model_construct(settings=library.settings, catalogue=library.catalogue, playbooks=made)
        return LibraryRead(whole, findings, "playbooks", unreadable)

    return side


@pytest.fixture(scope="session")
def change(side: Callable[..., LibraryRead]) -> Callable[..., Comparison]:
    """Compares the worn playbook with what an edit makes of it and of the catalogue."""

    def change(edit: Callable[[Plain, Plain], Any], **how: Any) -> Comparison:
        playbook, base = deepcopy(WORN), deepcopy(CATALOGUE)
        edit(playbook, base)
        return compare(side({"x": WORN}), side({"x": playbook}, base=base, **how))

    return change


@pytest.fixture(scope="session")
def ladder() -> Callable[..., Plain]:
    """Makes a ladder: at every rung ``no`` leads straight up, ``yes`` by a detour; 2^rungs paths to the ending ``top``.

    ``yes`` gives the chance of `yes` at each rung (none: no chances); ``rung`` and ``detour`` what else they hold.
    """

    def make(
        rungs: int,
        yes: Callable[[int], Any],
        causes: Mapping[str, str],
        rung: Callable[[int], Plain] = lambda i: {},
        detour: Callable[[int], Plain] = lambda i: {},
        top: Plain | None = None,
    ) -> Plain:
        steps: Plain = {}
        for i in range(rungs):
            up = f"rung-{i + 1}" if i + 1 < rungs else "top"
            chance = yes(i)
            chances = ({"chance": "rest"}, {"chance": chance}) if chance else ({}, {})
            no, by_detour = {"next": up, **chances[0]}, {"next": f"detour-{i}", **chances[1]}
            steps[f"rung-{i}"] = {**rung(i), "results": {"no": no, "yes": by_detour}}
            steps[f"detour-{i}"] = {**detour(i), "results": {"done": {"next": up}}}
        shares = {name: {"share": share} for name, share in causes.items()}
        return {"causes": shares, "steps": steps, "endings": {"top": top or {}}}

    return make


def amounts(unit: str = "") -> st.SearchStrategy[Any]:
    """Amounts in each way of writing them."""
    figures = st.integers(0, 60)
    rising = st.lists(figures, min_size=3, max_size=3).map(sorted)
    return st.one_of(
        st.just(f"0{unit}"),
        figures.map(lambda figure: f"{figure}{unit}"),
        rising.map(lambda three: f"{three[0]}-{three[2]}{unit}"),
        rising.map(
            lambda three: {"low": f"{three[0]}{unit}", "likely": f"{three[1]}{unit}", "high": f"{three[2]}{unit}"}
        ),
    )


def subsets(names: Any) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(sorted(names)), unique=True, max_size=2)


def work() -> st.SearchStrategy[Plain]:
    """What steps and endings have in common."""
    parts = st.dictionaries(st.sampled_from(sorted(CATALOGUE["parts"])), st.integers(1, 4).map(str), max_size=2)
    return st.fixed_dictionaries(
        {
            "time": amounts(" min"),
            "wait": amounts(" h"),
            "cost": amounts(),
            "who": st.sampled_from(["owner", "shop"]),
            "tools": subsets(CATALOGUE["tools"]),
            "parts": parts,
            "access": subsets(CATALOGUE["access"]),
            "hazards": subsets(CATALOGUE["hazards"]),
        }
    )


def percentages(count: int) -> st.SearchStrategy[list[str]]:
    """So many percentages, of which some may be 0 and which add up to 100 (thirds to 99.99)."""
    cuts = st.lists(st.integers(0, 100), min_size=count - 1, max_size=count - 1).map(sorted)
    whole = cuts.map(lambda cut: [f"{b - a}%" for a, b in zip([0, *cut], [*cut, 100], strict=True)])
    return st.one_of(whole, st.just(["33.33%"] * 3)) if count == 3 else whole


@st.composite
def chances(draw: st.DrawFn, count: int, causes: list[str]) -> list[Any]:
    """The chances of a step's results: plain percentages or by cause, with or without a rest."""
    otherwise = draw(percentages(count))
    written: list[Any] = list(otherwise)
    if draw(st.booleans()):
        named = {cause: draw(percentages(count)) for cause in draw(st.lists(st.sampled_from(causes), unique=True))}
        written = [
            {**{cause: shares[e] for cause, shares in named.items()}, "otherwise": otherwise[e]} for e in range(count)
        ]
    if draw(st.booleans()):
        written[draw(st.integers(0, count - 1))] = "rest"
    return written


@st.composite
def random_playbooks(draw: st.DrawFn, odds: bool | None = None, most_steps: int = 6) -> Plain:
    """A playbook of a few steps whose ways part and merge; ``odds``: with, without, or either."""
    causes = [f"cause-{c}" for c in range(draw(st.integers(1, 4)))]
    whole = draw(st.integers(0, 100))
    cuts = sorted(draw(st.lists(st.integers(0, whole), min_size=len(causes) - 1, max_size=len(causes) - 1)))
    shares = [f"{b - a}%" for a, b in zip([0, *cuts], [*cuts, whole], strict=True)]
    with_odds = draw(st.sampled_from([True] * 5 + [False])) if odds is None else odds
    endings = {}
    for e in range(draw(st.integers(1, 4))):
        settles = draw(st.one_of(st.none(), st.just("all"), st.lists(st.sampled_from(causes), min_size=1, unique=True)))
        endings[f"end-{e}"] = {**draw(work()), **({"settles": settles} if settles else {})}
    count = draw(st.integers(1, most_steps))
    steps = {}
    for i in range(count):
        later = [f"step-{j}" for j in range(i + 1, min(count, i + 4))]
        stops: list[Any] = [*endings, {"playbook": "other"}, {"playbook": "another"}]
        targets = draw(st.lists(st.sampled_from(later * 3 + stops), min_size=1, max_size=3))
        given = draw(chances(len(targets), [*causes, "unlisted"]))
        if not with_odds or (len(targets) == 1 and draw(st.booleans())):
            given = [None] * len(targets)
        names = draw(st.permutations(["a", "b", "c"]))
        results = {
            names[e]: {"next": target, **({"chance": chance} if chance is not None else {})}
            for e, (target, chance) in enumerate(zip(targets, given, strict=True))
        }
        steps[f"step-{i}"] = {**draw(work()), "results": results}
    named = {name: {"share": share} if with_odds else {} for name, share in zip(causes, shares, strict=True)}
    return _reachable({"causes": named, "steps": steps, "endings": endings})


def _reachable(playbook: Plain) -> Plain:
    """The playbook without steps and endings to which nothing leads, which the checks would not let pass."""
    reached = {"step-0"}
    for name, step in playbook["steps"].items():
        if name in reached:
            reached |= {r["next"] for r in step["results"].values() if isinstance(r["next"], str)}
    kept = {key: {k: v for k, v in playbook[key].items() if k in reached} for key in ("steps", "endings")}
    return {**playbook, **kept}


@pytest.fixture(scope="session")
def playbooks() -> Callable[..., st.SearchStrategy[Plain]]:
    return random_playbooks
