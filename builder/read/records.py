"""The record types: what a library says, frozen and typed. They know their shape, nothing of files or pages.

Field descriptions and examples are part of the format: the schema and the editors' page are made from them.
"""

import re
from collections import Counter
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Annotated, Any, Final, Literal, TypeVar
from urllib.parse import urlsplit

from babel import Locale, UnknownLocaleError
from babel.numbers import list_currencies
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema
from pydantic.json_schema import SkipJsonSchema
from pydantic_core import PydanticCustomError

from builder.format import forms
from builder.read.notation import (
    ALL,
    IDENTIFIER,
    OTHERWISE,
    REST,
    UNLISTED,
    ZERO,
    Amount,
    Chance,
    NotationError,
    parse_amount,
    parse_chance,
    parse_minutes,
    parse_money,
    parse_percent,
)

LOST: Final = "\0lost"
"""Stands in a record for a required value that had a finding of its own; checks pass it over.

No file can hold it, for it has a control character.
"""

MOST: Final = 999
"""The largest quantity of a part."""

_WHOLE: Final = re.compile(r"[0-9]{1,3}\Z")
_LANGUAGE: Final = re.compile(r"[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8}){0,3}\Z")

T = TypeVar("T")


def _by(parse: Callable[[Any], T]) -> BeforeValidator:
    """A validator that turns a notation error into one that carries our message, hint and key."""

    def validate(value: Any) -> T:
        try:
            return parse(value)
        except NotationError as error:
            context = {"message": error.message, "hint": error.hint, "key": error.key}
            raise PydanticCustomError("notation", "{message}", context) from None

    return BeforeValidator(validate)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise NotationError("this must be text", "write one line of text, or a block that starts with `|`")
    if not value.strip():
        raise NotationError("this is empty", "fill it in, or leave the key out")
    return value.strip()


def _identifier(value: Any) -> str:
    _text(value)
    if value != LOST and not IDENTIFIER.match(value):
        raise NotationError(f"`{value}` is not a name", "use small letters a-z, digits and hyphens only")
    return str(value)


def _cause_name(value: Any) -> str:
    name = _identifier(value)
    if name in (ALL, OTHERWISE, REST, UNLISTED):
        raise NotationError(f"`{name}` has a meaning of its own", "call the cause something else")
    return name


def _figure(value: Any) -> float:
    return float(parse_money(_text(value)))


def _quantity(value: Any) -> int:
    text = _text(value)
    if not _WHOLE.match(text) or not 1 <= int(text) <= MOST:
        raise NotationError(f"`{text}` is not a quantity", f"write a whole number from 1 to {MOST}")
    return int(text)


def _parts(value: Any) -> Any:
    """``[id]`` as ``{id: 1}``; an id that stands twice counts twice."""
    if not isinstance(value, list):
        return value
    counted = Counter(_identifier(item) for item in value)
    for name, count in counted.items():
        if count > MOST:
            raise NotationError(f"`{name}` stands here {count} times", f"write `{{{name}: {count}}}`, at most {MOST}")
    return {name: str(count) for name, count in counted.items()}


def _settles(value: Any) -> Any:
    return [ALL] if value == ALL else value


def _yes_or_no(value: Any) -> bool:
    text = _text(value)
    if text not in ("true", "false"):
        raise NotationError(f"`{text}` is neither `true` nor `false`", "write `true` or leave the key out")
    return text == "true"


def _language(value: Any) -> str:
    text = _text(value)
    try:
        if not _LANGUAGE.match(text):
            raise ValueError(text)
        Locale.parse(text.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        raise NotationError(f"`{text}` is not a language that is known", "write e.g. `en-GB` or `de`") from None
    return text.replace("_", "-")


def _currency(value: Any) -> str:
    text = _text(value)
    if text not in list_currencies():
        raise NotationError(f"`{text}` is not an ISO 4217 currency", "write three capitals, e.g. `EUR`")
    return text


def _host_of(address: str) -> str:
    try:
        return urlsplit(address).hostname or ""
    except ValueError:  # brackets that hold no IPv6 address
        return ""


def _web_address(value: Any) -> str:
    text = _text(value)
    if not text.startswith(("https://", "http://")) or len(text.split()) > 1 or not _host_of(text):
        raise NotationError(f"`{text}` is not a web address", "write `https://…`")
    return text


def _next(value: Any) -> Any:
    if isinstance(value, str):
        return {"name": value}
    if not isinstance(value, Mapping) or "playbook" not in value:
        raise NotationError("this leads nowhere", "name a step or an ending, or write `{playbook: slug}`")
    if "name" in value:
        raise NotationError("unknown key `name`", "name a step or an ending, or write `{playbook: slug}`", "name")
    return value


Text = Annotated[str, _by(_text), WithJsonSchema(forms.TEXT)]
Identifier = Annotated[str, _by(_identifier), WithJsonSchema(forms.NAME)]
CauseName = Annotated[str, _by(_cause_name), WithJsonSchema(forms.CAUSE_NAME)]
Money = Annotated[Amount, _by(lambda value: parse_amount(value, parse_money)), WithJsonSchema(forms.MONEY)]
Minutes = Annotated[Amount, _by(lambda value: parse_amount(value, parse_minutes)), WithJsonSchema(forms.TIME)]
Figure = Annotated[float, _by(_figure), WithJsonSchema(forms.FIGURE)]
Percent = Annotated[Fraction, _by(lambda value: parse_percent(_text(value))), WithJsonSchema(forms.PERCENT)]
ResultChance = Annotated[Chance, _by(parse_chance), WithJsonSchema(forms.CHANCE)]
Quantity = Annotated[int, _by(_quantity), WithJsonSchema(forms.QUANTITY)]
YesOrNo = Annotated[bool, _by(_yes_or_no), WithJsonSchema(forms.YES_OR_NO)]
Language = Annotated[str, _by(_language), WithJsonSchema(forms.LANGUAGE)]
Currency = Annotated[str, _by(_currency), WithJsonSchema(forms.CURRENCY)]
WebAddress = Annotated[str, _by(_web_address), WithJsonSchema(forms.WEB_ADDRESS)]
Code = Annotated[str, _by(_text), WithJsonSchema(forms.CODE)]
Texts = tuple[Text, ...]
Names = tuple[Identifier, ...]


class Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


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
    areas: dict[Identifier, Text] = Field(
        min_length=1,
        description="The areas in the order of the home page: name of the folder, and what people read.",
        examples=[{"cooling": "Cooling", "starting": "Starting and charging"}],
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
    notice: Text | None = Field(
        None, description="A sentence at the foot of every page.", examples=["Invented car, invented figures."]
    )


class Tool(Record):
    """A tool of the catalogue: `catalogue/tools.yaml`, by id."""

    name: Text = Field(description="What people call it.", examples=["Crimping pliers"])
    price: Money = Field(ZERO, description="What it costs to buy; counted once a path.", examples=["20-40"])
    usual: YesOrNo = Field(False, description="Part of a basic toolkit: it costs nothing.", examples=[True])
    borrow: Money | None = Field(None, description="What it costs to borrow, for whoever can.", examples=[5])
    note: Text | None = Field(None, description="What to look for in it.", examples=["It must read 10 mA steps."])


class Part(Record):
    """A part of the catalogue: `catalogue/parts.yaml`, by id."""

    name: Text = Field(description="What people call it.", examples=["Cabin fan resistor"])
    price: Money = Field(description="What one of it costs.", examples=["18-45"])
    note: Text | None = Field(None, description="What to look for when buying.", examples=["Two plug shapes exist."])


class AccessJob(Record):
    """Opening something up and closing it again, paid once a path: `catalogue/access.yaml`, by id."""

    name: Text = Field(description="What is open afterwards.", examples=["Glovebox out"])
    open: Minutes = Field(description="The time it takes to open.", examples=["5 min"])
    close: Minutes = Field(description="The time it takes to close again.", examples=["5-10 min"])
    hazards: Names = Field(
        (), description="Its hazards; they count for every step that needs the job.", examples=[["lifting"]]
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
        (), description="Words that call for this hazard where a step says them.", examples=[["scald", "hot engine"]]
    )


class Catalogue(Record):
    tools: dict[str, Tool] = {}
    parts: dict[str, Part] = {}
    access: dict[str, AccessJob] = {}
    hazards: dict[str, Hazard] = {}


class Symptom(Record):
    """What the owner notices, and what led them here."""

    summary: Text = Field(
        description="What the owner notices, in a sentence.", examples=["Speeds 1 to 3 are dead, speed 4 is normal."]
    )
    conditions: Texts = Field((), description="When it shows.", examples=[["any temperature", "engine on or off"]])
    codes: tuple[Code, ...] = Field(
        (), description="Trouble codes that lead here, in the form of SAE J2012.", examples=[["P0128"]]
    )


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


class Next(Record):
    """A step or ending of the same playbook by ``name``, or a hand-over to another ``playbook``."""

    name: Identifier | None = None
    playbook: Identifier | None = None


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
    next: Annotated[Next, _by(_next), WithJsonSchema(forms.NEXT)] = Field(
        description="The step or the ending that comes next, or another playbook that takes over.",
        examples=["new-plug", {"playbook": "slow-warm-up"}],
    )


class Work(Record):
    """What a step and an ending have in common: something to do that costs money and time."""

    title: Text = Field(description="What to do, in a few words.", examples=["Look at the resistor plug"])
    do: Text | None = Field(
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
    cost: Money = Field(ZERO, description="Money beside parts and tools, such as a fee.", examples=[0, "10-20"])
    who: Literal["owner", "shop"] = Field(
        "owner",
        description="`owner` (as if left out), or `shop`: only a workshop may do it, and its labour costs money.",
        examples=["shop"],
    )
    tools: Names = Field((), description="Tools by their ids in the catalogue.", examples=[["multimeter"]])
    parts: Annotated[dict[Identifier, Quantity], _by(_parts), WithJsonSchema(forms.PARTS)] = Field(
        {},
        description="Parts by their ids in the catalogue: a list, or a quantity of each.",
        examples=[["fan-resistor"], {"spark-plug": 4}],
    )
    access: Names = Field((), description="Access jobs by their ids in the catalogue.", examples=[["glovebox"]])
    hazards: Names = Field((), description="Hazards by their ids in the catalogue.", examples=[["hot-parts"]])
    no_hazards: dict[Identifier, Text] = Field(
        {},
        description="The answer where a word calls for a hazard that does not apply: the hazard, and why not.",
        examples=[{"lifting": "The jack is only looked at, in the boot."}],
    )


class Step(Work):
    """Something to do that tells causes apart, by a name of your choice."""

    results: dict[Identifier, Result] = Field(
        min_length=1,
        description="What may be seen, each with what comes next.",
        examples=[{"clean": {"expect": "Plastic and pins look new", "chance": "rest", "next": "measure-resistor"}}],
    )


class Prove(Record):
    """How to make sure that a fault which comes and goes is gone. The page says how many clean trials it takes."""

    trial: Text = Field(description="What one trial is.", examples=["ten minutes on speed 1"])
    shows: Percent = Field(description="The share of trials in which the fault shows.", examples=["60%"])


class Ending(Work):
    """Where a path stops, by a name of your choice: a repair, a hand-over to a professional, or "leave it"."""

    settles: Annotated[Names, _by(_settles), WithJsonSchema(forms.SETTLES)] = Field(
        (),
        description="The causes that this ending puts right, or `all`. A hand-over leaves it out.",
        examples=[["plug"], "all"],
    )
    prove: Prove | None = Field(
        None,
        description="For a fault that comes and goes: how to make sure that it is gone.",
        examples=[{"trial": "ten minutes on speed 1", "shows": "60%"}],
    )

    def puts_right(self, cause: str) -> bool:
        return cause in self.settles or ALL in self.settles


class Playbook(Record):
    """One file: one symptom, the steps that find its cause, and the endings."""

    slug: SkipJsonSchema[str]
    area: SkipJsonSchema[str]
    format: Annotated[Literal["1"], WithJsonSchema(forms.FORMAT)] = Field(
        description="The format of the file; there is one so far.", examples=[1]
    )
    title: Text = Field(
        description="The symptom in a few words, as the owner would say it.",
        examples=["Cabin fan runs on the top speed only"],
    )
    vehicles: Texts = Field((), description="The cars it was written for.", examples=[["Tamarin 1.6"]])
    was: Names = Field(
        (),
        description="Slugs that this playbook had before: their addresses then lead here.",
        examples=[["fan-speed-four"]],
    )
    symptom: Symptom = Field(
        description="What the owner notices.", examples=[{"summary": "Speeds 1 to 3 are dead, speed 4 is normal."}]
    )
    preconditions: Texts = Field(
        (), description="What must hold before the first step.", examples=[["Battery above 12.4 V"]]
    )
    causes: dict[CauseName, Cause] = Field(
        {},
        description="What may be wrong, by names that chances and endings use.",
        examples=[{"resistor": {"name": "Burnt fan resistor", "share": "70%"}}],
    )
    start: Identifier = Field(description="The first step.", examples=["look-at-plug"])
    steps: dict[Identifier, Step] = Field(
        min_length=1,
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


class Library(Record):
    """Everything that was read: settings, catalogue and playbooks by slug, in the order of areas and slugs.

    ``lines`` says on which line of its file each step and ending begins, by slug and name.
    """

    settings: Settings
    catalogue: Catalogue
    playbooks: dict[str, Playbook]
    lines: dict[str, dict[str, int]] = {}
