"""The model of a playbook for the walk: the same figures as the records, and hashes that tell what has changed."""

import json
from typing import Any

import pytest

from builder.draw.figures import figures_of
from builder.publish.data.model import data_file, model_of, short_hash
from builder.publish.pages.pages import Pages
from builder.publish.pages.views import playbook_view
from builder.publish.site import write_site
from builder.read.library import read_library
from builder.reckon.reckoning import reckoning_of
from builder.reckon.totals import totals


def made(folder: Any, slug: str = "horn") -> dict[str, Any]:
    """The model as a browser gets it."""
    library = read_library(folder).library
    assert library
    reckoning = reckoning_of(library.playbooks[slug], library.catalogue, library.settings)
    view = playbook_view(reckoning, totals(reckoning, "EUR"), library.catalogue, {})
    return json.loads(json.dumps(model_of(reckoning, view, Pages(library, figures_of(library.settings), {}), {})))


def node(model: dict[str, Any], name: str) -> dict[str, Any]:
    return next(node for node in model["nodes"] if node["name"] == name)


def test_a_model_holds_the_figures_of_the_records(small_library):
    model = made(small_library)
    look = node(model, "look")
    assert (look["kind"], look["number"], look["time"], look["shop"]) == ("step", 1, [5, 5, 5], False)
    assert [cause for cause, _ in model["causes"]] == ["fuse", "horn", "unlisted"]
    assert model["prior"] == pytest.approx([0.6, 0.3, 0.1])
    blown, whole = look["results"]
    assert (blown["expect"], blown["chance"]) == ("The wire is melted", [0.95, 0.02, 0.02])
    assert whole["chance"] == pytest.approx([0.05, 0.98, 0.98])
    assert model["nodes"][blown["to"]]["name"] == "fuse"
    assert node(model, "fuse")["rights"] == [True, False, False]
    assert node(model, "under")["banner"] == ["lifting"]
    assert node(model, "under")["hazards"] == ["lifting"]
    lifting = model["hazards"]["lifting"]
    assert (lifting["signal"], lifting["word"]) == ("danger", "DANGER")
    assert lifting["word"] in lifting["html"]


def test_every_result_leads_upwards_so_that_one_pass_is_enough(small_library):
    model = made(small_library)
    for i, one in enumerate(model["nodes"]):
        assert all(result["to"] > i for result in one.get("results", ()))


RICH: Any = {
    "wait": "2 nights",
    "mishap": {"what": "The bracket snaps", "chance": "3%", "cost": "60-200"},
    "after": {"look": ["whole"]},
}


def rich(horn: Any) -> Any:
    """The small playbook with everything that weighs an order or is read off a meter."""
    steps = horn["steps"]
    look = {**steps["look"], "was": ["see"], "reading": {"of": "Gap", "unit": "mm"}}
    ranges = {"blown": {"range": "above 1.5", "was": ["burnt"]}, "whole": {"range": "below 1.5"}}
    look["results"] = {name: {**one, **ranges[name]} for name, one in look["results"].items()}
    asked = {"check": "built", "results": {"old": {"next": "look"}}}
    under = {**steps["under"], **RICH}
    made: Any = {**horn, "start": "built", "steps": {"built": asked, "look": look, "under": under}}
    return {**made, "was": ["hooter"], "vehicles": ["Tamarin 1.2"], "professional": {"unlisted": "300-900"}}


def rich_model(tmp_path: Any, write_library: Any, horn: Any) -> dict[str, Any]:
    checks = {"built": {"title": "When was it built?", "about": "car", "results": {"old": {"expect": "Long ago"}}}}
    return made(write_library(tmp_path / "rich", {"area/horn": rich(horn)}, catalogue={"checks": checks}))


def test_a_model_holds_what_orders_are_weighed_with(tmp_path, write_library, horn):
    model = rich_model(tmp_path, write_library, horn)
    under = node(model, "under")
    assert under["wait"] == [48, 48, 48]
    assert under["mishap"] == {"what": "The bracket snaps", "chance": 0.03, "cost": [60, 130, 200]}
    assert under["after"] == {"look": ["whole"]}
    assert model["professional"] == {"diagnosis": [60, 90, 120], "unlisted": [300, 600, 900]}
    assert (node(model, "look")["mishap"], node(model, "look")["after"]) == (None, {})


def test_a_model_holds_readings_checks_and_old_names(tmp_path, write_library, horn):
    model = rich_model(tmp_path, write_library, horn)
    look, asked = node(model, "look"), node(model, "built")
    assert (asked["check"], asked["car"], look["check"], look["car"]) == ("built", True, None, False)
    other = look["reading"].pop("other")
    assert look["reading"] == {"of": "Gap", "unit": "mm"}
    assert (other["unit"], other["system"], other["offset"]) == ("in", "us", 0)
    assert 25.4 * other["factor"] == pytest.approx(1)
    assert [result["range"] for result in look["results"]] == [[1.5, None], [None, 1.5]]
    assert (model["was"], look["was"], look["results"][0]["was"]) == (["hooter"], ["see"], ["burnt"])
    assert asked["reading"] is None
    assert asked["results"][0]["range"] is None
    assert (model["vehicles"], model["codes"]) == (["Tamarin 1.2"], ["P0230"])


def test_a_professional_is_as_in_the_settings_where_a_playbook_does_not_say(tmp_path, write_library, horn):
    settings = {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"area": "Area"}}
    settings["professional"] = {"diagnosis": "2 h", "unlisted": "500"}
    own = {**horn, "professional": {"diagnosis": "30 min"}}
    model = made(write_library(tmp_path / "settings", {"area/horn": own}, settings))
    assert model["professional"] == {"diagnosis": [30, 30, 30], "unlisted": [500, 500, 500]}


@pytest.fixture
def changed(horn, tmp_path, write_library) -> Any:
    """The model of the small library after a change to a copy of its playbook."""

    def change(**steps: Any) -> dict[str, Any]:
        playbook = json.loads(json.dumps(horn))
        playbook["steps"] = {**playbook["steps"], **steps}
        return made(write_library(tmp_path / f"changed-{len(list(tmp_path.iterdir()))}", {"area/horn": playbook}))

    return change


def test_the_hash_of_a_step_changes_with_what_is_read_there_alone(small_library, changed, horn):
    before, look = made(small_library), horn["steps"]["look"]
    dearer = changed(look={**look, "time": "9 min"})
    assert node(dearer, "look")["hash"] == node(before, "look")["hash"]
    assert dearer["hash"] != before["hash"]
    assert node(changed(look={**look, "title": "Look at it"}), "look")["hash"] != node(before, "look")["hash"]
    reworded = {**look["results"], "blown": {**look["results"]["blown"], "expect": "Black"}}
    assert node(changed(look={**look, "results": reworded}), "look")["hash"] != node(before, "look")["hash"]


def test_the_hash_of_a_step_does_not_change_when_another_one_is_put_before_it(small_library, changed, horn):
    look = horn["steps"]["look"]
    whole = {**look["results"]["whole"], "next": "tap"}
    tap = {"title": "Tap the horn", "time": "1 min", "results": {"still": {"expect": "Still dead", "next": "under"}}}
    longer = changed(look={**look, "results": {**look["results"], "whole": whole}}, tap=tap)
    assert node(longer, "under")["number"] == 3
    assert node(longer, "under")["hash"] == node(made(small_library), "under")["hash"]


def test_the_hash_of_a_danger_changes_with_its_words_alone(small_library, horn, tmp_path, write_library):
    before = made(small_library)
    hazard = {"signal": "danger", "name": "Lifting", "harm": "It falls.", "avoid": "Stands."}
    said = [
        made(write_library(tmp_path / f"{k}", {"area/horn": horn}, catalogue={"hazards": {"lifting": one}}))
        for k, one in enumerate([hazard, {**hazard, "avoid": "Two stands."}, {**hazard, "words": ["hoist"]}])
    ]
    hashes = [model["hazards"]["lifting"]["hash"] for model in said]
    assert hashes[0] == hashes[2]
    assert len({before["hazards"]["lifting"]["hash"], *hashes}) == 3
    assert len({node(model, "under")["hash"] for model in [before, *said]}) == 3


def test_a_playbook_without_shares_has_no_odds(horn, tmp_path, write_library):
    bare = {**horn, "causes": {name: {"name": cause["name"]} for name, cause in horn["causes"].items()}}
    model = made(write_library(tmp_path / "bare", {"area/horn": bare}))
    assert (model["prior"], model["causes"]) == (None, None)
    assert node(model, "look")["results"][0]["chance"] is None


def test_a_model_is_found_by_an_old_slug_as_well(horn, tmp_path, write_library):
    folder = write_library(tmp_path / "library", {"area/horn": {**horn, "was": ["dead-horn"]}})
    library = read_library(folder).library
    assert library
    write_site(library, folder, tmp_path / "site")
    now = (tmp_path / "site" / "data" / "playbook" / "horn.js").read_text(encoding="utf-8")
    old = (tmp_path / "site" / "data" / "playbook" / "dead-horn.js").read_text(encoding="utf-8")
    assert old == now.replace('droplight.take("playbook","horn"', 'droplight.take("playbook","dead-horn"')


def test_a_data_file_is_one_call_that_holds_json():
    script = data_file("playbook", "x", {"name": "“ä” </script>", "empty": None})
    start, end = 'droplight.take("playbook","x",', ");\n"
    assert script.startswith(start)
    assert script.endswith(end)
    assert json.loads(script.removeprefix(start).removesuffix(end)) == {"name": "“ä” </script>", "empty": None}


def test_a_hash_does_not_depend_on_the_order_of_keys():
    assert short_hash({"a": 1, "b": 2}) == short_hash({"b": 2, "a": 1}) != short_hash({"a": 2, "b": 1})
