import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.paths import every_path
from builder.reckon.standing import result_chances, standings
from tests.sweep import EXAMPLES

FORK = {
    "causes": {"worn": {"share": "60%"}, "loose": {"share": "30%"}},
    "steps": {
        "look": {
            "results": {
                "yes": {"next": "mend", "chance": {"worn": "90%", "otherwise": "20%"}},
                "no": {"next": "listen", "chance": "rest"},
            }
        },
        "listen": {
            "results": {
                "loud": {"next": "mend", "chance": {"loose": "50%", "otherwise": "0%"}},
                "quiet": {"next": "leave", "chance": "rest"},
                "never": {"next": "nowhere", "chance": "0%"},
            }
        },
    },
    "endings": {"mend": {"settles": ["worn"]}, "leave": {}, "nowhere": {"settles": ["loose"]}},
}


@pytest.fixture
def fork(reckon):
    """The standing of each node of the example by its name."""
    reckoning = reckon(FORK)
    names = [node.name for node in reckoning.graph.nodes]
    return dict(zip(names, standings(reckoning), strict=True))


def test_start_is_always_reached_and_its_causes_are_the_shares(fork):
    assert fork["look"].reached == pytest.approx(1)
    assert fork["look"].causes == pytest.approx({"worn": 0.6, "loose": 0.3, "unlisted": 0.1})


def test_later_step_is_reached_with_what_is_left(fork):
    # 0.6 × 0.1, 0.3 × 0.8, 0.1 × 0.8
    assert fork["listen"].reached == pytest.approx(0.38)
    assert fork["listen"].causes == pytest.approx({"worn": 0.06 / 0.38, "loose": 0.24 / 0.38, "unlisted": 0.08 / 0.38})


def test_ending_that_several_ways_lead_to(fork):
    # worn 0.54; loose 0.06 at once and 0.24 × 0.5 later; unlisted 0.02
    assert fork["mend"].reached == pytest.approx(0.74)
    assert fork["mend"].right == pytest.approx(0.54 / 0.74)
    assert fork["mend"].mistaken == "loose"


def test_leaving_it_is_neither_right_nor_mistaken(fork):
    assert fork["leave"].reached == pytest.approx(0.06 + 0.12 + 0.08)
    assert (fork["leave"].right, fork["leave"].mistaken) == (None, None)


def test_ending_that_is_never_reached(fork):
    assert fork["nowhere"].reached == 0
    assert (fork["nowhere"].causes, fork["nowhere"].right, fork["nowhere"].mistaken) == (None, None, None)


def test_how_often_each_result_is_walked(reckon):
    reckoning = reckon(FORK)
    by_name = dict(zip([node.name for node in reckoning.graph.nodes], result_chances(reckoning), strict=True))
    assert by_name["look"] == pytest.approx([0.62, 0.38])
    assert by_name["listen"] == pytest.approx([0.12, 0.26, 0])
    assert by_name["mend"] == []


@settings(max_examples=80 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_endings_are_reached_as_often_as_the_paths_to_them(data, playbooks, reckon):
    reckoning = reckon(data.draw(playbooks(odds=True)))
    odds = reckoning.odds
    for i, standing in enumerate(standings(reckoning)):
        if reckoning.graph.edges[i]:
            continue
        paths = [path for path in every_path(reckoning.graph, odds) if path.nodes[-1] == i]
        chances = [
            sum(path.weights[c] / (odds.share_unit * odds.unit ** len(path.results)) for path in paths)
            for c in range(len(odds.causes))
        ]
        assert standing.reached == pytest.approx(sum(chances), abs=1e-12)
        if standing.reached:
            shares = [chance / sum(chances) for chance in chances]
            assert list(standing.causes.values()) == pytest.approx(shares, abs=1e-9)


def test_a_cause_without_a_case_is_never_what_it_mostly_was(reckon):
    """The ending puts all right that can be the case: what has a share of nothing is no mistake."""
    playbook = {
        "causes": {"worn": {"share": "100%"}, "ghost": {"share": "0%"}},
        "steps": {"look": {"results": {"seen": {"next": "mend", "chance": "100%"}}}},
        "endings": {"mend": {"settles": ["worn"]}},
    }
    *_, mend = standings(reckon(playbook))
    assert (mend.right, mend.mistaken) == (1, None)
