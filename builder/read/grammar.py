"""The grammar of the notation: how numbers, times, percentages and names are written, once for parser and schema.

Every pattern is one that Python's ``re`` and ECMA-262 (as JSON Schema asks) read alike: no named groups, no anchors.
``<n>`` in a template stands for a number, ``<d>`` for a number of days.
"""

from typing import Final

NUMBER: Final = r"[0-9]{1,9}(?:\.[0-9]{1,6})?"
SIGNED: Final = rf"-?{NUMBER}"
DAYS: Final = r"[0-9]{1,3}"
NAME: Final = r"[a-z0-9-]+"
PERCENT: Final = r"(?:100(?:\.0{1,6})?|[0-9]{1,2}(?:\.[0-9]{1,6})?) ?%"
CODE: Final = r"[PCBU][0-3][0-9A-F]{3}"
QUANTITY: Final = r"(?!0+$)[0-9]{1,3}"
LANGUAGE: Final = r"[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8}){0,3}"
CURRENCY: Final = r"[A-Z]{3}"
WEB_ADDRESS: Final = r"https?://\S+"
MONTH: Final = r"[0-9]{4}-(?:0[1-9]|1[0-2])"

_CLOCK: Final = "(?:<n> ?h(?: ?<n> ?min)?(?: ?<n> ?s)?|<n> ?min(?: ?<n> ?s)?|<n> ?s)"
_ISO_8601: Final = "P(?=[0-9T])(?:<d>D)?(?:T(?=[0-9])(?:<n>H)?(?:<n>M)?(?:<n>S)?)?"
_SPAN: Final = "<n> ?(?:h|hours?|nights?|days?|weeks?)"
_ISO_SPAN: Final = "P(?=[0-9T])(?:<d>W)?(?:<d>D)?(?:T(?=[0-9])(?:<n>H)?)?"


def plain(template: str) -> str:
    """A template as a pattern without groups."""
    return template.replace("<n>", NUMBER).replace("<d>", DAYS)


def grouped(template: str) -> str:
    """A template as a pattern with a group around each of its numbers, in their order."""
    return template.replace("<n>", f"({NUMBER})").replace("<d>", f"({DAYS})")


CLOCK: Final = plain(_CLOCK)
CLOCK_PARTS: Final = grouped(_CLOCK)
"""Groups: h, min, s; min, s; s."""

ISO_8601: Final = plain(_ISO_8601)
ISO_8601_PARTS: Final = grouped(_ISO_8601)
"""Groups: days, hours, minutes, seconds."""

SPAN: Final = plain(_SPAN)
SPAN_PARTS: Final = "(<n>) ?(h|hours?|nights?|days?|weeks?)".replace("<n>", NUMBER)
"""Groups: number, unit."""

ISO_SPAN: Final = plain(_ISO_SPAN)
ISO_SPAN_PARTS: Final = grouped(_ISO_SPAN)
"""Groups: weeks, days, hours."""

TIME: Final = f"(?:{CLOCK}|{ISO_8601})"
WAIT: Final = f"(?:{SPAN}|{ISO_SPAN})"

MONEY_AMOUNT: Final = f"{NUMBER}(?: *- *{NUMBER})?"
TIME_AMOUNT: Final = rf"0|{TIME}(?: *- *(?:0|{TIME}))?|{NUMBER} *- *{NUMBER} ?(?:h|min|s)|0 *- *(?:0|{ISO_8601})"
"""A bare 0 is the one time that needs no unit; a bare low end takes the unit of a high end that has one."""

WAIT_AMOUNT: Final = rf"0|{WAIT}(?: *- *(?:0|{WAIT}))?|{NUMBER} *- *{SPAN}|0 *- *(?:0|{ISO_SPAN})"
RANGE: Final = rf"(?:below {SIGNED}|above {SIGNED}|{SIGNED} *- *{SIGNED})"
RANGE_PARTS: Final = rf"(?:below ({SIGNED})|above ({SIGNED})|({SIGNED}) *- *({SIGNED}))"
"""Groups: below, above, from, to."""
