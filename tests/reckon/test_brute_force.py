"""The numbers against a naive reckoning in whole fractions, path by path, that shares nothing with the code."""

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.paths import listed_paths
from tests.sweep import EXAMPLES

RATE = Fraction(90, 60)
OWNER_HOUR, DANGER = Fraction(18), Fraction(20)
DIAGNOSIS = 90 * RATE


def triple(value):
    """Low, likely, high of an amount as it is written (minutes or money)."""
    if isinstance(value, dict):
        return tuple(Fraction(value[key].split()[0]) for key in ("low", "likely", "high"))
    low, *high = (Fraction(figure) for figure in re.findall(r"[\d.]+", value))
    return (low, (low + high[0]) / 2, high[0]) if high else (low, low, low)


WAYS = ("open", "close")


def settles(ending, cause):
    """Whether an ending puts a cause right."""
    named = ending.get("settles", [])
    return named == "all" or cause in named


def scaled(value, factor):
    return tuple(figure * factor for figure in triple(value))


def summed(terms):
    low, likely, high = (sum(term[i] for term in terms) for i in range(3))
    variance = sum(((term[2] - term[0]) / 6) ** 2 for term in terms)
    return {
        "low": low,
        "likely": likely,
        "high": high,
        "mean": (low + 4 * likely + high) / 6,
        "sd": float(variance) ** 0.5,
    }


class Naive:
    """Every path of a plain playbook, one by one."""

    def __init__(self, playbook, catalogue):
        self.playbook, self.catalogue = playbook, catalogue
        shares = [cause.get("share") for cause in playbook["causes"].values()]
        self.shares = None
        if all(shares) and all(self.chances(step) for step in playbook["steps"].values()):
            listed = dict(zip(playbook["causes"], (Fraction(share[:-1]) / 100 for share in shares), strict=True))
            self.shares = {**listed, "unlisted": 1 - sum(listed.values())}
        self.paths = [self.path(results, stop) for results, stop in self.ways("step-0", [])]
        key = "chance" if self.shares else "mean"
        order = {"chance": lambda p: (-p["chance"], p["results"]), "mean": lambda p: (p["money"]["mean"], p["results"])}
        self.paths.sort(key=order[key])

    def chances(self, step):
        given = [result.get("chance") for result in step["results"].values()]
        return ["100%"] if given == [None] else all(given) and given

    def ways(self, name, before):
        """Pairs of the (step, result) on the way and where it stops."""
        if not isinstance(name, str) or name in self.playbook["endings"]:
            yield before, name
            return
        for key, result in self.playbook["steps"][name]["results"].items():
            yield from self.ways(result["next"], [*before, (name, key)])

    def given(self, step, key, cause):
        """The chance of a result of a step under a cause, as a share of all that the step gives under it."""
        listed = {name: self.written(step, name, cause) for name in step["results"]}
        return listed[key] / (sum(listed.values()) or 1)

    def written(self, step, key, cause):
        keys, chances = list(step["results"]), self.chances(step)

        def one(chance):
            text = chance if isinstance(chance, str) else chance.get(cause, chance["otherwise"])
            return Fraction(text[:-1]) / 100

        chance = chances[keys.index(key)]
        if chance != "rest":
            return one(chance)
        return max(Fraction(0), Fraction(1) - sum(one(other) for other in chances if other != "rest"))

    def path(self, way, stop):
        steps = [self.playbook["steps"][name] for name, _ in way]
        ending = self.playbook["endings"][stop] if isinstance(stop, str) else None
        works = [*steps, ending] if ending else steps
        return {
            "steps": [name for name, _ in way],
            "results": [key for _, key in way],
            "ending": stop if ending else None,
            "handover": None if ending else stop["playbook"],
            **self.costs(works),
            **(self.odds(way, ending or {}) if self.shares else dict.fromkeys(("chance", "settled", "causes"))),
        }

    def costs(self, works):
        tools, parts, jobs = set(), {}, {}
        for work in works:
            tools |= set(work["tools"])
            for part, count in work["parts"].items():
                parts[part] = parts.get(part, 0) + int(count)
            for job in work["access"]:
                jobs.setdefault(job, set()).add(work["who"])
        material = [triple(work["cost"]) for work in works]
        material += [scaled(self.catalogue["parts"][part]["price"], count) for part, count in parts.items()]
        dear = [tool for tool in tools if "usual" not in self.catalogue["tools"][tool]]
        times = [work["time"] for work in works]
        opening = [self.catalogue["access"][job][way] for job in jobs for way in ("open", "close")]
        by_shop = [work["time"] for work in works if work["who"] == "shop"]
        by_shop += [
            self.catalogue["access"][job][way]
            for job, who in jobs.items()
            if who == {"shop"}
            for way in ("open", "close")
        ]
        return {
            "money": summed(
                material
                + [triple(self.catalogue["tools"][tool]["price"]) for tool in dear]
                + [scaled(time, RATE) for time in by_shop]
            ),
            "shop_money": summed(material + [scaled(time, RATE) for time in times + opening]),
            "minutes": summed([triple(time) for time in times + opening]),
            "wait": summed([triple(work["wait"]) for work in works]),
            "tools": sorted(tools),
            "parts": parts,
            "hazards": self.hazards(works),
            "spared": self.spared(works, jobs),
        }

    def spared(self, works, jobs):
        """What a path costs beside money: own hours, and the dangers that the owner meets."""
        own = [work for work in works if work["who"] != "shop"]
        times = [work["time"] for work in own]
        times += [self.catalogue["access"][job][way] for job, who in jobs.items() if "owner" in who for way in WAYS]
        signals = [self.catalogue["hazards"][hazard]["signal"] for hazard in self.hazards(own)]
        return summed([triple(time) for time in times])["mean"] / 60 * OWNER_HOUR + DANGER * signals.count("danger")

    def bills(self):
        """What a professional takes for each cause."""
        alone = {name: self.costs([ending])["shop_money"]["mean"] for name, ending in self.playbook["endings"].items()}
        known = {}
        for cause in self.playbook["causes"]:
            right = [alone[name] for name, ending in self.playbook["endings"].items() if settles(ending, cause)]
            known.update({cause: min(right)} if right else {})
        dearest = max(known.values(), default=0)
        return {cause: DIAGNOSIS + known.get(cause, dearest) for cause in self.shares}

    def hazards(self, works):
        named = {hazard for work in works for hazard in work["hazards"]}
        return sorted(
            named.union(*(self.catalogue["access"][job]["hazards"] for work in works for job in work["access"]))
        )

    def odds(self, way, ending):
        joint = dict(self.shares)
        for name, key in way:
            for cause in joint:
                joint[cause] *= self.given(self.playbook["steps"][name], key, cause)
        chance = sum(joint.values())
        right = sum(joint[cause] for cause in joint if settles(ending, cause))
        bills = self.bills()
        return {
            "finished": sum(joint[cause] * bills[cause] for cause in joint if not settles(ending, cause)),
            "chance": chance,
            "settled": right / chance if chance else None,
            "causes": {cause: share / chance for cause, share in joint.items()} if chance else None,
            "right": right,
            "wrong": chance - right if ending.get("settles") else 0,
        }

    def whole(self):
        """The keys of the totals that are not of one path."""
        works = [*self.playbook["steps"].values(), *self.playbook["endings"].values()]
        always = {"path_count": len(self.paths), "hazards": self.hazards(works)}
        if not self.shares:
            keys = ("listed_chance", "expected", "settled", "wasted", "spend_within", "causes", "in_the_end", "at_once")
            return {**always, **dict.fromkeys(keys)}
        figures = ("money", "shop_money", "minutes")
        return {
            **always,
            "listed_chance": sum(p["chance"] for p in self.paths),
            "expected": {key: sum(p["chance"] * p[key]["mean"] for p in self.paths) for key in figures},
            "settled": sum(p["right"] for p in self.paths),
            "wasted": sum(p["wrong"] * p["money"]["mean"] for p in self.paths),
            "spend_within": {percent: self.within(Fraction(percent) / 100) for percent in ("50", "80", "95")},
            "causes": self.shares,
            "in_the_end": sum(p["chance"] * (p["money"]["mean"] + p["spared"]) + p["finished"] for p in self.paths),
            "at_once": sum(share * self.bills()[cause] for cause, share in self.shares.items()),
        }

    def within(self, chance):
        means = sorted({p["money"]["mean"] for p in self.paths})
        return next(m for m in means if sum(p["chance"] for p in self.paths if p["money"]["mean"] <= m) >= chance)


def assert_same(ours, naive):
    """Equal, numbers to 1e-9."""
    if isinstance(naive, dict):
        assert ours.keys() == naive.keys()
        for key in naive:
            assert_same(ours[key], naive[key])
    elif isinstance(naive, (Fraction, float)):
        assert ours == pytest.approx(float(naive), rel=1e-9, abs=1e-9)
    else:
        assert (list(ours) if isinstance(ours, tuple) else ours) == naive


@settings(max_examples=250 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_every_number_agrees_with_naive_reckoning(data, playbooks, total, catalogue):
    playbook = data.draw(playbooks())
    naive = Naive(playbook, catalogue)
    ours = total(playbook, rate="90", owner_hour=str(OWNER_HOUR), avoid_danger=str(DANGER)).as_json()
    listed = ours.pop("paths")
    assert (ours.pop("slug"), ours.pop("currency")) == ("x", "EUR")
    assert_same(ours, naive.whole())
    assert [path["results"] for path in listed] == [tuple(path["results"]) for path in naive.paths]
    for path, expected in zip(listed, naive.paths, strict=True):
        assert_same(path, {key: expected[key] for key in path})


@settings(max_examples=120 * EXAMPLES, deadline=None)
@given(data=st.data(), most=st.integers(1, 6))
def test_the_best_paths_are_listed_in_the_order_of_naive_reckoning(data, most, playbooks, reckon, catalogue):
    playbook = data.draw(playbooks(most_steps=8))
    reckoning = reckon(playbook, rate="90")
    listed = listed_paths(reckoning.graph, reckoning.bill, reckoning.odds, most)
    naive = Naive(playbook, catalogue).paths[:most]
    assert [list(path.results) for path in listed] == [path["results"] for path in naive]
