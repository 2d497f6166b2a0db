"""Trouble codes: what the structure of a code says, by SAE J2012 and ISO 15031-6.

The structure is letter, controlling digit, subsystem digit and two digits for the fault. What a single
manufacturer-controlled code means is not public; the workshop manual says it.
"""

import re
from dataclasses import dataclass
from typing import Final, Literal

from builder.read.grammar import CODE

FORM: Final = re.compile(rf"{CODE}\Z")

Control = Literal["standard", "manufacturer", "reserved"]

SYSTEMS: Final = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}

# Who controls the code, by letter and second character; P3 is split by the third (SAE J2012, table 1).
CONTROLS: Final[dict[str, Control]] = {
    "P0": "standard",
    "P1": "manufacturer",
    "P2": "standard",
    "C0": "standard",
    "C1": "manufacturer",
    "C2": "manufacturer",
    "C3": "reserved",
    "B0": "standard",
    "B1": "manufacturer",
    "B2": "manufacturer",
    "B3": "reserved",
    "U0": "standard",
    "U1": "manufacturer",
    "U2": "manufacturer",
    "U3": "reserved",
}

FUEL_AND_AIR: Final = "fuel and air metering"
TRANSMISSION: Final = "transmission"
HYBRID: Final = "hybrid propulsion"

# Subsystem by the first three characters, for the standard powertrain and network codes.
SUBSYSTEMS: Final = {
    "P00": f"{FUEL_AND_AIR} and auxiliary emission controls",
    "P01": FUEL_AND_AIR,
    "P02": f"{FUEL_AND_AIR} (injector circuits)",
    "P03": "ignition system or misfire",
    "P04": "auxiliary emission controls",
    "P05": "vehicle speed, idle control and auxiliary inputs",
    "P06": "control computer and auxiliary outputs",
    "P07": TRANSMISSION,
    "P08": TRANSMISSION,
    "P09": TRANSMISSION,
    "P0A": HYBRID,
    "P0B": HYBRID,
    "P0C": HYBRID,
    "P20": f"{FUEL_AND_AIR} and auxiliary emission controls",
    "P21": f"{FUEL_AND_AIR} and auxiliary emission controls",
    "P22": f"{FUEL_AND_AIR} and auxiliary emission controls",
    "P23": "ignition system or misfire",
    "P24": "auxiliary emission controls",
    "P25": "auxiliary inputs",
    "P26": "control computer and auxiliary outputs",
    "P27": TRANSMISSION,
    "P2A": f"{FUEL_AND_AIR} and auxiliary emission controls",
    "P34": "cylinder deactivation",
    "U00": "network electrical",
    "U01": "network communication",
    "U02": "network communication",
    "U03": "network software",
    "U04": "network data",
}


@dataclass(frozen=True, slots=True)
class TroubleCode:
    """What the structure of a code says. ``subsystem`` is empty where the standard assigns none by digit."""

    code: str
    system: str
    control: Control
    subsystem: str


def bad_code_text(code: str) -> tuple[str, str]:
    """What is wrong with a text that is no trouble code, and how to mend it."""
    hint = "a code is P, C, B or U, a digit 0-3 and three of 0-9, A-F in capitals, e.g. `P0128`"
    return f"`{code}` is not a trouble code", hint


def parse_code(code: str) -> TroubleCode | None:
    """The parts of a trouble code such as ``P0128``; ``None`` where it does not have the standard's form."""
    if not FORM.match(code):
        return None
    head = code[:2]
    if head == "P3":
        # P3000 to P33FF belong to manufacturers, P3400 to P3FFF to the standard.
        control: Control = "manufacturer" if code[2] in "0123" else "standard"
    else:
        control = CONTROLS[head]
    subsystem = SUBSYSTEMS.get(code[:3], "") if control == "standard" else ""
    return TroubleCode(code, SYSTEMS[code[0]], control, subsystem)
