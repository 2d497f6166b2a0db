"""Rules about keys, values and notation."""

from typing import Final

from builder.format.rules.rule import FUSE, HEARD, rule

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
)
