"""Exact and high-precision numbers without floats.

A rational number stays a :class:`fractions.Fraction`.  Irrational ones (pi, roots, trigonometry) are
Fractions good to at least ``DIGITS`` significant decimals, so that they round the same way on every machine.  Whoever
makes a figure from one must say that it is not rational.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from functools import lru_cache
from math import isqrt

__all__ = ["DIGITS", "PI", "atan_degrees", "cos_degrees", "sin_degrees", "sqrt", "tan_degrees"]

DIGITS = 40
PI = Fraction(31415926535897932384626433832795028841971693993751, 10**49)
_SCALE = 10 ** (DIGITS + 10)


def _trim(value: Fraction) -> Fraction:
    """Keep 50 decimals: long sums of Fractions would otherwise grow without end."""
    return Fraction(round(value * _SCALE), _SCALE)


@lru_cache(maxsize=1024)
def sqrt(value: Fraction) -> Fraction:
    """Square root of a non-negative number; exact when ``value`` is the square of a rational.

    Raises ValueError below zero.
    """
    if value < 0:
        raise ValueError("square root of a negative number")
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom)
    return Fraction(isqrt(value.numerator * _SCALE * _SCALE // value.denominator), _SCALE)


@lru_cache(maxsize=1024)
def _sin_cos(degrees: Fraction) -> tuple[Fraction, Fraction]:
    angle = _trim((degrees % 360) * PI / 180)
    sine, cosine, term, power = Fraction(0), Fraction(0), Fraction(1), 0
    while abs(term) > Fraction(1, _SCALE):
        sign = -1 if power % 4 > 1 else 1
        if power % 2:
            sine += sign * term
        else:
            cosine += sign * term
        power += 1
        term = _trim(term * angle / power)
    return _trim(sine), _trim(cosine)


def sin_degrees(degrees: Fraction) -> Fraction:
    """Sine of an angle in degrees."""
    exact = {0: Fraction(0), 30: Fraction(1, 2), 90: Fraction(1), 150: Fraction(1, 2), 180: Fraction(0)}
    return exact[int(degrees)] if degrees in exact else _sin_cos(degrees)[0]


def cos_degrees(degrees: Fraction) -> Fraction:
    """Cosine of an angle in degrees."""
    return sin_degrees(degrees + 90) if degrees in (0, 60, 90) else _sin_cos(degrees)[1]


@lru_cache(maxsize=1024)
def tan_degrees(degrees: Fraction) -> Fraction:
    """Tangent of an angle in degrees.  Raises ZeroDivisionError at 90."""
    return Fraction(1) if degrees == 45 else _trim(sin_degrees(degrees) / cos_degrees(degrees))


@lru_cache(maxsize=1024)
def atan_degrees(ratio: Fraction) -> Fraction:
    """The angle in degrees, from -90 to 90, whose tangent is ``ratio``."""
    if ratio < 0:
        return -atan_degrees(-ratio)
    if ratio > 1:
        return 90 - atan_degrees(1 / ratio)
    # Halve the angle until the series runs fast: atan x = 2 atan(x / (1 + sqrt(1 + x^2))).
    halvings = 0
    value = ratio
    while value > Fraction(1, 10):
        value = _trim(value / (1 + sqrt(_trim(1 + value * value))))
        halvings += 1
    total, power, square, place = Fraction(0), value, _trim(value * value), 1
    while power > Fraction(1, _SCALE):
        total += (power if place % 4 == 1 else -power) / place
        power = _trim(power * square)
        place += 2
    return _trim(total * 2**halvings * 180 / PI)


def decimal_string(value: Fraction, significant: int = 15) -> str:
    """``value`` in plain decimal notation: in full when it terminates within 30 digits, else rounded."""
    denominator = value.denominator
    for prime in (2, 5):
        while denominator % prime == 0:
            denominator //= prime
    precise = Context(prec=30 if denominator == 1 else significant, rounding=ROUND_HALF_EVEN)
    quotient = precise.divide(Decimal(value.numerator), Decimal(value.denominator))
    text = format(quotient, "f")
    return (text.rstrip("0").rstrip(".") or "0") if "." in text else text
