"""Jobs: kept on the device, several at once, taken away and brought back, and unharmed by what goes wrong."""

import copy
import json
import re
import shutil
from typing import Any, Final

import jsonschema
import pytest
import yaml
from playwright.sync_api import expect

BULBS: Final = "Now the other side flickers"
NO_BULBS: Final = "The same side flickers"
SOUND: Final = "Bright contacts, steady light"
ACKNOWLEDGE: Final = "I have read this and will work that way"
BEGIN: Final = "That holds: begin"
NASTY: Final = "<img src=x onerror=alert(1)> \u2028 \x7f “ä” 😀 : # - {{ }}"
FULL: Final = """
Storage.prototype.setItem = function () { throw new DOMException("no room", "QuotaExceededError"); };
undefined;
"""
DENIED: Final = (
    """Object.defineProperty(window, "localStorage", { get() { throw new DOMException("no", "SecurityError"); } });"""
)


@pytest.fixture
def here(site_dir: Any) -> str:
    return site_dir.as_uri() + "/"


def save_file(hand: Any, name: str) -> Any:
    """What a button offers to save, as text."""
    hand.page.evaluate("document.querySelector('.take-away').open = true")
    with hand.page.expect_download() as offered:
        hand.page.get_by_role("button", name=name).click()
    return offered.value


def job_file(hand: Any) -> str:
    return save_file(hand, "Job file (YAML)").path().read_text(encoding="utf-8")


def bring(page: Any, text: str, name: str = "job.yaml") -> None:
    page.set_input_files("#import", {"name": name, "mimeType": "application/yaml", "buffer": text.encode()})


def test_a_job_survives_a_reload_and_a_closed_page(walk, here, hand):
    walked = walk("headlamp-flickers", here).answer(NO_BULBS)
    spent = walked.figure("so-far-time")
    walked.page.reload()
    assert "Look at the bulb holder" in walked.settle().title
    context = walked.page.context
    walked.page.close()
    page = context.new_page()
    page.goto(f"{here}walk.html")
    page.get_by_role("link", name="One headlamp flickers or goes dim").click()
    page.wait_for_selector("#meter")
    again = hand(page)
    assert "Look at the bulb holder" in again.title
    assert again.figure("so-far-time") == spent


def test_a_job_survives_a_closed_browser(playwright, chromium_path, here, tmp_path, hand):
    def launch() -> Any:
        return playwright.chromium.launch_persistent_context(
            tmp_path / "profile", executable_path=chromium_path, args=["--no-sandbox"]
        )

    context = launch()
    page = context.new_page()
    page.goto(f"{here}walk.html#start=headlamp-flickers")
    hand(page).settle().answer(NO_BULBS)
    context.close()
    context = launch()
    page = context.new_page()
    page.goto(f"{here}walk.html")
    page.get_by_role("link", name="One headlamp flickers or goes dim").click()
    page.wait_for_selector("#meter")
    assert "Look at the bulb holder" in hand(page).title
    context.close()


def test_several_jobs_go_on_side_by_side(walk, here, hand):
    first = walk("headlamp-flickers", here).answer(NO_BULBS)
    first.open("Name, car, take away, delete")
    first.page.fill("#job-name", "Blue Tamarin")
    first.page.press("#job-name", "Tab")
    first.page.get_by_role("link", name="Pause").click()
    expect(first.page.locator("#walk h1")).to_have_text("Jobs on this device")
    first.page.goto(f"{here}walk.html#start=headlamp-flickers")
    first.page.reload()
    expect(first.page.get_by_role("link", name="Go on with “Blue Tamarin”")).to_be_visible()
    first.tap("Start a new job").acknowledge()
    assert "Swap the bulbs" in first.title
    first.page.goto(f"{here}walk.html#start=slow-warm-up")
    first.page.wait_for_function("() => document.title.includes('Engine warms up')")
    first.page.goto(f"{here}walk.html#")
    expect(first.page.locator("#walk .jobs > li")).to_have_count(3)
    first.page.get_by_role("link", name="Blue Tamarin").click()
    expect(first.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")


def test_notes_and_real_figures_are_kept_and_counted(walk, here):
    hand = walk("headlamp-flickers", here).acknowledge().open("Notes, and what it really cost")
    hand.page.fill("#note", NASTY)
    hand.page.fill("#spent", "12.5")
    hand.page.press("#spent", "Tab")
    assert hand.page.evaluate("document.activeElement.id") == "took"
    hand.page.fill("#took", "90")
    hand.page.press("#took", "Tab")
    hand.answer(NO_BULBS)
    assert (hand.figure("so-far"), hand.figure("so-far-time")) == ("€12.50", "1 h 30 min")
    expect(hand.page.locator("#meter")).to_contain_text("in part as noted")
    hand.page.reload()
    notes = hand.settle().job["legs"][0]["notes"]["swap-bulbs"]
    assert (notes["note"], notes["spent"], notes["took"]) == (NASTY, 12.5, 90)
    hand.open("Your way so far (1)")
    assert "<img src=x" in hand.page.locator(".answered").inner_text()
    assert hand.page.locator("#walk .answered img").count() == 0
    hand.tap("Back")
    assert hand.page.input_value("#note") == NASTY
    assert hand.page.input_value("#spent") == "12.5"


def test_real_figures_of_an_ending_change_the_totals_at_once(walk, here):
    hand = walk("headlamp-flickers", here).answer(BULBS).tap("The repair is done")
    hand.open("Notes, and what it really cost")
    hand.page.fill("#spent", "30")
    hand.page.press("#spent", "Tab")
    expect(hand.page.locator("[data-figure='so-far']")).to_have_text("€30")
    expect(hand.page.locator("#sums")).to_contain_text("€30")


def whole_job(walk: Any, here: str) -> Any:
    """A job with much that a job can hold: a hand-over, notes, a relapse, an answer given again, a figure."""
    hand = walk("cranks-slowly-cold", here).answer("Below 11.8 V").tap("Go on").acknowledge().acknowledge()
    hand.tap(hand.offered[-1])
    hand.open("Your way so far")
    hand.then(hand.page.locator(".way li", has_text="Below 11.8 V").first.get_by_role("link", name="Change").click)
    hand.page.fill("#reading", "12,1")
    hand.page.press("#reading", "Tab")
    hand.then(hand.page.locator(".measured button").click).answer("Tester says replace").acknowledge()
    hand.open("Notes, and what it really cost")
    hand.page.fill("#note", NASTY)
    hand.page.on("dialog", lambda dialog: dialog.accept())
    hand.tap("The repair is done").tap("One more clean trial").tap("The fault came back")
    return hand.acknowledge()


def test_a_job_is_taken_away_as_yaml_that_keeps_to_its_schema_and_comes_back(walk, here, site_dir, open_page, hand):
    walked = whole_job(walk, here)
    text = job_file(walked)
    loaded = yaml.safe_load(text)
    assert loaded == walked.job
    assert [leg["slug"] for leg in loaded["legs"]] == ["cranks-slowly-cold", "battery-flat-after-two-nights"]
    schema = json.loads((site_dir / "schema" / "job.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(loaded)
    assert text.startswith("# yaml-language-server: $schema=schema/job.json\n")

    page = open_page(f"{here}walk.html", width=360)
    bring(page, text)
    page.wait_for_selector("#meter")
    other = hand(page)
    assert other.figure("so-far") == walked.figure("so-far")
    fresh = {"updated": "", "revision": 0}
    assert {**other.job, **fresh} == {**loaded, **fresh}


def test_a_job_is_taken_away_as_a_plain_text_report(walk, here):
    hand = whole_job(walk, here)
    offered = save_file(hand, "Report as text")
    text = offered.path().read_text(encoding="utf-8")
    assert offered.suggested_filename == "cranks-slowly-on-cold-mornings.txt"
    for piece in (
        "Cranks slowly on cold mornings",
        "State: Open",
        "Complaint: ",
        "Trouble codes: P0562",
        "(12.1 V)",
        f"So far: {hand.figure('so-far')}, {hand.figure('so-far-time')}",
        "Charge overnight, then test the battery: Tester says replace",
        "Fit a new battery: repaired, but the fault came back",
        "Clean trials: 1",
        "What is left, by the odds of the playbook",
        NASTY,
    ):
        assert piece in text, piece


def test_a_job_is_printed_as_its_report_alone(walk, here):
    hand = walk("headlamp-flickers", here).answer(NO_BULBS)
    hand.page.evaluate("window.print = () => { window.asked = true; dispatchEvent(new Event('beforeprint')); }")
    hand.open("Name, car, take away, delete")
    hand.page.get_by_role("button", name="Print").click()
    assert hand.page.evaluate("window.asked && document.documentElement.className") == "printing-report"
    hand.page.emulate_media(media="print")
    shown = hand.page.evaluate(
        "[...document.body.children].filter((one) => one.offsetHeight).map((one) => one.className)"
    )
    assert shown == ["print-report"]
    assert NO_BULBS in hand.page.locator(".print-report").inner_text()
    hand.page.emulate_media(media="screen")
    hand.page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert hand.page.locator(".print-report").count() == 0


def test_a_job_is_deleted_when_asked_twice(walk, here):
    hand = walk("headlamp-flickers", here).open("Name, car, take away, delete")
    hand.page.once("dialog", lambda dialog: dialog.dismiss())
    hand.page.get_by_role("button", name="Delete this job").click()
    assert hand.page.locator("#meter").count() == 1
    hand.page.once("dialog", lambda dialog: dialog.accept())
    hand.page.get_by_role("button", name="Delete this job").click()
    expect(hand.page.locator("#walk")).to_contain_text("No job yet.")
    assert hand.page.evaluate("localStorage.length") == 0


def test_nothing_leaves_the_device(walk, site_server):
    asked: list[tuple[str, str]] = []
    hand = walk("headlamp-flickers").acknowledge()
    hand.page.on("request", lambda request: asked.append((request.method, request.url)))
    hand.open("Notes, and what it really cost")
    hand.page.fill("#note", "private")
    hand.answer(NO_BULBS).answer(SOUND)
    job_file(hand)
    assert [one for one in asked if not one[1].startswith(("blob:", site_server))] == []
    assert all(method == "GET" and "private" not in url for method, url in asked)


# An update of the site under a job


@pytest.fixture
def rebuilt(small_folder, tmp_path, build_site):
    """The site of the small library, and the means to change a playbook of it and build it again in the same place."""
    library = shutil.copytree(small_folder, tmp_path / "library")
    site = tmp_path / "site"

    def change(*changes: tuple[str, str], name: str = "electrics/headlamp-flickers.yaml") -> Any:
        path = library / name
        text = path.read_text(encoding="utf-8")
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8")
        return build_site(library, site)

    return change


def note_of(hand: Any) -> str:
    hand.page.reload()
    hand.settle()
    hand.page.wait_for_selector("#walk .note")
    return hand.page.locator("#walk .note").inner_text()


def begin(site: Any, own_context: Any, hand: Any) -> Any:
    page = own_context(site.as_uri()).new_page()
    page.goto(f"{site.as_uri()}/walk.html#start=headlamp-flickers")
    page.wait_for_selector("#meter")
    walked = hand(page).settle()
    return walked.tap(BEGIN) if BEGIN in walked.offered else walked


def test_an_update_that_rewords_an_answered_step_is_told_and_the_job_goes_on(rebuilt, own_context, hand):
    walked = begin(rebuilt(), own_context, hand).answer(NO_BULBS)
    rebuilt(("Hold them by the base only.", "Hold them by the base only, with gloves."))
    assert "The step “Swap the bulbs left and right” reads differently now." in note_of(walked)
    assert "Look at the bulb holder" in walked.title
    walked.tap("Understood")
    assert walked.page.locator("#walk .note").count() == 0


def test_an_update_of_figures_says_that_answers_stay(rebuilt, own_context, hand):
    walked = begin(rebuilt(), own_context, hand).answer(NO_BULBS)
    rebuilt(("bulb: {name: Bulb failing, share: 44%}", "bulb: {name: Bulb failing, share: 40%}"))
    assert "What you have answered stays as it was." in note_of(walked)


LIFTED: Final = (
    "    access: [headlamp-back]\n    hazards: [hot-parts]\n    results:\n      moves:",
    "hazards: [hot-parts]",
)


def test_dangers_are_acknowledged_anew_when_their_words_change_and_only_then(rebuilt, own_context, hand):
    first, hazards = LIFTED
    rebuilt(("avoid_danger: 20", "avoid_danger: 0"), name="library.yaml")  # a danger more does not change the order
    site = rebuilt((first, first.replace(hazards, "hazards: [lifting]")))
    walked = begin(site, own_context, hand)
    assert walked.offered == [ACKNOWLEDGE]
    walked.tap(ACKNOWLEDGE)
    walked.page.reload()
    walked.settle()
    assert NO_BULBS in walked.offered
    rebuilt(("Hold them by the base only.", "Hold them by the base only, with gloves."))
    note_of(walked)
    assert NO_BULBS in walked.offered
    rebuilt(("Work on level, hard ground.", "Stands on both sides, always."), name="catalogue/hazards.yaml")
    walked.page.reload()
    walked.settle()
    assert walked.offered == [ACKNOWLEDGE]
    expect(walked.page.locator("#walk .gate")).to_contain_text("The words of this danger have changed")
    expect(walked.page.locator("#walk .gate")).to_contain_text("Stands on both sides, always.")


def test_an_update_that_drops_a_result_asks_that_step_again_and_keeps_all_else(rebuilt, own_context, hand):
    walked = begin(rebuilt(), own_context, hand).answer(NO_BULBS)
    walked.open("Notes, and what it really cost")
    walked.page.fill("#note", "seen by torch")
    walked.answer(SOUND).answer("Both within limits")
    rebuilt(("      sound:\n        expect: Bright", "      intact:\n        expect: Bright"))
    assert f"The result “{SOUND}” of “Look at the bulb holder and wiggle it” is no longer there." in note_of(walked)
    walked.page.evaluate("location.hash = location.hash.split('&')[0]")
    expect(walked.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")
    assert walked.page.input_value("#note") == "seen by torch"
    assert [seen["step"] for seen in walked.job["legs"][0]["seen"]] == [
        "swap-bulbs",
        "look-at-holder",
        "measure-losses",
    ]


def test_a_step_of_another_name_keeps_its_evidence_by_the_name_that_it_had(rebuilt, own_context, hand):
    walked = begin(rebuilt(), own_context, hand).answer(NO_BULBS).answer(SOUND)
    title = walked.title
    rebuilt(
        ("  look-at-holder:\n", "  see-the-holder:\n    was: [look-at-holder]\n"),
        ("{look-at-holder: [burnt]}", "{see-the-holder: [burnt]}"),
        ("      sound:\n        expect: Bright", "      intact:\n        was: [sound]\n        expect: Bright"),
    )
    note_of(walked)
    assert walked.title == title
    assert [(seen["step"], seen["result"]) for seen in walked.job["legs"][0]["seen"]] == [
        ("swap-bulbs", "stays"),
        ("see-the-holder", "intact"),
    ]


def test_an_update_that_drops_a_step_keeps_what_was_spent_there(rebuilt, own_context, hand):
    walked = begin(rebuilt(), own_context, hand).answer(NO_BULBS).answer(SOUND)
    spent = walked.figure("so-far-time")
    rebuilt(("  look-at-holder:\n", "  see-the-holder:\n"), ("{look-at-holder: [burnt]}", "{see-the-holder: [burnt]}"))
    assert "The step “Look at the bulb holder and wiggle it” is no longer there" in note_of(walked)
    assert "Look at the bulb holder" in walked.title
    assert walked.figure("so-far-time") == spent


def test_a_playbook_of_another_name_keeps_its_jobs(rebuilt, own_context, hand, tmp_path):
    walked = begin(rebuilt(), own_context, hand).answer(NO_BULBS)
    electrics = tmp_path / "library" / "electrics"
    (electrics / "headlamp-flickers.yaml").rename(electrics / "headlamp-dims.yaml")
    rebuilt(
        ("title: One headlamp", "was: [headlamp-flickers]\ntitle: One headlamp"), name="electrics/headlamp-dims.yaml"
    )
    note_of(walked)
    assert "Look at the bulb holder" in walked.title
    assert walked.job["legs"][0]["slug"] == "headlamp-dims"


def test_a_job_of_a_playbook_that_is_gone_stays_safe(rebuilt, own_context, hand):
    site = rebuilt()
    walked = begin(site, own_context, hand).answer(NO_BULBS)
    (site / "data" / "playbook" / "headlamp-flickers.js").unlink()
    walked.page.reload()
    expect(walked.page.locator("#walk")).to_contain_text("cannot be loaded")
    expect(walked.page.locator("#walk")).to_contain_text("The job is safe.")
    assert yaml.safe_load(job_file(walked))["legs"][0]["seen"][0]["result"] == "stays"


# What goes wrong on the device


@pytest.mark.parametrize(("trouble", "said"), [(FULL, "is full"), (DENIED, "does not let the site keep anything")])
def test_without_room_or_leave_to_keep_anything_the_walk_goes_on(trouble, said, own_context, here, hand):
    page = own_context("file://").new_page()
    page.add_init_script(trouble)
    page.goto(f"{here}walk.html#start=headlamp-flickers")
    page.wait_for_selector("#meter")
    walked = hand(page)
    expect(page.locator("#walk-problem")).to_contain_text(said)
    assert walked.answer(NO_BULBS).answer(SOUND).title.startswith("3 Measure")
    assert yaml.safe_load(job_file(walked))["legs"][0]["seen"][1]["result"] == "sound"


def test_a_store_that_fills_up_under_a_job_does_not_throw_the_walk_back(walk, here):
    hand = walk("headlamp-flickers", here).answer(NO_BULBS)
    hand.page.evaluate(FULL)
    hand.answer(SOUND)
    assert hand.title.startswith("3 Measure")
    expect(hand.page.locator("#walk-problem")).to_be_visible()


def test_a_damaged_job_harms_no_other_and_can_be_saved_and_deleted(walk, here):
    hand = walk("headlamp-flickers", here).answer(NO_BULBS)
    job = hand.job
    spoilt = {**job, "id": "spoilt", "legs": [{**job["legs"][0], "seen": [{"step": 3}]}]}
    hand.page.evaluate(
        """([half, spoilt]) => {
            const prefix = `droplight:${document.documentElement.dataset.site}:`;
            localStorage.setItem(`${prefix}job:half`, half);
            localStorage.setItem(`${prefix}job:spoilt`, spoilt);
            localStorage.setItem(`${prefix}settings`, "{{{");
        }""",
        [json.dumps(job)[:50], json.dumps(spoilt)],
    )
    hand.page.goto(f"{here}walk.html#")
    rows = hand.page.locator("#walk .jobs > li")
    expect(rows).to_have_count(3)
    damaged = rows.filter(has_text="damaged")
    expect(damaged).to_have_count(2)
    with hand.page.expect_download() as offered:
        damaged.first.get_by_role("button", name="Save what is left of it").click()
    assert offered.value.path().read_text(encoding="utf-8") == json.dumps(job)[:50]
    hand.page.on("dialog", lambda dialog: dialog.accept())
    damaged.first.get_by_role("button", name="Delete it").click()
    expect(rows).to_have_count(2)
    hand.page.get_by_role("link", name="One headlamp flickers or goes dim").click()
    expect(hand.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")


def changed(job: dict[str, Any], path: str, value: Any) -> dict[str, Any]:
    """A copy with one value put somewhere else; ``legs/0/slug`` names the place."""
    made = copy.deepcopy(job)
    *way, last = path.split("/")
    place: Any = made
    for key in way:
        place = place[int(key) if key.isdigit() else key]
    if value is None:
        del place[last]
    else:
        place[last] = value
    return made


REFUSED: Final = [
    ("droplight", "jobs"), ("version", 1), ("version", 3), ("version", "2"), ("revision", -1), ("revision", 1.5),
    ("id", "../x"), ("id", None), ("name", 5), ("name", "x" * 201), ("state", "asleep"), ("legs", []), ("legs", {}),
    ("legs/0/slug", "__proto__"), ("legs/0/slug", "A"), ("legs/0/seen", None), ("legs/0/seen/0/result", 1),
    ("legs/0/seen/0/weights", {"a": -1}), ("legs/0/seen/0/reading", {"value": "1", "unit": "V"}),
    ("legs/0/seen/0/more", 1), ("legs/0/notes", {"a": {"note": "x" * 5001}}), ("legs/0/notes", {"a": {"spent": -1}}),
    ("legs/0/notes", {"a": {"spent": "12"}}), ("legs/0/notes", {"a": {"took": True}}), ("legs/0/tried", "x"),
    ("legs/0/tried", [{}]), ("legs/0/aside", [1]), ("read", None), ("waits", [{}]), ("car", {"id": "A", "name": "x"}),
    ("expected", 3), ("expected/money", None), ("more", "x"), ("created", 0),
]  # fmt: skip


def test_what_is_not_a_job_is_refused_by_the_walk_and_by_the_schema(walk, here, site_dir):
    hand = walk("headlamp-flickers", here).answer(NO_BULBS)
    job = hand.job
    schema = json.loads((site_dir / "schema" / "job.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(schema)
    variants = [changed(job, *one) for one in REFUSED] + [[], "job", 7, [job]]
    assert hand.page.evaluate("jobs => jobs.map(droplight.shape.isJob)", [job, *variants]) == [True] + [False] * len(
        variants
    )
    assert [validator.is_valid(one) for one in [job, *variants]] == [True] + [False] * len(variants)


def fullest(schema: dict[str, Any], part: dict[str, Any]) -> Any:
    """A value with everything that a schema allows."""
    if "$ref" in part:
        return fullest(schema, schema["$defs"][part["$ref"].rpartition("/")[2]])
    if "anyOf" in part:
        return fullest(schema, part["anyOf"][0])
    if "const" in part or "enum" in part:
        return part.get("const", part.get("enum", [None])[0])
    if part["type"] == "object":
        return {key: fullest(schema, value) for key, value in part.get("properties", {}).items()}
    if part["type"] == "array":
        return [fullest(schema, part["items"])]
    return {"string": "x", "number": 1.5, "integer": 1, "boolean": True}[part["type"]]


def test_the_walk_takes_all_that_the_schema_allows_and_needs_what_it_requires(walk, here, site_dir):
    schema = json.loads((site_dir / "schema" / "job.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(schema)
    whole = fullest(schema, schema)
    entries = ("", "legs/0/", "legs/0/seen/0/", "legs/0/tried/0/", "legs/0/aside/0/", "read/0/", "waits/0/", "car/")
    variants = [whole]
    for entry in entries:
        place: Any = whole
        for key in entry.split("/")[:-1]:
            place = place[int(key) if key.isdigit() else key]
        variants += [changed(whole, f"{entry}{key}", None) for key in place]
    page = walk("headlamp-flickers", here).page
    valid = [validator.is_valid(one) for one in variants]
    assert valid[0]
    assert page.evaluate("jobs => jobs.map(droplight.shape.isJob)", variants) == valid


def test_a_hostile_file_is_refused_or_shown_as_text(walk, here):
    hand = walk("headlamp-flickers", here).answer(NO_BULBS)
    job = hand.job
    hand.page.goto(f"{here}walk.html#")
    page = hand.page
    whole = json.dumps(job)
    for text in (
        "",
        "hello: [",
        "null",
        whole[:-5],
        "[" * 100_000,
        whole[:-1] + ',"__proto__":{"seen":true}}',
        " " * 20_100_000,
    ):
        expect(page.locator("#walk h1")).to_have_text("Jobs on this device")
        page.evaluate("document.getElementById('import-said').textContent = ''")
        bring(page, text)
        expect(page.locator("#import-said")).to_have_text("This file is not a job that a walk has saved.")
    assert page.evaluate("({}).seen") is None
    html = '"><script>window.hit = 1</script><img src=x onerror="window.hit = 1">'
    seen = [{**job["legs"][0]["seen"][0], "title": html, "expect": html, "at": html}]
    notes = {seen[0]["step"]: {"note": html, "typed": {"spent": html}}}
    legs = [{**job["legs"][0], "title": html, "seen": seen, "notes": notes, "changed": [html]}]
    bring(page, json.dumps({**job, "id": "other", "name": html, "created": html, "updated": html, "legs": legs}))
    page.wait_for_selector("#meter")
    hand.open("Your way so far (1)")
    assert page.locator("#walk .answered").inner_text().count("<img") == 3
    page.goto(f"{here}walk.html#")
    expect(page.locator("#walk .jobs")).to_contain_text(html)
    assert page.evaluate("window.hit") is None
    assert page.locator("#walk img, #walk script").count() == 0


def test_a_file_of_a_job_that_is_here_already_replaces_it_only_when_asked(walk, here):
    hand = walk("headlamp-flickers", here)
    hand.acknowledge()
    text = job_file(hand)
    hand.answer(NO_BULBS)
    hand.page.goto(f"{here}walk.html#")
    hand.page.once("dialog", lambda dialog: dialog.dismiss())
    bring(hand.page, text)
    expect(hand.page.locator("#walk h1")).to_have_text("Jobs on this device")
    hand.page.get_by_role("link", name="One headlamp flickers or goes dim").click()
    expect(hand.page.locator("#walk h1")).to_contain_text("Look at the bulb holder")


@pytest.mark.parametrize("name", ["__proto__", "constructor", "no-such-playbook", "../x"])
def test_an_address_of_no_playbook_is_told_and_breaks_nothing(name, own_context, here):
    page = own_context("file://").new_page()
    page.goto(f"{here}walk.html#start={name}")
    page.wait_for_selector("#walk[data-ready]")
    assert re.match(r"This cannot be shown|Jobs on this device", page.locator("#walk h1").inner_text())


def test_the_way_so_far_of_a_job_goes_on_paper(walk):
    hand = walk("headlamp-flickers")
    hand.acknowledge().give("stays")
    title = hand.title
    hand.open("Name, car, take away, delete")
    hand.page.get_by_role("link", name="The way so far on paper").click()
    cards = hand.page.locator(".sheet-steps .card")
    expect(cards).to_have_count(2)
    assert title.lstrip("0123456789 ") in " ".join(cards.last.inner_text().split())
