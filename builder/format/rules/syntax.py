"""Rules about YAML."""

from typing import Final

from builder.format.rules.rule import FUSE, HEARD, rule
from builder.read.findings import WARNING

YAML: Final = (
    rule(
        "torn-text",
        "A text within braces has its commas in quotes.",
        "buzzes: {expect: It buzzes, softly, chance: 1%, next: clear-nozzles}",
        'buzzes: {expect: "It buzzes, softly", chance: 1%, next: clear-nozzles}',
        HEARD,
    ),
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
        "cut-text",
        "A `#` behind a space ends a text; what follows is on no page.",
        "title: Check fuse #14",
        "title: 'Check fuse #14'",
        FUSE,
    ),
    rule(
        "comment-behind",
        "A comment stands on a line of its own, not behind a text, of which a reader takes it for a part.",
        "title: Check the fuse  # the one in the footwell",
        "title: Check the fuse in the footwell",
        FUSE,
        severity=WARNING,
    ),
    rule(
        "swallowed-line",
        "A text swallows no line that was meant as an entry of its own, by quotes that do not close or by indentation.",
        """
        do: "Ignition off.
        tools: [multimeter]
        cost: "
        """,
        """
        do: "Ignition off."
        tools: [multimeter]
        cost: 0
        """,
        ("steps", "listen"),
    ),
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
