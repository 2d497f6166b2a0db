"""Marks: numbers of steps, letters of results and endings."""

from builder.draw.marks import letter, marks
from builder.reckon.graph import Graph


def test_letters_go_on_after_z_as_columns_of_a_spreadsheet_do() -> None:
    assert [letter(place) for place in (0, 1, 25, 26, 27, 51, 52, 701, 702)] == [
        *("a", "b", "z", "aa", "ab", "az", "ba", "zz", "aaa"),
    ]


def test_steps_have_numbers_endings_capital_letters_and_hand_overs_none(reckon) -> None:  # type: ignore[no-untyped-def]
    results = {"r": {"expect": "R", "next": "t"}, "o": {"expect": "O", "next": "e"}}
    last = {"r": {"expect": "R", "next": "f"}, "o": {"expect": "O", "next": {"playbook": "p"}}}
    graph: Graph = reckon(
        {
            "steps": {"s": {"title": "S", "results": results}, "t": {"title": "T", "results": last}},
            "endings": {"e": {"title": "E"}, "f": {"title": "F"}},
        }
    ).graph
    found = dict(zip([node.name for node in graph.nodes], marks(graph), strict=True))
    assert {name: found[name] for name in ("s", "t", "p")} == {"s": "1", "t": "2", "p": ""}
    assert {found["e"], found["f"]} == {"A", "B"}
