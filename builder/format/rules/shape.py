"""Rules about keys, values and notation."""

from typing import Final

from builder.format.rules.rule import FUSE, HEARD, rule
from builder.read.findings import WARNING

SHAPE: Final = (
    rule(
        "missing-key",
        "What is required is there.",
        "buzzes: {chance: 1%, next: clear-nozzles}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
    ),
    rule("new-format", "A file is in a format that this Droplight reads.", "format: 2", "format: 1"),
    rule(
        "unknown-key",
        "Every key is one that the format knows.",
        "tool: [multimeter]",
        "tools: [multimeter]",
        FUSE,
    ),
    rule(
        "shape",
        "A list is a list, a mapping a mapping, and text is text.",
        "tools: multimeter",
        "tools: [multimeter]",
        FUSE,
    ),
    rule(
        "notation",
        "Money, time, percentages, names and choices are in the notation.",
        "time: 5\ncost: 3 EUR\nwho: me",
        "time: 5 min\ncost: 3\nwho: owner",
        FUSE,
    ),
    rule(
        "edit-url",
        "The address for editing says where the path of a playbook's file belongs.",
        "edit_url: https://example.org/edit/",
        "edit_url: https://example.org/edit/{path}",
        file="library.yaml",
    ),
    rule(
        "bad-code",
        "A trouble code has the form of SAE J2012.",
        "codes: [b133]",
        "codes: [B1330]",
        ("symptom",),
    ),
    rule(
        "too-long",
        "A text and a name are no longer than their limits.",
        """
        title: >
          Nothing comes out of the nozzles, whatever I do.
        """,
        "title: Nothing comes out of the nozzles",
        times=30,
    ),
    rule(
        "too-many",
        "Nothing is there more often than its limit.",
        """
        codes:
          - P0128
        """,
        "codes: [P0128]",
        ("symptom",),
        times=51,
    ),
    rule(
        "flowchart-left-out",
        "The lines of a flowchart pass so few places that it can be laid out and read.",
        """
        start: s1
        endings:
          new-fuse: {title: Fit a new fuse, settles: all, time: 5 min}
        steps:
          s31: {title: Look, time: 1 min, results: {seen: {expect: It is dark, next: new-fuse}}}
          s{n}: {title: Look, time: 1 min, results: {no: {expect: Dark, next: new-fuse}, yes: {expect: On, next: s{m}}}}
        """,
        "start: listen",
        times=30,
        severity=WARNING,
        beside=frozenset({"unused-entry"}),
    ),
)
