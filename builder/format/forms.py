"""Forms: the notation as JSON Schema, for editors that check while one types.

Editors read typed values (``0``, ``12.5``, ``true``) where this library reads text, so a form takes whatever an author
naturally writes. Each keyword of JSON Schema speaks to values of one type alone; a form of several types therefore
holds the keywords of each, and a mistake is reported against the one that was meant.

Patterns cannot compare numbers: that a range runs upwards only the checks can say.
"""

from collections.abc import Mapping
from typing import Any, Final

from builder.read import grammar, limits
from builder.read.notation import ALL, OTHERWISE, REST, UNLISTED

Form = dict[str, Any]

_NAME: Final = f"^{grammar.NAME}$"

MESSAGE: Final = "patternErrorMessage"
"""What editors say where a pattern does not fit; a keyword of their own, which validators pass over."""

TEXT: Final[Form] = {
    "type": ["string", "number", "boolean"],
    "pattern": r"\S",
    MESSAGE: "fill it in",
    "maxLength": limits.TEXT.most,
}
PROSE: Final[Form] = {**TEXT, "maxLength": limits.PROSE.most}
NAME: Final[Form] = {
    "type": ["string", "integer"],
    "pattern": _NAME,
    MESSAGE: "use small letters a-z, digits and hyphens only",
    "maxLength": limits.NAME.most,
}
CAUSE_NAME: Final[Form] = {
    **NAME,
    "pattern": f"^(?!(?:{ALL}|{OTHERWISE}|{REST}|{UNLISTED})$){grammar.NAME}$",
    MESSAGE: "use small letters a-z, digits and hyphens only; `all`, `otherwise`, `rest` and `unlisted` are taken",
}
KEYS: Final[Form] = {"pattern": _NAME, "maxLength": limits.NAME.most}
CODE: Final[Form] = {
    "type": "string",
    "pattern": f"^{grammar.CODE}$",
    MESSAGE: "write a trouble code such as P0128",
}
FORMAT: Final[Form] = {"enum": [1, "1"]}
YES_OR_NO: Final[Form] = {"enum": [True, False, "true", "false"]}
QUANTITY: Final[Form] = {
    "type": ["integer", "string"],
    "minimum": 1,
    "maximum": 999,
    "pattern": f"^{grammar.QUANTITY}$",
}
LANGUAGE: Final[Form] = {"type": "string", "pattern": f"^{grammar.LANGUAGE}$"}
CURRENCY: Final[Form] = {"type": "string", "pattern": f"^{grammar.CURRENCY}$"}
WEB_ADDRESS: Final[Form] = {"type": "string", "pattern": f"^{grammar.WEB_ADDRESS}$"}
PERCENT: Final[Form] = {
    "type": "string",
    "pattern": f"^{grammar.PERCENT}$",
    MESSAGE: "write a percentage such as 70%",
}


def _amount(figure: Form, pattern: str, message: str, examples: tuple[Any, Any, Any]) -> Form:
    """One value, a range, or a mapping of the three values that ``figure`` takes."""
    words = (("low", "the least"), ("likely", "the likeliest"), ("high", "the most"))
    three = {
        name: {"title": name.capitalize(), "description": f"What is {least}.", "examples": [example], **figure}
        for (name, least), example in zip(words, examples, strict=True)
    }
    return {
        **figure,
        "type": [*figure["type"], "object"],
        "pattern": f"^(?:{pattern})$",
        MESSAGE: message,
        "properties": three,
        "required": list(three),
        "additionalProperties": False,
    }


FIGURE: Final[Form] = {
    "type": ["number", "string"],
    "minimum": 0,
    "exclusiveMaximum": 1_000_000_000,
    "pattern": f"^{grammar.NUMBER}$",
    MESSAGE: "write a plain number such as 12 or 12.50",
}
MONEY: Final = _amount(
    FIGURE,
    grammar.MONEY_AMOUNT,
    "write a plain number such as 12 or 12.50, or a range such as 10-20",
    (10, 12.5, 20),
)
TIME: Final = _amount(
    {
        "type": ["integer", "string"],
        "minimum": 0,
        "maximum": 0,
        "pattern": f"^(?:0|{grammar.TIME})$",
        MESSAGE: "write a time with its unit, such as 25 min or 1 h 30 min",
    },
    grammar.TIME_AMOUNT,
    "write a time with its unit, such as 25 min, 1 h 30 min, 10-20 min or PT1H30M",
    ("5 min", "10 min", "20 min"),
)
WAIT: Final = _amount(
    {
        "type": ["integer", "string"],
        "minimum": 0,
        "maximum": 0,
        "pattern": f"^(?:0|{grammar.WAIT})$",
        MESSAGE: "write a wait with its unit, such as 12 h, 2 nights or 1 week",
    },
    grammar.WAIT_AMOUNT,
    "write a wait with its unit, such as 12 h, 2 nights, 1-3 days or P2D",
    ("1 day", "2 days", "1 week"),
)
RANGE: Final[Form] = {
    "type": "string",
    "pattern": f"^{grammar.RANGE}$",
    MESSAGE: "write below 12.4, 12.4-12.6 or above 12.6",
}
MONTH: Final[Form] = {"type": "string", "pattern": f"^{grammar.MONTH}$", MESSAGE: "write a year and a month: 2026-03"}
COUNT: Final[Form] = {"type": ["integer", "string"], "minimum": 0, "pattern": "^[0-9]{1,9}$"}

CHANCE: Final[Form] = {
    "type": ["string", "object"],
    "pattern": f"^(?:{REST}|{grammar.PERCENT})$",
    MESSAGE: "write rest, a percentage such as 70%, or percentages by cause",
    "minProperties": 1,
    "properties": {
        "otherwise": {
            **PERCENT,
            "title": "Otherwise",
            "description": "The chance under every cause that is not named here.",
            "examples": ["3%"],
        }
    },
    "propertyNames": KEYS,
    "additionalProperties": PERCENT,
}
NEXT: Final[Form] = {
    "type": ["string", "integer", "object"],
    "pattern": _NAME,
    "maxLength": limits.NAME.most,
    MESSAGE: "name a step or an ending, or write {playbook: slug}",
    "properties": {
        "playbook": {
            **NAME,
            "title": "Playbook",
            "description": "The slug of the playbook that takes over; the path ends here.",
            "examples": ["slow-warm-up"],
        }
    },
    "required": ["playbook"],
    "additionalProperties": False,
}
PARTS: Final[Form] = {
    "type": ["array", "object"],
    "maxProperties": limits.ENTRIES.most,
    "items": NAME,
    "propertyNames": KEYS,
    "additionalProperties": QUANTITY,
}
SETTLES: Final[Form] = {
    "type": ["array", "string"],
    "items": NAME,
    "pattern": "^all$",
    "maxItems": limits.ENTRIES.most,
}
AFTER: Final[Form] = {
    "type": ["array", "object"],
    "items": NAME,
    "propertyNames": KEYS,
    "additionalProperties": {"type": "array", "items": NAME, "maxItems": limits.ENTRIES.most},
    "maxProperties": limits.ENTRIES.most,
}

AREA: Final[Form] = {
    "type": ["string", "object"],
    "pattern": r"\S",
    "properties": {
        "title": {**TEXT, "title": "Title", "description": "What people read.", "examples": ["Brakes"]},
        "implies": {
            "title": "Implies",
            "description": "Hazards that every step and ending of the area has or answers.",
            "examples": [["lifting"]],
            "type": "array",
            "items": NAME,
            "maxItems": limits.ENTRIES.most,
        },
    },
    "required": ["title"],
    "additionalProperties": False,
}

FORMS: Final[Mapping[str, Form]] = {
    "text": TEXT,
    "prose": PROSE,
    "name": NAME,
    "cause-name": CAUSE_NAME,
    "money": MONEY,
    "time": TIME,
    "wait": WAIT,
    "figure": FIGURE,
    "percent": PERCENT,
    "chance": CHANCE,
    "quantity": QUANTITY,
    "count": COUNT,
    "range": RANGE,
    "month": MONTH,
    "yes-or-no": YES_OR_NO,
    "language": LANGUAGE,
    "currency": CURRENCY,
    "web-address": WEB_ADDRESS,
    "code": CODE,
    "next": NEXT,
    "parts": PARTS,
    "settles": SETTLES,
    "after": AFTER,
    "area": AREA,
    "format": FORMAT,
}
"""The form of each notation, by the name under which the record types speak of it."""
