"""A reading: what the file says by its own places, and what of it is lost."""

from pathlib import Path

from builder.read.nodes import parse_nodes
from builder.read.reading import ALL_READ, Reading
from builder.read.records import Catalogue, Playbook, Settings
from builder.read.shape import read_record
from builder.read.source import Source

TEXT = """\
format: 1
title: T
was: [one, Bad Name, three]
symptom: {summary: S, codes: P0128}
start: a
steps:
  a: {title: A, tools: [saw], no_hazards: {hot: cold, Wet: dry}, results: {on: {expect: E, next: {playbok: b}}}}
  Step B: {title: B, results: {on: {expect: E, next: end}}}
endings:
  end: {settles: all}
"""


def reading_of(text: str) -> Reading:
    source = Source("area/slug.yaml", text)
    node, _ = parse_nodes(source)
    assert node
    playbook, _ = read_record(Playbook, node, source, {"slug": "slug", "area": "area"})
    assert playbook
    settings = Settings.model_validate({"title": "T", "currency": "EUR", "labour_rate": "1", "areas": {"area": "A"}})
    return Reading(playbook, node, source, settings, Catalogue(), ALL_READ, frozenset(), Path(), whole=False)


def test_what_is_lost_is_lost_with_all_that_stands_in_it() -> None:
    reading = reading_of(TEXT)
    lost = [
        ("was", 1),
        ("symptom", "codes"),
        ("steps", "Step B"),
        ("steps", "Step B", "title"),
        ("endings", "end", "title"),
    ]
    lost += [("steps", "a", "no_hazards", "Wet"), ("steps", "a", "results", "on", "next", "playbook")]
    assert [reading.is_lost(place) for place in lost] == [True] * len(lost)
    kept = [
        ("was",),
        ("was", 2),
        ("steps",),
        ("steps", "a"),
        ("steps", "a", "time"),
        ("steps", "c"),
        ("causes", "x", "y"),
    ]
    assert [reading.is_lost(place) for place in kept] == [False] * len(kept)
    assert reading.is_lost(kept[0], lost[0])
    assert [reading.has_lost(place) for place in (("was",), ("steps",), ("steps", "a", "tools"))] == [True, True, False]


def test_names_come_with_their_own_places() -> None:
    reading = reading_of(TEXT)
    assert list(reading.names(("was",))) == [(("was", 0), "one"), (("was", 2), "three")]
    assert list(reading.names(("steps", "a", "no_hazards"))) == [(("steps", "a", "no_hazards", "hot"), "hot")]
    assert list(reading.names(("endings", "end", "settles"))) == [(("endings", "end", "settles"), "all")]
    assert list(reading.names(("symptom", "codes"))) == []
    assert list(reading.names(("vehicles",))) == []


def test_items_of_the_record_know_their_places_in_the_file() -> None:
    reading = reading_of(TEXT)
    assert reading.playbook.was == ("one", "three")
    assert [reading.node.where(("was", place)) for place in (0, 1)] == [("was", 0), ("was", 2)]
    # What a common check says stands in no list of the file.
    assert reading.node.where(("steps", "a", "preconditions", 1)) == ("steps", "a", "preconditions", 1)


def test_keys_are_as_they_are_meant() -> None:
    assert list(reading_of(TEXT).keys(("steps",))) == ["a", "step-b"]
    assert list(reading_of(TEXT).keys(("causes",))) == []
