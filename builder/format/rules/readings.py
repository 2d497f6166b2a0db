"""Rules about readings and their ranges."""

from typing import Final

from builder.format.rules.rule import MEASURED, rule

READINGS: Final = (
    rule(
        "range-alone",
        "A step that measures says what, and each of its results its range.",
        "supplied: {expect: More than 11 V, range: above 11, chance: {pump: 97%, otherwise: 10%}, next: new-pump}",
        "supplied: {expect: More than 11 V, chance: {pump: 97%, otherwise: 10%}, next: new-pump}",
        MEASURED,
    ),
    rule(
        "range-gap",
        "The ranges of a reading leave no gap and do not overlap.",
        """
        reading: {of: Voltage at the plug, unit: V}
        results:
          supplied:
            expect: More than 11 V
            range: above 11
            chance: {pump: 97%, otherwise: 10%}
            next: new-pump
          dead: {expect: Nothing or a few volts, range: below 8, chance: rest, next: hand-over}
        """,
        """
        reading: {of: Voltage at the plug, unit: V}
        results:
          supplied:
            expect: More than 11 V
            range: above 11
            chance: {pump: 97%, otherwise: 10%}
            next: new-pump
          dead: {expect: Nothing or a few volts, range: below 11, chance: rest, next: hand-over}
        """,
        ("steps", "measure-at-pump"),
    ),
)
