"""Angles as they are said and set."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.sheet.numbers import fixed, in_steps
from benchleaf.workshop.lathe import TopSlide

__all__ = ["by_eye", "degrees_text", "slide_scale"]

_BY_EYE = 10  # a tenth of a division is what a careful eye parts on a swivel scale; common practice


def degrees_text(degrees: Fraction) -> str:
    """An angle in degrees and minutes: '2 deg 51.7 min'; whole minutes without a decimal."""
    tenths = round(degrees * 600)
    whole, rest = divmod(tenths, 600)
    minutes = f"{rest // 10}" if rest % 10 == 0 else f"{rest // 10}.{rest % 10}"
    return f"{whole} deg {minutes} min" if rest else f"{whole} deg"


def slide_scale(half_angle: Fraction, slide: TopSlide) -> Fraction:
    """What the swivel scale of a top slide reads when the slide lies at ``half_angle`` to the bed, degrees."""
    return half_angle if slide.scale_zero.value == "along the bed" else 90 - half_angle


def by_eye(degrees: Fraction, division: Fraction) -> str:
    """An angle as it can be set on a scale: to a tenth of its division."""
    step = division / _BY_EYE
    places = next((number for number in range(4) if (step * 10**number).denominator == 1), 3)
    return fixed(in_steps(degrees, step) * step, places)
