"""Rules about names of things and addresses."""

from typing import Final

from builder.format.rules.rule import FUSE, WIPED, rule
from builder.format.worked import BEST_PATH, CHECKS_PATH, OTHER_PATH
from builder.read.findings import WARNING

NAMES: Final = (
    rule("unknown-tool", "A tool is in the catalogue.", "tools: [multimetre]", "tools: [multimeter]", FUSE),
    rule(
        "unknown-part",
        "A part is in the catalogue.",
        "parts: [washer-pump, fuse]",
        "parts: [washer-pump, blade-fuse]",
        ("endings", "new-pump"),
    ),
    rule(
        "unknown-access",
        "An access job is in the catalogue.",
        "access: [bumper]",
        "access: [bumper-flap]",
        ("endings", "new-pump"),
    ),
    rule(
        "unknown-hazard",
        "A hazard is in the catalogue.",
        "hazards: [fluid]",
        "hazards: [washer-fluid]",
        ("endings", "new-pump"),
    ),
    rule(
        "unknown-check",
        "A common check is in the catalogue.",
        "check: fuse-wires",
        "check: fuse-wire",
        ("steps", "look-at-fuse"),
        file=BEST_PATH,
    ),
    rule(
        "check-results",
        "A step gives each result of its common check a chance, and none besides.",
        """
        burnt: {expect: It is brown, chance: {fuse: 98%, otherwise: 1%}}
        blown: {chance: 0%}
        whole: {chance: rest}
        """,
        """
        blown: {chance: {fuse: 98%, otherwise: 1%}}
        whole: {chance: rest}
        """,
        ("steps", "look-at-fuse", "results"),
        file=BEST_PATH,
    ),
    rule(
        "car-fact-costs",
        "A check about the car costs nothing.",
        "about: car\ntime: 5 min",
        "about: car\ntime: 0",
        ("fuse-wire",),
        file=CHECKS_PATH,
    ),
    rule(
        "unknown-cause",
        "A cause is one of the playbook's own.",
        "settles: [pumps]",
        "settles: [pump]",
        ("endings", "new-pump"),
    ),
    rule(
        "unknown-playbook",
        "A hand-over leads to a playbook of the library.",
        "dry: {expect: No water comes, chance: 1%, next: {playbook: washer}}",
        "dry: {expect: No water comes, chance: 1%, next: {playbook: washer-sprays-nothing}}",
        WIPED,
        file=OTHER_PATH,
    ),
    rule(
        "unused-entry",
        "What stands in the catalogue is named by a playbook.",
        "torch: {name: Torch, price: 10-20}",
        "multimeter: {name: Multimeter, price: 25}",
        file="catalogue/tools.yaml",
        severity=WARNING,
    ),
    rule(
        "named-twice",
        "A step names a tool, an access job and a hazard once.",
        "tools: [multimeter, multimeter]",
        "tools: [multimeter]",
        FUSE,
        severity=WARNING,
    ),
    rule(
        "accept-idle",
        "What is accepted is a warning that there is.",
        "accept: {no-time: It takes no time.}",
        "time: 5-10 min",
        FUSE,
        severity=WARNING,
    ),
)
