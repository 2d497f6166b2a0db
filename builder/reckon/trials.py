"""Repeat trials: how sure one can be that an intermittent fault is gone after trials in which it did not show."""

from fractions import Fraction
from math import ceil, expm1, log, log1p
from typing import Final

SURE: Final = Fraction(95, 100)
"""How sure pages want to be before a fault is called gone."""


def clean_trials_needed(shows: Fraction, sure: Fraction = SURE) -> int:
    """How many clean trials make one ``sure``: the least n with (1 − shows)^n ≤ 1 − sure, and at least 1.

    Source: a fault that shows in a share p of trials stays hidden through n of them with chance (1 − p)^n, so
    n = ceil(ln(1 − c) / ln(1 − p)).

    Raises:
        ValueError: ``shows`` is not above 0 and at most 1, or ``sure`` is not between 0 and 1.
    """
    if not 0 < shows <= 1 or not 0 < sure < 1:
        raise ValueError("shows must be in (0, 1] and sure in (0, 1)")
    if shows == 1:
        return 1
    estimate = max(1, ceil(log(1 - sure) / log1p(-shows)))
    if estimate > 1000:
        return estimate
    # Exact where it matters: the logarithms can be off by one where the ratio is a whole number.
    while (1 - shows) ** estimate > 1 - sure:
        estimate += 1
    while estimate > 1 and (1 - shows) ** (estimate - 1) <= 1 - sure:
        estimate -= 1
    return estimate


def sure_after(shows: Fraction, clean: int) -> float:
    """How sure one can be after so many clean trials, a share of 1: 1 − (1 − shows)^clean."""
    if shows == 1:
        return float(clean > 0)
    return abs(expm1(clean * log1p(-shows)))
