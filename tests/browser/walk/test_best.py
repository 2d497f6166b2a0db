"""What comes next: as written or best for the owner, why, what it costs to do without, and the owner's limits."""

from typing import Any, Final

import pytest
from playwright.sync_api import expect

from builder.draw.figures import figures_of

SLUG: Final = "misfire-at-idle"
PROSPECT: Final = """async ([seen, failed, limits]) => {
    const model = await droplight.data.model("misfire-at-idle");
    const { noEvidence } = droplight.givens;
    const settings = { ...droplight.settings.settings(), ...(limits && { limits }) };
    return droplight.prospect.prospect(model, { ...noEvidence(), seen, failed }, settings);
}"""


@pytest.fixture
def walk_here(walk: Any, site_dir: Any) -> Any:
    return lambda slug, **how: walk(slug, site_dir.as_uri() + "/", **how).acknowledge()


def choose(hand: Any, **settings: Any) -> None:
    """The owner's settings, changed as in another window."""
    hand.page.evaluate(
        "more => droplight.settings.save({ ...droplight.settings.settings(), ...more })",
        settings,
    )
    hand.page.reload()
    hand.settle().acknowledge()


def test_where_the_best_differs_from_what_is_written_both_are_said_and_can_be_chosen(walk_here, demo):
    hand, figures = walk_here(SLUG), figures_of(demo.settings)
    found = hand.page.evaluate(PROSPECT, [{}, [], None])
    best, written = found["best"], found["written"]
    steps = demo.playbooks[SLUG].steps
    assert best["name"] != written["next"]["name"]
    assert steps[written["next"]["name"]].title in hand.title
    note = hand.page.locator(".advice")
    expect(note).to_contain_text(f"Best for you would be: “{steps[best['name']].title}”")
    expect(note).to_contain_text(figures.about(found["cost"]))
    expect(note).to_contain_text(figures.about(written["inTheEnd"]))
    hand.tap("Do that instead").acknowledge()
    assert steps[best["name"]].title in hand.title
    hand.back().tap("Always what is best for me").acknowledge()
    assert steps[best["name"]].title in hand.title
    assert hand.figure("in-the-end") == figures.about(found["cost"])
    expect(hand.page.locator(".advice")).to_contain_text(
        f"The playbook would now say: “{steps[written['next']['name']].title}”. This way costs"
    )
    hand.tap("As the playbook is written").acknowledge()
    assert steps[written["next"]["name"]].title in hand.title


def test_one_table_has_all_that_may_come_next_best_first_and_fits_a_phone(walk_here, demo):
    hand, figures = walk_here(SLUG).screen("choose"), figures_of(demo.settings)
    found = hand.page.evaluate(PROSPECT, [{}, [], None])
    groups = hand.page.locator(".things tbody")
    assert groups.count() == len(found["things"])
    last = [row.locator("td").last.inner_text() for row in groups.all()]
    assert last == [figures.about(thing["inTheEnd"]) for thing in found["things"]]
    assert [thing["inTheEnd"] for thing in found["things"]] == sorted(thing["inTheEnd"] for thing in found["things"])
    expect(hand.page.locator(".things")).to_contain_text("Hand over to a professional")
    assert hand.page.evaluate("document.documentElement.scrollWidth") <= 360


def test_why_this_now_says_what_each_result_would_do(walk_here, demo):
    hand, figures = walk_here(SLUG), figures_of(demo.settings)
    hand.open("Why this now?")
    step = demo.playbooks[SLUG].start
    found = hand.page.evaluate(PROSPECT, [{}, [], None])
    thing = next(one for one in found["things"] if one["name"] == step)
    rows = hand.page.locator(".why li")
    for k, outcome in enumerate(thing["results"]):
        text = rows.nth(k).inner_text()
        assert f"to be expected in {figures.share(outcome['chance'])}" in text
        assert f"In the end then, at best: {figures.about(outcome['inTheEnd'])}." in text
    expect(hand.page.locator(".why summary")).to_contain_text("It tells “")


def test_what_it_costs_to_do_without_a_step_is_said_before_it_is_set_aside(walk_here, demo):
    hand, figures = walk_here(SLUG), figures_of(demo.settings)
    hand.open("I can't do this")
    cost = hand.page.evaluate(
        """async (name) => {
            const model = await droplight.data.model("misfire-at-idle");
            const settings = droplight.settings.settings();
            return droplight.prospect.without(model, droplight.givens.noEvidence(), settings, name);
        }""",
        demo.playbooks[SLUG].start,
    )
    said = hand.page.locator(".cost-without")
    expect(said).to_contain_text(f"Without it {figures.share(cost['settledWithout'])} instead of")
    expect(said).to_contain_text(f"{figures.share(cost['settled'])} end put right by you")


def test_after_a_repair_that_did_not_help_the_best_goes_on(walk_here):
    hand = walk_here("headlamp-flickers").answer("Now the other side flickers").tap("The repair is done")
    spent = hand.figure("so-far")
    hand.tap("The fault came back").acknowledge()
    expect(hand.page.locator(".told")).to_contain_text("The repair did not hold.")
    assert hand.title != "Fit two new bulbs"
    assert hand.figure("so-far") == spent
    hand.screen("choose")
    assert "Fit two new bulbs" not in hand.page.locator(".things").inner_text()


def test_when_nothing_but_handing_over_is_left_the_walk_says_so(walk_here, demo):
    hand = walk_here("headlamp-flickers")
    names = [name for name, one in demo.playbooks["headlamp-flickers"].endings.items() if one.settles]
    hand.page.evaluate(
        """names => {
            const id = /job=([a-z0-9-]+)/.exec(location.hash)[1];
            const job = droplight.store.job(id);
            for (const ending of names) {
                const done = { ending, title: ending, hash: "", at: job.created };
                job.legs[0].tried.push({ ...done, outcome: "still", trials: [] });
            }
            droplight.store.saveJob(job);
        }""",
        names,
    )
    choose(hand, way="best")
    assert hand.title == "Hand over now"
    expect(hand.page.locator(".choose .lead")).to_contain_text("Handing over has become cheaper than going on")


def test_who_does_not_lift_is_never_asked_to(walk_here, demo):
    hand = walk_here("shakes-at-100")
    choose(hand, limits={"without": ["lifting"]})
    hand.answer("Clean, weights in place").tap("Shakes only while braking")
    assert "Measure" not in hand.title
    expect(hand.page.locator("#walk .card")).to_contain_text("Hand over now")
    hand.open("Your way so far")
    expect(hand.page.locator(".aside-list")).to_contain_text("your limits keep you from it")
    steps = demo.playbooks["shakes-at-100"].steps
    assert len(hand.job["legs"][0]["seen"]) == 2
    assert not any("lifting" in steps[seen["step"]].hazards for seen in hand.job["legs"][0]["seen"])


def test_a_budget_and_the_hours_of_today_are_minded(walk_here):
    hand = walk_here("headlamp-flickers").answer("Now the other side flickers")
    choose(hand, limits={"budget": 1, "minutes": 5})
    expect(hand.page.locator("#walk .card")).to_contain_text("over your budget of €1")
    expect(hand.page.locator("#walk .card")).to_contain_text("you have 5 min today")


def test_limits_are_set_on_the_page_of_settings_and_hold_for_a_day_or_for_good(walk_here, site_dir):
    hand = walk_here("headlamp-flickers")
    page = hand.page.context.new_page()
    page.goto((site_dir / "settings.html").as_uri())
    page.fill("#budget", "150")
    page.fill("#hours", "1.5")
    page.check("[data-without='lifting']")
    page.check("input[name='way'][value='best']")
    assert page.evaluate("droplight.settings.settings()")["limits"] == {
        "budget": 150, "without": ["lifting"], "minutes": 90,
    }  # fmt: skip
    assert page.evaluate("droplight.settings.settings()")["way"] == "best"
    page.evaluate("Date.prototype.toDateString = () => 'another day'")
    assert page.evaluate("droplight.settings.settings()")["limits"] == {"budget": 150, "without": ["lifting"]}
    page.reload()
    assert page.is_checked("input[name='way'][value='best']")
    assert page.input_value("#budget") == "150"
