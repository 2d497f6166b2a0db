"""Odds from any body of evidence: the browser's are Bayes' rule over the builder's figures, in whatever order."""

import math
import random
from typing import Any, Final

import pytest

BODIES: Final = 500
"""Random bodies of evidence over all demo playbooks."""

ODDS: Final = """([model, bodies]) => bodies.map(({ seen, failed }) => {
    const { job, odds, stand } = droplight;
    const leg = job.newLeg(model);
    const means = { money: 0, minutes: 0 };
    for (const [name, result, weights] of seen) {
        const node = model.nodes.find((one) => one.kind === "step" && one.name === name);
        job.see(leg, node, node.results.find((one) => one.name === result), weights ? { means, weights } : { means });
    }
    for (const name of failed) {
        const node = model.nodes.find((one) => one.kind === "ending" && one.name === name);
        const whole = { legs: [leg] };
        job.finish(whole, leg, node, means);
        job.relapse(whole, leg.tried.find(({ ending }) => ending === name));
    }
    return odds.shares(stand.weightsOf(model, leg));
})"""


@pytest.fixture(scope="module")
def page(browser: Any, site_dir: Any) -> Any:
    context = browser.new_context()
    page = context.new_page()
    page.goto((site_dir / "walk.html").as_uri())
    page.wait_for_selector("#walk[data-ready]")
    yield page
    context.close()


def body_of(reckoning: Any, draw: random.Random) -> dict[str, Any]:
    """Some steps in any order, each with a result that is sure or not, and repairs that did not help."""
    steps = list(reckoning.playbook.steps.items())
    endings = [name for name, one in reckoning.playbook.endings.items() if one.settles]
    seen = []
    for name, step in draw.sample(steps, draw.randint(0, len(steps))):
        results = list(step.results)
        weights = {result: draw.choice([0.25, 1, 3]) for result in results} if draw.random() < 0.3 else None
        seen.append((name, draw.choice(results), weights))
    return {"seen": seen, "failed": draw.sample(endings, draw.choice([0, 0, 0, 1]))}


def bayes(reckoning: Any, body: dict[str, Any]) -> list[float] | None:
    """Prior times the likelihood of every result, causes of failed repairs struck out, divided by the sum."""
    odds, nodes = reckoning.odds, reckoning.graph.nodes
    number = {node.name: i for i, node in enumerate(nodes) if node.kind != "handover"}
    weights = [float(share) for share in odds.prior]
    for name, result, soft in body["seen"]:
        i = number[name]
        results = list(reckoning.playbook.steps[name].results)
        spoken = soft or {result: 1}
        rows = [[float(chance) for chance in odds.likelihoods[i][k]] for k in range(len(results))]
        weights = [
            weight * math.fsum(spoken.get(one, 0) * rows[k][c] for k, one in enumerate(results))
            for c, weight in enumerate(weights)
        ]
    for name in body["failed"]:
        weights = [0 if right else weight for weight, right in zip(weights, odds.rights[number[name]], strict=True)]
    whole = math.fsum(weights)
    return [weight / whole for weight in weights] if whole > 0 else None


def test_odds_of_random_bodies_of_evidence_are_the_builders(page, demo, builder_of):
    draw = random.Random(10)
    books = [slug for slug in demo.playbooks if builder_of(slug, demo).reckoning.odds]
    for slug in books:
        builder = builder_of(slug, demo)
        bodies = [body_of(builder.reckoning, draw) for _ in range(-(-BODIES // len(books)))]
        shown = page.evaluate(ODDS, [builder.model(), bodies])
        for body, odds in zip(bodies, shown, strict=True):
            wanted = bayes(builder.reckoning, body)
            assert (odds is None) == (wanted is None), (slug, body)
            if wanted is not None:
                assert odds == pytest.approx(wanted, rel=1e-9, abs=1e-12), (slug, body)


def test_the_order_in_which_results_were_seen_does_not_matter(page, demo, builder_of):
    draw = random.Random(11)
    builder = builder_of("misfire-at-idle", demo)
    for _ in range(20):
        body = body_of(builder.reckoning, draw)
        other = {**body, "seen": draw.sample(body["seen"], len(body["seen"]))}
        first, second = page.evaluate(ODDS, [builder.model(), [body, other]])
        assert first == second
