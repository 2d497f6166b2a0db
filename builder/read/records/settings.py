"""The settings: what holds for the whole library."""

from typing import Annotated, Final

from babel.numbers import get_currency_precision
from pydantic import Field

from builder.read import limits
from builder.read.notation import Amount
from builder.read.records.values import (
    Currency,
    Figure,
    Identifier,
    Language,
    Minutes,
    Money,
    Names,
    Record,
    Text,
    WebAddress,
    area_of,
    in_notation,
    parsed_by,
)

DIAGNOSIS: Final = Amount(60.0, 90.0, 120.0)
"""Minutes that a professional takes to find a fault where neither the playbook nor the settings say: 1 to 2 h."""


class Professional(Record):
    """What a professional needs who takes the car over; what is left out is as in the settings."""

    diagnosis: Minutes | None = Field(
        None, description="How long it takes to find the fault; 1-2 h if left out.", examples=["1-2 h"]
    )
    unlisted: Money | None = Field(
        None, description="What a fault that no ending settles then costs there.", examples=["300-900"]
    )


class Area(Record):
    """An area of the library: a folder of playbooks."""

    title: Text = Field(description="What people read.", examples=["Brakes"])
    implies: Names = Field(
        (), description="Hazards that every step and ending of the area has or answers.", examples=[["lifting"]]
    )


class Settings(Record):
    """What holds for the whole library: `library.yaml`."""

    title: Text = Field(description="The name of the site.", examples=["Tamarin Owners' Playbooks"])
    language: Language = Field(
        "en", description="The locale by which numbers, money and dates are written.", examples=["en-GB", "de"]
    )
    currency: Currency = Field(description="The currency of every price, by ISO 4217.", examples=["EUR"])
    labour_rate: Figure = Field(description="What a workshop charges for an hour.", examples=[95])
    owner_hour: Figure = Field(
        0.0,
        description="What an hour of the owner's own time is worth to them. It weighs time against money where steps "
        "are compared, and is part of no price.",
        examples=[15],
    )
    avoid_danger: Figure = Field(
        0.0,
        description="What an owner would pay to be spared a hazard with the signal word DANGER on a path, once for "
        "each hazard. It weighs orders, as `owner_hour` does, and is part of no price.",
        examples=[20],
    )
    least_saving: Figure | None = Field(
        None,
        description="What another order must save at least, on average, for a warning of it; 5 in a currency of cents "
        "if left out.",
        examples=[10],
    )
    professional: Professional = Field(
        default_factory=lambda: Professional.model_validate({}),
        description="What a professional needs who takes the car over.",
        examples=[{"diagnosis": "1-2 h", "unlisted": "300-900"}],
    )
    areas: dict[Identifier, Annotated[Area, parsed_by(area_of), in_notation("area")]] = Field(
        min_length=1,
        max_length=limits.AREAS.most,
        description="The areas in the order of the home page: name of the folder, and what people read, or `{title, "
        "implies}`, where every step and ending of the area has the hazards that it `implies`, or answers them.",
        examples=[{"cooling": "Cooling", "brakes": {"title": "Brakes", "implies": ["lifting"]}}],
    )
    site_id: Identifier | None = Field(
        None,
        description="Keeps the jobs and settings on devices whatever the title becomes. Choose it once and leave it.",
        examples=["tamarin"],
    )
    site_url: WebAddress | None = Field(
        None,
        description="Where the site will stand, for the sitemap and the feed.",
        examples=["https://example.org/tamarin/"],
    )
    edit_url: WebAddress | None = Field(
        None,
        description="Where a playbook can be edited, with `{path}` for its file and, if the host takes it there, "
        "`{line}` for the line of a step or ending; pages then offer it.",
        examples=["https://example.org/edit/{path}"],
    )
    new_url: WebAddress | None = Field(
        None,
        description="Where the host that keeps the library begins a new file, with `{path}` for the file of the "
        "playbook and, if the host takes it there, `{text}` for what it says; the form for playbooks then offers it.",
        examples=["https://example.org/new?file={path}&text={text}"],
    )
    notice: Text | None = Field(
        None, description="A sentence at the foot of every page.", examples=["Invented car, invented figures."]
    )

    @property
    def worth_saving(self) -> float:
        """What another order must save at least to be worth a word: 5, or 500 where the currency has no cents."""
        if self.least_saving is not None:
            return self.least_saving
        return float(5 * 10 ** max(0, 2 - get_currency_precision(self.currency)))
