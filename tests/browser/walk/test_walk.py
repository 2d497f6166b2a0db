"""The walk by hand: what an owner reads, taps and is told, from the first step of a playbook to the proof."""

from typing import Any

import pytest
from playwright.sync_api import expect

from builder.draw.figures import figures_of

BULBS = "Now the other side flickers"
NO_BULBS = "The same side flickers"
REPAIRED = "The repair is done"
CLEAN = "One more clean trial today"
RELAPSE = "The fault came back"
DOUBLE_TAP = """(words) => {
    const tap = [...document.querySelectorAll(".results > button")].find((one) => one.textContent.startsWith(words));
    tap.click();
    tap.click();
}"""
FOCUSED = r"""() => {
    // What has the focus: its words, the ring around it, and whether the meter, which stays in view, covers it.
    const it = document.activeElement, box = it.getBoundingClientRect(), style = getComputedStyle(it);
    const meter = document.getElementById("meter").getBoundingClientRect();
    const covered = scrollY > 0 && meter.top < 5 && box.top < meter.bottom - 1 && box.bottom > 0;
    return {
        text: it.innerText.trim().split(/\s+/).join(" "),
        ring: style.outlineStyle !== "none" && style.outlineWidth,
        hidden: covered && !it.closest("#meter"),
    };
}"""


@pytest.fixture
def walk_here(walk, site_dir) -> Any:
    """Starts a walk from a folder, where nothing can be fetched."""
    return lambda slug, **how: walk(slug, site_dir.as_uri() + "/", **how)


def shown_meter(hand: Any) -> dict[str, str]:
    names = ("so-far", "so-far-time", "to-come", "to-come-time")
    return {name: hand.figure(name) for name in names}


def reckoned_meter(builder: Any, results: tuple[str, ...], figures: Any) -> dict[str, str]:
    at = builder.standing(results)
    return {
        "so-far": figures.money(at["so_far"]["money"]),
        "so-far-time": figures.minutes(at["so_far"]["minutes"]),
        "to-come": figures.about(at["to_come"]["money"]),
        "to-come-time": figures.minutes(at["to_come"]["minutes"]),
    }


def standing_causes(hand: Any) -> dict[str, str]:
    rows = hand.page.locator("#meter .bars li")
    return {row.locator("span").text_content(): row.locator("b").text_content() for row in rows.all()}


@pytest.mark.parametrize("slug", ["headlamp-flickers", "shakes-at-100", "cranks-but-does-not-start"])
def test_the_meter_follows_the_builder_through_a_whole_path(slug, walk_here, demo, builder_of):
    builder, figures = builder_of(slug, demo), figures_of(demo.settings)
    path = max(builder.paths, key=lambda path: (len(path.results), path.chance))
    hand = walk_here(slug)
    for k, (step, result) in enumerate(zip(path.steps, path.results, strict=True)):
        record = demo.playbooks[slug].steps[step]
        prefix = path.results[:k]
        assert record.title in hand.title
        assert shown_meter(hand) == reckoned_meter(builder, prefix, figures)
        most = builder.standing(prefix)["within"]
        if hand.page.locator("[data-figure='at-most']").count():
            assert hand.figure("at-most") == f"19 of 20: {figures.about(most[0])} or less"
        posterior = builder.reckoning.odds.posterior(builder.reckoning.graph, prefix)
        assert sorted(standing_causes(hand).values()) == sorted(map(figures.share, posterior.values()))
        hand.give(result)
        expect(hand.page.locator("#walk .told")).to_contain_text(record.results[result].expect)
    assert hand.title.removesuffix("WORKSHOP ONLY") == demo.playbooks[slug].endings[path.ending].title
    assert shown_meter(hand) == reckoned_meter(builder, path.results, figures)
    hand.acknowledge().tap(
        REPAIRED if demo.playbooks[slug].endings[path.ending].settles else "Done: close the job here"
    )
    assert hand.figure("so-far") == figures.money(path.money.mean)
    assert hand.figure("so-far-time") == figures.minutes(path.minutes.mean)
    assert (hand.figure("to-come"), hand.figure("to-come-time")) == (figures.about(0), "0 min")
    sums = hand.page.locator("#sums").inner_text()
    assert f"expected at the start: {figures.about(builder.totals.expected.money)}" in sums
    assert figures.about(path.shop_money.mean) in sums


def test_a_screen_goes_from_dangers_to_what_one_may_see(walk_here):
    hand = walk_here("headlamp-flickers")
    text = hand.page.locator("#walk .card").inner_text()
    order = ["CAUTION", "Lamps off for ten minutes", "Hold them by the base only", "Headlamp rear cap off", "€0", BULBS]
    assert [text.index(piece) for piece in order] == sorted(text.index(piece) for piece in order)
    assert hand.offered == [BULBS, NO_BULBS]


def test_not_sure_says_how_to_tell_results_apart_and_which_the_odds_favour(walk_here, demo, builder_of):
    hand = walk_here("headlamp-flickers").open("Not sure")
    box = hand.page.locator(".not-sure")
    builder = builder_of("headlamp-flickers", demo)
    moved = sum(path.chance for path in builder.paths if path.results[0] == "moves")
    share = figures_of(demo.settings).share
    expect(box).to_contain_text(f"{BULBS} – to be expected in {share(moved)} of cases like yours")
    expect(box).to_contain_text("It would speak for: Bulb failing (99%)")
    expect(box).to_contain_text(f"The odds favour: “{NO_BULBS}”")


def test_lifting_is_acknowledged_before_the_step_says_what_to_do(walk_here, demo):
    hand = walk_here("shakes-at-100").answer("Clean, weights in place").tap("Shakes only while braking")
    text = hand.page.locator("#walk .card").inner_text()
    assert "DANGER" in text
    assert demo.playbooks["shakes-at-100"].steps["measure-disc"].do[:30] not in text
    assert hand.offered == ["I have read this and will work that way"]
    hand.acknowledge()
    offered = hand.offered
    assert [text[:17] for text in offered] == ["More than 0.08 mm", "Below 0.08 mm (0."]
    assert hand.tap("Back").tap("Shakes only while braking").offered == offered


def test_what_was_bought_and_what_is_open_does_not_cost_again(walk_here):
    hand = walk_here("headlamp-flickers").answer(NO_BULBS)
    expect(hand.page.locator("#walk .already")).to_contain_text("Open already: Headlamp rear cap off.")
    hand = walk_here("shakes-at-100").answer("Clean, weights in place").tap("Shakes only while braking").acknowledge()
    hand.tap("More than 0.08 mm").acknowledge()
    expect(hand.page.locator("#walk .already")).to_contain_text("You have it from an earlier step: Trolley jack")


def test_after_an_answer_the_focus_is_on_the_heading_and_the_change_is_spoken(walk_here):
    hand = walk_here("headlamp-flickers").answer(NO_BULBS)
    assert hand.page.evaluate("document.activeElement.tagName") == "H1"
    assert hand.page.evaluate("scrollY") == 0
    said = hand.page.locator("#walk-live").inner_text()
    assert said == f"“{NO_BULBS}” is noted. Bulb failing: 44% → 5%"
    assert hand.page.locator("#walk-live").get_attribute("aria-live") == "polite"


def test_a_second_quick_tap_does_not_answer_the_next_step(walk_here):
    hand = walk_here("headlamp-flickers")
    hand.page.evaluate(
        """() => { const tap = document.querySelector(".results > button:nth-child(2)"); tap.click(); tap.click(); }"""
    )
    expect(hand.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")
    (leg,) = hand.job["legs"]
    assert [answer["result"] for answer in leg["way"]] == ["stays"]
    assert leg["extra"] == []
    assert hand.page.locator("#walk .note").count() == 0


def test_two_quick_taps_are_one_trial_and_one_relapse(walk_here):
    hand = walk_here("headlamp-flickers").answer(BULBS).tap(REPAIRED)
    hand.then(lambda: hand.page.evaluate(DOUBLE_TAP, CLEAN))
    assert [trial["clean"] for trial in hand.job["legs"][0]["ending"]["trials"]] == [True]
    expect(hand.page.locator(".proof")).to_contain_text("1 / 4")
    hand.then(lambda: hand.page.evaluate(DOUBLE_TAP, RELAPSE))
    extra = hand.job["legs"][0]["extra"]
    assert [(entry["step"], len(entry.get("trials", []))) for entry in extra] == [("new-bulbs", 2), ("swap-bulbs", 0)]


def test_two_quick_taps_finish_a_repair_once_and_hand_over_once(walk_here):
    hand = walk_here("headlamp-flickers").answer(BULBS)
    hand.then(lambda: hand.page.evaluate(DOUBLE_TAP, REPAIRED))
    assert hand.job["state"] == "proving"
    hand = walk_here("cranks-slowly-cold").answer("Below 11.8 V")
    hand.then(lambda: hand.page.evaluate(DOUBLE_TAP, "Go on"))
    assert [leg["slug"] for leg in hand.job["legs"]] == ["cranks-slowly-cold", "battery-flat-after-two-nights"]


def test_back_takes_answers_back_one_by_one_from_the_ending_to_the_start(walk_here):
    hand = walk_here("headlamp-flickers").answer(NO_BULBS).answer("Brown, spread, or flickers when wiggled")
    assert hand.title == "Fit a new bulb holder"
    hand.tap(REPAIRED).tap(CLEAN)
    hand.tap("Back")
    assert hand.offered == [REPAIRED]
    hand.tap("Back")
    assert "Look at the bulb holder" in hand.title
    hand.tap("Back")
    assert "Swap the bulbs" in hand.title
    assert hand.page.get_by_role("button", name="Back", exact=True).count() == 0
    assert hand.figure("so-far-time") == "0 min"


def test_an_earlier_answer_can_be_changed_and_what_was_done_still_counts(walk_here, demo, builder_of):
    hand = walk_here("headlamp-flickers").answer(NO_BULBS).answer("Bright contacts, steady light")
    spent = hand.figure("so-far-time")
    hand.open("Your answers (2)")
    hand.page.locator(".answered li", has_text="Swap the bulbs").get_by_role("button", name="Change").click()
    expect(hand.page.locator("#walk h1")).to_contain_text("Swap the bulbs")
    hand.answer(BULBS)
    assert hand.title == "Fit two new bulbs"
    assert hand.figure("so-far-time") == spent
    hand.open("Your answers (2)")
    row = hand.page.locator(".answered li", has_text="done, off the path now; still counts")
    row.get_by_role("button", name="Does not count").click()
    prefix = builder_of("headlamp-flickers", demo).standing(("moves",))
    expect(hand.page.locator("[data-figure='so-far-time']")).to_have_text(
        figures_of(demo.settings).minutes(prefix["so_far"]["minutes"])
    )


def test_clean_trials_are_counted_until_one_can_be_sure(walk_here):
    # The fault showed in 60 % of trials: 1 − 0.4^n gives 60, 84, 94 and 97 %; 95 % takes four.
    hand = walk_here("headlamp-flickers").answer(BULBS).tap(REPAIRED)
    assert hand.job["state"] == "proving"
    for clean, sure in enumerate(["60%", "84%", "94%", "97%"], 1):
        hand.tap(CLEAN)
        proof = hand.page.locator(".proof").inner_text()
        assert f"{clean} / 4" in proof
        assert sure in proof
        assert hand.page.locator(".trials li").count() == clean
        assert f"{clean} clean trials in a row; {sure} sure." in hand.page.locator("#walk-live").inner_text()
    assert "PROVEN" in proof.upper()
    assert hand.job["state"] == "done"
    hand.tap("Take the last trial back")
    assert "3 / 4" in hand.page.locator(".proof").inner_text()
    assert hand.job["state"] == "proving"


def test_a_relapse_reopens_the_diagnosis_without_the_cause_that_was_repaired(walk_here):
    hand = walk_here("headlamp-flickers").answer(BULBS).tap(REPAIRED).tap(CLEAN)
    spent = hand.figure("so-far")
    hand.tap(RELAPSE)
    assert "Swap the bulbs" in hand.title
    assert standing_causes(hand)["Bulb failing"] == "0%"
    assert standing_causes(hand)["Bulb holder burnt"] == "43%"  # 24 of the 56 % that are left
    assert hand.figure("so-far") == spent
    (failed,) = (entry for entry in hand.job["legs"][0]["extra"] if entry.get("failed"))
    assert [trial["clean"] for trial in failed["trials"]] == [True, False]
    hand.answer(NO_BULBS)
    assert hand.job["state"] == "open"
    hand.open("Your answers (3)")
    expect(hand.page.locator(".answered")).to_contain_text("Fit two new bulbs – repaired, but the fault came back")


def test_a_hand_over_goes_on_in_the_other_playbook_with_the_same_job(walk_here, demo, builder_of, means_of):
    hand = walk_here("cranks-slowly-cold").answer("Below 11.8 V")
    assert hand.title == "Go on in the playbook “Battery flat after two nights”"
    first = builder_of("cranks-slowly-cold", demo)
    second = builder_of("battery-flat-after-two-nights", demo)
    figures = figures_of(demo.settings)
    earlier = [(first.reckoning.bill, [0])]
    assert hand.figure("to-come") == figures.about(second.standing((), earlier)["to_come"]["money"])
    hand.tap("Go on")
    expect(hand.page.locator("#walk .told")).to_contain_text("The same job")
    result = hand.offered[-1]
    assert hand.figure("so-far-time") == figures.minutes(means_of(earlier)["minutes"])
    hand.tap(result)
    edge = second.reckoning.graph.edges[0][-1].result
    assert hand.figure("so-far-time") == figures.minutes(second.standing((edge,), earlier)["so_far"]["minutes"])
    hand.tap("Back").tap("Back")
    assert hand.title.startswith("Go on in the playbook")
    hand.tap("Back")
    assert "Measure the battery at rest" in hand.title


def test_an_answer_changed_before_a_hand_over_keeps_what_was_done_after_it(walk_here):
    hand = walk_here("cranks-slowly-cold").answer("Below 11.8 V").tap("Go on")
    hand.tap(hand.offered[-1])
    spent = hand.figure("so-far-time")
    hand.open("Your answers (2)")
    hand.page.locator(".answered li", has_text="Below 11.8 V").get_by_role("button", name="Change").click()
    expect(hand.page.locator("#walk h1")).to_contain_text("Measure the battery at rest")
    hand.answer("12.4 V or more")
    assert hand.figure("so-far-time") == spent
    hand.open("Your answers (2)")
    expect(hand.page.locator(".answered")).to_contain_text("done, off the path now; still counts")


def test_a_whole_path_can_be_walked_by_keyboard(walk_here):
    hand = walk_here("headlamp-flickers")
    seen = []
    for want in (NO_BULBS, "Bright contacts, steady light", "More than 0.3 V on the earth side", REPAIRED, CLEAN):
        for _ in range(40):
            hand.page.keyboard.press("Tab")
            where = hand.page.evaluate(FOCUSED)
            seen.append(where)
            if where["text"].startswith(want):
                break
        assert seen[-1]["text"].startswith(want)
        assert seen[-1]["ring"] == "3px"
        assert not seen[-1]["hidden"]
        hand.page.locator("#walk h1").evaluate("title => { title.dataset.seen = 'yes'; }")
        hand.page.keyboard.press("Enter")
        hand.page.wait_for_selector("#walk h1:not([data-seen])")
    assert "1 / 4" in hand.page.locator(".proof").inner_text()


def test_the_page_of_a_playbook_leads_into_its_walk(open_page, site_dir):
    page = open_page((site_dir / "playbook" / "headlamp-flickers.html").as_uri(), width=360)
    page.get_by_role("link", name="Start: one step a screen").click()
    expect(page.locator("#walk h1")).to_contain_text("Swap the bulbs left and right")


def test_without_javascript_the_walk_says_so_and_the_pages_are_whole(open_page, site_dir, demo):
    page = open_page((site_dir / "walk.html").as_uri(), javascript=False)
    assert "The walk needs JavaScript, which is off." in page.locator("#walk noscript").text_content()
    page = open_page((site_dir / "playbook" / "headlamp-flickers.html").as_uri(), javascript=False)
    book = demo.playbooks["headlamp-flickers"]
    text = " ".join(page.locator("main").inner_text().split())
    assert all(work.title in text for work in book.work().values())
    assert all(result.expect in text for step in book.steps.values() for result in step.results.values())
    assert page.locator(".needs-js:visible").count() == 0
