"""Rules about texts."""

from typing import Final

from builder.format.rules.rule import FUSE, rule
from builder.format.worked import OTHER_PATH
from builder.read.findings import WARNING

TEXTS: Final = (
    rule(
        "bad-link",
        "A link leads to a step, a file or a playbook of the library, or openly to the web.",
        "do: Put it back where [you listened](#hear).",
        "do: Put it back where [you listened](#listen).",
        FUSE,
    ),
    rule(
        "no-alt",
        "A picture says in words what it shows.",
        "do: Measure across it. ![](fuse.txt)",
        "do: Measure across it. [The fuses](#listen)",
        FUSE,
        beside=frozenset({"bad-link"}),
    ),
    rule(
        "raw-html",
        "Text is Markdown, without HTML.",
        "do: Measure <b>across</b> it.",
        "do: Measure **across** it.",
        FUSE,
    ),
    rule(
        "hidden-text",
        "All that is written in Markdown can be read on the page.",
        'do: Measure [across it](#listen "Lever pulled").',
        "do: Measure [across it](#listen), lever pulled.",
        FUSE,
    ),
    rule(
        "signal-word",
        "No text begins with a signal word in capitals, or with its symbol: these stand on the site's own panels only.",
        "title: CAUTION! Check the fuse",
        "title: Check the fuse",
        FUSE,
    ),
    rule(
        "piled-marks",
        "No text piles marks upon its letters, or draws signs around them.",
        "title: Check the fuse!\u20e4",
        "title: Check the fuse!",
        FUSE,
    ),
    rule(
        "draft-text",
        "No text is left as the draft had it.",
        "do: How to do it, and what is good and what is bad.",
        "do: Measure across it.",
        FUSE,
        severity=WARNING,
    ),
    rule(
        "unfinished",
        "No mark says that something is missing.",
        "do: Measure across it. TODO what is good?",
        "do: Measure across it.",
        FUSE,
        severity=WARNING,
    ),
    rule(
        "same-words",
        "What the results of a step say sets them apart.",
        """
        cracked: {expect: A clean edge, chance: {blade: 60%, otherwise: 20%}, next: wipe-the-glass}
        whole: {expect: A clean edge., chance: rest, next: wipe-the-glass}
        """,
        """
        cracked: {expect: A crack, chance: {blade: 60%, otherwise: 20%}, next: wipe-the-glass}
        whole: {expect: A clean edge, chance: rest, next: wipe-the-glass}
        """,
        ("steps", "look-at-blades", "results"),
        file=OTHER_PATH,
        severity=WARNING,
    ),
)
