"""Tapers: set-over of the tailstock, angle of an attachment.

Lengths in mm, angles in degrees; a taper is a change of diameter per length.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import atan_degrees, sqrt

__all__ = ["axial_share", "half_angle", "set_over"]


def half_angle(taper: Fraction) -> Fraction:
    """Angle between the taper's side and its axis, degrees: atan(taper / 2).  Source: plane geometry."""
    return atan_degrees(taper / 2)


def set_over(taper: Fraction, between_centres: Fraction) -> Fraction:
    """How far the tailstock is set over, mm: half the taper times the whole length between centres, however short the tapered part.

    Source: the handbooks' rule; plane geometry with the length measured along the bed, within a twentieth of a per cent at 1:16.
    """
    return between_centres * taper / 2


def axial_share(taper: Fraction) -> Fraction:
    """Lead along the work for one of the saddle's along the bed, with the tailstock set over: cos of the half angle.

    Source: plane geometry.
    """
    return 1 / sqrt(1 + taper * taper / 4)
