"""Forms: the notation as JSON Schema, for editors that check while one types.

Editors read typed values (``0``, ``12.5``, ``true``) where this library reads text, so a form takes whatever an author
naturally writes. Each keyword of JSON Schema speaks to values of one type alone; a form of several types therefore
holds the keywords of each, and a mistake is reported against the one that was meant.

Patterns cannot compare numbers: that a range runs upwards only the checks can say.
"""

from typing import Any, Final

Form = dict[str, Any]

_NUMBER: Final = r"[0-9]{1,9}(\.[0-9]{1,6})?"
_CLOCK: Final = rf"({_NUMBER} ?h( ?{_NUMBER} ?min)?|{_NUMBER} ?min)"
_ISO_8601: Final = rf"P(?=[0-9T])([0-9]{{1,3}}D)?(T(?=[0-9])({_NUMBER}H)?({_NUMBER}M)?({_NUMBER}S)?)?"
_TIME: Final = rf"({_CLOCK}|{_ISO_8601})"
_PERCENT: Final = r"(100(\.0{1,6})?|[0-9]{1,2}(\.[0-9]{1,6})?) ?%"
_NAME: Final = "^[a-z0-9-]+$"

MESSAGE: Final = "patternErrorMessage"
"""What editors say where a pattern does not fit; a keyword of their own, which validators pass over."""

TEXT: Final[Form] = {"type": ["string", "number", "boolean"], "pattern": r"\S", MESSAGE: "fill it in"}
NAME: Final[Form] = {
    "type": ["string", "integer"],
    "pattern": _NAME,
    MESSAGE: "use small letters a-z, digits and hyphens only",
}
CAUSE_NAME: Final[Form] = {
    **NAME,
    "pattern": "^(?!(all|otherwise|rest|unlisted)$)[a-z0-9-]+$",
    MESSAGE: "use small letters a-z, digits and hyphens only; `all`, `otherwise`, `rest` and `unlisted` are taken",
}
KEYS: Final[Form] = {"pattern": _NAME}
CODE: Final[Form] = {
    "type": "string",
    "pattern": "^[PCBU][0-3][0-9A-F]{3}$",
    MESSAGE: "write a trouble code such as P0128",
}
FORMAT: Final[Form] = {"enum": [1, "1"]}
YES_OR_NO: Final[Form] = {"enum": [True, False, "true", "false"]}
QUANTITY: Final[Form] = {
    "type": ["integer", "string"],
    "minimum": 1,
    "maximum": 999,
    "pattern": "^(?!0+$)[0-9]{1,3}$",
}
LANGUAGE: Final[Form] = {"type": "string", "pattern": "^[A-Za-z]{2,3}([-_][A-Za-z0-9]{2,8}){0,3}$"}
CURRENCY: Final[Form] = {"type": "string", "pattern": "^[A-Z]{3}$"}
WEB_ADDRESS: Final[Form] = {"type": "string", "pattern": r"^https?://\S+$"}
PERCENT: Final[Form] = {
    "type": "string",
    "pattern": f"^{_PERCENT}$",
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
        "pattern": f"^({pattern})$",
        MESSAGE: message,
        "properties": three,
        "required": list(three),
        "additionalProperties": False,
    }


FIGURE: Final[Form] = {
    "type": ["number", "string"],
    "minimum": 0,
    "exclusiveMaximum": 1_000_000_000,
    "pattern": f"^{_NUMBER}$",
    MESSAGE: "write a plain number such as 12 or 12.50",
}
MONEY: Final = _amount(
    FIGURE,
    rf"{_NUMBER}( *- *{_NUMBER})?",
    "write a plain number such as 12 or 12.50, or a range such as 10-20",
    (10, 12.5, 20),
)
# A bare 0 is the one time that needs no unit, and a bare low end takes the unit of a high end that has one.
TIME: Final = _amount(
    {
        "type": ["integer", "string"],
        "minimum": 0,
        "maximum": 0,
        "pattern": f"^(0|{_TIME})$",
        MESSAGE: "write a time with its unit, such as 25 min or 1 h 30 min",
    },
    rf"0|{_TIME}( *- *(0|{_TIME}))?|{_NUMBER} *- *{_NUMBER} ?(h|min)|0 *- *(0|{_ISO_8601})",
    "write a time with its unit, such as 25 min, 1 h 30 min, 10-20 min or PT1H30M",
    ("5 min", "10 min", "20 min"),
)

CHANCE: Final[Form] = {
    "type": ["string", "object"],
    "pattern": f"^(rest|{_PERCENT})$",
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
    "items": NAME,
    "propertyNames": KEYS,
    "additionalProperties": QUANTITY,
}
SETTLES: Final[Form] = {"type": ["array", "string"], "items": NAME, "pattern": "^all$"}
