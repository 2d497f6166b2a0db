"""The catalogue: tools, parts, access jobs, hazards, common checks and codes, described once and named by playbooks."""

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from builder.read import limits
from builder.read.notation import ZERO
from builder.read.records.values import (
    Answers,
    Identifier,
    Minutes,
    Money,
    Names,
    Record,
    Stretch,
    Text,
    Texts,
    YesOrNo,
)
from builder.read.records.work import Measurement, Work


class Tool(Record):
    """A tool of the catalogue: `catalogue/tools.yaml`, by id."""

    name: Text = Field(description="What people call it.", examples=["Crimping pliers"])
    price: Money = Field(ZERO, description="What it costs to buy; counted once a path.", examples=["20-40"])
    usual: YesOrNo = Field(False, description="Part of a basic toolkit: it costs nothing.", examples=[True])
    borrow: Money | None = Field(None, description="What it costs to borrow, for whoever can.", examples=[5])
    hazards: Names = Field(
        (), description="Its hazards; they count for every step that needs the tool.", examples=[["lifting"]]
    )
    no_hazards: Answers = Field(
        {},
        description="The answer where its words call for a hazard that does not apply: the hazard, and why not.",
        examples=[{"lifting": "It lifts the battery, not the car."}],
    )
    note: Text | None = Field(None, description="What to look for in it.", examples=["It must read 10 mA steps."])
    accept: Answers = Field(
        {},
        description="The answer to a warning that is right and shall stay: the rule, and why.",
        examples=[{"dear-price": "It comes with the wheel hub."}],
    )


class Part(Record):
    """A part of the catalogue: `catalogue/parts.yaml`, by id."""

    name: Text = Field(description="What people call it.", examples=["Cabin fan resistor"])
    price: Money = Field(description="What one of it costs.", examples=["18-45"])
    no_hazards: Answers = Field(
        {},
        description="The answer where its words call for a hazard that does not apply to whoever fits it.",
        examples=[{"timing": "The belt of the mower, not of the engine."}],
    )
    note: Text | None = Field(None, description="What to look for when buying.", examples=["Two plug shapes exist."])
    accept: Answers = Field(
        {},
        description="The answer to a warning that is right and shall stay: the rule, and why.",
        examples=[{"dear-price": "It comes with the wheel hub."}],
    )


class AccessJob(Record):
    """Opening something up and closing it again, paid once a path: `catalogue/access.yaml`, by id."""

    name: Text = Field(description="What is open afterwards.", examples=["Glovebox out"])
    open: Minutes = Field(description="The time it takes to open.", examples=["5 min"])
    close: Minutes = Field(description="The time it takes to close again.", examples=["5-10 min"])
    hazards: Names = Field(
        (), description="Its hazards; they count for every step that needs the job.", examples=[["lifting"]]
    )
    no_hazards: Answers = Field(
        {},
        description="The answer where its words call for a hazard that does not apply: the hazard, and why not.",
        examples=[{"lifting": "The spare wheel lies in the boot."}],
    )
    note: Text | None = Field(None, description="What helps with it.", examples=["Eight screws, two rust in."])


class Hazard(Record):
    """A hazard: `catalogue/hazards.yaml`, by id. `timing` and `lifting` always exist, and may be made sharper."""

    name: Text = Field(description="What people call it.", examples=["Hot parts"])
    signal: Literal["danger", "warning", "caution", "notice"] = Field(
        description="The signal word of ANSI Z535.6: `danger` kills, `warning` may kill, `caution` injures, "
        "`notice` damages things.",
        examples=["caution"],
    )
    harm: Text = Field(description="What it does to whoever does not avoid it.", examples=["Burns."])
    avoid: Text = Field(description="How to avoid it.", examples=["Let it cool."])
    words: Texts = Field(
        (),
        description="Words that call for this hazard wherever they are said, in any form and spelling. Those of "
        "`timing` and `lifting` are built in; a library adds to them.",
        examples=[["scald", "hot engine"]],
    )


class CheckResult(Record):
    """What may be seen at a common check, by a name of your choice."""

    expect: Text = Field(description="What one sees.", examples=["Above 12.6 V"])
    range: Stretch | None = Field(
        None, description="Where the reading lies, if the check has one.", examples=["above 12.6"]
    )


class CommonCheck(Work):
    """A step that several playbooks share: `catalogue/checks.yaml`, by id. A step takes it by `check: id`."""

    about: Literal["car"] | None = Field(
        None,
        description="`car`: a fact of the car rather than of the fault. It costs nothing and is asked once per car.",
        examples=["car"],
    )
    reading: Measurement | None = Field(
        None, description="The quantity that it measures.", examples=[{"of": "Battery at rest", "unit": "V"}]
    )
    results: dict[Identifier, CheckResult] = Field(
        min_length=1,
        max_length=limits.RESULTS.most,
        description="What may be seen; a playbook adds `chance` and `next` under the same names.",
        examples=[{"charged": {"expect": "Above 12.6 V", "range": "above 12.6"}}],
    )


class CodeMeaning(Record):
    """What a trouble code means: `catalogue/codes.yaml`, by code."""

    means: Text = Field(
        description="What the code says, in plain words.", examples=["Coolant below the thermostat's temperature"]
    )
    source: Text | None = Field(None, description="Where that is written.", examples=["SAE J2012, generic codes"])


class Catalogue(Record):
    """All of it, each kind by id."""

    tools: dict[str, Tool] = Field({})
    parts: dict[str, Part] = Field({})
    access: dict[str, AccessJob] = Field({})
    hazards: dict[str, Hazard] = Field({})
    checks: dict[str, CommonCheck] = Field({})
    codes: dict[str, CodeMeaning] = Field({})

    def hazards_of(self, work: Work) -> frozenset[str]:
        """Hazards of a piece of work, those of its access jobs and tools included."""
        needed: list[Mapping[str, Any]] = [self.access, self.tools]
        names = (work.access, work.tools)
        carried = (
            kind[name].hazards for kind, used in zip(needed, names, strict=True) for name in used if name in kind
        )
        return frozenset(work.hazards).union(*carried)
