"""The rules: every id that a finding may have, what it means, and an example of wrong and right.

The examples are changes to the library of :mod:`builder.format.worked`, so that each can be tried.
"""

from collections.abc import Iterator, Mapping
from typing import Final

from builder.format.rules.advice import ADVICE
from builder.format.rules.files import FILES
from builder.format.rules.names import NAMES
from builder.format.rules.odds import ODDS
from builder.format.rules.readings import READINGS
from builder.format.rules.rule import Rule
from builder.format.rules.safety import SAFETY
from builder.format.rules.shape import SHAPE
from builder.format.rules.syntax import YAML
from builder.format.rules.texts import TEXTS
from builder.format.rules.way import WAY

GROUPS: Final[Mapping[str, tuple[Rule, ...]]] = {
    "Files": FILES,
    "YAML": YAML,
    "Shape and notation": SHAPE,
    "Readings": READINGS,
    "Names": NAMES,
    "The way through": WAY,
    "Shares, chances and time": ODDS,
    "Safety": SAFETY,
    "Texts": TEXTS,
    "Advice from the numbers": ADVICE,
}
"""Every rule, by what it is about."""


def all_rules() -> Iterator[Rule]:
    """Every rule, group by group."""
    for rules in GROUPS.values():
        yield from rules
