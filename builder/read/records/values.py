"""The values of the record types: text, names, money, times … as a file writes them, turned into what they mean."""

import re
from collections import Counter
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Annotated, Any, Final, TypeVar
from urllib.parse import urlsplit

from babel import Locale, UnknownLocaleError
from babel.numbers import list_currencies
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from builder.read import grammar, limits, meant
from builder.read.limits import Limit
from builder.read.notation import (
    ALL,
    IDENTIFIER,
    LONGEST,
    OTHERWISE,
    REST,
    UNLISTED,
    Amount,
    Chance,
    NotationError,
    Range,
    as_name,
    parse_amount,
    parse_chance,
    parse_figure,
    parse_minutes,
    parse_money,
    parse_percent,
    parse_range,
    parse_wait,
)

MOST: Final = 999
"""The largest quantity of a part."""

_WHOLE: Final = re.compile(rf"{grammar.QUANTITY}\Z")
_LANGUAGE: Final = re.compile(rf"{grammar.LANGUAGE}\Z")
_MONTH: Final = re.compile(rf"{grammar.MONTH}\Z")
_COUNT: Final = re.compile(r"[0-9]{1,9}\Z")

SIGNS: Final = {"€": "EUR", "euro": "EUR", "euros": "EUR", "£": "GBP", "$": "USD", "us$": "USD", "¥": "JPY"}
"""What people write for a currency, and its code; `$` and `¥` are those of several countries."""

T = TypeVar("T")


def in_notation(notation: str) -> WithJsonSchema:
    """Says in which notation a value is written; the format knows each by this name."""
    return WithJsonSchema({"notation": notation})


def parsed_by(parse: Callable[[Any], T]) -> BeforeValidator:
    """A validator that turns a notation error into one that carries our message, hint and key."""

    def validate(value: Any) -> T:
        try:
            return parse(value)
        except NotationError as error:
            context = {"message": error.message, "hint": error.hint, "key": error.key, "rule": error.rule}
            raise PydanticCustomError("notation", "{message}", context) from None

    return BeforeValidator(validate)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise NotationError(
            "this must be text", "write one line of text, in quotes where it begins with `[` or `{` or holds `: `"
        )
    return value.strip()


def _within(limit: Limit) -> Callable[[Any], str]:
    """Takes a text that says something, within a limit; :mod:`shape` tells what is empty from what is wrong."""

    def text(value: Any) -> str:
        if not (taken := _text(value)):
            raise NotationError("this is empty", "fill it in")
        if len(taken) > limit.most:
            raise NotationError(f"this has {len(taken)} characters", limit.hint, rule="too-long")
        return taken

    return text


_filled = _within(limits.FILE)


def bad_name(text: str) -> tuple[str, str]:
    """What is wrong with a text that is no name, and what to write."""
    near = as_name(text) if len(text) <= LONGEST else ""
    hint = f"write `{near}`" if near else "use small letters a-z, digits and hyphens only"
    if space := meant.odd_space_in(text):
        return f"`{text}` holds a {space}, and names no spaces", hint
    return f"`{text}` is not a name", hint


def _identifier(value: Any) -> str:
    _within(limits.NAME)(value)
    if not IDENTIFIER.match(value):
        raise NotationError(*bad_name(value))
    return str(value)


def _cause_name(value: Any) -> str:
    name = _identifier(value)
    if name in (ALL, OTHERWISE, REST, UNLISTED):
        raise NotationError(f"`{name}` has a meaning of its own", "call the cause something else")
    return name


def _figure(value: Any) -> float:
    return float(parse_figure(_text(value)))


def _quantity(value: Any) -> int:
    text = _text(value)
    if _WHOLE.match(text) and 1 <= int(text) <= MOST:
        return int(text)
    message = f"`{text}` is not a quantity"
    if near := meant.quantity(text):
        raise NotationError(message, f"write `{near}`")
    if any(meant.money(text)) and not text.isdigit():
        hint = "write how many it takes, such as `1`; what one costs stands in catalogue/parts.yaml"
        raise NotationError(message, hint)
    raise NotationError(message, f"write a whole number from 1 to {MOST}")


def parts_of(value: Any) -> Any:
    """``[id]`` as ``{id: 1}``; an id that stands twice counts twice."""
    if isinstance(value, str) and (many := _quantities_in([value])):
        raise NotationError("a quantity stands behind its part", f"write `{_said(many)}`")
    if not isinstance(value, list):
        return value
    if many := _quantities_in(value):
        raise NotationError("a list of parts takes no quantities", f"write `{_said(many)}`")
    counted = Counter(_identifier(item) for item in value)
    for name, count in counted.items():
        if count > MOST:
            raise NotationError(f"`{name}` stands here {count} times", f"write `{{{name}: {count}}}`, at most {MOST}")
    return {name: str(count) for name, count in counted.items()}


def _said(many: Mapping[str, str]) -> str:
    return "{" + ", ".join(f"{name}: {count}" for name, count in many.items()) + "}"


def _quantities_in(items: list[Any]) -> dict[str, str]:
    """Quantities by part where the items of a list say any, as in ``[2x calliper]`` or ``[calliper: 2]``; else none."""
    many: dict[str, str] = {}
    said = False
    for item in items:
        named = isinstance(item, str) and IDENTIFIER.match(item)
        counted = (item, "") if named else meant.counted(str(item))
        pairs = item.items() if isinstance(item, Mapping) else [counted]
        for name, count in pairs:
            number = meant.quantity(str(count)) if count else "1"
            if not as_name(name) or not number:
                return {}
            said = said or bool(count)
            many[as_name(name)] = number
    return many if said else {}


def _month(value: Any) -> str:
    text = _text(value)
    if not _MONTH.match(text):
        offered = " or ".join(f"`{one}`" for one in meant.month(text) if _MONTH.match(one))
        raise NotationError(f"`{text}` is not a month", f"write {offered or 'the year and the month: `2026-03`'}")
    return text


def _count(value: Any) -> int:
    text = _text(value)
    if not _COUNT.match(text):
        figures = [one for one in meant.one_figure(text) if _COUNT.match(one)]
        raise NotationError(f"`{text}` is not a whole number", f"write `{figures[0] if figures else 24}`")
    return int(text)


def after_of(value: Any) -> Any:
    """``[step]`` as ``{step: []}``: whatever its result was."""
    return {_identifier(item): [] for item in value} if isinstance(value, list) else value


def area_of(value: Any) -> Any:
    """An area as a mapping, of which a plain text is the title."""
    if not isinstance(value, str | Mapping):
        raise NotationError("this must be text", "write what people read, or `{title: …, implies: […]}`")
    return {"title": value} if isinstance(value, str) else value


def settles_of(value: Any) -> Any:
    """``all`` as a list of one."""
    return [ALL] if value == ALL else value


def _yes_or_no(value: Any) -> bool:
    text = _text(value)
    if text not in ("true", "false"):
        no = text.lower() in ("no", "off", "false", "n", "0", "nein")
        hint = "write `false`, or leave the key out" if no else "write `true`, or leave the key out"
        raise NotationError(f"`{text}` is neither `true` nor `false`", hint)
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
        near = SIGNS.get(text.lower(), text.upper())
        hint = f"write `{near}`" if near in list_currencies() else "write three capitals, such as `EUR`"
        raise NotationError(f"`{text}` is not an ISO 4217 currency", hint)
    return text


def _host_of(address: str) -> str:
    try:
        return urlsplit(address).hostname or ""
    except ValueError:  # brackets that hold no IPv6 address
        return ""


def _web_address(value: Any) -> str:
    text = _text(value)
    if not text.startswith(("https://", "http://")) or len(text.split()) > 1 or not _host_of(text):
        near = f"https://{text}" if "." in _host_of(f"https://{text}") and len(text.split()) == 1 else "https://…"
        raise NotationError(f"`{text}` is not a web address", f"write `{near}`")
    return text


def next_of(value: Any) -> Any:
    """What comes next as a mapping, of which a plain text is the name."""
    if isinstance(value, str):
        return {"name": value}
    if not isinstance(value, Mapping) or "playbook" not in value:
        raise NotationError("this leads nowhere", "name a step or an ending, or write `{playbook: slug}`")
    if "name" in value:
        raise NotationError("unknown key `name`", "name a step or an ending, or write `{playbook: slug}`", "name")
    return value


Text = Annotated[str, parsed_by(_within(limits.TEXT)), in_notation("text")]
Markdown = Annotated[str, parsed_by(_within(limits.PROSE)), in_notation("prose")]
Identifier = Annotated[str, parsed_by(_identifier), in_notation("name")]
CauseName = Annotated[str, parsed_by(_cause_name), in_notation("cause-name")]
Money = Annotated[Amount, parsed_by(lambda value: parse_amount(value, parse_money)), in_notation("money")]
Minutes = Annotated[Amount, parsed_by(lambda value: parse_amount(value, parse_minutes)), in_notation("time")]
Figure = Annotated[float, parsed_by(_figure), in_notation("figure")]
Percent = Annotated[Fraction, parsed_by(lambda value: parse_percent(_text(value))), in_notation("percent")]
ResultChance = Annotated[Chance, parsed_by(parse_chance), in_notation("chance")]
Quantity = Annotated[int, parsed_by(_quantity), in_notation("quantity")]
YesOrNo = Annotated[bool, parsed_by(_yes_or_no), in_notation("yes-or-no")]
Language = Annotated[str, parsed_by(_language), in_notation("language")]
Currency = Annotated[str, parsed_by(_currency), in_notation("currency")]
WebAddress = Annotated[str, parsed_by(_web_address), in_notation("web-address")]
Code = Annotated[str, parsed_by(_filled), in_notation("code")]
Month = Annotated[str, parsed_by(_month), in_notation("month")]
Count = Annotated[int, parsed_by(_count), in_notation("count")]
Wait = Annotated[Amount, parsed_by(lambda value: parse_amount(value, parse_wait)), in_notation("wait")]
Stretch = Annotated[Range, parsed_by(lambda value: parse_range(_text(value))), in_notation("range")]
Texts = Annotated[tuple[Text, ...], Field(max_length=limits.ENTRIES.most)]
Names = Annotated[tuple[Identifier, ...], Field(max_length=limits.ENTRIES.most)]
OldNames = Annotated[tuple[Identifier, ...], Field(max_length=limits.WAS.most)]
Answers = Annotated[dict[Identifier, Text], Field(max_length=limits.ENTRIES.most)]


class Record(BaseModel):
    """What all records are: frozen, and without keys that the format does not know."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        arbitrary_types_allowed=True,
        model_title_generator=lambda kind: re.sub(r"(?<=[a-z])[A-Z]", lambda big: f" {big[0].lower()}", kind.__name__),
    )
