"""A playbook: one symptom, the steps that find its cause, and the endings."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Final, Literal

from pydantic import Field
from pydantic.json_schema import SkipJsonSchema

from builder.read import limits
from builder.read.notation import ALL, UNLISTED
from builder.read.records.settings import Professional
from builder.read.records.values import (
    Answers,
    CauseName,
    Code,
    Count,
    Identifier,
    Month,
    Names,
    OldNames,
    Percent,
    Record,
    ResultChance,
    Stretch,
    Text,
    Texts,
    in_notation,
    next_of,
    parsed_by,
    settles_of,
)
from builder.read.records.work import Measurement, Work

FORMAT: Final = 1
"""The newest format of playbooks that this program reads."""


class Symptom(Record):
    """What the owner notices, and what led them here."""

    summary: Text = Field(
        description="What the owner notices, in a sentence.", examples=["Speeds 1 to 3 are dead, speed 4 is normal."]
    )
    conditions: Texts = Field((), description="When it shows.", examples=[["any temperature", "engine on or off"]])
    codes: tuple[Code, ...] = Field(
        (),
        max_length=limits.CODES.most,
        description="Trouble codes that lead here, in the form of SAE J2012.",
        examples=[["P0128"]],
    )


class Provenance(Record):
    """Where shares or chances come from."""

    what: Literal["own count", "trade experience", "published"] = Field(
        description="`own count` of cases, `trade experience`, or `published` figures.", examples=["own count"]
    )
    seen: Count | None = Field(None, description="How many cases it rests on.", examples=[24])
    on: Month | None = Field(None, description="When it was last looked at.", examples=["2026-03"])


class Cause(Record):
    """What may be wrong, by a name of your choice."""

    name: Text = Field(description="What is wrong, as people say it.", examples=["Burnt fan resistor"])
    share: Percent | None = Field(
        None,
        description="How often it is the one. What the shares leave over is `unlisted`: a cause that the playbook does "
        "not name. Give every cause a share, or none: without shares there are no odds.",
        examples=["70%"],
    )
    note: Text | None = Field(None, description="A remark on it.", examples=["Mostly on cars with the early plug."])
    source: Provenance | None = Field(
        None, description="Where the share comes from.", examples=[{"what": "own count", "seen": 24, "on": "2026-03"}]
    )


class Next(Record):
    """A step or ending of the same playbook by ``name``, or a hand-over to another ``playbook``.

    Both are any text here, so that checks, which know the names that there are, can say which one is meant.
    """

    name: Text | None = None
    playbook: Text | None = None


class Result(Record):
    """What may be seen at a step, by a name of your choice."""

    expect: Text = Field(description="What one sees.", examples=["A pin is loose or the plastic is brown"])
    chance: ResultChance | None = Field(
        None,
        description="How likely it is: one percentage whatever the cause, a percentage by cause with `otherwise` for "
        "those not named, or `rest` for what the other results leave. Under each cause, the chances of a step's "
        "results add up to 100 %.",
        examples=["rest", "40%", {"plug": "95%", "otherwise": "3%"}],
    )
    range: Stretch | None = Field(
        None,
        description="Where the reading lies, if the step has one. The ranges of a step leave no gap and do not "
        "overlap.",
        examples=["below 12.4", "12.4-12.6"],
    )
    next: Annotated[Next, parsed_by(next_of), in_notation("next")] = Field(
        Next(),
        description="The step or the ending that comes next, or another playbook that takes over. A playbook with "
        "`order: best` leaves it out.",
        examples=["new-plug", {"playbook": "slow-warm-up"}],
    )
    was: OldNames = Field(
        (), description="Names that this result had before; jobs keep what was seen.", examples=[["ok"]]
    )
    source: Provenance | None = Field(
        None, description="Where the chance comes from.", examples=[{"what": "trade experience", "on": "2026-03"}]
    )


class Step(Work):
    """Something to do that tells causes apart, by a name of your choice."""

    check: Identifier | None = Field(
        None,
        description="A common check of the catalogue that the step takes: what to do, what it costs and what may be "
        "seen stand there; the step adds `chance` and `next`.",
        examples=["battery-at-rest"],
    )
    reading: Measurement | None = Field(
        None,
        description="The one quantity that the step measures, where its results are ranges of it.",
        examples=[{"of": "Battery at rest", "unit": "V"}],
    )
    was: OldNames = Field(
        (), description="Names that this step had before; jobs keep what was seen.", examples=[["look"]]
    )
    results: dict[Identifier, Result] = Field(
        min_length=1,
        max_length=limits.RESULTS.most,
        description="What may be seen, each with what comes next.",
        examples=[{"clean": {"expect": "Plastic and pins look new", "chance": "rest", "next": "measure-resistor"}}],
    )


class Prove(Record):
    """How to make sure that a fault which comes and goes is gone. The page says how many clean trials it takes."""

    trial: Text = Field(description="What one trial is.", examples=["ten minutes on speed 1"])
    shows: Percent = Field(description="The share of trials in which the fault shows.", examples=["60%"])


class Ending(Work):
    """Where a path stops, by a name of your choice: a repair, a hand-over to a professional, or "leave it"."""

    settles: Annotated[Names, parsed_by(settles_of), in_notation("settles")] = Field(
        (),
        description="The causes that this ending puts right, or `all`. A hand-over leaves it out.",
        examples=[["plug"], "all"],
    )
    prove: Prove | None = Field(
        None,
        description="For a fault that comes and goes: how to make sure that it is gone.",
        examples=[{"trial": "ten minutes on speed 1", "shows": "60%"}],
    )

    was: OldNames = Field((), description="Names that this ending had before.", examples=[["plug"]])

    def puts_right(self, cause: str) -> bool:
        """Whether it settles a cause."""
        return cause in self.settles or ALL in self.settles


class Playbook(Record):
    """One file: one symptom, the steps that find its cause, and the endings."""

    slug: SkipJsonSchema[str]
    area: SkipJsonSchema[str]
    format: Annotated[Literal["1"], in_notation("format")] = Field(
        description="The format of the file; there is one so far.", examples=[1]
    )
    title: Text = Field(
        description="The symptom in a few words, as the owner would say it.",
        examples=["Cabin fan runs on the top speed only"],
    )
    vehicles: Texts = Field((), description="The cars it was written for.", examples=[["Tamarin 1.6"]])
    was: OldNames = Field(
        (),
        description="Slugs that this playbook had before: their addresses then lead here.",
        examples=[["fan-speed-four"]],
    )
    also: Texts = Field(
        (),
        description="How else owners say it; the search finds the playbook by these words too.",
        examples=[["no cabin air on low", "heater fan only works on four"]],
    )
    symptom: Symptom = Field(
        description="What the owner notices.", examples=[{"summary": "Speeds 1 to 3 are dead, speed 4 is normal."}]
    )
    preconditions: Texts = Field(
        (), description="What must hold before the first step.", examples=[["Battery above 12.4 V"]]
    )
    no_hazards: Answers = Field(
        {},
        description="The answer where a word of the title, symptom, preconditions or causes calls for a hazard "
        "that no step and no ending has: the hazard, and why not.",
        examples=[{"timing": "The belt is named as the cause of a noise; nothing of it is opened here."}],
    )
    causes: dict[CauseName, Cause] = Field(
        {},
        max_length=limits.CAUSES.most,
        description="What may be wrong, by names that chances and endings use.",
        examples=[{"resistor": {"name": "Burnt fan resistor", "share": "70%"}}],
    )
    source: Provenance | None = Field(
        None,
        description="Where its shares and chances come from, where they do not say so themselves.",
        examples=[{"what": "own count", "seen": 24, "on": "2026-03"}],
    )
    professional: Professional | None = Field(
        None,
        description="What a professional needs who takes over, where it is not as in the settings.",
        examples=[{"diagnosis": "30-60 min", "unlisted": "200-600"}],
    )
    accept: Answers = Field(
        {},
        description="The answer to a warning that is right and shall stay: the rule, and why.",
        examples=[{"unlisted-large": "Half of these cars are gone before anybody finds out."}],
    )
    order: Literal["best"] | None = Field(
        None,
        description="`best`, in place of `start` and of every `next`: the order of the steps is then worked out.",
        examples=["best"],
    )
    start: Identifier | None = Field(
        None, description="The first step. A playbook with `order: best` leaves it out.", examples=["look-at-plug"]
    )
    steps: dict[Identifier, Step] = Field(
        min_length=1,
        max_length=limits.STEPS.most,
        description="What to do, by names that `next` uses. The steps form no circle.",
        examples=[
            {
                "look-at-plug": {
                    "title": "Look at the resistor plug",
                    "time": "10-20 min",
                    "results": {"browned": {"expect": "A pin is brown", "next": "new-plug"}},
                }
            }
        ],
    )
    endings: dict[Identifier, Ending] = Field(
        {},
        max_length=limits.ENDINGS.most,
        description="Where paths stop, by names that `next` uses.",
        examples=[{"new-plug": {"title": "Fit a repair plug", "settles": ["plug"], "time": "30-60 min"}}],
    )

    @property
    def path(self) -> str:
        """Where the file is in the library, with ``/``."""
        return f"{self.area}/{self.slug}.yaml"

    def work(self) -> Mapping[str, Step | Ending]:
        """Steps and endings by name."""
        return {**self.steps, **self.endings}

    @property
    def shares(self) -> dict[str, Fraction] | None:
        """Share of each cause in the order of the playbook, ``unlisted`` last; ``None`` where shares are not given."""
        listed = {name: cause.share for name, cause in self.causes.items()}
        if not listed:
            return None
        known = {name: share for name, share in listed.items() if share is not None}
        if len(known) < len(listed):
            return None
        return {**known, UNLISTED: max(Fraction(0), 1 - sum(known.values(), Fraction(0)))}
