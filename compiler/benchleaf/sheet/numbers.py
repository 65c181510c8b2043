"""Rounding and printed forms: the only place where a figure loses digits.

Shown digits are fixed per unit and chosen here, never in an operation and never in a template.
"""

from __future__ import annotations

from fractions import Fraction

__all__ = ["fixed", "in_steps", "round_half_up", "signed"]

MINUS = "\u2212"  # a real minus sign, not a hyphen


def round_half_up(value: Fraction, places: int) -> Fraction:
    """Nearest multiple of 10**-places, halves away from zero (as the standards' tables do)."""
    scale = 10**places
    scaled = abs(value) * scale
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    return Fraction(whole if value >= 0 else -whole, scale)


def fixed(value: Fraction, places: int) -> str:
    """Decimal text with exactly ``places`` decimals; minus sign for negatives, '0' never signed."""
    rounded = round_half_up(value, places)
    scaled = abs(rounded.numerator) * 10**places // rounded.denominator
    digits = str(scaled).rjust(places + 1, "0")
    text = digits if places == 0 else f"{digits[:-places]}.{digits[-places:]}"
    return f"{MINUS}{text}" if rounded < 0 else text


def signed(value: Fraction, places: int) -> str:
    """Like :func:`fixed` with a plus sign for positives: errors must show which way they go."""
    text = fixed(value, places)
    return f"+{text}" if round_half_up(value, places) > 0 else text


def in_steps(value: Fraction, step: Fraction) -> int:
    """How many graduations of size ``step`` come nearest to ``value`` (halves up)."""
    return int(round_half_up(value / step, 0))
