"""Hazards that always exist; the words that call for them are data, in ``words/``."""

from collections.abc import Mapping
from typing import Any, Final

SIGNALS: Final = ("danger", "warning", "caution", "notice")
"""Signal words of ANSI Z535.6, most severe first."""

TIMING: Final = "timing"
LIFTING: Final = "lifting"

BANNER: Final = (TIMING, LIFTING)
"""Hazards that put the banner on a page."""

BUILT_IN: Final[Mapping[str, Mapping[str, Any]]] = {
    TIMING: {
        "name": "Timing drive",
        "signal": "warning",
        "harm": "A mistake on the timing drive can wreck the engine and the parts it throws can injure you.",
        "avoid": "Follow the workshop manual for locking tools, marks and tightening. "
        "Turn the engine by hand twice before starting it. If in doubt, leave it to a professional.",
    },
    LIFTING: {
        "name": "Lifting the car",
        "signal": "danger",
        "harm": "A car that slips off a jack crushes and kills whoever is under or beside it.",
        "avoid": "Use level, hard ground, chocks and rated axle stands at the lifting points of the workshop manual. "
        "Never go under a car that only a jack holds.",
    },
}
