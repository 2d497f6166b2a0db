"""Rules about what only the numbers show."""

from typing import Final

from builder.format.rules.rule import HEARD, rule
from builder.format.worked import BEST_PATH, OTHER_PATH
from builder.read.findings import WARNING

ADVICE: Final = (
    rule(
        "cause-unsettled",
        "Some ending puts each cause right.",
        "settles: []",
        "settles: [nozzle]",
        ("endings", "clear-nozzles"),
        severity=WARNING,
    ),
    rule(
        "ending-mostly-wrong",
        "A repair is right in at least half of the cases that come to it.",
        "hums: {expect: It hums, chance: {nozzle: 10%, otherwise: 60%}, next: clear-nozzles}",
        "hums: {expect: It hums, chance: {nozzle: 98%, otherwise: 8%}, next: clear-nozzles}",
        HEARD,
        severity=WARNING,
        beside=frozenset({"dear-order", "dear-playbook"}),
    ),
    rule(
        "result-never",
        "Every result can come up under some cause.",
        "buzzes: {expect: It buzzes, chance: 0%, next: clear-nozzles}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
        severity=WARNING,
    ),
    rule(
        "step-tells-nothing",
        "The results of a step change the odds, or lead to different places.",
        "cracked: {expect: A crack, chance: 40%, next: wipe-the-glass}",
        "cracked: {expect: A crack, chance: {blade: 60%, otherwise: 20%}, next: wipe-the-glass}",
        ("steps", "look-at-blades", "results"),
        file=OTHER_PATH,
        severity=WARNING,
    ),
    rule(
        "dear-order",
        "No other order of the steps costs much less in the end.",
        "cost: 40",
        "cost: 0",
        ("steps", "look-at-blades"),
        file=OTHER_PATH,
        severity=WARNING,
    ),
    rule(
        "dear-playbook",
        "Following the playbook costs no more in the end than handing over at once.",
        "cost: 400",
        "cost: 0",
        ("steps", "look-at-blades"),
        file=OTHER_PATH,
        severity=WARNING,
        beside=frozenset({"dear-order"}),
    ),
    rule(
        "no-order",
        "An order that is worked out needs shares and chances, and a place for every step and ending.",
        "causes: {fuse: {name: Blown fuse}, horn: {name: Dead horn}}",
        "causes: {fuse: {name: Blown fuse, share: 30%}, horn: {name: Dead horn, share: 65%}}",
        file=BEST_PATH,
    ),
)
