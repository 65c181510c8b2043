"""Measuring the pitch diameter of outside threads over wires, for any symmetrical flank angle.

Lengths in mm, angles in degrees.  Only the pitch and the half angle of the form go into the plane formula; the lead goes into the
correction for the wires' slope.  Figures with an angle in them are irrational and good to about 40 digits.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.exact import PI, cos_degrees, sin_degrees, sqrt, tan_degrees
from benchleaf.record import record
from benchleaf.standards.tables import Rule

__all__ = [
    "LEAD_CORRECTION", "OVER_WIRES", "OverWires", "WireChoice", "WireRange", "best_wire", "choose_wire", "correction_matters",
    "infeed_left", "lead_correction", "limits_over_wires", "over_one_wire", "over_two_wires", "over_wires", "pitch_diameter_from",
    "wire_range",
]  # fmt: skip

OVER_WIRES = Rule(
    "pitch diameter + wire x (1 + 1 / sin half angle) - pitch / (2 tan half angle), + correction for the lead angle",
    "three-wire method, plane geometry; constants as Machinery's Handbook 31, p. 2129", "published",
)  # fmt: skip
LEAD_CORRECTION = Rule(
    "wire / 2 x tan^2 lead angle x cos half angle / tan half angle", "first term of the helicoid's contact with a cylinder", "derived"
)


def best_wire(pitch: Fraction, half_angle: Fraction) -> Fraction:
    """The wire that touches the flanks at the pitch line, so that an error of flank angle does not show, mm: P / (2 cos a).

    Source: plane geometry; as Machinery's Handbook 31 (0.57735 P for 60 degrees, 0.56369 P for 55).
    """
    return pitch / (2 * cos_degrees(half_angle))


@record
class WireRange:
    """Wires that will do, mm: the ``smallest`` still stands above the crests (and clears the root), the ``largest`` still touches
    the flanks and not the crests' corners.  Empty when the smallest is above the largest."""

    smallest: Fraction
    best: Fraction
    largest: Fraction

    def fits(self, wire: Fraction) -> bool:
        """Whether a wire will do."""
        return self.smallest < wire < self.largest


def wire_range(
    pitch: Fraction, half_angle: Fraction, pitch_diameter: Fraction, major: Fraction,
    *, flank_top: Fraction | None = None, root: Fraction | None = None,
) -> WireRange:  # fmt: skip
    """Which wires can measure an outside thread.

    Smallest: the reading is above the crests, w > (major - d2 + (P/2) cot a) / (1 + 1 / sin a); with ``root`` (the diameter the tip
    leaves) its underside is also clear of it.  Largest: contact below the top of the straight flank,
    w < (P/2 + (top - d2) tan a) / cos a, the top being ``flank_top`` where crests are rounded, else the major diameter.
    Source: plane geometry; for sharp-cornered ISO threads 0.505 P to 1.010 P as in handbook tables.
    """
    sine, cosine, tangent = sin_degrees(half_angle), cos_degrees(half_angle), tan_degrees(half_angle)
    apex = pitch / (2 * tangent)
    smallest = (major - pitch_diameter + apex) / (1 + 1 / sine)
    if root is not None:
        smallest = max(smallest, (root - pitch_diameter + apex) / (1 / sine - 1))
    top = major if flank_top is None else flank_top
    return WireRange(smallest, best_wire(pitch, half_angle), (pitch / 2 + (top - pitch_diameter) * tangent) / cosine)


def lead_correction(wire: Fraction, lead: Fraction, pitch_diameter: Fraction, half_angle: Fraction) -> Fraction:
    """What the slope of the groove adds to the reading, mm: (w / 2) tan^2 lambda cos a cot a, tan lambda = lead / (pi d2).

    Source: first-order term of the contact of a helicoid with a cylinder; within 4 % of the exact contact on a two-start Tr40x14.
    """
    slope = lead / (PI * pitch_diameter)
    return wire / 2 * slope * slope * cos_degrees(half_angle) / tan_degrees(half_angle)


@record
class OverWires:
    """A reading over three wires, mm: ``plane`` by the plane formula, ``correction`` for the lead angle (0 when no lead was given)."""

    plane: Fraction
    correction: Fraction

    @property
    def reading(self) -> Fraction:
        """What the micrometer should read, mm."""
        return self.plane + self.correction


def over_wires(pitch_diameter: Fraction, pitch: Fraction, half_angle: Fraction, wire: Fraction, lead: Fraction | None = None) -> OverWires:
    """Reading over three wires: M = d2 + w (1 + 1 / sin a) - (P / 2) cot a, plus :func:`lead_correction` when the lead is given.

    Source: the three-wire method of the handbooks (see :data:`OVER_WIRES`).
    """
    plane = pitch_diameter + wire * (1 + 1 / sin_degrees(half_angle)) - pitch / (2 * tan_degrees(half_angle))
    return OverWires(plane, Fraction(0) if lead is None else lead_correction(wire, lead, pitch_diameter, half_angle))


def pitch_diameter_from(reading: Fraction, pitch: Fraction, half_angle: Fraction, wire: Fraction, lead: Fraction | None = None) -> Fraction:
    """The pitch diameter behind a reading over three wires, mm: :func:`over_wires` turned round.

    The correction is taken at the plane result, which moves it by less than its own square.  Source: as :func:`over_wires`.
    """
    plane = reading - over_wires(Fraction(0), pitch, half_angle, wire).plane
    return plane if lead is None else plane - lead_correction(wire, lead, plane, half_angle)


def over_two_wires(three: Fraction, wire: Fraction, pitch: Fraction, starts: int = 1) -> Fraction:
    """Shortest reading across two wires, one on either side, mm, from the reading ``three`` over three.

    With an odd number of starts the far groove stands half a pitch further along, so the line across is slanted:
    sqrt((M - w)^2 + (P/2)^2) + w; with an even number it is the same as over three.  Source: plane geometry.
    """
    if starts % 2 == 0:
        return three
    across = three - wire
    return sqrt(across * across + pitch * pitch / 4) + wire


def over_one_wire(three: Fraction, major: Fraction) -> Fraction:
    """Reading over one wire on one side and the crests on the other, mm: (M + measured major diameter) / 2.  Source: plane geometry."""
    return (three + major) / 2


def limits_over_wires(
    low: Fraction, high: Fraction, pitch: Fraction, half_angle: Fraction, wire: Fraction, lead: Fraction | None = None
) -> tuple[Fraction, Fraction]:
    """Readings over three wires at the limits of the pitch diameter, mm.  Source: as :func:`over_wires`."""
    return over_wires(low, pitch, half_angle, wire, lead).reading, over_wires(high, pitch, half_angle, wire, lead).reading


def correction_matters(correction: Fraction, tolerance: Fraction | None = None, division: Fraction = Fraction(1, 100)) -> bool:
    """Whether to speak of the lead correction: more than half a ``division`` of the micrometer, or a twentieth of the tolerance.

    It is applied in any case.  Source: common practice.
    """
    return correction > division / 2 or (tolerance is not None and correction > tolerance / 20)


@record
class WireChoice:
    """The wire taken from those owned, and how it stands to the best; ``off`` is how far from the pitch line it touches, mm along
    the radius: nought for the best wire, else a flank angle error shows in the reading."""

    wire: Fraction
    range: WireRange
    off: Fraction


def choose_wire(
    owned: Sequence[Fraction], pitch: Fraction, half_angle: Fraction, pitch_diameter: Fraction, major: Fraction,
    *, flank_top: Fraction | None = None, root: Fraction | None = None,
) -> WireChoice | None:  # fmt: skip
    """The owned wire nearest to the best among those that will do; None when none will.  Source: common practice."""
    usable = wire_range(pitch, half_angle, pitch_diameter, major, flank_top=flank_top, root=root)
    fitting = [wire for wire in owned if usable.fits(wire)]
    if not fitting:
        return None
    wire = min(fitting, key=lambda each: (abs(each - usable.best), each))
    off = (wire - usable.best) * cos_degrees(half_angle) / (2 * tan_degrees(half_angle))
    return WireChoice(wire, usable, off)


def infeed_left(reading: Fraction, wanted: Fraction) -> Fraction:
    """Radial infeed still to go, mm: half of what the reading over wires is above the wanted one.

    The reading, like the pitch diameter, changes by twice the radial infeed.  Source: plane geometry.
    """
    return (reading - wanted) / 2
