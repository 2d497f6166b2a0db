"""Hazards that always exist, and the words that call for a hazard."""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final

SIGNALS: Final = ("danger", "warning", "caution", "notice")
"""Signal words of ANSI Z535.6, most severe first."""

TIMING: Final = "timing"
LIFTING: Final = "lifting"

BANNER: Final = (TIMING, LIFTING)
"""Hazards that put the banner on a page."""

ALWAYS: Final[Mapping[str, Mapping[str, Any]]] = {
    TIMING: {
        "name": "Timing drive",
        "signal": "warning",
        "harm": "A mistake on the timing drive can wreck the engine and the parts it throws can injure you.",
        "avoid": "Follow the workshop manual for locking tools, marks and tightening. "
        "Turn the engine by hand twice before starting it. If in doubt, leave it to a professional.",
        "words": (
            "timing belt",
            "timing chain",
            "timing drive",
            "timing cover",
            "timing mark",
            "timing marks",
            "cambelt",
            "cam belt",
            "camshaft sprocket",
        ),
    },
    LIFTING: {
        "name": "Lifting the car",
        "signal": "danger",
        "harm": "A car that slips off a jack crushes and kills whoever is under or beside it.",
        "avoid": "Use level, hard ground, chocks and rated axle stands at the lifting points of the workshop manual. "
        "Never go under a car that only a jack holds.",
        "words": (
            "jack",
            "jacks",
            "jacked",
            "jacking",
            "axle stand",
            "axle stands",
            "jack up",
            "raise the car",
            "lift the car",
            "ramps",
        ),
    },
}


@lru_cache(maxsize=256)
def word_pattern(words: tuple[str, ...]) -> re.Pattern[str] | None:
    """Finds any of the words as whole words, in any case, with white space or hyphens between; ``None`` for none."""
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    bodies = (r"[\s\-‐‑]+".join(re.escape(part) for part in word.split()) for word in longest_first)
    choice = "|".join(body for body in bodies if body)
    return re.compile(rf"(?<!\w)(?:{choice})(?!\w)", re.IGNORECASE) if choice else None
