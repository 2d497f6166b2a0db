"""What is used where, and which playbooks are related."""

from collections.abc import Callable, Mapping
from typing import Any, Final

import pytest

from builder.publish.pages.index import COMMON, RELATED, Index, Use, hand_overs, index_of
from builder.read.records import Catalogue, Library, Playbook, Settings

Plain = dict[str, Any]
MakeIndex = Callable[[Mapping[str, Plain]], Index]

CATALOGUE: Final[Plain] = {
    "tools": {
        "torch": {"name": "Torch", "usual": "true"},
        "meter": {"name": "Meter", "price": "25"},
        "puller": {"name": "Puller", "price": "40"},
    },
    "parts": {"fuse": {"name": "Fuse", "price": "1"}},
    "access": {"cover": {"name": "Cover", "open": "5 min", "close": "5 min", "hazards": ["hot"]}},
    "hazards": {
        "hot": {"name": "Hot", "signal": "caution", "harm": "Burns.", "avoid": "Wait."},
        "lifting": {"name": "Lifting", "signal": "danger", "harm": "Crushes.", "avoid": "Use stands."},
    },
}


def playbook(slug: str, step: Plain, ending: Plain, codes: list[str], causes: list[str], leads: str | None) -> Playbook:
    results: Plain = {"done": {"expect": "Done", "next": "end"}}
    if leads:
        results["other"] = {"expect": "Other", "next": {"playbook": leads}}
    parts = {
        "symptom": {"summary": "x", "codes": codes},
        "causes": {cause: {"name": cause} for cause in causes},
        "start": "step",
        "steps": {"step": {"title": f"Step of {slug}", "results": results, **step}},
        "endings": {"end": {"title": f"End of {slug}", **ending}},
    }
    return Playbook.model_validate({"format": "1", "slug": slug, "area": "a", "title": slug, **parts})


@pytest.fixture
def index() -> MakeIndex:
    """The index of playbooks, each given by what its step, its ending and its head name."""

    def index(playbooks: Mapping[str, Plain]) -> Index:
        frame: Plain = {"step": {}, "ending": {}, "codes": [], "causes": [], "leads": None}
        return index_of(
            Library.model_construct(
                settings=Settings.model_validate(
                    {"title": "T", "currency": "EUR", "labour_rate": "60", "areas": {"a": "A"}}
                ),
                catalogue=Catalogue.model_validate(CATALOGUE),
                playbooks={slug: playbook(slug, **{**frame, **given}) for slug, given in playbooks.items()},
            )
        )

    return index


def test_uses_name_the_steps_and_endings(index: MakeIndex) -> None:
    found = index({"one": {"step": {"tools": ["meter"]}, "ending": {"tools": ["meter"], "parts": ["fuse"]}}, "two": {}})
    step, ending = ("step", "step", "Step of one"), ("ending", "end", "End of one")
    assert found.uses["tool"] == {"meter": [Use("one", (step, ending))]}
    assert found.uses["part"] == {"fuse": [Use("one", (ending,))]}


def test_a_hazard_of_an_access_job_counts_for_the_step_that_opens_it(index: MakeIndex) -> None:
    found = index({"one": {"step": {"access": ["cover"], "hazards": ["lifting"]}}})
    assert list(found.uses["hazard"]) == ["hot", "lifting"]
    assert list(found.uses["access"]) == ["cover"]


def test_codes_are_in_order_and_list_a_playbook_once(index: MakeIndex) -> None:
    found = index({"one": {"codes": ["P0420", "P0128", "P0420"]}, "two": {"codes": ["P0128"]}})
    assert list(found.codes.items()) == [("P0128", ["one", "two"]), ("P0420", ["one"])]


def test_causes_list_the_playbooks_that_name_them(index: MakeIndex) -> None:
    assert index({"one": {"causes": ["lead"]}, "two": {"causes": ["lead"]}}).causes == {"lead": ["one", "two"]}


def test_a_cause_of_one_playbook_alone_is_not_shared(index: MakeIndex) -> None:
    found = index({"one": {"causes": ["lead", "plug"]}, "two": {"causes": ["lead"]}})
    assert found.shared_causes == {"lead"}


def test_a_hand_over_is_listed_once() -> None:
    results = {name: {"expect": name, "next": {"playbook": "two"}} for name in ("a", "b")}
    book = playbook("one", {"results": results}, {}, [], [], None)
    assert hand_overs(book) == ["two"]


def test_playbooks_are_related_by_what_few_of_them_share(index: MakeIndex) -> None:
    """A code says more than a cause; a tool or a part that both need says nothing about the fault."""
    shared = {"step": {"tools": ["puller"]}, "ending": {"parts": ["fuse"]}, "codes": ["P0128"], "causes": ["lead"]}
    found = index(
        {
            "one": shared,
            "by-code": {"codes": ["P0128"]},
            "by-cause": {"causes": ["lead"]},
            "by-part": {"ending": {"parts": ["fuse"]}},
            "by-tool": {"step": {"tools": ["puller"]}},
        }
    )
    assert [(one.slug, one.shared) for one in found.related["one"]] == [
        ("by-code", (("code", "P0128"),)),
        ("by-cause", (("cause", "lead"),)),
    ]
    assert found.related["by-part"] == found.related["by-tool"] == []


def test_a_hand_over_relates_both_playbooks(index: MakeIndex) -> None:
    found = index({"one": {"leads": "two"}, "two": {}})
    assert [one.slug for one in found.related["one"]] == ["two"]
    assert [(one.slug, one.shared) for one in found.related["two"]] == [("one", (("handover", ""),))]


def test_no_playbook_is_related_to_itself(index: MakeIndex) -> None:
    found = index({slug: {"codes": ["P0128"], "causes": ["lead"]} for slug in ("one", "two", "three")})
    for slug, related in found.related.items():
        assert slug not in [one.slug for one in related]


def test_what_too_many_share_relates_none_and_no_list_is_long(index: MakeIndex) -> None:
    many = {f"p{i:03}": {"codes": ["P0128"]} for i in range(COMMON + 1)}
    assert not any(index(many).related.values())
    some = dict(list(many.items())[: RELATED + 2])
    assert [one.slug for one in index(some).related["p000"]] == [f"p{i:03}" for i in range(1, RELATED + 1)]
