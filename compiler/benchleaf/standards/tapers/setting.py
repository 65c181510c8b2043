"""Setting a lathe to a taper: clocking the top slide, tailstock set-over, taper attachment, and what an error costs.

Lengths in mm, angles in degrees.  Plane geometry throughout, exact to the figures of :mod:`benchleaf.exact`; a reading is that of an
indicator whose plunger stands square to the axis, at centre height.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from benchleaf.exact import atan_degrees, cos_degrees, sin_degrees, sqrt, tan_degrees
from benchleaf.record import record
from benchleaf.standards.tapers.taper import Taper

__all__ = [
    "SCALES", "DivisionWorth", "SetOver", "SlideTravel", "attachment_offset", "attachment_reading", "axial_share", "clock_by_saddle",
    "clock_on_master", "clock_on_parallel_bar", "contact_error", "depth_for_diameter", "division_worth", "half_angle_from_clock",
    "indicator_worth", "off_centre_error", "set_over", "set_over_check", "set_over_exact", "sine_bar_height", "slide_travel_check",
    "top_slide_travel",
]  # fmt: skip

# What the scales of taper attachments and top slides are divided in, and their unit.
SCALES: Mapping[str, str] = MappingProxyType(
    {"half angle": "deg", "included angle": "deg", "per foot": "in/ft", "per 100 mm": "mm per 100 mm", "ratio": "1 in"}
)


@record
class DivisionWorth:
    """What one division comes to: ``angle`` of the half angle, degrees, and ``diameter`` over the taper's length, mm.

    ``diameter`` is the gap, measured on diameter, at the far end of a taper that touches its mate at the other.
    """

    angle: Fraction
    diameter: Fraction


@record
class SetOver:
    """Tailstock set-over, mm: ``needed``, the most that there is, and the longest work between centres that the most will do for."""

    needed: Fraction
    most: Fraction
    longest: Fraction

    @property
    def fits(self) -> bool:
        """Whether the tailstock goes over far enough."""
        return self.needed <= self.most


@record
class SlideTravel:
    """Top slide travel along the taper's side, mm: ``needed``, what there is, and the longest taper (along its axis) that it covers."""

    needed: Fraction
    travel: Fraction
    longest: Fraction

    @property
    def fits(self) -> bool:
        """Whether the slide covers the taper in one go."""
        return self.needed <= self.travel


def clock_on_parallel_bar(taper: Taper, travel: Fraction) -> Fraction:
    """Reading on a parallel bar for ``travel`` of the top slide that is set to the taper: travel x sin(half angle).

    The slide moves along the taper's side, so this is the sine.  Source: plane geometry.
    """
    return travel * sin_degrees(taper.half_angle)


def clock_by_saddle(taper: Taper, travel: Fraction) -> Fraction:
    """Reading along a true taper (plug or finished part on the axis) for ``travel`` of the saddle: travel x tan(half angle).

    The saddle moves along the axis, so this is the tangent: half the rate.  Source: plane geometry.
    """
    return travel * taper.rate / 2


def clock_on_master(setting: Taper, master: Taper, travel: Fraction) -> Fraction:
    """Reading of an indicator on the top slide, set to one taper, along a master of another, over ``travel`` of the slide.

    travel x (sin a - cos a tan b): nought when they agree; positive when the slide is set too steep.  Source: plane geometry.
    """
    return travel * (sin_degrees(setting.half_angle) - cos_degrees(setting.half_angle) * master.rate / 2)


def half_angle_from_clock(reading: Fraction, travel: Fraction) -> Fraction:
    """The half angle that a reading on a parallel bar shows for a travel of the top slide, degrees: asin(reading / travel).

    Raises ValueError for a reading that is not less than the travel.  Source: plane geometry.
    """
    if not abs(reading) < travel:
        raise ValueError("the reading is less than the travel")
    share = reading / travel
    return atan_degrees(share / sqrt(1 - share * share))


def contact_error(angle_error: Fraction, length: Fraction, half_angle: Fraction = Fraction(0)) -> Fraction:
    """Error on diameter over a length of a taper whose half angle is out by ``angle_error``: 2 length (tan(a + e) - tan a).

    Source: plane geometry.
    """
    return 2 * length * (tan_degrees(half_angle + angle_error) - tan_degrees(half_angle))


def division_worth(taper: Taper, division: Fraction, length: Fraction) -> DivisionWorth:
    """What one division of the angle scale (degrees of half angle) comes to over the length of the taper.  Source: plane geometry."""
    return DivisionWorth(division, contact_error(division, length, taper.half_angle))


def indicator_worth(taper: Taper, division: Fraction, travel: Fraction, length: Fraction) -> DivisionWorth:
    """What one division of the indicator (mm) comes to when the slide is clocked over ``travel`` on a parallel bar.

    Raises ValueError when the reading would not be less than the travel.  Source: plane geometry.
    """
    angle = half_angle_from_clock(clock_on_parallel_bar(taper, travel) + division, travel) - taper.half_angle
    return DivisionWorth(angle, contact_error(angle, length, taper.half_angle))


def set_over(taper: Fraction, between_centres: Fraction) -> Fraction:
    """How far the tailstock is set over, mm: half the taper times the whole length between centres, however short the tapered part.

    Source: the handbooks' rule; plane geometry with the length measured along the bed, within a twentieth of a per cent at 1:16.
    """
    return between_centres * taper / 2


def set_over_exact(taper: Taper, between_centres: Fraction) -> Fraction:
    """Set-over with the length measured along the work's own axis, mm: length x sin(half angle).  Source: plane geometry."""
    return between_centres * sin_degrees(taper.half_angle)


def set_over_check(taper: Taper, between_centres: Fraction, most: Fraction) -> SetOver:
    """The set-over that work of a length wants against the most that the tailstock has.  Source: the handbooks' rule."""
    return SetOver(set_over(taper.rate, between_centres), most, 2 * most / taper.rate)


def axial_share(taper: Fraction) -> Fraction:
    """Lead along the work for one of the saddle's along the bed, with the tailstock set over: cos of the half angle.

    Source: plane geometry.
    """
    return 1 / sqrt(1 + taper * taper / 4)


def top_slide_travel(taper: Taper, length: Fraction) -> Fraction:
    """How far the top slide travels for a taper of a length along its axis, mm: length / cos(half angle).  Source: plane geometry."""
    return length / cos_degrees(taper.half_angle)


def slide_travel_check(taper: Taper, length: Fraction, travel: Fraction) -> SlideTravel:
    """The travel that a taper wants against what the top slide has; allow for the run-in yourself.  Source: plane geometry."""
    return SlideTravel(top_slide_travel(taper, length), travel, travel * cos_degrees(taper.half_angle))


def attachment_reading(taper: Taper, scale: str) -> Fraction:
    """What a taper attachment's scale reads for a taper, in the unit of :data:`SCALES`.  Raises LookupError for another scale.

    Source: definition of each scale (ISO 3040).
    """
    readings = {
        "half angle": taper.half_angle,
        "included angle": taper.included,
        "per foot": taper.per_foot,
        "per 100 mm": 100 * taper.rate,
        "ratio": taper.one_in,
    }
    if scale not in readings:
        raise LookupError(f"no scale {scale}: {', '.join(SCALES)}")
    return readings[scale]


def attachment_offset(taper: Taper, bar: Fraction) -> Fraction:
    """How far one end of a guide bar stands from the axis more than the other, for marks ``bar`` mm apart along it: bar x sin(half angle).

    Source: plane geometry.
    """
    return bar * sin_degrees(taper.half_angle)


def depth_for_diameter(taper: Taper, change: Fraction) -> Fraction:
    """How far a gauge goes on (or stands off) along the axis for a change of diameter, mm: change / rate.  Source: plane geometry."""
    return change / taper.rate


def sine_bar_height(taper: Taper, bar: Fraction) -> Fraction:
    """Height under a sine bar that brings the upper side of a taper lying on it level: bar x sin(included angle).

    Source: plane geometry.
    """
    return bar * sin_degrees(taper.included)


def off_centre_error(diameter: Fraction, height: Fraction) -> Fraction:
    """How much the radius grows where the tool stands ``height`` off centre, mm: sqrt((d/2)^2 + h^2) - d/2.

    It is more at the small end, which makes the side of the taper hollow.  Source: plane geometry.
    """
    return sqrt(diameter * diameter / 4 + height * height) - diameter / 2
