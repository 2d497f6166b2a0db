import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.reckon.graph import graph_of
from tests.sweep import EXAMPLES

FORK = {
    "steps": {
        "look": {"results": {"worn": {"next": "swap"}, "good": {"next": "listen"}}},
        "listen": {"results": {"loud": {"next": "swap"}, "odd": {"next": {"playbook": "noises"}}}},
    },
    "endings": {"swap": {}},
}


@pytest.fixture
def fork(make_library):
    return graph_of(make_library(FORK).playbooks["x"])


def network(graph):
    """The same graph for the independent library; two results may lead to the same place."""
    net = nx.MultiDiGraph()
    net.add_nodes_from(range(len(graph.nodes)))
    net.add_edges_from((i, edge.target) for i, edges in enumerate(graph.edges) for edge in edges)
    return net


def test_nodes_are_steps_endings_and_hand_overs(fork):
    assert {(node.kind, node.name) for node in fork.nodes} == {
        ("step", "look"),
        ("step", "listen"),
        ("ending", "swap"),
        ("handover", "noises"),
    }
    assert (fork.nodes[0].kind, fork.nodes[0].name) == ("step", "look")


def test_paths_are_counted(fork):
    # look: worn | look: good, listen: loud | look: good, listen: odd
    assert fork.path_count == 3
    assert fork.heights[0] == 2


def test_number_finds_a_node(fork):
    assert all(fork.number[node.kind, node.name] == i for i, node in enumerate(fork.nodes))


def test_follow_gives_the_way(fork):
    way = fork.follow(["good", "odd"])
    assert [fork.nodes[i].name for i in way] == ["look", "listen", "noises"]


def test_follow_from_a_later_step(fork):
    way = fork.follow(["loud"], fork.number["step", "listen"])
    assert [fork.nodes[i].name for i in way] == ["listen", "swap"]


def test_follow_refuses_a_result_of_another_step(fork):
    with pytest.raises(KeyError):
        fork.follow(["loud"])


def test_start_need_not_be_the_first_step_in_the_file(make_library):
    late = {**FORK, "steps": dict(reversed(FORK["steps"].items())), "start": "look"}
    graph = graph_of(make_library(late).playbooks["x"])
    assert graph.nodes[0].name == "look"
    assert graph.path_count == 3


def test_what_cannot_be_reached_is_left_out(make_library):
    graph = graph_of(make_library({**FORK, "start": "listen"}).playbooks["x"])
    assert [node.name for node in graph.nodes if node.kind == "step"] == ["listen"]


def test_one_hand_over_target_is_one_node(make_library):
    steps = {"look": {"results": {key: {"next": {"playbook": "other"}} for key in ("a", "b")}}}
    graph = graph_of(make_library({"steps": steps}).playbooks["x"])
    assert len(graph.nodes) == 2
    assert graph.path_count == 2


def test_a_step_and_a_hand_over_may_share_a_name(make_library):
    steps = {"look": {"results": {"a": {"next": {"playbook": "look"}}}}}
    graph = graph_of(make_library({"steps": steps}).playbooks["x"])
    assert [(node.kind, node.name) for node in graph.nodes] == [("step", "look"), ("handover", "look")]


@settings(max_examples=80 * EXAMPLES, deadline=None)
@given(data=st.data())
def test_counts_order_and_heights_agree_with_an_independent_library(data, playbooks, make_library):
    graph = graph_of(make_library(data.draw(playbooks(most_steps=9))).playbooks["x"])
    net = network(graph)
    stops = [i for i, edges in enumerate(graph.edges) if not edges]
    assert graph.path_count == sum(1 for _ in nx.all_simple_edge_paths(net, 0, stops))
    assert graph.heights[0] == nx.dag_longest_path_length(net)
    assert all(source < target for source, target, _ in net.edges)
    assert set(nx.descendants(net, 0)) == set(range(1, len(graph.nodes)))


def test_paths_beyond_listing_are_counted_exactly(make_library, ladder):
    graph = graph_of(make_library(ladder(60, lambda i: None, {})).playbooks["x"])
    assert graph.path_count == 2**60
    assert graph.heights[0] == nx.dag_longest_path_length(network(graph)) == 120


def test_count_of_a_hundred_rungs_is_no_float(make_library, ladder):
    graph = graph_of(make_library(ladder(100, lambda i: None, {})).playbooks["x"])
    assert graph.path_count == 2**100
