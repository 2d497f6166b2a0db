"""Trouble codes: structure by SAE J2012 and ISO 15031-6.

The ranges below are those of SAE J2012 (DEC2007), section 6 and tables 1 and 2, written down from memory:
P0xxx, P2xxx and P34xx to P39xx belong to the standard, P1xxx and P30xx to P33xx to manufacturers; C0xxx, B0xxx and
U0xxx to the standard, 1xxx and 2xxx of these to manufacturers, C3xxx, B3xxx and U3xxx are reserved.
"""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.codes import parse_code

SYSTEMS = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}


@given(st.sampled_from("PCBU"), st.sampled_from("0123"), st.text("0123456789ABCDEF", min_size=3, max_size=3))
def test_every_code_of_the_form_has_a_system_by_its_letter(letter: str, digit: str, rest: str) -> None:
    code = parse_code(letter + digit + rest)
    assert code
    assert code.system == SYSTEMS[letter]


@pytest.mark.parametrize(
    ("code", "control"),
    [
        ("P0128", "standard"),
        ("P1128", "manufacturer"),
        ("P2A00", "standard"),
        ("P3000", "manufacturer"),
        ("P33FF", "manufacturer"),
        ("P3400", "standard"),
        ("P3497", "standard"),
        ("C0035", "standard"),
        ("C1035", "manufacturer"),
        ("C2035", "manufacturer"),
        ("C3035", "reserved"),
        ("B0001", "standard"),
        ("B1001", "manufacturer"),
        ("B2001", "manufacturer"),
        ("B3001", "reserved"),
        ("U0100", "standard"),
        ("U1100", "manufacturer"),
        ("U2100", "manufacturer"),
        ("U3100", "reserved"),
    ],
)
def test_who_controls_a_code(code: str, control: str) -> None:
    parsed = parse_code(code)
    assert parsed
    assert parsed.control == control


# Well-known codes and the subsystem of each, from memory of the same standard.
@pytest.mark.parametrize(
    ("code", "word"),
    [
        ("P0171", "fuel and air"),
        ("P0201", "injector"),
        ("P0300", "misfire"),
        ("P0420", "emission"),
        ("P0500", "speed"),
        ("P0601", "computer"),
        ("P0700", "transmission"),
        ("P0A80", "hybrid"),
        ("P3400", "cylinder deactivation"),
        ("U0100", "communication"),
    ],
)
def test_the_third_character_of_a_standard_code_names_the_subsystem(code: str, word: str) -> None:
    parsed = parse_code(code)
    assert parsed
    assert word in parsed.subsystem


def test_the_subsystem_of_a_manufacturers_code_is_not_public() -> None:
    parsed = parse_code("P1300")
    assert parsed
    assert parsed.subsystem == ""


@pytest.mark.parametrize(
    "text",
    ["", "P", "P012", "P01280", "p0128", "P4128", "X0128", "P012G", "P0128 ", " P0128", "P0128\n", "P０128", "Р0128"],
)
def test_what_is_no_code(text: str) -> None:
    assert parse_code(text) is None


@given(st.text(string.printable, max_size=6))
def test_only_the_form_of_the_standard_is_taken(text: str) -> None:
    right = (
        len(text) == 5
        and text[0] in "PCBU"
        and text[1] in "0123"
        and all(char in "0123456789ABCDEF" for char in text[2:])
    )
    assert (parse_code(text) is not None) == right
