"""Amounts added up: low, likely and high as sums, mean and spread by PERT.

Source: Malcolm, Roseboom, Clark and Fazar, "Application of a Technique for Research and Development Program
Evaluation", Operations Research 7 (1959): mean (low + 4·likely + high)/6, standard deviation (high − low)/6.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
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


def whole_sum(numbers: Iterable[int]) -> int:
    """The sum of whole numbers.

    The built-in ``sum`` stands nowhere else in this room: from Python 3.12 on it adds floats in another way, and the
    same library would give other figures. Floats are added with :func:`math.fsum`, which rounds once.
    """
    return sum(numbers)


def exact_sum(fractions: Iterable[Fraction]) -> Fraction:
    """The sum of fractions; 0 of none."""
    return sum(fractions, Fraction(0))


def share_sum(shares: Iterable[float]) -> float:
    """The sum of shares of 1 that exclude each other, which is never more than 1, whatever their last digits are."""
    return min(1.0, fsum(shares))


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
