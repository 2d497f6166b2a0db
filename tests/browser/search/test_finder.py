"""The finder: forms of words, compounds, slips, meanings and opposites lead to the playbook, codes before all else."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

import pytest

Answers = Callable[..., dict[str, Any]]

ENGLISH: Final = {
    "lamp": {"title": "One headlamp flickers", "summary": "It is dim after a bump."},
    "belt": {"title": "Squeal at the belt", "summary": "Worn belts squeal when it is wet."},
    "cranks": {"title": "Cranks but does not start", "codes": ["P0335"], "causes": {"pump": "Fuel pump dead"}},
    "starts": {
        "title": "Starts and stops at once",
        "codes": ["P0335", "P0300"],
        "causes": {"pump": "Fuel pump dead"},
    },
    "boot": {"title": "Boot does not shut", "also": ["tailgate flies open"], "parts": ["Latch of the lid"]},
    "hot": {"title": "Overheats in traffic", "steps": ["Feel the radiator", "Wiggle the plug of the fan"]},
}
GERMAN: Final = {
    "riemen": {"title": "Zahnriemen gerissen", "summary": "Der Motor steht."},
    "bremse": {"title": "Bremsscheiben verzogen", "summary": "Das Pedal pulsiert."},
    "start": {"title": "Motor springt nicht an", "summary": "Der Anlasser dreht."},
    "fleck": {"title": "Ölfleck unter dem Auto", "summary": "Morgens liegt Öl am Boden."},
    "ton": {"title": "Es quietscht beim Anfahren", "summary": "Ein hoher Ton."},
}


@pytest.fixture(scope="module")
def answers(modules, make_index) -> Answers:
    """What the search of a small library answers."""
    libraries = {"en": make_index(ENGLISH), "de": make_index(GERMAN, "de")}
    modules.evaluate(
        """(libraries) => { globalThis.small = Object.fromEntries(
            Object.entries(libraries).map(([name, data]) => [name, new droplight.finder.Finder(data)])); }""",
        libraries,
    )

    def ask(query: str, language: str = "en", begun: bool = False) -> dict[str, Any]:
        return modules.evaluate("([name, query, begun]) => small[name].find(query, begun)", [language, query, begun])

    return ask


def slugs(answer: Mapping[str, Any]) -> list[str]:
    return [found["page"].removeprefix("playbook/").removesuffix(".html") for found in answer["playbooks"]]


def titles(found: Sequence[Mapping[str, Any]]) -> list[str]:
    return [one["title"] for one in found]


@pytest.mark.parametrize(
    ("query", "language", "slug"),
    [
        # forms of words
        ("flickering headlamps", "en", "lamp"),
        ("squealing", "en", "belt"),
        ("squealed", "en", "belt"),
        ("overheating", "en", "hot"),
        ("overheated", "en", "hot"),
        ("quietschen", "de", "ton"),
        ("verzogene Bremsscheibe", "de", "bremse"),
        # slips: a letter missing, two swapped, another, one too many
        ("hedlamp", "en", "lamp"),
        ("haedlamp", "en", "lamp"),
        ("headlanp", "en", "lamp"),
        ("flickkers", "en", "lamp"),
        ("squeel", "en", "belt"),
        ("Zanhriemen", "de", "riemen"),
        # other words for it, also of several words and written together or apart
        ("headlight", "en", "lamp"),
        ("head light", "en", "lamp"),
        ("trunk", "en", "boot"),
        ("turns over but", "en", "cranks"),
        ("runs hot", "en", "hot"),
        ("startet nicht", "de", "start"),
        ("pfeift", "de", "ton"),
        ("tropft", "de", "fleck"),
        # compounds
        ("riemen", "de", "riemen"),
        ("Öl", "de", "fleck"),
        ("Scheiben", "de", "bremse"),
        ("Zahnriemenwechsel", "de", "riemen"),
        # umlauts as they are typed without
        ("oelfleck", "de", "fleck"),
        ("Olfleck", "de", "fleck"),
        # what else it is called, what may be wrong, what it takes
        ("tailgate flies", "en", "boot"),
        ("fuel pump", "en", "cranks"),
        ("latch", "en", "boot"),
        ("radiator", "en", "hot"),
        # not all of it fits, and most of it says nothing
        ("hello, my car has a headlamp with a strange xylophone since monday", "en", "lamp"),
    ],
)
def test_owners_words_lead_to_the_playbook(query: str, language: str, slug: str, answers: Answers) -> None:
    assert slugs(answers(query, language))[:1] == [slug]


@pytest.mark.parametrize(
    "query", ["won't start", "wont start", "doesn’t start", "no start", "will not start", "does not start"]
)
def test_a_negation_is_no_filler(query: str, answers: Answers) -> None:
    assert slugs(answers(query))[:2] == ["cranks", "starts"]
    assert slugs(answers("starts"))[0] == "starts"


@pytest.mark.parametrize("query", ["heads", "head", "hea"])
def test_the_beginning_of_the_last_word_is_enough_while_it_is_typed(query: str, answers: Answers) -> None:
    assert slugs(answers(query, begun=True))[:1] == ["lamp"]


@pytest.mark.parametrize("query", ["P0335", "p-0335", "p 335", "PO335", "code 0335"])
def test_a_code_leads_to_all_playbooks_that_start_from_it(query: str, answers: Answers) -> None:
    assert set(slugs(answers(query))) == {"cranks", "starts"}


def test_playbooks_are_ranked_by_how_many_codes_they_explain_and_then_by_words(answers: Answers) -> None:
    assert slugs(answers("P0335 P0300"))[:2] == ["starts", "cranks"]
    assert slugs(answers("P0335 P0300 fuel pump headlamp"))[:3] == ["starts", "cranks", "lamp"]
    assert slugs(answers("P0335 fuel pump"))[0] == "cranks"


def test_several_symptoms_are_ranked_by_how_many_a_playbook_explains(answers: Answers) -> None:
    assert slugs(answers("dim, bump, headlamp, boot"))[0] == "lamp"


def test_a_code_that_no_playbook_has_gets_its_structure_and_the_nearest(answers: Answers) -> None:
    answer = answers("P0301")
    (code,) = answer["asked"]
    assert (code["title"], code["isKnown"], code["system"]) == ("P0301", False, "powertrain")
    assert code["subsystem"] == "ignition system or misfire"
    assert code["control"] == "the standard: the code means the same on every car"
    assert titles(code["near"]) == ["P0300", "P0335"]
    assert slugs(answer) == ["starts"]


def test_what_has_a_page_of_its_own_is_found_beside(answers: Answers) -> None:
    """A cause has one where several playbooks name it; that of one alone leads to its playbook."""
    assert titles(answers("fuel pump")["causes"]) == ["Fuel pump dead"]
    assert titles(answers("latch")["parts"]) == ["Latch of the lid"]
    (step,) = answers("wiggle plug")["steps"]
    assert (step["title"], step["note"]) == ("Wiggle the plug of the fan", "Overheats in traffic")
    assert step["page"] == "playbook/hot.html#n2"


def test_what_says_too_little_of_a_long_query_is_left_out(answers: Answers) -> None:
    assert answers("fuel smell from the tailgate when the radiator is hot")["causes"] == []


def test_words_that_nothing_says_are_named_and_those_near_to_them_offered(answers: Answers) -> None:
    assert answers("headlamp xylophone")["unknown"] == ["xylophone"]
    nothing = answers("radydatr")
    assert slugs(nothing) == []
    assert nothing["near"] == ["radiator"]
    assert answers("headlamp")["near"] == []


def test_a_query_of_filler_alone_is_searched_for_all_the_same(answers: Answers) -> None:
    assert "starts" in slugs(answers("at once"))


@pytest.mark.parametrize("query", ["", "   ", "?!", "'", "((((", "\\", "a" * 5000, "ä ö ü", "👍", "<b>", "p", "0"])
def test_whatever_is_typed_is_answered(query: str, answers: Answers) -> None:
    assert isinstance(slugs(answers(query, begun=True)), list)


def test_an_empty_library_answers_with_nothing(modules, make_index) -> None:
    answer = modules.evaluate("(data) => new droplight.finder.Finder(data).find('headlamp P0300')", make_index({}))
    assert (answer["playbooks"], answer["good"], titles(answer["asked"])) == ([], 0, ["P0300"])
