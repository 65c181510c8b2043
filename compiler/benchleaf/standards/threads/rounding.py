"""Powers, roundings and preferred numbers as the thread standards use them, without floats."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache

from benchleaf.exact import decimal_string

__all__ = ["INCH", "figure", "power", "preferred", "rounded", "size_text"]

INCH = Fraction(127, 5)
_PRECISE = Context(prec=50)


@lru_cache(maxsize=2048)
def power(base: Fraction, exponent: Fraction) -> Fraction:
    """``base`` to a rational exponent, good to some 45 digits.  Raises ValueError for a base that is not positive."""
    if base <= 0:
        raise ValueError("the base of a power must be positive")
    ground = _PRECISE.divide(Decimal(base.numerator), Decimal(base.denominator))
    height = _PRECISE.divide(Decimal(exponent.numerator), Decimal(exponent.denominator))
    return Fraction(_PRECISE.power(ground, height))


def rounded(value: Fraction, places: int) -> Fraction:
    """Nearest multiple of 10**-places, halves away from zero, as printed tables do."""
    scale = Fraction(10) ** places
    whole = int(abs(value) * scale + Fraction(1, 2))
    return Fraction(whole if value >= 0 else -whole) / scale


def preferred(value: Fraction, series: Sequence[Fraction]) -> Fraction:
    """The preferred number nearest to ``value`` by ratio; ``series`` is one ascending decade from 1 to 10, both ends included."""
    decade = Fraction(1)
    while value >= 10 * decade:
        decade *= 10
    while value < decade:
        decade /= 10
    share = value / decade
    place = bisect_left(series, share)
    if series[place] == share or place == 0:
        return series[place] * decade
    low, high = series[place - 1], series[place]
    return (low if share * share < low * high else high) * decade


def figure(value: Fraction, places: int = 4) -> str:
    """A number for a formula in words: at most ``places`` decimals, no trailing noughts."""
    return decimal_string(rounded(value, places))


def size_text(value: Fraction) -> str:
    """A size as it is written in a designation: decimal when it ends within 12 places, else a fraction."""
    text = decimal_string(value, 30)
    return text if Fraction(text) == value and len(text.partition(".")[2]) <= 12 else f"{value.numerator}/{value.denominator}"
