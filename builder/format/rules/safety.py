"""Rules about what can hurt."""

from typing import Final

from builder.format.rules.rule import rule
from builder.format.worked import CHECKS_PATH
from builder.read.findings import WARNING

SAFETY: Final = (
    rule(
        "hazard-word",
        "A text that speaks of a danger names the hazard, or says why it does not apply.",
        "do: Raise the car and measure.",
        "do: Raise the car and measure.\nhazards: [lifting]",
        ("steps", "measure-at-pump"),
    ),
    rule(
        "hazard-implied",
        "Where work in an area implies a hazard, every step and every ending names it, or says why it does not apply.",
        "electrics: {title: Electrics, implies: [washer-fluid]}",
        "electrics: {title: Electrics, implies: []}",
        ("areas",),
        file="library.yaml",
    ),
    rule(
        "hazard-dropped",
        "A step that takes a common check takes its hazards too, or says why they do not apply where it only looks.",
        "hazards: [washer-fluid]",
        "hazards: []",
        ("fuse-wire",),
        file=CHECKS_PATH,
    ),
    rule(
        "no-hazard-words",
        "Hazard words are built in for the language of the library; without them, hazards are found in English only.",
        "language: fr",
        "language: de",
        file="library.yaml",
        severity=WARNING,
    ),
    rule(
        "hazard-denied",
        "A hazard is named or denied, not both.",
        "hazards: [washer-fluid]\nno_hazards: {washer-fluid: It is only water.}",
        "hazards: [washer-fluid]",
        ("endings", "new-pump"),
    ),
    rule(
        "signal-weaker",
        "The signal words of `timing` and `lifting` may be made stronger, not weaker.",
        "lifting: {signal: notice}",
        "lifting: {signal: danger}",
        file="catalogue/hazards.yaml",
    ),
)
