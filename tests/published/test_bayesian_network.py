"""Posterior shares and chances of every demo playbook against a discrete Bayesian network.

The network is made here, one node for the cause and one for each step's result, and solved by pgmpy's variable
elimination (A. Ankan and A. Panda, "pgmpy: Probabilistic Graphical Models using Python", SciPy 2015).
"""

from random import Random

import numpy as np
import pytest
from pgmpy.factors.discrete import TabularCPD
from pgmpy.inference import VariableElimination
from pgmpy.models import DiscreteBayesianNetwork

from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import totals_of
from tests.demo import demo_library

SLUGS = sorted(demo_library().playbooks)
WALKS = 12
CAUSE = "the cause"


@pytest.fixture(scope="module")
def library():
    return demo_library()


def chance_table(step, causes):
    """Chance of each result (rows) under each cause (columns)."""
    given = [result.chance for result in step.results.values()]
    if given == [None]:
        return np.ones((1, len(causes)))
    table = np.array(
        [[0.0 if one.rest else float(one.by_cause.get(cause, one.otherwise)) for cause in causes] for one in given]
    )
    for e, one in enumerate(given):
        if one.rest:
            table[e] = 1 - table.sum(axis=0)
    return table


def network_of(playbook):
    """The playbook as a Bayesian network; results are named, a step's node bears its name."""
    shares = {name: float(cause.share) for name, cause in playbook.causes.items()}
    shares["unlisted"] = 1 - sum(shares.values())
    causes = list(shares)
    network = DiscreteBayesianNetwork([(CAUSE, f"step {name}") for name in playbook.steps])
    prior = TabularCPD(CAUSE, len(causes), [[share] for share in shares.values()], state_names={CAUSE: causes})
    network.add_cpds(prior)
    for name, step in playbook.steps.items():
        node = f"step {name}"
        table = chance_table(step, causes)
        states = {node: list(step.results), CAUSE: causes}
        network.add_cpds(TabularCPD(node, len(step.results), table, [CAUSE], [len(causes)], state_names=states))
    assert network.check_model()
    return VariableElimination(network)


def walk(playbook, random):
    """A random way through a playbook, broken off anywhere, as pairs of step and result."""
    name = playbook.start
    way = []
    while name in playbook.steps and (not way or random.random() < 0.85):
        key = random.choice(list(playbook.steps[name].results))
        way.append((name, key))
        name = playbook.steps[name].results[key].next.name
    return way


def chance_of(network, way):
    """The chance that the network gives to results, one after the other."""
    chance = 1.0
    seen = {}
    for name, key in way:
        node = f"step {name}"
        chance *= network.query([node], seen, show_progress=False).get_value(**{node: key})
        seen[node] = key
    return chance


def test_there_are_demo_playbooks(library):
    assert SLUGS
    assert sorted(library.playbooks) == SLUGS


@pytest.mark.parametrize("slug", SLUGS)
def test_posterior_agrees_with_the_network(slug, library):
    playbook = library.playbooks[slug]
    reckoning = reckoning_of(playbook, library.catalogue, library.settings)
    network = network_of(playbook)
    random = Random(slug)
    for _ in range(WALKS):
        way = walk(playbook, random)
        ours = reckoning.odds.posterior(reckoning.graph, [key for _, key in way])
        if ours is None:
            assert chance_of(network, way) == pytest.approx(0, abs=1e-9)
            continue
        seen = {f"step {name}": key for name, key in way}
        theirs = network.query([CAUSE], seen, show_progress=False)
        assert ours == pytest.approx({cause: theirs.get_value(**{CAUSE: cause}) for cause in ours}, abs=1e-9)


@pytest.mark.parametrize("slug", SLUGS)
def test_chance_of_paths_agrees_with_the_network(slug, library):
    network = network_of(library.playbooks[slug])
    paths = totals_of(slug, library).paths
    for path in paths[:WALKS]:
        way = list(zip(path.steps, path.results, strict=True))
        assert path.chance == pytest.approx(chance_of(network, way), abs=1e-9)
