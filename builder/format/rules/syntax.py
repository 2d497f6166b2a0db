"""Rules about YAML."""

from typing import Final

from builder.format.rules.rule import FUSE, HEARD, rule

YAML: Final = (
    rule("syntax", "A file is YAML.", "title: Washer: no water", 'title: "Washer: no water"'),
    rule(
        "duplicate-key",
        "A key stands once in its mapping.",
        "time: 2 min\ntime: 5 min",
        "time: 2-5 min",
        ("steps", "listen"),
    ),
    rule(
        "odd-key",
        "A key is plain text.",
        "[hums, buzzes]: {expect: It hums or buzzes, chance: 1%, next: clear-nozzles}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
    ),
    rule("anchor", "Values are written out.", "time: &short 2 min", "time: 2 min", ("steps", "listen")),
    rule("alias", "Values are written out.", "time: *short", "time: 2 min", ("steps", "listen")),
    rule("tag", "Every value is text.", "time: !!str 2 min", "time: 2 min", ("steps", "listen")),
    rule(
        "many-documents",
        "A file holds one document.",
        """
        title: Washer sprays nothing
        ---
        title: Wipers smear
        """,
        "title: Washer sprays nothing",
    ),
    rule(
        "too-deep",
        "A file is nested no deeper than a playbook needs.",
        f"tools: {'[' * 40}multimeter{']' * 40}",
        "tools: [multimeter]",
        FUSE,
        beside=frozenset({"notation"}),
    ),
)
