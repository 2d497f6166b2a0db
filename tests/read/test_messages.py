"""Messages: what is written, and the very words of the one finding that it gives. Each row is a mistake somebody made.

A change is a piece of the playbook of these tests and what takes its place.
"""

from collections.abc import Callable
from typing import Final, NamedTuple

import pytest

from builder.read.findings import Finding
from tests.read.conftest import PLAYBOOK, Files

FindingsOf = Callable[[Files], list[Finding]]


class Row(NamedTuple):
    """A change, and the finding that it gives."""

    old: str
    new: str
    place: str
    message: str
    hint: str


SHARE: Final = "share: 70%"
TIME: Final = "time: 10-20 min"
COST: Final = "cost: 0"
TITLE: Final = "title: Cabin fan runs on the top speed only"
EXPECT: Final = "expect: One stage reads open,"
NEXT: Final = "next: new-plug"
TOOLS: Final = "tools: [multimeter]"
HAZARDS: Final = "hazards: [hot-parts]"
PARTS: Final = "parts: [resistor-plug]"
CHANCE: Final = "chance: {plug: 95%, otherwise: 3%}"
CONDITIONS: Final = "conditions: [any temperature, engine on or off]"


def share(text: str, message: str, hint: str) -> Row:
    return Row(SHARE, f"share: {text}", "10:47", f"`share`: {message}", hint)


def time(text: str, message: str, hint: str) -> Row:
    return Row(TIME, f"time: {text}", "19:11", f"`time`: {message}", hint)


def cost(text: str, message: str, hint: str) -> Row:
    return Row(COST, f"cost: {text}", "20:11", f"`cost`: {message}", hint)


def wait(text: str, message: str, hint: str) -> Row:
    return Row(COST, f"wait: {text}", "20:11", f"`wait`: {message}", hint)


COMMA: Final = "has a comma where a decimal point belongs"
NO_BREAK: Final = "holds a no-break space (U+00A0) where only a plain space may be"

FIGURES: Final = [
    share("0.41", "`0.41` is not a percentage", "write `41%` or `0.41%`"),
    share(".5", "`.5` is not a percentage", "write `50%` or `0.5%`"),
    share("1", "`1` is not a percentage", "write `100%` or `1%`"),
    share("41", "`41` is not a percentage", "write `41%`"),
    share("41,5%", f"`41,5%` {COMMA}", "write `41.5%`"),
    share("0,41", f"`0,41` {COMMA}", "write `41%` or `0.41%`"),
    share("40-50%", "`40-50%` is not a percentage", "write `45%`"),
    share("~5%", "`~5%` is not a percentage", "write `5%`"),
    share("1/3", "`1/3` is not a percentage", "write `33.3%`"),
    share("7 of 10", "`7 of 10` is not a percentage", "write `70%`"),
    share("41 percent", "`41 percent` is not a percentage", "write `41%`"),
    share("most", "`most` is not a percentage", "write a percentage such as `70%`"),
    share("101%", "`101%` is more than 100 %", "write at most `100%`"),
    share("41\u00a0%", f"`41\u00a0%` {NO_BREAK}", "write `41%`"),
    share(
        "41\u202f%", "`41\u202f%` holds a narrow no-break space (U+202F) where only a plain space may be", "write `41%`"
    ),
    time("1,5 h", f"`1,5 h` {COMMA}", "write `1.5 h`"),
    time("45min.", "`45min.` is not a time", "write `45 min`"),
    time("1:30", "`1:30` is not a time", "write `1 h 30 min`"),
    time("0:45 h", "`0:45 h` is not a time", "write `45 min`"),
    time("1h30", "`1h30` is not a time", "write `1 h 30 min`"),
    time("90 mins", "`90 mins` is not a time", "write `90 min`"),
    time("2-3 hours", "`2-3 hours` is not a time", "write `2-3 h`"),
    time("10 to 20 minutes", "`10 to 20 minutes` is not a time", "write `10-20 min`"),
    time("10–20 min", "`10–20 min` has a long dash", "write `10-20 min`"),
    time("20-10 min", "the range `20-10 min` runs downwards", "write `10-20 min`"),
    time("15", "the time `15` needs a unit", "write `15 min` or `15 h`"),
    time("10-20", "the time `10-20` needs a unit", "write `10-20 min` or `10-20 h`"),
    time("½ h", "`½ h` is not a time", "write `0.5 h`"),
    time("half an hour", "`half an hour` is not a time", "write `30 min`"),
    time("up to 1 h", "`up to 1 h` is not a time", "write `0-1 h`"),
    time("10-20\u00a0min", f"`10-20\u00a0min` {NO_BREAK}", "write `10-20 min`"),
    time(
        "2 days",
        "`2 days` is not a time of work",
        "write hours of hands-on work, such as `8 h`; what passes without hands is `wait: 2 days`",
    ),
    time("soon", "`soon` is not a time", "write `25 min`, `1 h 30 min`, `1.5 h`, `30 s` or `PT1H30M`"),
    wait("overnight", "`overnight` is not a wait", "write `1 night`"),
    wait("90 min", "`90 min` is not a wait", "write `1.5 h`"),
    wait("2", "the wait `2` needs a unit", "write `2 h` or `2 nights` or `2 days`"),
    cost("15,50", f"`15,50` {COMMA}", "write `15.50`"),
    cost("€15-20", "`€15-20` is not an amount of money", "write `15-20`"),
    cost("15.-", "`15.-` is not an amount of money", "write `15`"),
    cost("15 EUR", "`15 EUR` is not an amount of money", "write `15`"),
    cost("1'200", "`1'200` is not an amount of money", "write `1200`"),
    cost("1.200,50", f"`1.200,50` {COMMA}", "write `1200.50`"),
    cost("15 bis 20 Euro", "`15 bis 20 Euro` is not an amount of money", "write `15-20`"),
    cost("cheap", "`cheap` is not an amount of money", "write a plain number such as `12` or `12.50`"),
    cost("{low: 10-12, likely: 12, high: 14}", "`10-12` is not an amount of money", "write `11`")._replace(
        place="20:17"
    ),
]

EMPTY_VALUES: Final = [
    Row(COST, "cost:", "20:10", "`cost` is empty", "leave the key out, or fill it in, such as `0`"),
    Row(COST, "cost: ~", "20:11", "`cost` is empty", "leave the key out, or fill it in, such as `0`"),
    Row(TITLE, 'title: ""', "2:8", "`title` is empty", "fill it in, such as `Cabin fan runs on the top speed only`"),
    Row(TITLE, "title:", "2:7", "`title` is empty", "fill it in, such as `Cabin fan runs on the top speed only`"),
    Row(TOOLS, "tools:", "36:11", "`tools` is empty", "leave the key out, or fill it in, such as `[multimeter]`"),
    Row(NEXT, "next:", "27:14", "`next` is empty", "fill it in, such as `new-plug`"),
    Row(CHANCE, "chance: {plug: , otherwise: 3%}", "26:24", "`chance`: `plug` is empty", "fill it in, or delete it"),
    Row(CONDITIONS, "conditions: [hot, '']", "6:21", "`conditions`: an entry is empty", "fill it in, or delete it"),
]

WAYS: Final = [
    Row(NEXT, "next: New plug", "27:15", "`next`: no step or ending `New plug`", "write `new-plug`"),
    Row(NEXT, "next: new_plug", "27:15", "`next`: no step or ending `new_plug`", "write `new-plug`"),
    Row(
        NEXT,
        "next: cabin/pulls-when-braking",
        "27:15",
        "`next`: no step or ending `cabin/pulls-when-braking`",
        "write `{playbook: pulls-when-braking}`",
    ),
    Row(
        NEXT,
        "next: pulls-when-braking",
        "27:15",
        "`next`: no step or ending `pulls-when-braking`",
        "write `{playbook: pulls-when-braking}`",
    ),
    Row(
        NEXT,
        "next: {playbook: cabin/pulls-when-braking.yaml}",
        "27:26",
        "no playbook `cabin/pulls-when-braking.yaml`",
        "write `pulls-when-braking`",
    ),
]

NAMES: Final = [
    Row(TOOLS, "tools: [multimetre]", "36:13", "no tool `multimetre`", "did you mean `multimeter`?"),
    Row(
        TOOLS,
        "tools: [torx-bits]",
        "36:13",
        "no tool `torx-bits`",
        "add to catalogue/tools.yaml: `torx-bits: {name: Torx bits, price: …}`",
    ),
    Row(
        PARTS,
        "parts: [bleed-screw]",
        "41:86",
        "no part `bleed-screw`",
        "add to catalogue/parts.yaml: `bleed-screw: {name: Bleed screw, price: …}`",
    ),
    Row(TOOLS, "tools: [Multi meter]", "36:13", "`tools`: `Multi meter` is not a name", "write `multi-meter`"),
    Row(HAZARDS, "hazards: hot-parts", "22:14", "`hazards` must be a list", "write `[hot-parts]`"),
    Row(HAZARDS, "hazards: hot parts", "22:14", "`hazards` must be a list", "write `[hot-parts]`"),
    Row(HAZARDS, "hazards: {hot-parts: yes}", "22:14", "`hazards` must be a list", "write `[hot-parts]`"),
    Row(CONDITIONS, "conditions: in rain", "6:15", "`conditions` must be a list", "write `[in rain]`"),
    Row("settles: [plug]", "settles: plug", "41:53", "`settles` must be a list", "write `[plug]`"),
    Row("    cost: 0", "    who: Shop", "20:10", "`who` must be `owner` or `shop`", "write `shop`"),
]

PARTS_COUNTED: Final = [
    Row(
        PARTS,
        "parts: {resistor-plug: 14-30}",
        "41:101",
        "`resistor-plug`: `14-30` is not a quantity",
        "write how many it takes, such as `1`; what one costs stands in catalogue/parts.yaml",
    ),
    Row(PARTS, "parts: {resistor-plug: 2x}", "41:101", "`resistor-plug`: `2x` is not a quantity", "write `2`"),
    *(
        Row(
            PARTS,
            f"parts: [{text}]",
            "41:85",
            "`parts`: a list of parts takes no quantities",
            "write `{resistor-plug: 2}`",
        )
        for text in ("2x resistor-plug", "2 resistor-plug", "resistor-plug x2", "resistor-plug: 2")
    ),
    Row(PARTS, "parts: resistor-plug", "41:85", "`parts` must be a list", "write `[resistor-plug]`"),
]

KEYS: Final = [
    Row("title: Cabin fan", "titel: Cabin fan", "2:1", "unknown key `titel`", "did you mean `title`?"),
    Row(
        EXPECT,
        "expect: Clear fluid, no bubbles,",
        "38:39",
        "`expect`: the comma behind `Clear fluid` ends the text",
        'write `expect: "Clear fluid, no bubbles"`',
    ),
    Row(
        EXPECT,
        "expect: Clear fluid, no bubbles, no air,",
        "38:39",
        "`expect`: the comma behind `Clear fluid` ends the text",
        'write `expect: "Clear fluid, no bubbles, no air"`',
    ),
    Row(
        EXPECT,
        "expect:Clear fluid,",
        "38:18",
        "`expect:Clear fluid` has no space after the colon",
        "write `expect: Clear fluid`",
    ),
    Row(
        "format: 1",
        "format: 2",
        "1:9",
        "`format: 2` is newer than this Droplight, which reads format 1",
        "install a newer Droplight",
    ),
    Row(TIME, "time:\u00a010-20 min", "19:10", "no-break space (U+00A0) where a plain space belongs",
        "type a plain space; it is read as one here"),
]  # fmt: skip


@pytest.mark.parametrize(
    "row", [*FIGURES, *EMPTY_VALUES, *WAYS, *NAMES, *PARTS_COUNTED, *KEYS], ids=lambda row: f"{row.old} {row.new}"
)
def test_a_mistake_is_one_finding_in_these_words(row: Row, findings_of: FindingsOf) -> None:
    assert row.old in PLAYBOOK
    other = PLAYBOOK.replace("format: 1\n", "format: 1\nwas: [pulls]\n")
    found = findings_of({"cabin/fan.yaml": PLAYBOOK.replace(row.old, row.new), "cabin/pulls-when-braking.yaml": other})
    assert [(f"{one.line}:{one.column}", one.message, one.hint) for one in found if one.severity == "error"] == [
        (row.place, row.message, row.hint)
    ]


def test_where_a_figure_may_be_no_range_none_is_offered(findings_of: FindingsOf) -> None:
    settings = "title: T\nlanguage: en-GB\ncurrency: €\nlabour_rate: 90-100\nareas: {cabin: Cabin}\n"
    assert [(one.message, one.hint) for one in findings_of({"library.yaml": settings})] == [
        ("`currency`: `€` is not an ISO 4217 currency", "write `EUR`"),
        ("`labour_rate`: `90-100` is not an amount of money", "write `95`"),
    ]
