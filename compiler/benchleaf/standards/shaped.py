"""Sizes of shaped work: flats on round bar, squares and hexagons, angular faces, dovetails over rollers, racks.

Lengths in mm, angles in degrees.  All of it is plane geometry unless a function says otherwise; what has a root or an angle in it is
irrational and good to about 40 digits.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchleaf.exact import PI, cos_degrees, sin_degrees, sqrt, tan_degrees
from benchleaf.record import record
from benchleaf.standards.tables import Rule

__all__ = [
    "ACROSS_CORNERS", "FLAT_DEPTH", "OVER_ROLLERS", "SECOND_SIDE", "HeadSetting", "Indexing", "RackTool", "across_corners", "angular_face",
    "between_rollers", "dovetail_top", "flat_depth", "flat_left", "flat_width", "from_rollers", "indexing_for_pitch", "largest_roller",
    "over_first_flat", "over_rollers", "rack", "rack_settings", "second_side_target", "smallest_bar", "smallest_roller", "turns_and_holes",
]  # fmt: skip

FLAT_DEPTH = Rule("(diameter - across flats) / 2", "plane geometry", "derived")
ACROSS_CORNERS = Rule("across flats / cos(180 / number of flats)", "plane geometry", "derived")
SECOND_SIDE = Rule("(measured diameter + across flats) / 2", "plane geometry: a flat takes half of what the bar is over size", "derived")
OVER_ROLLERS = Rule("width at the sharp corners + roller x (1 + 1 / tan(angle / 2))", "plane geometry; handbooks", "published")


# Flats on a round


def flat_depth(diameter: Fraction, across_flats: Fraction) -> Fraction:
    """Depth of each flat from the crown, mm: (D - A) / 2.  Raises ValueError unless 0 < A <= D."""
    if not 0 < across_flats <= diameter:
        raise ValueError("a bar is at least as large as what it is across flats")
    return (diameter - across_flats) / 2


def flat_width(diameter: Fraction, across_flats: Fraction) -> Fraction:
    """Width of a flat at full depth, mm, while it meets no other: sqrt(D^2 - A^2).  Raises ValueError as :func:`flat_depth`."""
    return sqrt(diameter * diameter - across_flats * across_flats) if flat_depth(diameter, across_flats) else Fraction(0)


def over_first_flat(diameter: Fraction, across_flats: Fraction) -> Fraction:
    """What is measured from the finished first flat to the round opposite, mm: (D + A) / 2."""
    return diameter - flat_depth(diameter, across_flats)


def second_side_target(measured_diameter: Fraction, across_flats: Fraction) -> Fraction:
    """What the first side is brought to by measuring over the round opposite, mm: (measured D + A) / 2.

    The second side then comes to A with the same depth, whatever the dial says.  Raises ValueError as :func:`flat_depth`.
    """
    return over_first_flat(measured_diameter, across_flats)


def flat_left(measured: Fraction, measured_diameter: Fraction, across_flats: Fraction) -> Fraction:
    """What is still to come off the first side, mm, by what is measured over the round; below nought when too much is off."""
    return measured - second_side_target(measured_diameter, across_flats)


def across_corners(across_flats: Fraction, flats: int) -> Fraction:
    """Across corners of a regular section with an even number of flats, mm: A / cos(180 / n).  Raises ValueError for an odd number or
    fewer than four."""
    if flats < 4 or flats % 2:
        raise ValueError("across flats wants an even number of flats, four or more")
    return across_flats * sqrt(Fraction(2)) if flats == 4 else across_flats / cos_degrees(Fraction(180, flats))


def smallest_bar(across_flats: Fraction, flats: int, corner: Fraction = Fraction(0)) -> Fraction:
    """Smallest round that the section comes out of, mm: across corners, less twice what may be missing from each corner.

    Never less than across flats.  Raises ValueError as :func:`across_corners`.
    """
    return max(across_corners(across_flats, flats) - 2 * corner, across_flats)


# Angular faces


@record
class HeadSetting:
    """How the tool-head is swung from upright for an angular face, degrees, and how far its slide travels over the face, mm."""

    swing: Fraction
    slide: Fraction


def angular_face(height: Fraction, angle: Fraction) -> HeadSetting:
    """An angular face of a height, its angle counted from the table's plane: the head swings by the complement, 90 - angle.

    Scales commonly read 0 upright; one that reads 90 there is set to the angle itself.  Raises ValueError unless 0 < angle <= 90.
    """
    if not 0 < angle <= 90:
        raise ValueError("an angle from the table's plane is above 0, at most 90 degrees")
    return HeadSetting(90 - angle, height / sin_degrees(angle))


# Dovetails


def dovetail_top(bottom: Fraction, depth: Fraction, angle: Fraction) -> Fraction:
    """The other width of a dovetail, mm: that at its sharp corners + 2 depth / tan(angle) for a tail (its wide top); for a slot pass the
    depth below nought (its narrow mouth)."""
    return bottom + 2 * depth / tan_degrees(angle)


def over_rollers(corners: Fraction, roller: Fraction, angle: Fraction) -> Fraction:
    """Over two rollers in the corners of a tail, mm.  ``corners``: its narrow width, between the sharp corners at its foot; ``angle``: of
    flank to base.  Source: :data:`OVER_ROLLERS`."""
    return corners + roller * (1 + 1 / tan_degrees(angle / 2))


def between_rollers(corners: Fraction, roller: Fraction, angle: Fraction) -> Fraction:
    """Between two rollers in the corners of a slot, mm.  ``corners``: its wide width, between the sharp corners at its bottom.

    Source: :data:`OVER_ROLLERS`, with the sign turned.
    """
    return corners - roller * (1 + 1 / tan_degrees(angle / 2))


def from_rollers(measured: Fraction, roller: Fraction, angle: Fraction, *, inside: bool = False) -> Fraction:
    """Width between the sharp corners from what is measured over (tail) or between (slot, ``inside``) the rollers, mm."""
    return over_rollers(measured, roller, angle) if inside else between_rollers(measured, roller, angle)


def largest_roller(depth: Fraction, angle: Fraction) -> Fraction:
    """The roller that touches a flank just at its top, mm: 2 depth / (1 + cos angle); a smaller one touches the flank itself.

    Over a tail the roller must also stand out past the overhanging corner, see :func:`smallest_roller`.
    """
    return 2 * depth / (1 + cos_degrees(angle))


def smallest_roller(depth: Fraction, angle: Fraction) -> Fraction:
    """The roller that stands out just as far as the overhanging corner of a tail, mm: 2 depth / tan(angle) / (1 + 1 / tan(angle / 2)).

    A larger one can be measured over with flat anvils.
    """
    return 2 * depth / tan_degrees(angle) / (1 + 1 / tan_degrees(angle / 2))


# Racks


@record
class RackTool:
    """A rack, mm: ``pitch``, ``addendum``, ``depth`` of a space, width of the ``space`` at the pitch line and at its ``bottom``."""

    pitch: Fraction
    addendum: Fraction
    depth: Fraction
    space: Fraction
    bottom: Fraction


def rack(module: Fraction, pressure_angle: Fraction = Fraction(20), depth: Fraction = Fraction(9, 4)) -> RackTool:
    """The basic rack of a module: pitch pi m, addendum m, depth 2.25 m, space half a pitch wide at the pitch line.

    Source: ISO 53 (depth 2.25 m, 20 degrees).  Raises ValueError for a tooth so deep that its space has no bottom.
    """
    pitch = PI * module
    bottom = pitch / 2 - 2 * (depth - 1) * module * tan_degrees(pressure_angle)
    if bottom <= 0:
        raise ValueError("the flanks meet above the bottom")
    return RackTool(pitch, module, depth * module, pitch / 2, bottom)


def rack_settings(pitch: Fraction, spaces: int) -> tuple[Fraction, ...]:
    """Where the table stands for each space, mm from the first: whole multiples of the exact pitch, so that rounding never adds up."""
    return tuple(pitch * space for space in range(spaces))


# Simple indexing


@record
class Indexing:
    """Turns of a crank: ``whole`` turns and ``holes`` of a ``circle`` (0 holes and no circle for whole turns).

    ``error``: the turns made less those wanted.
    """

    whole: int
    holes: int
    circle: int | None
    error: Fraction

    @property
    def turns(self) -> Fraction:
        """The turns that are made."""
        return Fraction(self.whole) + (Fraction(self.holes, self.circle) if self.circle else 0)


def turns_and_holes(turns: Fraction, circles: Iterable[int]) -> tuple[Indexing, ...]:
    """Every owned circle on which turns come out exactly, smallest first; one without a circle where they are whole.

    For n divisions on a worm of ratio w ask for w / n turns.  Source: simple indexing, arithmetic.
    """
    whole = turns.numerator // turns.denominator
    part = turns - whole
    if not part:
        return (Indexing(whole, 0, None, Fraction(0)),)
    return tuple(
        Indexing(whole, int(part * circle), circle, Fraction(0))
        for circle in sorted(set(circles))
        if circle > 0 and (part * circle).denominator == 1
    )


def indexing_for_pitch(pitch: Fraction, lead: Fraction, circles: Iterable[int], *, ratio: Fraction = Fraction(1)) -> Indexing:
    """The nearest turns of an indexing crank that move a table by a rack's pitch.

    ``lead``: travel for a turn of the table's screw, mm; ``ratio``: turns of the crank for one of the screw.

    A pitch in pi never comes out exactly; the error of each space is ``error`` x lead / ratio, and adds up over the spaces.
    Source: simple indexing, arithmetic.
    """
    wanted = pitch / lead * ratio
    found = []
    for circle in sorted({1, *(circle for circle in circles if circle > 0)}):
        holes = round(wanted * circle)
        whole, rest = divmod(holes, circle)
        found.append(Indexing(whole, rest, circle if rest else None, Fraction(holes, circle) - wanted))
    return min(found, key=lambda option: (abs(option.error), option.circle or 0))
