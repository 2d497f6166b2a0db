"""Work: what a step, an ending and a common check have in common."""

from typing import Annotated, Literal

from pydantic import Field

from builder.read import limits
from builder.read.notation import ZERO
from builder.read.records.values import (
    Answers,
    Identifier,
    Markdown,
    Minutes,
    Money,
    Names,
    Percent,
    Quantity,
    Record,
    Text,
    Texts,
    Wait,
    after_of,
    in_notation,
    parsed_by,
    parts_of,
)


class Mishap(Record):
    """What may go wrong while doing a step or a repair."""

    what: Text = Field(description="What happens.", examples=["Valves hit pistons"])
    chance: Percent = Field(description="How likely it is, each time that it is done.", examples=["3%"])
    cost: Money = Field(description="What it then costs.", examples=["1500-4000"])


class Measurement(Record):
    """The one quantity that a step measures; its results are ranges of it."""

    of: Text = Field(description="What is measured.", examples=["Battery at rest"])
    unit: Text = Field(description="Its unit.", examples=["V"])


class Work(Record):
    """What a step and an ending have in common: something to do that costs money and time."""

    title: Text = Field(description="What to do, in a few words.", examples=["Look at the resistor plug"])
    do: Markdown | None = Field(
        None,
        description="How to do it, and what is good and what is bad; in Markdown.",
        examples=["Pull the plug behind the glovebox. Look for brown plastic and loose pins."],
    )
    preconditions: Texts = Field(
        (), description="What must hold before one begins.", examples=[["Fan off for ten minutes"]]
    )
    time: Minutes = Field(
        ZERO, description="The time it takes, without the access jobs.", examples=["10-20 min", "1 h", "PT1H30M"]
    )
    wait: Wait = Field(
        ZERO,
        description="Hours, nights, days or weeks that must pass without hands, such as drying or a night in the cold.",
        examples=["2 nights", "12 h", "1-3 days"],
    )
    cost: Money = Field(ZERO, description="Money beside parts and tools, such as a fee.", examples=[0, "10-20"])
    who: Literal["owner", "shop"] = Field(
        "owner",
        description="`owner` (as if left out), or `shop`: only a workshop may do it, and its labour costs money.",
        examples=["shop"],
    )
    tools: Names = Field((), description="Tools by their ids in the catalogue.", examples=[["multimeter"]])
    parts: Annotated[dict[Identifier, Quantity], parsed_by(parts_of), in_notation("parts")] = Field(
        {},
        max_length=limits.ENTRIES.most,
        description="Parts by their ids in the catalogue: a list, or a quantity of each.",
        examples=[["fan-resistor"], {"spark-plug": 4}],
    )
    access: Names = Field((), description="Access jobs by their ids in the catalogue.", examples=[["glovebox"]])
    hazards: Names = Field((), description="Hazards by their ids in the catalogue.", examples=[["hot-parts"]])
    no_hazards: Answers = Field(
        {},
        description="The answer where a word calls for a hazard that does not apply: the hazard, and why not.",
        examples=[{"lifting": "The jack is only looked at, in the boot."}],
    )
    mishap: Mishap | None = Field(
        None,
        description="What may go wrong while one does it, how likely that is, and what it then costs.",
        examples=[{"what": "The bleed screw shears off", "chance": "3%", "cost": "60-200"}],
    )
    after: Annotated[dict[Identifier, Names], parsed_by(after_of), in_notation("after")] = Field(
        {},
        max_length=limits.ENTRIES.most,
        description="Steps that must have been done before, each with the results that allow it (a list: any result).",
        examples=[["look-at-plug"], {"look-at-plug": ["clean"]}],
    )
    accept: Answers = Field(
        {},
        description="The answer to a warning that is right and shall stay: the rule, and why.",
        examples=[{"dear-order": "The smoke test comes last, since it needs an appointment."}],
    )
