"""Amounts added up: low, likely and high as sums, mean and spread by PERT.

Source: Malcolm, Roseboom, Clark and Fazar, "Application of a Technique for Research and Development Program
Evaluation", Operations Research 7 (1959): mean (low + 4·likely + high)/6, standard deviation (high − low)/6.
"""

from collections.abc import Sequence
from math import fsum, sqrt
from typing import NamedTuple

from builder.read.notation import Amount


class Sum(NamedTuple):
    """A sum of independent amounts, in the unit of the amounts."""

    low: float
    likely: float
    high: float
    mean: float
    sd: float


def mean(amount: Amount) -> float:
    """The mean of an amount by PERT: (low + 4 · likely + high) / 6 (Malcolm et al. 1959)."""
    return (amount.low + 4 * amount.likely + amount.high) / 6


def times(amount: Amount, factor: float) -> Amount:
    """One amount taken ``factor`` times; it stays one quantity, so its spread grows with the factor."""
    return Amount(amount.low * factor, amount.likely * factor, amount.high * factor)


def add_up(amounts: Sequence[Amount]) -> Sum:
    """The sum of independent amounts; the same for any order of them (:func:`math.fsum` rounds once)."""
    return Sum(
        fsum(amount.low for amount in amounts),
        fsum(amount.likely for amount in amounts),
        fsum(amount.high for amount in amounts),
        fsum(mean(amount) for amount in amounts),
        sqrt(fsum(((amount.high - amount.low) / 6) ** 2 for amount in amounts)),
    )
