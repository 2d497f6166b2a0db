"""What the generic trouble codes of the demo library mean, by the published list.

Source: the generic codes of SAE J2012 as carried by the package ``obd`` (``obd.codes.DTC``), a general library for
reading vehicle data. For each code that it knows, a word of the published meaning (typed here) must stand in the
meaning and be what the playbook is about. Chassis codes are not in that list: their structure is checked alone.
"""

import pytest
from obd.codes import DTC

from builder.publish.data.terms import stems_of
from builder.read.codes import parse_code
from tests.demo import demo_library

# A word of the published meaning, and a word by which a playbook that starts from the code must speak of the same.
SAYS = {
    "P0016": ("Crankshaft Position - Camshaft Position", "camshaft"),
    "P0101": ("Mass or Volume Air Flow", "air mass"),
    "P0128": ("Coolant Thermostat", "thermostat"),
    "P0171": ("Too Lean", "lean"),
    "P0217": ("Over Temperature", "gauge"),
    "P0230": ("Fuel Pump", "fuel pump"),
    "P0300": ("Misfire", "misfire"),
    "P0301": ("Cylinder 1 Misfire", "cylinder"),
    "P0302": ("Cylinder 2 Misfire", "cylinder"),
    "P0303": ("Cylinder 3 Misfire", "cylinder"),
    "P0304": ("Cylinder 4 Misfire", "cylinder"),
    "P0335": ("Crankshaft Position Sensor", "crankshaft sensor"),
    "P0480": ("Fan 1 Control", "fan"),
    "P0562": ("System Voltage Low", "battery"),
    "U0121": ("Anti-Lock Brake System", "abs"),
}

# Words of the published list that say where or how a code is set, not what is wrong.
NOTHING = ["a bank 1 circuit range performance detected condition multiple volume or primary with control lost"]


def uses():
    library = demo_library()
    return [(code, playbook) for playbook in library.playbooks.values() for code in playbook.symptom.codes]


USES = uses()


def test_every_generic_code_of_the_demo_is_checked_here():
    known = {code for code, _ in USES if code in DTC}
    assert known == SAYS.keys()


@pytest.mark.parametrize(("code", "playbook"), USES, ids=[f"{code}-{playbook.slug}" for code, playbook in USES])
def test_a_playbook_is_about_what_its_code_means(code, playbook):
    parsed = parse_code(code)
    assert parsed is not None
    assert parsed.control == "standard"
    if code in DTC:
        meaning, about = SAYS[code]
        assert meaning.casefold() in DTC[code].casefold()
        assert about in playbook.model_dump_json(exclude={"slug"}).casefold()
    else:
        # The list carries no chassis codes; C0035 to C0050 are those of the wheel speed sensors (from memory).
        assert parsed.system == "chassis"


def test_the_library_says_of_every_code_of_its_playbooks_what_it_means() -> None:
    library = demo_library()
    assert library.catalogue.codes.keys() == {code for code, _ in USES}
    for code, meaning in library.catalogue.codes.items():
        assert meaning.source, code
        if code not in DTC:
            assert "from memory" in meaning.source


@pytest.mark.parametrize("code", sorted(SAYS))
def test_what_the_library_says_of_a_code_shares_its_main_words_with_the_published_meaning(code: str) -> None:
    """At least half of the published words, those that say nothing of the fault left out."""
    library = demo_library()
    stems = [set(stems_of([text], "en").values()) for text in (DTC[code], library.catalogue.codes[code].means)]
    published = stems[0] - set(stems_of(NOTHING, "en").values())
    assert len(published & stems[1]) >= len(published) / 2, (published, stems[1])


@pytest.mark.parametrize(
    ("words", "subsystem"),
    [
        ("misfire", "ignition system or misfire"),
        ("transmission", "transmission"),
        ("idle", "vehicle speed, idle control and auxiliary inputs"),
    ],
)
def test_the_structure_agrees_with_what_most_of_the_published_codes_of_a_subsystem_say(words, subsystem):
    about = [code for code, meaning in DTC.items() if words in meaning.casefold() and code.startswith("P0")]
    agreeing = [code for code in about if (parsed := parse_code(code)) and parsed.subsystem == subsystem]
    assert len(about) >= 3
    assert len(agreeing) > len(about) / 2
