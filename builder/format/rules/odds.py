"""Rules about shares, chances and time."""

from typing import Final

from builder.format.rules.rule import FUSE_SEEN, rule
from builder.read.findings import WARNING

ODDS: Final = (
    rule(
        "share-sum",
        "The shares of the causes add up to 100 % at most.",
        "nozzle: {name: Blocked nozzles, share: 75%}",
        "nozzle: {name: Blocked nozzles, share: 45%}",
        ("causes",),
    ),
    rule(
        "share-partial",
        "Every cause has a share, or none has.",
        "pump: {name: Dead washer pump}",
        "pump: {name: Dead washer pump, share: 32%}",
        ("causes",),
    ),
    rule(
        "chance-partial",
        "Every result of a step has a chance, or none has.",
        "sound: {expect: Continuity, next: measure-at-pump}",
        "sound: {expect: Continuity, chance: rest, next: measure-at-pump}",
        FUSE_SEEN,
    ),
    rule(
        "chance-otherwise",
        "A chance by cause speaks to every cause.",
        "blown: {expect: No continuity, chance: {fuse: 99%}, next: new-fuse}",
        "blown: {expect: No continuity, chance: {fuse: 99%, otherwise: 1%}, next: new-fuse}",
        FUSE_SEEN,
    ),
    rule(
        "chance-sum",
        "Under each cause, the chances of a step add up to 100 %.",
        "sound: {expect: Continuity, chance: 80%, next: measure-at-pump}",
        "sound: {expect: Continuity, chance: {fuse: 1%, otherwise: 99%}, next: measure-at-pump}",
        FUSE_SEEN,
    ),
    rule(
        "unlisted-large",
        "At most a quarter of the cases has a cause that the playbook does not name.",
        "nozzle: {name: Blocked nozzles, share: 25%}",
        "nozzle: {name: Blocked nozzles, share: 45%}",
        ("causes",),
        severity=WARNING,
    ),
    rule(
        "prove-never",
        "A fault that can be proven gone shows now and then.",
        "prove: {trial: ten pulls of the lever, shows: 0%}",
        "prove: {trial: ten pulls of the lever, shows: 90%}",
        ("endings", "new-fuse"),
    ),
    rule(
        "no-time",
        "A step says how long it takes.",
        """
        listen:
          title: Listen for the pump
          results:
            hums: {expect: It hums, chance: {nozzle: 98%, otherwise: 8%}, next: clear-nozzles}
            silent: {expect: Not a sound, chance: rest, next: check-fuse}
        """,
        """
        listen:
          title: Listen for the pump
          time: 2 min
          results:
            hums: {expect: It hums, chance: {nozzle: 98%, otherwise: 8%}, next: clear-nozzles}
            silent: {expect: Not a sound, chance: rest, next: check-fuse}
        """,
        ("steps",),
        severity=WARNING,
    ),
    rule(
        "long-work",
        "Hands-on work of more than a day is seldom meant; `accept` answers where it is.",
        "time: 12 h",
        """
        time: 12 h
        accept: {long-work: The whole dash comes out.}
        """,
        ("endings", "new-pump"),
        severity=WARNING,
    ),
    rule(
        "dear-price",
        "A price of ten times the usual one of the catalogue is seldom meant; `accept` answers where it is.",
        "washer-pump: {name: Washer pump, price: 1200-2800}",
        "washer-pump: {name: Washer pump, price: 12-28}",
        file="catalogue/parts.yaml",
        severity=WARNING,
    ),
)
