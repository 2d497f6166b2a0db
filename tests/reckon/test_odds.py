from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sweep import EXAMPLES

CAUSES = {"fuse": {"share": "50%"}, "lamp": {"share": "30%"}}


@pytest.fixture
def odds(reckon):
    """The odds of one step with results `a`, `b` … that have these chances, and its graph."""

    def odds(*chances, causes=None):
        results = {
            "abc"[i]: {"next": "end", **({"chance": chance} if chance else {})} for i, chance in enumerate(chances)
        }
        playbook = {"causes": causes or CAUSES, "steps": {"s": {"results": results}}, "endings": {"end": {}}}
        reckoning = reckon(playbook)
        return reckoning.odds, reckoning.graph

    return odds


def given_cause(odds):
    """Chance of each result under each cause, exact."""
    return [
        {cause: Fraction(chance, odds.unit) for cause, chance in zip(odds.causes, edge, strict=True)}
        for edge in odds.chances[0]
    ]


def test_the_remainder_of_the_shares_is_unlisted(odds):
    made, _ = odds("40%", "rest")
    assert dict(zip(made.causes, made.prior, strict=True)) == {"fuse": 0.5, "lamp": 0.3, "unlisted": 0.2}


def test_nothing_is_unlisted_where_the_shares_fill_the_whole(odds):
    made, _ = odds("40%", "rest", causes={"fuse": {"share": "99.5%"}, "lamp": {"share": "0.5%"}})
    assert made.prior == (0.995, 0.005, 0)


def test_one_percentage_holds_for_every_cause(odds):
    made, _ = odds("40%", "60%")
    assert given_cause(made)[0] == dict.fromkeys(("fuse", "lamp", "unlisted"), Fraction(2, 5))


def test_otherwise_holds_for_causes_not_named(odds):
    made, _ = odds({"fuse": "90%", "otherwise": "5%"}, "rest")
    assert given_cause(made)[0] == {"fuse": Fraction(9, 10), "lamp": Fraction(1, 20), "unlisted": Fraction(1, 20)}


def test_unlisted_may_be_named(odds):
    made, _ = odds({"unlisted": "50%", "otherwise": "10%"}, "rest")
    assert given_cause(made)[0] == {"fuse": Fraction(1, 10), "lamp": Fraction(1, 10), "unlisted": Fraction(1, 2)}


def test_rest_is_what_the_other_results_leave(odds):
    made, _ = odds({"fuse": "90%", "otherwise": "5%"}, "rest", {"lamp": "70%", "otherwise": "0%"})
    assert given_cause(made)[1] == {"fuse": Fraction(1, 10), "lamp": Fraction(1, 4), "unlisted": Fraction(19, 20)}


def test_rest_is_never_less_than_nothing(odds):
    # The chances of a step may add up to 100.05 %.
    made, _ = odds("60%", "40.03%", "rest")
    assert set(given_cause(made)[2].values()) == {0}


def test_single_result_without_chance_is_certain(odds):
    made, _ = odds(None)
    assert given_cause(made) == [dict.fromkeys(("fuse", "lamp", "unlisted"), 1)]


def test_no_odds_without_shares(odds):
    assert odds("40%", "60%", causes={"fuse": {}, "lamp": {}})[0] is None


def test_no_odds_without_causes(reckon):
    steps = {"s": {"results": {"a": {"next": "end", "chance": "50%"}, "b": {"next": "end", "chance": "rest"}}}}
    assert reckon({"steps": steps, "endings": {"end": {}}}).odds is None


def test_no_odds_where_a_step_gives_no_chances(odds):
    assert odds(None, None)[0] is None


def test_endings_that_settle(reckon):
    results = {
        key: {"next": end, "chance": chance}
        for key, end, chance in [("a", "one", "25%"), ("b", "every", "25%"), ("c", "none", "25%")]
    }
    results["d"] = {"next": {"playbook": "other"}, "chance": "rest"}
    endings = {"one": {"settles": ["lamp"]}, "every": {"settles": "all"}, "none": {}}
    reckoning = reckon({"causes": CAUSES, "steps": {"s": {"results": results}}, "endings": endings})
    by_name = {
        node.name: (reckoning.odds.rights[i], reckoning.odds.repairs[i]) for i, node in enumerate(reckoning.graph.nodes)
    }
    assert by_name == {
        "s": ((False, False, False), False),
        "one": ((False, True, False), True),
        "every": ((True, True, True), True),
        "none": ((False, False, False), False),
        "other": ((False, False, False), False),
    }


def test_posterior_by_bayes(odds):
    made, graph = odds({"fuse": "90%", "otherwise": "5%"}, "rest")
    # a: 0.5 × 0.9 = 0.45, 0.3 × 0.05 = 0.015, 0.2 × 0.05 = 0.01; together 0.475
    posterior = made.posterior(graph, ["a"])
    assert posterior == pytest.approx(
        {"fuse": 0.45 / 0.475, "lamp": 0.015 / 0.475, "unlisted": 0.01 / 0.475}, rel=1e-14
    )


def test_posterior_of_nothing_seen_is_the_share(odds):
    made, graph = odds("40%", "rest")
    assert made.posterior(graph, []) == {"fuse": 0.5, "lamp": 0.3, "unlisted": 0.2}


def test_result_that_says_nothing_of_the_cause_changes_nothing(odds):
    made, graph = odds("40%", "rest")
    assert made.posterior(graph, ["b"]) == pytest.approx({"fuse": 0.5, "lamp": 0.3, "unlisted": 0.2}, rel=1e-15)


def test_result_that_rules_a_cause_out(odds):
    made, graph = odds({"fuse": "0%", "otherwise": "50%"}, "rest")
    assert made.posterior(graph, ["a"]) == pytest.approx({"fuse": 0, "lamp": 0.6, "unlisted": 0.4})


def test_no_posterior_after_what_cannot_happen(odds):
    made, graph = odds("0%", "rest")
    assert made.posterior(graph, ["a"]) is None


def test_posterior_refuses_a_result_of_another_step(odds):
    made, graph = odds("40%", "rest")
    with pytest.raises(ValueError, match="c"):
        made.posterior(graph, ["c"])


def share_given(chance, cause, others):
    """The chance of a result under a cause, straight from the notation."""
    if chance is None:
        return Fraction(1)
    if chance == "rest":
        return max(Fraction(0), 1 - sum(share_given(other, cause, ()) for other in others if other != "rest"))
    text = chance if isinstance(chance, str) else chance.get(cause, chance["otherwise"])
    return Fraction(text.rstrip("%")) / 100


@settings(max_examples=100 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_posterior_after_any_results_is_bayes_by_hand(data, playbooks, reckon):
    playbook = data.draw(playbooks(odds=True))
    reckoning = reckon(playbook)
    shares = {name: Fraction(cause["share"].rstrip("%")) / 100 for name, cause in playbook["causes"].items()}
    weights = {**shares, "unlisted": 1 - sum(shares.values())}
    seen, place = [], "step-0"
    while place in playbook["steps"] and data.draw(st.integers(0, 5)):
        results = playbook["steps"][place]["results"]
        key = data.draw(st.sampled_from(sorted(results)))
        chances = [result.get("chance") for result in results.values()]
        weights = {
            cause: share * share_given(results[key].get("chance"), cause, chances) for cause, share in weights.items()
        }
        seen.append(key)
        place = results[key]["next"] if isinstance(results[key]["next"], str) else None
    whole = sum(weights.values())
    by_hand = {cause: float(weight / whole) for cause, weight in weights.items()} if whole else None
    assert reckoning.odds.posterior(reckoning.graph, seen) == (by_hand and pytest.approx(by_hand, abs=1e-12))
