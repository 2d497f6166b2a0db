"""A job through days and weeks: waits, cars, the list of jobs, shopping, handing over, all of it on another device."""

import json
from typing import Any, Final

import pytest
import yaml
from playwright.sync_api import expect

BULBS: Final = "Now the other side flickers"


@pytest.fixture
def here(site_dir: Any) -> str:
    return site_dir.as_uri() + "/"


def add_car(page: Any, here: str, name: str) -> None:
    page.goto(f"{here}walk.html#")
    page.fill("#new-car", name)
    page.get_by_role("button", name="Add the car").click()
    page.wait_for_selector("#car-name")


def test_parts_that_were_ordered_are_waited_for_and_shown_in_the_list_and_in_a_calendar(walk, here):
    hand = walk("headlamp-flickers", here).answer(BULBS).open("Parts are ordered")
    hand.page.fill("#until-parts", "2031-05-06T17:00")
    hand.then(hand.page.get_by_role("button", name="Wait until then").click)
    expect(hand.page.locator(".waiting")).to_contain_text("Waiting until Tue 6 May, 17:00")
    with hand.page.expect_download() as offered:
        hand.page.get_by_role("button", name="Into my calendar").click()
    text = offered.value.path().read_bytes().decode()
    # RFC 5545: lines end in CRLF and hold at most 75 octets; an event has UID, DTSTAMP and DTSTART in UTC.
    lines = text.split("\r\n")
    assert text.endswith("END:VCALENDAR\r\n")
    assert max(len(line.encode()) for line in lines) <= 75
    assert [line for line in lines if line.startswith("BEGIN:")] == ["BEGIN:VCALENDAR", "BEGIN:VEVENT", "BEGIN:VALARM"]
    until = hand.page.evaluate("new Date('2031-05-06T17:00').toISOString()").replace("-", "").replace(":", "")
    assert f"DTSTART:{until[:15]}Z" in lines
    assert offered.value.suggested_filename.endswith(".ics")
    hand.page.goto(f"{here}walk.html#")
    expect(hand.page.locator(".jobs .waits")).to_contain_text(
        "Parts ordered: Fit two new bulbs: until Tue 6 May, 17:00"
    )


def test_a_step_that_takes_a_night_says_what_is_hands_on_and_what_is_not(walk, here, demo):
    slug, name = next(
        (slug, name) for slug, book in demo.playbooks.items() for name, step in book.steps.items() if step.wait.likely
    )
    hand = walk(slug, here).acknowledge()
    hand.at(name).acknowledge()
    expect(hand.page.locator(".cost")).to_contain_text("then it waits:")
    hand.open("It is waiting now")
    hand.then(hand.page.get_by_role("button", name="Wait until then").click)
    expect(hand.page.locator(".waiting")).to_contain_text("Waiting until")
    assert [wait["work"] for wait in hand.job["waits"]] == [name]
    hand.then(hand.page.locator("[data-result]").first.click)
    assert hand.job["waits"] == []


def test_jobs_are_told_apart_at_a_glance(walk, here):
    hand = walk("headlamp-flickers", here)
    add_car(hand.page, here, "Blue Tamarin")
    hand.page.fill("#car-engine", "Tamarin 1.6")
    hand.page.press("#car-engine", "Tab")
    hand.page.goto("about:blank")
    hand.page.goto(f"{here}walk.html#start=shakes-at-100")
    hand.page.wait_for_selector("#meter")
    hand.settle().acknowledge()
    assert hand.job["car"]["name"] == "Blue Tamarin"
    hand.page.goto(f"{here}walk.html#")
    row = hand.page.locator(".jobs > li", has_text="Steering wheel shakes")
    for text in ("Blue Tamarin", "OPEN", "Next: Look into the rims", "€0 so far", "last touched"):
        expect(row).to_contain_text(text, ignore_case=True)
    expect(hand.page.locator(".jobs > li", has_text="headlamp").locator(".job-car")).to_have_count(0)


def test_with_two_cars_it_is_asked_which_one_it_is(walk, here):
    hand = walk("headlamp-flickers", here)
    for name in ("Blue Tamarin", "Old van"):
        add_car(hand.page, here, name)
    hand.page.goto("about:blank")
    hand.page.goto(f"{here}walk.html#start=slow-warm-up")
    expect(hand.page.locator("#walk .lead")).to_have_text("Which car is it?")
    hand.tap("Old van")
    assert hand.job["car"]["name"] == "Old van"


def test_what_is_known_of_a_car_is_asked_once_and_always_shown(walk, here, demo):
    books = {
        slug: [name for name, step in book.steps.items() if step.check == "built"]
        for slug, book in demo.playbooks.items()
    }
    first, second = [slug for slug, steps in books.items() if steps][:2]
    hand = walk("headlamp-flickers", here)
    add_car(hand.page, here, "Blue Tamarin")
    hand.page.goto("about:blank")
    hand.page.goto(f"{here}walk.html#start={first}")
    hand.page.wait_for_selector("#meter")
    hand.settle().acknowledge()
    hand.at(books[first][0])
    hand.then(hand.page.locator("[data-result='early']").click)
    hand.page.goto("about:blank")
    hand.page.goto(f"{here}walk.html#start={second}")
    hand.page.wait_for_selector("#meter")
    expect(hand.settle().page.locator(".told")).to_contain_text("Taken along, since it is known already")
    known = [seen for seen in hand.job["legs"][0]["seen"] if seen["check"] == "built"]
    assert [(seen["result"], seen["source"], seen["known"]) for seen in known] == [("early", "Blue Tamarin", True)]
    assert hand.figure("so-far-time") == "0 min"
    hand.open("Your way so far")
    expect(hand.page.locator(".way")).to_contain_text("known from: Blue Tamarin")


def test_an_own_price_for_a_part_and_an_own_tool_count_at_once(walk, here):
    hand = walk("headlamp-flickers", here).answer(BULBS).open("You need:")
    part = hand.page.locator("[id^='price-']").first
    name = part.get_attribute("id")
    part.fill("7,50")
    part.press("Tab")
    expect(hand.page.locator(".cost span").first).to_have_text(
        "€15" if "2 ×" in hand.page.locator(".needs-of").inner_text() else "€7.50"
    )
    hand.page.reload()
    hand.settle().open("You need:")
    assert hand.page.input_value(f"#{name}") == "7.5"
    hand = walk("shakes-at-100", here).answer("Clean, weights in place").tap("Shakes only while braking").acknowledge()
    before = hand.page.locator(".cost span").first.inner_text()
    hand.open("You need:")
    hand.page.locator("input[type='radio'][value='own']").first.check()
    expect(hand.page.locator(".cost span").first).not_to_have_text(before)
    assert "own" in json.dumps(hand.page.evaluate("droplight.settings.settings()"))


def test_the_shopping_list_says_how_likely_each_thing_is_needed(walk, here, demo, builder_of):
    hand = walk("headlamp-flickers", here).screen("shopping")
    builder = builder_of("headlamp-flickers", demo)
    part, _ = next(iter(demo.playbooks["headlamp-flickers"].endings["new-bulbs"].parts.items()))
    chance = sum(path.chance for path in builder.paths if part in path.parts)
    row = hand.page.locator(".boxes li", has_text=demo.catalogue.parts[part].name)
    expect(row).to_contain_text(f"needed in {round(chance * 100)}% of cases like yours")


def test_the_report_is_seen_before_it_leaves_and_the_job_can_be_taken_up_again(walk, here):
    hand = walk("headlamp-flickers", here).answer("The same side flickers")
    hand.page.evaluate(
        "Object.defineProperty(navigator, 'clipboard', { value: { writeText: (text) => { window.copied = text; } } })"
    )
    hand.tap("Stop and hand over")
    text = hand.page.locator(".report-text").inner_text()
    for piece in ("Complaint:", "Swap the bulbs left and right: The same side flickers", "What is left", "So far:"):
        assert piece in text
    hand.page.get_by_role("button", name="Copy").click()
    expect(hand.page.locator(".report [role='status']")).to_have_text("Copied.")
    assert hand.page.evaluate("copied").strip() == text.strip()
    hand.tap("It is handed over")
    assert hand.job["state"] == "handed-over"
    hand.page.goto(f"{here}walk.html#")
    expect(hand.page.locator(".jobs")).to_contain_text("Handed over", ignore_case=True)
    hand.page.get_by_role("link", name="One headlamp flickers").click()
    hand.page.wait_for_selector("#meter")
    hand.tap("Stop and hand over").tap("Take the job up again")
    assert hand.job["state"] == "open"
    assert len(hand.job["legs"][0]["seen"]) == 1


def test_the_report_of_a_long_job_is_two_pages_at_most(walk, here):
    hand = walk("misfire-at-idle", here).acknowledge()
    hand.page.evaluate(
        """() => {
            const id = /job=([a-z0-9-]+)/.exec(location.hash)[1];
            const job = droplight.store.job(id);
            for (let k = 0; k < 60; k++) {
                job.legs[0].seen.push({
                    step: `gone-${k}`, title: `Something that was looked at with care, number ${k}`, result: "x",
                    expect: "Something long enough to need more than one line", hash: "", at: job.created,
                });
                job.legs[0].notes[`gone-${k}`] = { note: "word ".repeat(300), spent: 3, took: 4 };
            }
            droplight.store.saveJob(job);
        }"""
    )
    hand.page.reload()
    hand.settle()
    hand.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert "more lines in the job file" in hand.page.locator(".print-report").inner_text()
    assert b"/Count 2" in hand.page.pdf(format="A4")


def test_everything_goes_to_another_device_in_one_file(walk, here, open_page):
    hand = walk("headlamp-flickers", here).answer(BULBS)
    add_car(hand.page, here, "Blue Tamarin")
    hand.page.evaluate("droplight.settings.save({ ...droplight.settings.settings(), rate: 70 })")
    hand.page.goto(f"{here}walk.html#")
    with hand.page.expect_download() as offered:
        hand.page.get_by_role("button", name="Save everything as one file").click()
    text = offered.value.path().read_text(encoding="utf-8")
    loaded = yaml.safe_load(text)
    assert [len(loaded[key]) for key in ("jobs", "cars")] == [1, 1]
    page = open_page(f"{here}walk.html", width=360)
    page.on("dialog", lambda dialog: dialog.accept())
    page.set_input_files("#import", {"name": "all.yaml", "mimeType": "application/yaml", "buffer": text.encode()})
    expect(page.locator("#import-said")).to_have_text("Jobs brought here: 1")
    expect(page.locator(".cars .rows")).to_contain_text("Blue Tamarin")
    expect(page.locator(".jobs > li")).to_have_count(1)
    assert page.evaluate("droplight.settings.settings().rate") == 70
