"""Rules about the way through a playbook."""

from typing import Final

from builder.format.rules.rule import FUSE, HEARD, MEASURED, rule
from builder.format.worked import BEST_PATH
from builder.read.findings import WARNING

WAY: Final = (
    rule(
        "unknown-next",
        "What comes next is a step or an ending of the same playbook.",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzle}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
    ),
    rule(
        "unknown-after",
        "What must have been done before is a step of the same playbook.",
        "after: [lissen]",
        "after: [listen]",
        FUSE,
    ),
    rule(
        "not-after",
        "Every way to a step leads through what must have been done before it.",
        "after: [check-fuse]",
        "after: [listen]",
        ("endings", "clear-nozzles"),
    ),
    rule(
        "order-written",
        "A playbook has `order: best`, or a start and what comes next; not both.",
        "order: best",
        "start: listen",
        beside=frozenset({"order-written"}),
    ),
    rule(
        "no-way-out",
        "An order that is worked out can stop: some ending hands over.",
        "hand-over: {title: Have it renewed, settles: [horn], who: shop, time: 1 h}",
        "hand-over: {title: Hand over to a professional, who: shop, time: 1 h}",
        ("endings",),
        file=BEST_PATH,
    ),
    rule(
        "name-twice",
        "A name is a step or an ending, not both.",
        "listen: {title: Leave it, time: 0}",
        "hand-over: {title: Leave it, time: 0}",
        ("endings",),
    ),
    rule(
        "circle",
        "No step leads back to itself.",
        "unsure: {expect: It jumps about, chance: 1%, next: check-fuse}",
        "unsure: {expect: It jumps about, chance: 1%, next: hand-over}",
        MEASURED,
    ),
    rule(
        "unreachable",
        "Every step and every ending can be reached.",
        "supplied: {expect: More than 11 V, chance: rest, next: hand-over}\n"
        "dead: {expect: Nothing, chance: {pump: 3%, otherwise: 90%}, next: hand-over}",
        "supplied: {expect: More than 11 V, chance: rest, next: new-pump}\n"
        "dead: {expect: Nothing, chance: {pump: 3%, otherwise: 90%}, next: hand-over}",
        MEASURED,
    ),
    rule(
        "handover-ring",
        "Hand-overs do not send an owner round in a ring: here the other playbook hands over to this one.",
        "smears: {expect: It smears, chance: 1%, next: {playbook: wipers-smear}}",
        "smears: {expect: It smears, chance: 1%, next: clear-nozzles}",
        HEARD,
        severity=WARNING,
    ),
)
