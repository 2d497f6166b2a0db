import pytest

from builder.reckon import search
from builder.reckon.search import Cheapest, Likeliest, Search, blended

CAUSES = {"worn": "60%", "loose": "30%"}


def by_cause(i):
    return {"worn": "20%", "loose": "70%", "otherwise": "40%"}


@pytest.fixture
def tall(reckon, ladder):
    """Thirty rungs: a billion paths."""
    return reckon(ladder(30, by_cause, CAUSES, detour=lambda i: {"cost": "1"}))


def scales(reckoning):
    return [Likeliest(reckoning.graph, reckoning.odds), Cheapest(reckoning.graph, reckoning.bill)]


def test_route_and_nodes_tell_the_same_way(tall):
    for scale in scales(tall):
        for twig in Search(tall.graph, scale).best(20)[0]:
            nodes = [0]
            for edge in twig.route:
                nodes.append(tall.graph.edges[nodes[-1]][edge].target)
            assert twig.nodes == nodes
            assert len(twig.route) == twig.depth


def test_ways_are_found_in_order(tall):
    for scale in scales(tall):
        found, _ = Search(tall.graph, scale).best(50)
        ranks = [(scale.rank(twig), twig.order) for twig in found]
        assert len(ranks) == 50
        assert ranks == sorted(ranks)


def test_partial_ways_are_never_ranked_worse_than_where_they_lead(tall):
    for scale in scales(tall):
        for twig in Search(tall.graph, scale).best(20)[0]:
            ranks = [scale.rank(twig)]
            while twig := twig.before:
                ranks.append(scale.rank(twig))
            assert ranks == sorted(ranks, reverse=True)


def test_search_that_gives_up_hands_out_the_most_promising_partial_ways(tall, monkeypatch):
    monkeypatch.setattr(search, "EFFORT", 40)
    for scale in scales(tall):
        found, partial = Search(tall.graph, scale).best(5)
        assert not found
        assert len(partial) == 5
        ranks = [scale.rank(twig) for twig in partial]
        assert ranks == sorted(ranks)


def test_way_on_leads_to_an_end(tall):
    for scale in scales(tall):
        finder = Search(tall.graph, scale)
        start = search.Twig(None, 0, 0, 0, 0, scale.start)
        twig = finder.grown(start, 1)
        for edge in scale.way_on(twig):
            twig = finder.grown(twig, edge)
        assert not tall.graph.edges[twig.node]


def test_way_on_of_one_cause_is_the_likeliest(reckon, ladder):
    reckoning = reckon(ladder(40, lambda i: f"{40 + i / 2}%", {"worn": "100%"}))
    scale = Likeliest(reckoning.graph, reckoning.odds)
    start = search.Twig(None, 0, 0, 0, 0, scale.start)
    [best], _ = Search(reckoning.graph, scale).best(1)
    assert tuple(scale.way_on(start)) == best.route


def test_blended_chances_are_weighted_by_shares(tall):
    mixed = blended(tall.odds)
    # yes: 0.6 × 0.2 + 0.3 × 0.7 + 0.1 × 0.4 = 0.37
    assert mixed.likelihoods[0] == [(pytest.approx(0.63),), (pytest.approx(0.37),)]
    assert mixed.prior == (1,)
