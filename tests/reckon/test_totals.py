import json
from math import sqrt

import pytest

from builder.reckon.totals import spending_curve, totals, totals_of

CABIN_CATALOGUE = {
    "tools": {
        "multimeter": {"name": "Multimeter", "price": "25", "usual": "true"},
        "crimper": {"name": "Crimping pliers", "price": "20-40", "borrow": "5"},
    },
    "parts": {
        "fan-resistor": {"name": "Cabin fan resistor", "price": "18-45"},
        "resistor-plug": {"name": "Resistor plug", "price": "12"},
        "speed-switch": {"name": "Speed switch", "price": "60-90"},
    },
    "access": {"glovebox": {"name": "Glovebox out", "open": "5 min", "close": "5-10 min"}},
    "hazards": {"hot-parts": {"name": "Hot parts", "signal": "caution", "harm": "Burns.", "avoid": "Let it cool."}},
}

CABIN_FAN = {
    "title": "Cabin fan runs on the top speed only",
    "causes": {"resistor": {"share": "70%"}, "plug": {"share": "10%"}, "switch": {"share": "15%"}},
    "steps": {
        "look-at-plug": {
            "time": "10-20 min",
            "cost": "0",
            "access": ["glovebox"],
            "hazards": ["hot-parts"],
            "results": {
                "browned": {"chance": {"plug": "95%", "otherwise": "3%"}, "next": "new-plug"},
                "clean": {"chance": "rest", "next": "measure-resistor"},
            },
        },
        "measure-resistor": {
            "time": {"low": "5 min", "likely": "10 min", "high": "20 min"},
            "tools": ["multimeter"],
            "results": {
                "open": {"chance": {"resistor": "97%", "otherwise": "1%"}, "next": "new-resistor"},
                "in-range": {"chance": "rest", "next": "new-switch"},
            },
        },
    },
    "endings": {
        "new-plug": {"settles": ["plug"], "time": "30-60 min", "parts": ["resistor-plug"], "tools": ["crimper"]},
        "new-resistor": {"settles": ["resistor"], "time": "15-30 min", "parts": ["fan-resistor"]},
        "new-switch": {"settles": ["switch"], "time": "1 h", "parts": ["speed-switch"]},
    },
}


@pytest.fixture(scope="module")
def cabin_fan(total):
    """The example of the format's description, at 95 an hour, as `totals cabin-fan --json` prints it."""
    return json.loads(json.dumps(total(CABIN_FAN, catalogue=CABIN_CATALOGUE, rate="95").as_json()))


def near(figure):
    return pytest.approx(figure, rel=1e-12)


def sums(low, likely, high, mean, sd):
    return {"low": near(low), "likely": near(likely), "high": near(high), "mean": near(mean), "sd": near(sd)}


def test_cabin_fan_as_a_whole(cabin_fan):
    assert {key: value for key, value in cabin_fan.items() if key != "paths"} == {
        "slug": "x",
        "currency": "EUR",
        "path_count": 3,
        "listed_chance": near(1),
        "expected": {
            # 0.122 × 42 + 0.66062 × 31.5 + 0.21738 × 75, the paths as below
            "money": near(5.124 + 20.80953 + 16.3035),
            # the same without the pliers (0.122 × 30), and 70.4084166… min at 95 an hour
            "shop_money": near(42.23703 - 3.66 + (8.845 + 0.66062 * 365 / 6 + 0.21738 * 295 / 3) * 95 / 60),
            # 0.122 × 72.5 + 0.66062 × 60.8333… + 0.21738 × 98.3333…
            "minutes": near(8.845 + 0.66062 * 365 / 6 + 0.21738 * 295 / 3),
        },
        # plug found 0.1 × 0.95, resistor 0.7 × 0.97 × 0.97, switch 0.15 × 0.97 × 0.99
        "settled": near(0.095 + 0.65863 + 0.144045),
        # 0.027 × 42 + 0.00199 × 31.5 + 0.073335 × 75
        "wasted": near(1.134 + 0.062685 + 5.500125),
        # 31.5 covers 66.062 %, 42 covers 78.262 %, 75 all
        "spend_within": {"50": near(31.5), "80": near(75), "95": near(75)},
        # A professional's diagnosis of 90 min at 95 an hour, and each repair alone: 12 + 45 min, 31.5 + 22.5 min,
        # 75 + 1 h; for what is not named the dearest. The owner's hours are worth nothing here.
        "in_the_end": near(
            5.124 + 20.80953 + 16.3035 + 0.04137 * 209.625 + 0.005 * 225.75 + 0.005955 * 312.5 + 0.05 * 312.5
        ),
        "at_once": near(0.7 * 209.625 + 0.1 * 225.75 + 0.15 * 312.5 + 0.05 * 312.5),
        "hazards": ["hot-parts"],
        "causes": {"resistor": 0.7, "plug": 0.1, "switch": 0.15, "unlisted": 0.05},
    }


def test_cabin_fan_paths_likeliest_first(cabin_fan):
    assert [path["results"] for path in cabin_fan["paths"]] == [["clean", "open"], ["clean", "in-range"], ["browned"]]


def test_cabin_fan_ending_in_a_new_resistor(cabin_fan):
    # Under each cause 0.97 clean (plug 0.05), then open 0.97 for the resistor, else 0.01.
    joint = {"resistor": 0.65863, "plug": 0.00005, "switch": 0.001455, "unlisted": 0.000485}
    assert cabin_fan["paths"][0] == {
        "steps": ["look-at-plug", "measure-resistor"],
        "results": ["clean", "open"],
        "ending": "new-resistor",
        "handover": None,
        # The multimeter is usual and costs nothing: only the resistor, 18-45.
        "money": sums(18, 31.5, 45, 31.5, 4.5),
        # 40, 60 and 85 min at 95 an hour: 63.33…, 95, 134.58…; mean 60.833… min
        "shop_money": sums(
            18 + 190 / 3, 126.5, 45 + 1615 / 12, 31.5 + 365 / 6 * 95 / 60, sqrt(4.5**2 + 575 / 36 * (95 / 60) ** 2)
        ),
        # 10-20, 5/10/20, 15-30, open 5, close 5-10: spreads 10/6, 15/6, 15/6, 0, 5/6
        "minutes": sums(40, 60, 85, 365 / 6, sqrt(575) / 6),
        "wait": sums(0, 0, 0, 0, 0),
        "tools": ["multimeter"],
        "parts": {"fan-resistor": 1},
        "hazards": ["hot-parts"],
        "chance": near(0.66062),
        "settled": near(0.65863 / 0.66062),
        "causes": {cause: near(chance / 0.66062) for cause, chance in joint.items()},
    }


def test_cabin_fan_ending_in_a_new_switch(cabin_fan):
    joint = {"resistor": 0.02037, "plug": 0.00495, "switch": 0.144045, "unlisted": 0.048015}
    assert cabin_fan["paths"][1] == {
        "steps": ["look-at-plug", "measure-resistor"],
        "results": ["clean", "in-range"],
        "ending": "new-switch",
        "handover": None,
        "money": sums(60, 75, 90, 75, 5),
        # 85, 97.5 and 115 min at 95 an hour: 134.58…, 154.375, 182.08…; mean 98.33… min
        "shop_money": sums(
            60 + 1615 / 12,
            229.375,
            90 + 2185 / 12,
            75 + 295 / 3 * 95 / 60,
            sqrt(25 + 350 / 36 * (95 / 60) ** 2),
        ),
        # 10-20, 5/10/20, 60, open 5, close 5-10
        "minutes": sums(85, 97.5, 115, 295 / 3, sqrt(350) / 6),
        "wait": sums(0, 0, 0, 0, 0),
        "tools": ["multimeter"],
        "parts": {"speed-switch": 1},
        "hazards": ["hot-parts"],
        "chance": near(0.21738),
        "settled": near(0.144045 / 0.21738),
        "causes": {cause: near(chance / 0.21738) for cause, chance in joint.items()},
    }


def test_cabin_fan_ending_in_a_repair_plug(cabin_fan):
    # 0.1 × 0.95 for the plug, else 0.03
    joint = {"resistor": 0.021, "plug": 0.095, "switch": 0.0045, "unlisted": 0.0015}
    assert cabin_fan["paths"][2] == {
        "steps": ["look-at-plug"],
        "results": ["browned"],
        "ending": "new-plug",
        "handover": None,
        # plug 12 and pliers 20-40
        "money": sums(32, 42, 52, 42, 20 / 6),
        # plug 12 and 50, 72.5, 95 min at 95 an hour: 79.16…, 114.79…, 150.41…
        "shop_money": sums(12 + 475 / 6, 12 + 2755 / 24, 12 + 1805 / 12, 12 + 2755 / 24, sqrt(1025) / 6 * 95 / 60),
        # 10-20, 30-60, open 5, close 5-10
        "minutes": sums(50, 72.5, 95, 72.5, sqrt(1025) / 6),
        "wait": sums(0, 0, 0, 0, 0),
        "tools": ["crimper"],
        "parts": {"resistor-plug": 1},
        "hazards": ["hot-parts"],
        "chance": near(0.122),
        "settled": near(0.095 / 0.122),
        "causes": {cause: near(chance / 0.122) for cause, chance in joint.items()},
    }


def test_unknown_slug(make_library):
    with pytest.raises(KeyError):
        totals_of("no-such-playbook", make_library(CABIN_FAN, catalogue=CABIN_CATALOGUE))


def fork(chance, right, left="leave", **more):
    """One step that costs 10 and leads to the ending `fix` (cost 20) by `right`, else to another place."""
    results = {"no": {"next": left, "chance": "rest"}, "yes": {"next": "fix", "chance": chance}}
    endings = {"fix": {"cost": "20", "settles": right}, "leave": {"cost": "5"}}
    return {
        "causes": {"worn": {"share": "60%"}, "loose": {"share": "30%"}},
        "steps": {"look": {"cost": "10", "results": results}},
        "endings": {name: ending for name, ending in endings.items() if name in ("fix", left)},
        **more,
    }


def test_ending_without_settles_settles_nothing_and_wastes_nothing(total):
    made = total(fork("50%", ["worn"]))
    # fix: 0.5, of it 0.6 right and 0.4 wrong at 30; leave: neither
    assert made.settled == pytest.approx(0.3)
    assert made.wasted == pytest.approx(0.5 * 0.4 * 30)
    assert [(path.ending, path.settled) for path in made.paths] == [("leave", 0), ("fix", pytest.approx(0.6))]


def test_hand_over_settles_nothing_and_wastes_nothing(total):
    made = total(fork("50%", ["worn"], left={"playbook": "other"}, endings={"fix": {"settles": ["worn"]}}))
    assert [(path.ending, path.handover, path.settled) for path in made.paths] == [
        (None, "other", 0),
        ("fix", None, pytest.approx(0.6)),
    ]
    # Only `fix` wastes: 0.5 × 0.4 at the 10 of the step.
    assert made.wasted == pytest.approx(0.5 * 0.4 * 10)
    assert made.expected.money == pytest.approx(10)


def test_settling_all_settles_the_unlisted_cause_too(total):
    made = total(fork("50%", "all"))
    assert made.settled == pytest.approx(0.5)
    assert made.wasted == 0


def test_settling_every_listed_cause_leaves_the_unlisted_one(total):
    made = total(fork("50%", ["worn", "loose"]))
    assert made.settled == pytest.approx(0.5 * 0.9)
    assert made.wasted == pytest.approx(0.5 * 0.1 * 30)


def test_path_that_cannot_happen_has_no_causes(total):
    impossible = total(fork("0%", ["worn"])).paths[-1]
    assert (impossible.results, impossible.chance, impossible.settled, impossible.causes) == (("yes",), 0, None, None)
    assert impossible.money.mean == 30


def test_paths_of_equal_chance_are_ordered_by_their_results(total):
    playbook = fork("50%", ["worn"])
    playbook["steps"]["look"]["results"] = {
        key: {"next": "fix", "chance": chance}
        for key, chance in [("c", "25%"), ("a", "25%"), ("d", "26%"), ("b", "rest")]
    }
    made = total({**playbook, "endings": {"fix": playbook["endings"]["fix"]}})
    assert [path.results for path in made.paths] == [("d",), ("a",), ("c",), ("b",)]


def test_chances_that_differ_by_a_millionth_are_told_apart(total):
    playbook = fork("49.999999%", ["worn"])
    playbook["steps"]["look"]["results"]["no"]["chance"] = "50.000001%"
    assert [path.results for path in total(playbook).paths] == [("no",), ("yes",)]


def test_equal_chances_by_different_ways_are_a_tie(total):
    # 0.3 × 0.3 = 0.09 twice, where floats of 0.1 × 0.9 and 0.3 × 0.3 differ in the last digit.
    steps = {
        "first": {
            "results": {
                "b": {"next": "of-a-tenth", "chance": "10%"},
                "a": {"next": "of-three-tenths", "chance": "30%"},
                "z": {"next": "end", "chance": "rest"},
            }
        },
        "of-a-tenth": {"results": {"x": {"next": "end", "chance": "90%"}, "y": {"next": "end", "chance": "rest"}}},
        "of-three-tenths": {"results": {"x": {"next": "end", "chance": "30%"}, "y": {"next": "end", "chance": "rest"}}},
    }
    made = total({"causes": {"worn": {"share": "100%"}}, "steps": steps, "endings": {"end": {}}})
    assert [path.results for path in made.paths] == [("z",), ("a", "y"), ("a", "x"), ("b", "x"), ("b", "y")]


KEYS_OF_ODDS = ("listed_chance", "expected", "settled", "wasted", "spend_within", "causes")


@pytest.mark.parametrize("without", ["shares", "chances"])
def test_without_odds_their_keys_are_null_and_cheap_paths_come_first(total, without):
    playbook = fork("50%", ["worn"])
    if without == "shares":
        playbook["causes"] = {"worn": {}, "loose": {}}
    else:
        for result in playbook["steps"]["look"]["results"].values():
            del result["chance"]
    made = total(playbook).as_json()
    assert all(made[key] is None for key in KEYS_OF_ODDS)
    assert all(path[key] is None for path in made["paths"] for key in ("chance", "settled", "causes"))
    assert [(path["ending"], path["money"]["mean"]) for path in made["paths"]] == [("leave", 15), ("fix", 30)]


def test_without_odds_paths_of_equal_money_are_ordered_by_their_results(total):
    # 0.01 + 0.04 and 0.05 are the same money, whatever the last digit of a float says.
    steps = {
        "first": {"results": {"b": {"next": "end-b"}, "a": {"next": "second"}, "c": {"next": "end-c"}}},
        "second": {"cost": "0.01", "results": {"x": {"next": "end-a"}}},
    }
    endings = {"end-a": {"cost": "0.04"}, "end-b": {"cost": "0.05"}, "end-c": {"cost": "0.04"}}
    made = total({"steps": steps, "endings": endings})
    assert [path.results for path in made.paths] == [("c",), ("a", "x"), ("b",)]


def test_certain_step_takes_part_in_odds(total):
    steps = {
        "open-up": {"cost": "3", "results": {"done": {"next": "look"}}},
        **fork("50%", ["worn"])["steps"],
    }
    made = total(fork("50%", ["worn"], steps=steps))
    assert made.path_count == 2
    assert made.settled == pytest.approx(0.3)
    assert made.expected.money == pytest.approx(3 + 10 + 0.5 * 20 + 0.5 * 5)


def prices(*chances_and_costs):
    """One step whose results lead to endings of these chances and costs."""
    results = {f"r{i}": {"next": f"e{i}", "chance": f"{chance}%"} for i, (chance, _) in enumerate(chances_and_costs)}
    endings = {f"e{i}": {"cost": str(cost)} for i, (_, cost) in enumerate(chances_and_costs)}
    return {"causes": {"worn": {"share": "80%"}}, "steps": {"s": {"results": results}}, "endings": endings}


@pytest.mark.parametrize(
    ("chances_and_costs", "within"),
    [
        # Exactly 50, 80 and 95 % are reached: "at least" counts.
        ([(50, 1), (30, 2), (15, 3), (5, 4)], (1, 2, 3)),
        # A hair less is not enough.
        ([(49.99, 1), (30, 2), (15, 3), (5.01, 4)], (2, 3, 4)),
        # The order of the file does not matter, and paths of one price count together.
        ([(5, 4), (25, 1), (15, 3), (25, 1), (30, 2)], (1, 2, 3)),
        ([(100, 7)], (7, 7, 7)),
        # What cannot happen does not count, however cheap or dear.
        ([(0, 1), (100, 5), (0, 9)], (5, 5, 5)),
    ],
)
def test_spend_within(total, chances_and_costs, within):
    assert total(prices(*chances_and_costs)).spend_within == dict(zip(("50", "80", "95"), within, strict=True))


def test_spend_within_is_reached_where_chances_add_up_to_a_little_less(total):
    assert total(prices((33.32, 1), (33.32, 2), (33.32, 3))).spend_within == {"50": 2, "80": 3, "95": 3}


def test_spending_curve_rises_to_one(reckon):
    curve = spending_curve(reckon(prices((50, 1), (30, 2), (20, 2))))
    assert curve == [(1, pytest.approx(0.5)), (2, 1)]


def test_path_listing_can_be_shortened(total, reckon):
    made = totals(reckon(prices((50, 1), (30, 2), (20, 3))), "EUR", most=2)
    assert [path.chance for path in made.paths] == [0.5, pytest.approx(0.3)]
    assert made.listed_chance == pytest.approx(0.8)
    assert made.path_count == 3


def test_hazards_of_a_playbook_are_those_of_all_its_paths(total):
    playbook = fork("50%", ["worn"])
    playbook["endings"]["fix"]["access"] = ["wheel"]
    playbook["endings"]["leave"]["hazards"] = ["hot"]
    made = total(playbook)
    assert made.hazards == ["hot", "lifting"]
    assert sorted(path.hazards[0] for path in made.paths) == ["hot", "lifting"]
