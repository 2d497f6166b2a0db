"""The rules: every id that a finding may have, what it means, and an example of wrong and right.

The examples are changes to the library of :mod:`builder.format.worked`, so that each can be tried.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from textwrap import dedent, indent
from typing import Final

from builder.format.worked import BEST_PATH, CHECKS_PATH, OTHER_PATH, PATH, SLUG
from builder.read.findings import ERROR, WARNING, Severity

HEARD: Final = ("steps", "listen", "results")
MEASURED: Final = ("steps", "measure-at-pump", "results")
FUSE: Final = ("steps", "check-fuse")
FUSE_SEEN: Final = (*FUSE, "results")
WIPED: Final = ("steps", "wipe-the-glass", "results")


@dataclass(frozen=True, slots=True)
class Example:
    """A change to the worked library.

    ``text`` takes the place of the same keys of the mapping at ``at`` in ``file``. Without a file it lists the files
    of a library, one a line: ``path``, ``path/`` for a folder, ``path -> target`` for a symbolic link and
    ``path (empty)``. The last line stands ``times`` times; the file is saved in ``encoding``.
    """

    text: str
    file: str = PATH
    at: tuple[str, ...] = ()
    times: int = 1
    encoding: str = "utf-8"

    @property
    def shown(self) -> str:
        """The text below the keys that lead to it."""
        lines = [f"{'  ' * depth}{key}:\n" for depth, key in enumerate(self.at)]
        return "".join(lines) + indent(self.text, "  " * len(self.at))


@dataclass(frozen=True, slots=True)
class Rule:
    """``beside`` are rules whose findings the wrong example gives as well, since the value is lost to them."""

    name: str
    severity: Severity
    says: str
    wrong: Example
    right: Example
    beside: frozenset[str] = frozenset()


def _rule(
    name: str,
    says: str,
    wrong: str,
    right: str,
    at: tuple[str, ...] = (),
    *,
    file: str = PATH,
    severity: Severity = ERROR,
    times: int = 1,
    encoding: str = "utf-8",
    beside: frozenset[str] = frozenset(),
) -> Rule:
    """A rule whose two examples stand at the same place; ``times`` and ``encoding`` are what is wrong with one."""
    first = Example(_lines(wrong), file, at, times, encoding)
    return Rule(name, severity, says, first, Example(_lines(right), file, at), beside)


def _lines(text: str) -> str:
    return dedent(text).strip("\n") + "\n"


def _files(name: str, says: str, wrong: str, right: str) -> Rule:
    """A rule about which files there are."""
    return _rule(name, says, f"library.yaml\n{wrong}", f"library.yaml\n{right}", file="")


FILES: Final = (
    _rule(
        "no-settings",
        "A library has a file of settings.",
        PATH,
        f"library.yaml\n{PATH}",
        file="",
    ),
    _files("no-area", "A folder with playbooks is an area that the settings name.", f"electric/{SLUG}.yaml", PATH),
    _files(
        "stray-file",
        "A YAML file is a playbook in the folder of an area, or one of the four files of the catalogue.",
        f"{PATH}\nnotes.yaml",
        f"{PATH}\nnotes.txt",
    ),
    _files(
        "bad-slug",
        "The name of a playbook's file is its address: small letters, digits and hyphens.",
        "electrics/Washer_Sprays_Nothing.yaml",
        PATH,
    ),
    _files(
        "slug-twice",
        "A slug stands once in the whole library.",
        f"{PATH}\nstarting/{SLUG}.yaml",
        f"{PATH}\nstarting/washer-drains-battery.yaml",
    ),
    _rule(
        "was-taken",
        "An old slug leads to one playbook, and is the slug of none.",
        "was: [wipers-smear]",
        "was: [washer-dead]",
    ),
    _files("empty-file", "A file says something.", f"{PATH}\nelectrics/horn-is-mute.yaml (empty)", PATH),
    _files("not-a-file", "What has the name of a playbook is a file.", f"{PATH}/", PATH),
    _files("broken-link", "A symbolic link leads to a file.", f"{PATH} -> gone.yaml", PATH),
    _files("link-outside", "A symbolic link stays within the library.", f"{PATH} -> ../../elsewhere.yaml", PATH),
    _rule(
        "too-big",
        "A file has at most a million bytes.",
        "do: |\n  Pull the lever and listen, pull the lever and listen.",
        "do: |\n  Pull the lever and listen, pull the lever and listen.",
        ("steps", "listen"),
        times=20_000,
    ),
    _rule(
        "not-utf8",
        "A file is UTF-8 text.",
        "conditions: [below 0 °C]",
        "conditions: [below 0 °C]",
        ("symptom",),
        encoding="latin-1",
    ),
    _rule(
        "control-character",
        "A file holds no control characters; they do not show, and one cannot judge what one does not see.",
        "title: Washer sprays\a nothing",
        "title: Washer sprays nothing",
    ),
    _rule(
        "bidi-control",
        "A file holds no characters that turn the direction of writing; they make text look other than it is.",
        "title: Washer sprays \u202egnihton",
        "title: Washer sprays nothing",
    ),
    _rule("tab", "A file is indented with spaces.", "title:\tWasher sprays nothing", "title: Washer sprays nothing"),
)

YAML: Final = (
    _rule("syntax", "A file is YAML.", "title: Washer: no water", 'title: "Washer: no water"'),
    _rule(
        "duplicate-key",
        "A key stands once in its mapping.",
        "time: 2 min\ntime: 5 min",
        "time: 2-5 min",
        ("steps", "listen"),
    ),
    _rule(
        "odd-key",
        "A key is plain text.",
        "[hums, buzzes]: {expect: It hums or buzzes, chance: 1%, next: clear-nozzles}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
    ),
    _rule("anchor", "Values are written out.", "time: &short 2 min", "time: 2 min", ("steps", "listen")),
    _rule("alias", "Values are written out.", "time: *short", "time: 2 min", ("steps", "listen")),
    _rule("tag", "Every value is text.", "time: !!str 2 min", "time: 2 min", ("steps", "listen")),
    _rule(
        "many-documents",
        "A file holds one document.",
        """
        title: Washer sprays nothing
        ---
        title: Wipers smear
        """,
        "title: Washer sprays nothing",
    ),
    _rule(
        "too-deep",
        "A file is nested no deeper than a playbook needs.",
        f"tools: {'[' * 40}multimeter{']' * 40}",
        "tools: [multimeter]",
        FUSE,
        beside=frozenset({"notation"}),
    ),
)

SHAPE: Final = (
    _rule(
        "missing-key",
        "What is required is there.",
        "buzzes: {chance: 1%, next: clear-nozzles}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
    ),
    _rule(
        "unknown-key",
        "Every key is one that the format knows.",
        "tool: [multimeter]",
        "tools: [multimeter]",
        FUSE,
    ),
    _rule(
        "shape",
        "A list is a list, a mapping a mapping, and text is text.",
        "tools: multimeter",
        "tools: [multimeter]",
        FUSE,
    ),
    _rule(
        "notation",
        "Money, time, percentages, names and choices are in the notation.",
        "time: 5\ncost: 3 EUR\nwho: me",
        "time: 5 min\ncost: 3\nwho: owner",
        FUSE,
    ),
    _rule(
        "edit-url",
        "The address for editing says where the path of a playbook's file belongs.",
        "edit_url: https://example.org/edit/",
        "edit_url: https://example.org/edit/{path}",
        file="library.yaml",
    ),
    _rule(
        "bad-code",
        "A trouble code has the form of SAE J2012.",
        "codes: [b133]",
        "codes: [B1330]",
        ("symptom",),
    ),
)

READINGS: Final = (
    _rule(
        "range-alone",
        "A step that measures says what, and each of its results its range.",
        "supplied: {expect: More than 11 V, range: above 11, chance: {pump: 97%, otherwise: 10%}, next: new-pump}",
        "supplied: {expect: More than 11 V, chance: {pump: 97%, otherwise: 10%}, next: new-pump}",
        MEASURED,
    ),
    _rule(
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

NAMES: Final = (
    _rule("unknown-tool", "A tool is in the catalogue.", "tools: [multimetre]", "tools: [multimeter]", FUSE),
    _rule(
        "unknown-part",
        "A part is in the catalogue.",
        "parts: [washer-pump, fuse]",
        "parts: [washer-pump, blade-fuse]",
        ("endings", "new-pump"),
    ),
    _rule(
        "unknown-access",
        "An access job is in the catalogue.",
        "access: [bumper]",
        "access: [bumper-flap]",
        ("endings", "new-pump"),
    ),
    _rule(
        "unknown-hazard",
        "A hazard is in the catalogue.",
        "hazards: [fluid]",
        "hazards: [washer-fluid]",
        ("endings", "new-pump"),
    ),
    _rule(
        "unknown-check",
        "A common check is in the catalogue.",
        "check: fuse-wires",
        "check: fuse-wire",
        ("steps", "look-at-fuse"),
        file=BEST_PATH,
    ),
    _rule(
        "check-results",
        "A step gives each result of its common check a chance, and none besides.",
        """
        burnt: {expect: It is brown, chance: {fuse: 98%, otherwise: 1%}}
        blown: {chance: 0%}
        whole: {chance: rest}
        """,
        """
        blown: {chance: {fuse: 98%, otherwise: 1%}}
        whole: {chance: rest}
        """,
        ("steps", "look-at-fuse", "results"),
        file=BEST_PATH,
    ),
    _rule(
        "car-fact-costs",
        "A check about the car costs nothing.",
        "about: car\ntime: 5 min",
        "about: car\ntime: 0",
        ("fuse-wire",),
        file=CHECKS_PATH,
    ),
    _rule(
        "unknown-cause",
        "A cause is one of the playbook's own.",
        "settles: [pumps]",
        "settles: [pump]",
        ("endings", "new-pump"),
    ),
    _rule(
        "unknown-playbook",
        "A hand-over leads to a playbook of the library.",
        "dry: {expect: No water comes, chance: 1%, next: {playbook: washer}}",
        "dry: {expect: No water comes, chance: 1%, next: {playbook: washer-sprays-nothing}}",
        WIPED,
        file=OTHER_PATH,
    ),
    _rule(
        "unused-entry",
        "What stands in the catalogue is named by a playbook.",
        "torch: {name: Torch, price: 10-20}",
        "multimeter: {name: Multimeter, price: 25}",
        file="catalogue/tools.yaml",
        severity=WARNING,
    ),
)

WAY: Final = (
    _rule(
        "unknown-next",
        "What comes next is a step or an ending of the same playbook.",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzle}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
    ),
    _rule(
        "unknown-after",
        "What must have been done before is a step of the same playbook.",
        "after: [lissen]",
        "after: [listen]",
        FUSE,
    ),
    _rule(
        "not-after",
        "Every way to a step leads through what must have been done before it.",
        "after: [check-fuse]",
        "after: [listen]",
        ("endings", "clear-nozzles"),
    ),
    _rule(
        "order-written",
        "A playbook has `order: best`, or a start and what comes next; not both.",
        "order: best",
        "start: listen",
        beside=frozenset({"order-written"}),
    ),
    _rule(
        "no-way-out",
        "An order that is worked out can stop: some ending hands over.",
        "hand-over: {title: Have it renewed, settles: [contact], who: shop, time: 1 h}",
        "hand-over: {title: Hand over to a professional, who: shop, time: 1 h}",
        ("endings",),
        file=BEST_PATH,
    ),
    _rule(
        "name-twice",
        "A name is a step or an ending, not both.",
        "listen: {title: Leave it, time: 0}",
        "hand-over: {title: Leave it, time: 0}",
        ("endings",),
    ),
    _rule(
        "circle",
        "No step leads back to itself.",
        "unsure: {expect: It jumps about, chance: 1%, next: check-fuse}",
        "unsure: {expect: It jumps about, chance: 1%, next: hand-over}",
        MEASURED,
    ),
    _rule(
        "unreachable",
        "Every step and every ending can be reached.",
        "supplied: {expect: More than 11 V, chance: rest, next: hand-over}\n"
        "dead: {expect: Nothing, chance: {pump: 3%, otherwise: 90%}, next: hand-over}",
        "supplied: {expect: More than 11 V, chance: rest, next: new-pump}\n"
        "dead: {expect: Nothing, chance: {pump: 3%, otherwise: 90%}, next: hand-over}",
        MEASURED,
    ),
    _rule(
        "handover-ring",
        "Hand-overs do not send an owner round in a ring: here the other playbook hands over to this one.",
        "smears: {expect: It smears, chance: 1%, next: {playbook: wipers-smear}}",
        "smears: {expect: It smears, chance: 1%, next: clear-nozzles}",
        HEARD,
        severity=WARNING,
    ),
)

ODDS: Final = (
    _rule(
        "share-sum",
        "The shares of the causes add up to 100 % at most.",
        "nozzle: {name: Blocked nozzles, share: 75%}",
        "nozzle: {name: Blocked nozzles, share: 45%}",
        ("causes",),
    ),
    _rule(
        "share-partial",
        "Every cause has a share, or none has.",
        "pump: {name: Dead washer pump}",
        "pump: {name: Dead washer pump, share: 32%}",
        ("causes",),
    ),
    _rule(
        "chance-partial",
        "Every result of a step has a chance, or none has.",
        "sound: {expect: Continuity, next: measure-at-pump}",
        "sound: {expect: Continuity, chance: rest, next: measure-at-pump}",
        FUSE_SEEN,
    ),
    _rule(
        "chance-otherwise",
        "A chance by cause speaks to every cause.",
        "blown: {expect: No continuity, chance: {fuse: 99%}, next: new-fuse}",
        "blown: {expect: No continuity, chance: {fuse: 99%, otherwise: 1%}, next: new-fuse}",
        FUSE_SEEN,
    ),
    _rule(
        "chance-sum",
        "Under each cause, the chances of a step add up to 100 %.",
        "sound: {expect: Continuity, chance: 80%, next: measure-at-pump}",
        "sound: {expect: Continuity, chance: {fuse: 1%, otherwise: 99%}, next: measure-at-pump}",
        FUSE_SEEN,
    ),
    _rule(
        "unlisted-large",
        "At most a quarter of the cases has a cause that the playbook does not name.",
        "nozzle: {name: Blocked nozzles, share: 25%}",
        "nozzle: {name: Blocked nozzles, share: 45%}",
        ("causes",),
        severity=WARNING,
    ),
    _rule(
        "prove-never",
        "A fault that can be proven gone shows now and then.",
        "prove: {trial: ten pulls of the lever, shows: 0%}",
        "prove: {trial: ten pulls of the lever, shows: 90%}",
        ("endings", "new-fuse"),
    ),
    _rule(
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
)

SAFETY: Final = (
    _rule(
        "hazard-word",
        "A text that speaks of a danger names the hazard, or says why it does not apply.",
        "do: Raise the car and measure.",
        "do: Raise the car and measure.\nhazards: [lifting]",
        ("steps", "measure-at-pump"),
    ),
    _rule(
        "hazard-implied",
        "Where work in an area implies a hazard, every step and every ending names it, or says why it does not apply.",
        "electrics: {title: Electrics, implies: [washer-fluid]}",
        "electrics: {title: Electrics, implies: []}",
        ("areas",),
        file="library.yaml",
    ),
    _rule(
        "no-hazard-words",
        "Hazard words are built in for the language of the library; without them, hazards are found in English only.",
        "language: fr",
        "language: de",
        file="library.yaml",
        severity=WARNING,
    ),
    _rule(
        "hazard-denied",
        "A hazard is named or denied, not both.",
        "hazards: [washer-fluid]\nno_hazards: {washer-fluid: It is only water.}",
        "hazards: [washer-fluid]",
        ("endings", "new-pump"),
    ),
    _rule(
        "signal-weaker",
        "The signal words of `timing` and `lifting` may be made stronger, not weaker.",
        "lifting: {signal: notice}",
        "lifting: {signal: danger}",
        file="catalogue/hazards.yaml",
    ),
)

TEXTS: Final = (
    _rule(
        "bad-link",
        "A link leads to a step, a file or a playbook of the library, or openly to the web.",
        "do: Put it back where [you listened](#hear).",
        "do: Put it back where [you listened](#listen).",
        FUSE,
    ),
    _rule(
        "raw-html",
        "Text is Markdown, without HTML.",
        "do: Measure <b>across</b> it.",
        "do: Measure **across** it.",
        FUSE,
    ),
)

ADVICE: Final = (
    _rule(
        "cause-unsettled",
        "Some ending puts each cause right.",
        "settles: []",
        "settles: [nozzle]",
        ("endings", "clear-nozzles"),
        severity=WARNING,
    ),
    _rule(
        "ending-mostly-wrong",
        "A repair is right in at least half of the cases that come to it.",
        "hums: {expect: It hums, chance: {nozzle: 10%, otherwise: 60%}, next: clear-nozzles}",
        "hums: {expect: It hums, chance: {nozzle: 98%, otherwise: 8%}, next: clear-nozzles}",
        HEARD,
        severity=WARNING,
    ),
    _rule(
        "result-never",
        "Every result can come up under some cause.",
        "buzzes: {expect: It buzzes, chance: 0%, next: clear-nozzles}",
        "buzzes: {expect: It buzzes, chance: 1%, next: clear-nozzles}",
        HEARD,
        severity=WARNING,
    ),
    _rule(
        "step-tells-nothing",
        "The results of a step change the odds, or lead to different places.",
        "cracked: {expect: A crack, chance: 40%, next: wipe-the-glass}",
        "cracked: {expect: A crack, chance: {blade: 60%, otherwise: 20%}, next: wipe-the-glass}",
        ("steps", "look-at-blades", "results"),
        file=OTHER_PATH,
        severity=WARNING,
    ),
    _rule(
        "dear-first",
        "A dear or dangerous step does not come before a cheaper one that tells as much.",
        "cost: 40",
        "cost: 0",
        ("steps", "look-at-blades"),
        file=OTHER_PATH,
        severity=WARNING,
    ),
)

GROUPS: Final[Mapping[str, tuple[Rule, ...]]] = {
    "Files": FILES,
    "YAML": YAML,
    "Shape and notation": SHAPE,
    "Readings": READINGS,
    "Names": NAMES,
    "The way through": WAY,
    "Shares, chances and time": ODDS,
    "Safety": SAFETY,
    "Texts": TEXTS,
    "Advice from the numbers": ADVICE,
}
"""Every rule, by what it is about."""


def all_rules() -> Iterator[Rule]:
    """Every rule, group by group."""
    for rules in GROUPS.values():
        yield from rules
