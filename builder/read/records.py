"""The record types: what a library says, frozen and typed. They know their shape, nothing of files or pages.

Field descriptions and examples are part of the format: the schema and the editors' page are made from them.
"""

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Annotated, Any, Final, Literal, TypeVar

from babel import Locale, UnknownLocaleError
from babel.numbers import list_currencies
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

from builder.read.notation import (
    IDENTIFIER,
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

LOST: Final = "--lost--"
"""Stands in a record for a required value that had a finding of its own; checks pass it over."""

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
    text = _text(value)
    if not IDENTIFIER.match(text):
        raise NotationError(f"`{text}` is not a name", "use small letters a-z, digits and hyphens only")
    return text


def _figure(value: Any) -> float:
    return float(parse_money(_text(value)))


def _quantity(value: Any) -> int:
    text = _text(value)
    if not text.isascii() or not text.isdigit() or not 1 <= int(text[:6]) <= 999 or len(text) > 3:
        raise NotationError(f"`{text}` is not a quantity", "write a whole number from 1 to 999")
    return int(text)


def _parts(value: Any) -> Any:
    """``[id]`` as ``{id: 1}``; an id that stands twice counts twice."""
    if not isinstance(value, list):
        return value
    counted: dict[str, str] = {}
    for item in value:
        name = _identifier(item)
        counted[name] = str(int(counted.get(name, "0")) + 1)
    return counted


def _settles(value: Any) -> Any:
    return ["all"] if value == "all" else value


def _yes_or_no(value: Any) -> bool:
    if value not in ("true", "false"):
        raise NotationError(f"`{value}` is neither `true` nor `false`", "write `true` or leave the key out")
    return bool(value == "true")


def _language(value: Any) -> str:
    text = _text(value)
    try:
        Locale.parse(text.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        raise NotationError(f"`{text}` is not a language that is known", "write e.g. `en-GB` or `de`") from None
    return text


def _currency(value: Any) -> str:
    text = _text(value)
    if text not in list_currencies():
        raise NotationError(f"`{text}` is not an ISO 4217 currency", "write three capitals, e.g. `EUR`")
    return text


def _web_address(value: Any) -> str:
    text = _text(value)
    if not text.startswith(("https://", "http://")) or len(text.split()) > 1:
        raise NotationError(f"`{text}` is not a web address", "write `https://…`")
    return text


def _next(value: Any) -> Any:
    if isinstance(value, str):
        return {"name": _text(value)}
    if not isinstance(value, Mapping) or "playbook" not in value:
        raise NotationError("this leads nowhere", "name a step or an ending, or write `{playbook: slug}`")
    if "name" in value:
        raise NotationError("unknown key `name`", "name a step or an ending, or write `{playbook: slug}`", "name")
    return value


Text = Annotated[str, _by(_text)]
Identifier = Annotated[str, _by(_identifier)]
Money = Annotated[Amount, _by(lambda value: parse_amount(value, parse_money))]
Minutes = Annotated[Amount, _by(lambda value: parse_amount(value, parse_minutes))]
Figure = Annotated[float, _by(_figure)]
Percent = Annotated[Fraction, _by(lambda value: parse_percent(_text(value)))]
ResultChance = Annotated[Chance, _by(parse_chance)]
Quantity = Annotated[int, _by(_quantity)]
YesOrNo = Annotated[bool, _by(_yes_or_no)]
Texts = tuple[Text, ...]
Names = tuple[Identifier, ...]


class Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


class Settings(Record):
    """``library.yaml``."""

    title: Text
    language: Annotated[str, _by(_language)] = "en"
    currency: Annotated[str, _by(_currency)]
    labour_rate: Figure
    owner_hour: Figure = 0.0
    areas: dict[Identifier, Text] = Field(min_length=1)
    site_url: Annotated[str, _by(_web_address)] | None = None
    edit_url: Annotated[str, _by(_web_address)] | None = None
    notice: Text | None = None


class Tool(Record):
    name: Text
    price: Money = ZERO
    usual: YesOrNo = False
    borrow: Money | None = None
    note: Text | None = None


class Part(Record):
    name: Text
    price: Money
    note: Text | None = None


class AccessJob(Record):
    name: Text
    open: Minutes
    close: Minutes
    hazards: Names = ()
    note: Text | None = None


class Hazard(Record):
    name: Text
    signal: Literal["danger", "warning", "caution", "notice"]
    harm: Text
    avoid: Text
    words: Texts = ()


class Catalogue(Record):
    tools: dict[str, Tool] = {}
    parts: dict[str, Part] = {}
    access: dict[str, AccessJob] = {}
    hazards: dict[str, Hazard] = {}


class Symptom(Record):
    summary: Text
    conditions: Texts = ()
    codes: Texts = ()


class Cause(Record):
    name: Text
    share: Percent | None = None
    note: Text | None = None


class Next(Record):
    """A step or ending of the same playbook by ``name``, or a hand-over to another ``playbook``."""

    name: Identifier | None = None
    playbook: Identifier | None = None


class Result(Record):
    expect: Text
    chance: ResultChance | None = None
    next: Annotated[Next, _by(_next)]


class Work(Record):
    """What a step and an ending have in common: something to do that costs money and time."""

    title: Text
    do: Text | None = None
    preconditions: Texts = ()
    time: Minutes = ZERO
    cost: Money = ZERO
    who: Literal["owner", "shop"] = "owner"
    tools: Names = ()
    parts: Annotated[dict[Identifier, Quantity], _by(_parts)] = {}
    access: Names = ()
    hazards: Names = ()
    no_hazards: dict[Identifier, Text] = {}


class Step(Work):
    results: dict[Identifier, Result] = Field(min_length=1)


class Prove(Record):
    trial: Text
    shows: Percent


class Ending(Work):
    settles: Annotated[Names, _by(_settles)] = ()
    prove: Prove | None = None

    def puts_right(self, cause: str) -> bool:
        return cause in self.settles or "all" in self.settles


class Playbook(Record):
    slug: str
    area: str
    format: Literal["1"]
    title: Text
    vehicles: Texts = ()
    symptom: Symptom
    preconditions: Texts = ()
    causes: dict[Identifier, Cause] = {}
    start: Identifier
    steps: dict[Identifier, Step] = Field(min_length=1)
    endings: dict[Identifier, Ending] = {}

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
    """Everything that was read: settings, catalogue and playbooks by slug, in the order of areas and slugs."""

    settings: Settings
    catalogue: Catalogue
    playbooks: dict[str, Playbook]
