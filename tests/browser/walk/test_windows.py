"""Two windows, the Back key's cache, figures as people type them, and jobs of earlier versions: nothing is lost."""

import json
from typing import Any, Final

import pytest
from playwright.sync_api import expect

NO_BULBS: Final = "The same side flickers"
SOUND: Final = "Bright contacts, steady light"
CHANGED: Final = "This job was changed in another window."


@pytest.fixture
def here(site_dir: Any) -> str:
    return site_dir.as_uri() + "/"


def second_window(walked: Any, hand: Any, deaf: bool = False) -> Any:
    """The same job in another window; a deaf one is not told of what others do, as one that slept."""
    page = walked.page.context.new_page()
    if deaf:
        page.add_init_script("addEventListener('storage', (event) => event.stopImmediatePropagation(), true)")
    page.goto(walked.page.url)
    other = hand(page)
    page.wait_for_selector("#meter")
    return other.settle()


def test_a_window_follows_what_another_one_does(walk, here, hand):
    first = walk("headlamp-flickers", here).acknowledge()
    second = second_window(first, hand)
    first.answer(NO_BULBS)
    expect(second.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")


def test_a_window_that_is_behind_draws_anew_before_it_writes(walk, here, hand):
    first = walk("headlamp-flickers", here).acknowledge()
    second = second_window(first, hand, deaf=True)
    first.answer(NO_BULBS).answer(SOUND)
    kept = first.job
    second.tap("Now the other side flickers")
    expect(second.page.locator(".told")).to_contain_text(CHANGED)
    assert second.title == first.title
    assert first.job == kept


def test_notes_of_two_windows_are_both_kept(walk, here, hand):
    first = walk("headlamp-flickers", here).acknowledge()
    second = second_window(first, hand, deaf=True)
    for one, words in ((first, "left in front"), (second, "after rain")):
        one.open("Notes, and what it really cost")
        one.page.fill("#note", words)
    assert first.job["legs"][0]["notes"]["swap-bulbs"]["note"] == "left in front\nafter rain"
    assert second.page.input_value("#note") == "left in front\nafter rain"


def test_a_page_that_comes_back_from_the_cache_shows_what_is_kept_now(walk, here, hand):
    first = walk("headlamp-flickers", here).acknowledge()
    address = first.page.url
    first.page.goto(f"{here}settings.html")
    second_page = first.page.context.new_page()
    second_page.goto(address)
    second_page.wait_for_selector("#meter")
    hand(second_page).settle().answer(NO_BULBS)
    first.page.go_back()
    # Chromium keeps no pages in its cache while another program drives it, so what the cache does is played.
    first.page.wait_for_selector("#walk h1")
    expect(first.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")
    first.page.evaluate(
        """() => {
            const id = /job=([a-z0-9-]+)/.exec(location.hash)[1];
            const job = droplight.store.job(id);
            job.legs[0].seen = [];
            droplight.store.saveJob(job);
            dispatchEvent(new PageTransitionEvent("pageshow", { persisted: true }));
        }"""
    )
    expect(first.page.locator("#walk h1")).to_contain_text("Swap the bulbs")


def test_a_page_is_not_drawn_anew_under_the_hands_of_who_writes(walk, here, hand):
    first = walk("headlamp-flickers", here).acknowledge().open("Notes, and what it really cost")
    second = second_window(first, hand)
    first.page.focus("#note")
    second.answer(NO_BULBS)
    first.page.keyboard.type("half a sentence")
    assert first.page.input_value("#note") == "half a sentence"
    assert "Swap the bulbs" in first.title
    assert first.job["legs"][0]["notes"]["swap-bulbs"]["note"] == "half a sentence"
    assert [seen["result"] for seen in first.job["legs"][0]["seen"]] == ["stays"]


TYPED: Final = [
    ("spent", "12.50", 12.5, "taken as €12.50"), ("spent", "12,50", 12.5, "taken as €12.50"),
    ("spent", "1.200,50", 1200.5, "taken as €1,200"), ("spent", "1,200.50", 1200.5, "taken as €1,200"),
    ("spent", "€ 80", 80, "taken as €80"), ("spent", "1 200", 1200, "taken as €1,200"),
    ("spent", "1.200", None, "can be read in two ways"), ("spent", "abc", None, "is not a number"),
    ("spent", "-5", None, "cannot be less than nothing"), ("spent", "1..2", None, "is not a number"),
    ("took", "90", 90, "taken as 1 h 30 min"), ("took", "1h30", 90, "taken as 1 h 30 min"),
    ("took", "1:30", 90, "taken as 1 h 30 min"), ("took", "1 h 30 min", 90, "taken as 1 h 30 min"),
    ("took", "1.5 h", 90, "taken as 1 h 30 min"), ("took", "1h75", None, "is not a time"),
    ("took", "abc", None, "is not a time"),
]  # fmt: skip


def test_figures_are_taken_as_people_type_them_and_wrong_ones_are_answered_and_stay(walk, here):
    hand = walk("headlamp-flickers", here).acknowledge().open("Notes, and what it really cost")
    for field, text, value, said in TYPED:
        hand.page.fill(f"#{field}", text)
        hand.page.press(f"#{field}", "Tab")
        expect(hand.page.locator(f"#{field}-said")).to_contain_text(said)
        notes = hand.job["legs"][0]["notes"]["swap-bulbs"]
        assert notes.get(field) == value, text
        assert hand.page.input_value(f"#{field}") == text
        hand.page.reload()
        hand.settle()
        kept = hand.page.input_value(f"#{field}")
        assert kept == (text if value is None else f"{value:g}"), text


def test_what_was_typed_survives_back_change_and_reload(walk, here):
    hand = walk("headlamp-flickers", here).acknowledge().open("Notes, and what it really cost")
    hand.page.fill("#note", "before the answer")
    hand.answer(NO_BULBS).open("Notes, and what it really cost")
    hand.page.fill("#note", "at the holder")
    hand.back()
    assert hand.page.input_value("#note") == "before the answer"
    hand.answer("Now the other side flickers")
    hand.page.evaluate("location.hash += '&step=look-at-holder'")
    expect(hand.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")
    assert hand.page.input_value("#note") == "at the holder"


def test_money_noted_at_an_ending_counts_before_it_is_done(walk, here):
    hand = walk("headlamp-flickers", here).answer("Now the other side flickers")
    hand.open("Notes, and what it really cost")
    hand.page.fill("#spent", "17")
    hand.page.press("#spent", "Tab")
    expect(hand.page.locator("[data-figure='so-far']")).to_have_text("€17")


def old_answer(step: str, result: str, **more: Any) -> dict[str, Any]:
    base = {"step": step, "title": f"Old {step}", "result": result, "expect": f"Old {result}", "hash": "x"}
    return {**base, "at": "2025-01-02T10:00:00.000Z", "counted": {"money": 1, "minutes": 10}, **more}


OLD: Final = {
    "droplight": "job", "version": 1, "id": "old-one", "name": "Blue Tamarin", "created": "2025-01-02T10:00:00.000Z",
    "updated": "2025-01-02T11:00:00.000Z", "state": "open", "expected": {"money": 30, "minutes": 60},
    "legs": [{
        "slug": "headlamp-flickers", "title": "One headlamp flickers", "hash": "x", "ruledOut": ["bulb"], "read": [],
        "way": [old_answer("swap-bulbs", "stays", note="by torch", spent=3)], "ending": None,
        "extra": [
            old_answer("measure-losses", "fine", took=12),
            {"step": "new-bulbs", "title": "New bulbs", "at": "2025-01-02T10:30:00.000Z", "failed": True, "done": True,
             "counted": {"money": 20, "minutes": 15}, "trials": [{"at": "2025-01-02T10:40:00.000Z", "clean": False}]},
        ],
        "draft": {"step": "look-at-holder", "note": "half done"},
    }],
    "elsewhere": [{
        "slug": "slow-warm-up", "title": "Slow", "hash": "y", "way": [], "ending": None, "ruledOut": [],
        "extra": [old_answer("feel-the-hose", "warm")],
    }],
}  # fmt: skip


def test_a_job_of_the_first_version_is_brought_up_to_date_with_all_that_was_seen(walk, here):
    hand = walk("shakes-at-100", here)
    hand.page.evaluate(
        """job => {
            const prefix = `droplight:${document.documentElement.dataset.site}:`;
            localStorage.setItem(`${prefix}job:${job.id}`, JSON.stringify(job));
        }""",
        OLD,
    )
    hand.page.goto(f"{here}walk.html#")
    hand.page.get_by_role("link", name="Blue Tamarin").click()
    hand.page.wait_for_selector("#meter")
    expect(hand.page.locator("#walk .note")).to_contain_text("The playbook has changed since you started.")
    job = hand.settle().job
    first, second = job["legs"]
    assert job["version"] == 2
    assert [(one["step"], one["result"]) for one in first["seen"]] == [
        ("measure-losses", "fine"),
        ("swap-bulbs", "stays"),
    ]
    assert [(one["ending"], one["outcome"]) for one in first["tried"]] == [("new-bulbs", "still")]
    assert first["notes"] == {
        "measure-losses": {"took": 12},
        "swap-bulbs": {"note": "by torch", "spent": 3},
        "look-at-holder": {"note": "half done"},
    }
    assert [one["step"] for one in second["seen"]] == ["feel-the-hose"]
    assert json.dumps(job).count("2025-01-02T10:00") >= 3


def test_the_walk_is_left_only_after_a_question_while_something_would_be_lost(walk, here):
    hand = walk("headlamp-flickers", here).acknowledge()
    asked = hand.page.evaluate(
        """() => {
            const leave = () => !dispatchEvent(new Event("beforeunload", { cancelable: true }));
            const before = leave();
            Storage.prototype.setItem = () => {
                throw new DOMException("no room", "QuotaExceededError");
            };
            document.querySelector("#walk [data-result]").click();
            return [before, leave()];
        }"""
    )
    assert asked == [False, True]
