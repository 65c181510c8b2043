"""Simple ratios within an uncertainty, and how many turns settle between them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

__all__ = ["candidates", "simplest", "turns_to_settle"]


def simplest(low: Fraction, high: Fraction) -> Fraction:
    """The fraction with the smallest denominator (and numerator) from ``low`` to ``high``, both above 0.  Raises ValueError otherwise."""
    if not 0 < low <= high:
        raise ValueError("limits must be above 0 and in order")
    whole = ceil(low)
    if whole <= high:
        return Fraction(whole)
    below = floor(low)
    return below + 1 / simplest(1 / (high - below), 1 / (low - below))


def candidates(low: Fraction, high: Fraction, largest: int) -> tuple[Fraction, ...]:
    """Every fraction from ``low`` to ``high`` with numerator and denominator up to ``largest``, simplest (smallest sum) first."""
    found = {
        Fraction(top, bottom)
        for bottom in range(1, largest + 1)
        for top in range(max(1, ceil(low * bottom)), min(largest, floor(high * bottom)) + 1)
    }
    return tuple(sorted(found, key=lambda ratio: (ratio.numerator + ratio.denominator, ratio)))


def turns_to_settle(one: Fraction, other: Fraction, give_or_take: Fraction) -> int:
    """Fewest whole turns after which no reading good to ``give_or_take`` (mm) suits both leads (mm per turn).

    Raises ValueError when the leads are equal.
    """
    if one == other:
        raise ValueError("equal leads cannot be told apart")
    return floor(2 * give_or_take / abs(one - other)) + 1
