"""Trouble codes in any spelling, what their structure says (against the reading room), and which ones are near."""

from typing import Final

import pytest

from builder.publish.data.search import structure
from builder.read.codes import parse_code


@pytest.mark.parametrize(
    ("typed", "codes", "rest"),
    [
        ("P0300", ["P0300"], ""),
        ("p0300", ["P0300"], ""),
        ("P-0300", ["P0300"], ""),
        ("P 0300", ["P0300"], ""),
        ("p0 300", ["P0300"], ""),
        ("PO3OO P03O0", ["P0300"], ""),
        ("po171", ["P0171"], ""),
        ("P0l28", ["P0128"], ""),
        ("p300", ["P0300"], ""),
        ("code 0171", ["P0171"], "code"),
        ("codes 0300, 0171", ["P0300", "P0171"], "codes ,"),
        ("P0300-00 idle", ["P0300"], "idle"),
        ("p0A80", ["P0A80"], ""),
        ("u0121 c0035", ["U0121", "C0035"], ""),
        ("P0171,P0300 rough", ["P0171", "P0300"], ", rough"),
        ("(P0420)", ["P0420"], "( )"),
        # what is none
        ("code", [], "code"),
        ("my code is bad", [], "my code is bad"),
        ("P9300", [], "P9300"),
        ("XP0300", [], "XP0300"),
        ("at 100 km/h", [], "at 100 km/h"),
        ("12.4 V, 0.4 mm", [], "12.4 V, 0.4 mm"),
        ("u bolt", [], "u bolt"),
        ("c 100 km", [], "c 100 km"),
    ],
)
def test_a_code_is_found_however_it_is_typed(typed: str, codes: list[str], rest: str, modules) -> None:
    found = modules.evaluate("(typed) => droplight.trouble.codesIn(typed)", typed)
    assert (found["codes"], " ".join(found["rest"].split())) == (codes, rest)


def test_the_structure_of_every_code_says_what_the_reading_room_says(modules) -> None:
    codes = [f"{letter}{number:04X}" for letter in "PCBU" for number in range(0x4000)]
    said = modules.evaluate(
        "([codes, tables]) => codes.map((code) => Object.values(droplight.trouble.structureOf(code, tables)))",
        [codes, structure(str)],
    )
    parsed = [parse_code(code) for code in codes]
    assert said == [[one.system, one.control, one.subsystem] for one in parsed if one]


KNOWN: Final = ["B0001", "P0171", "P0300", "P0301", "P0304", "P1300", "P2300"]


@pytest.mark.parametrize(
    ("code", "near"),
    [
        ("P0305", ["P0304", "P0301", "P0300", "P0171"]),
        ("P0299", ["P0300", "P0301", "P0304", "P0171"]),
        ("P1234", ["P1300"]),
        ("C0035", []),
    ],
)
def test_the_nearest_codes_begin_alike_and_then_lie_close(code: str, near: list[str], modules) -> None:
    found = modules.evaluate("([code, known]) => droplight.trouble.nearest(code, known, 4)", [code, KNOWN])
    assert found == near
