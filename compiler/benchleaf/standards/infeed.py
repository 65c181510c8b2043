"""Groove geometry of symmetrical V threads, from the tip that is really in the tool post.

Lengths in mm, angles in degrees, both Fractions.  ``half_angle`` is the flank's angle from square to the axis (30 for a 60 degree
thread).  The form follows the pitch; wheels and lead angles follow the lead.  Nothing here knows a thread standard: sizes come in
as plain numbers.  Figures with an angle in them are irrational and good to about 40 digits (:mod:`benchleaf.exact`).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from benchleaf.exact import DIGITS, PI, atan_degrees, cos_degrees, sin_degrees, sqrt, tan_degrees
from benchleaf.record import record
from benchleaf.standards.tables import Rule, table

__all__ = [
    "SHARP", "FlatGroove", "Infeed", "SideClearance", "Tip", "along_flank", "apex_height", "chip_area", "crest_width", "depth_for_area",
    "flat_groove", "infeed_buttress",
    "infeed_external", "infeed_internal", "largest_flat", "largest_radius", "lead_angle", "side_clearance", "sideways", "tip_for_root",
    "too_blunt", "top_slide_angle",
]  # fmt: skip

_SCALE = 10**DIGITS
_GEOMETRY = "plane geometry: the groove is half a pitch wide at the pitch line (ISO 68-1, ISO 5408)"


@record
class Tip:
    """The point of a threading tool: ``flat`` across it, or ``radius`` on it, mm; neither for a sharp point.

    Raises ValueError when both are given or one is negative.
    """

    flat: Fraction = Fraction(0)
    radius: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        if self.flat < 0 or self.radius < 0 or (self.flat and self.radius):
            raise ValueError("a tip has a flat or a radius, or neither, and not below nought")

    def short_of_apex(self, half_angle: Fraction) -> Fraction:
        """How far the tip stops short of the sharp point that its flanks aim at, mm.

        Radius: r (1 / sin a - 1); flat: f / (2 tan a).  Source: plane geometry.
        """
        if self.radius:
            return self.radius * (1 / sin_degrees(half_angle) - 1)
        # Parallel flanks of a square tool aim at no point: callers take the groove's own depth there.
        return self.flat / (2 * tan_degrees(half_angle)) if self.flat else Fraction(0)

    def width_at_flanks(self, half_angle: Fraction) -> Fraction:
        """Width across the tip where the straight flanks begin, mm: the flat itself, or 2 r cos a.  Source: plane geometry."""
        return 2 * self.radius * cos_degrees(half_angle) if self.radius else self.flat


SHARP = Tip()


@record
class Infeed:
    """How far the tool goes in, and what that leaves.

    ``depth`` is radial from the blank's surface, mm; ``root`` the diameter the tip leaves at the bottom; ``crest`` the width of metal
    left between grooves at the blank's surface (nought or less: the crests come to an edge, and the outside shrinks).
    """

    depth: Fraction
    root: Fraction
    crest: Fraction
    short_of_apex: Fraction
    rule: Rule


def apex_height(pitch: Fraction, half_angle: Fraction) -> Fraction:
    """Height of the sharp fundamental triangle, mm: H = P / (2 tan a).  Source: ISO 68-1 for 60 degrees, plane geometry for others."""
    return pitch / (2 * tan_degrees(half_angle))


def infeed_external(blank: Fraction, pitch_diameter: Fraction, pitch: Fraction, half_angle: Fraction, tip: Tip = SHARP) -> Infeed:
    """Radial infeed of an outside thread, from the blank's real diameter to a wanted pitch diameter.

    depth = (blank - d2) / 2 + H / 2 - (tip's distance short of its apex).  Source: plane geometry, groove P/2 wide at the pitch line.
    """
    return _infeed(blank, pitch_diameter, pitch, half_angle, tip, 1)


def infeed_internal(bore: Fraction, pitch_diameter: Fraction, pitch: Fraction, half_angle: Fraction, tip: Tip = SHARP) -> Infeed:
    """Radial infeed of an inside thread, from the real bore to a wanted pitch diameter.

    depth = (D2 - bore) / 2 + H / 2 - (tip's distance short of its apex).  Source: plane geometry, groove P/2 wide at the pitch line.
    """
    return _infeed(bore, pitch_diameter, pitch, half_angle, tip, -1)


def _infeed(surface: Fraction, pitch_diameter: Fraction, pitch: Fraction, half_angle: Fraction, tip: Tip, inwards: int) -> Infeed:
    short = tip.short_of_apex(half_angle)
    depth = inwards * (surface - pitch_diameter) / 2 + apex_height(pitch, half_angle) / 2 - short
    difference = "blank - pitch diameter" if inwards > 0 else "pitch diameter - bore"
    blunted = " - tip radius x (1 / sin half angle - 1)" if tip.radius else " - tip flat / (2 tan half angle)" if tip.flat else ""
    rule = Rule(f"({difference}) / 2 + pitch / (4 tan half angle){blunted}", _GEOMETRY, "derived")
    return Infeed(depth, surface - inwards * 2 * depth, crest_width(depth, pitch, half_angle, tip), short, rule)


def crest_width(depth: Fraction, pitch: Fraction, half_angle: Fraction, tip: Tip = SHARP) -> Fraction:
    """Width left between grooves at the surface, mm: P - 2 (depth + short of apex) tan a.  Source: plane geometry.

    Holds once the flanks are in the metal; nought or less means that neighbouring grooves meet.
    """
    return pitch - 2 * (depth + tip.short_of_apex(half_angle)) * tan_degrees(half_angle)


@record
class FlatGroove:
    """A groove with a flat bottom, mm: ``width`` at the ``root`` diameter, ``depth`` radial from the surface down to it, and ``side_step``,
    how much a tip narrower than that must be moved along the axis in all (nought or less for one as wide or wider)."""

    width: Fraction
    root: Fraction
    depth: Fraction
    side_step: Fraction
    rule: Rule


def flat_groove(
    surface: Fraction, pitch_diameter: Fraction, root: Fraction, pitch: Fraction, half_angle: Fraction, flat: Fraction
) -> FlatGroove:
    """The groove of a trapezoidal, Acme, worm or square thread (half angle 0), outside or inside, for a tool with a ``flat`` tip.

    width = P / 2 - |d2 - root| tan a: for a square thread half the pitch, for ISO trapezoidal 0.366 P - 0.536 x clearance.
    Source: plane geometry, the groove half a pitch wide at the pitch line.
    """
    width = pitch / 2 - abs(pitch_diameter - root) * tan_degrees(half_angle)
    rule = Rule("half the difference of surface and root diameter", _GEOMETRY, "derived")
    return FlatGroove(width, root, abs(surface - root) / 2, width - flat, rule)


def infeed_buttress(
    surface: Fraction, pitch_diameter: Fraction, pitch: Fraction, flanks: tuple[Fraction, Fraction], tip: Tip = SHARP,
    *, inside: bool = False,
) -> Infeed:
    """Radial infeed where the flanks lean differently (angles in degrees to a plane across the axis), from the real surface.

    H = P / (tan a + tan b); a flat stops f / (tan a + tan b) short of the apex, a radius r (cos((b - a) / 2) / sin((a + b) / 2) - 1).
    Source: plane geometry; with a = b it is the symmetrical groove.
    """
    spread = tan_degrees(flanks[0]) + tan_degrees(flanks[1])
    round_share = cos_degrees(abs(flanks[1] - flanks[0]) / 2) / sin_degrees((flanks[0] + flanks[1]) / 2) - 1
    short = tip.radius * round_share if tip.radius else tip.flat / spread
    inwards = -1 if inside else 1
    depth = inwards * (surface - pitch_diameter) / 2 + pitch / spread / 2 - short
    crest = pitch - (depth + short) * spread
    words = "pitch diameter - bore" if inside else "blank - pitch diameter"
    blunted = " - what the tip is short of the apex" if short else ""
    rule = Rule(f"({words}) / 2 + pitch / (2 (tan of one flank + tan of the other)){blunted}", _GEOMETRY, "derived")
    return Infeed(depth, surface - inwards * 2 * depth, crest, short, rule)


def largest_radius(pitch: Fraction, half_angle: Fraction) -> Fraction:
    """Largest tip radius whose straight flanks still reach the pitch line, mm: P / (4 cos a), half the best wire.

    Source: plane geometry.
    """
    return pitch / (4 * cos_degrees(half_angle))


def largest_flat(pitch: Fraction) -> Fraction:
    """Widest tip flat whose flanks still reach the pitch line, mm: P / 2.  Source: plane geometry."""
    return pitch / 2


def tip_for_root(pitch_diameter: Fraction, root: Fraction, pitch: Fraction, half_angle: Fraction) -> tuple[Tip, Tip]:
    """The widest flat and the largest radius that still reach a root diameter when the flanks are at the pitch diameter.

    The tip may stop short of the apex by H / 2 - |d2 - root| / 2.  Never above the tips that reach the pitch line at all; nought when
    even a sharp tool would not reach the root.  The same for outside and inside threads.  Source: plane geometry.
    """
    short = max(apex_height(pitch, half_angle) / 2 - abs(pitch_diameter - root) / 2, Fraction(0))
    flat = min(2 * short * tan_degrees(half_angle), largest_flat(pitch))
    radius = min(short / (1 / sin_degrees(half_angle) - 1), largest_radius(pitch, half_angle))
    return Tip(flat=flat), Tip(radius=radius)


def too_blunt(
    tip: Tip, pitch_diameter: Fraction, pitch: Fraction, half_angle: Fraction, root_limit: Fraction | None = None, *, inside: bool = False
) -> bool:
    """Whether a tip cannot make the thread.

    Either its straight flanks begin wider than the pitch-line groove (P/2), or, with the flanks in place, the root it leaves
    interferes: above ``root_limit`` outside (the largest root the limits permit, at most the mating nut's smallest minor diameter),
    below it inside (the smallest major diameter).  Source: plane geometry.
    """
    if tip.width_at_flanks(half_angle) > pitch / 2:
        return True
    if root_limit is None:
        return False
    reach = apex_height(pitch, half_angle) - 2 * tip.short_of_apex(half_angle)
    return pitch_diameter + reach < root_limit if inside else pitch_diameter - reach > root_limit


def top_slide_angle(half_angle: Fraction) -> Fraction:
    """Angle of the top slide from square to the axis for flank infeed, degrees: half the included angle less half a degree.

    The trailing flank is then just cleaned.  Scales that read from the bed's direction show 90 less this.  Source: common practice
    (29.5 for 60 degree threads, 27 for 55, 14.5 for 30, 14 for 29).
    """
    return max(half_angle - Fraction(1, 2), Fraction(0))


def along_flank(depth: Fraction, angle: Fraction) -> Fraction:
    """Travel of a top slide set ``angle`` degrees from square to the axis that takes the tool ``depth`` in: depth / cos angle.

    Source: plane geometry.
    """
    return depth / cos_degrees(angle)


def sideways(depth: Fraction, angle: Fraction) -> Fraction:
    """How far the tool moves along the axis meanwhile: depth x tan angle.  Source: plane geometry."""
    return depth * tan_degrees(angle)


def lead_angle(lead: Fraction, diameter: Fraction) -> Fraction:
    """Lead (helix) angle at a diameter, degrees: atan(lead / (pi d)); the lead, not the pitch.  Source: ISO 5408, plane geometry."""
    return atan_degrees(lead / (PI * diameter))


@record
class SideClearance:
    """Lead angles at the pitch line and at the smallest diameter of the flank, degrees.

    The relief under the tool's leading flank must exceed ``needs``; ``ground`` when ordinary relief does not, so that the tool has
    to be ground for this thread.
    """

    at_pitch: Fraction
    at_smallest: Fraction
    needs: Fraction
    ground: bool
    rule: Rule


def side_clearance(lead: Fraction, pitch_diameter: Fraction, smallest: Fraction) -> SideClearance:
    """The side relief a tool needs under its leading flank.

    It must exceed the lead angle where that is steepest: atan(lead / (pi d)) at the smallest diameter of the flank, mm (root of an
    outside thread, minor diameter of an inside one).  Source: plane geometry; from which angle on ordinary relief is not enough:
    common practice.
    """
    at_pitch, at_smallest = lead_angle(lead, pitch_diameter), lead_angle(lead, smallest)
    needs = max(at_pitch, at_smallest)
    ordinary = table("threading", "habits").where("id", "ordinary_side_clearance")[0].span("range")[0]
    rule = Rule("more than atan(lead / (pi x smallest diameter of the flank))", "plane geometry", "derived")
    return SideClearance(at_pitch, at_smallest, needs, needs > ordinary, rule)


def chip_area(depth: Fraction, half_angle: Fraction, tip: Tip = SHARP) -> Fraction:
    """Section of the groove at a depth of straight infeed, mm2.

    Flat f: f z + z^2 tan a.  Radius r: the circle's segment r^2 acos((r - z) / r) - (r - z) sqrt(2 r z - z^2) while only the round is
    in the metal (z <= r (1 - sin a)), then that segment and a trapezium on top of it.  Source: plane geometry.
    """
    if depth <= 0:
        return Fraction(0)
    round_depth, width, whole_round = _round_part(half_angle, tip)
    if depth <= round_depth:
        return _segment(depth, tip.radius)
    above = depth - round_depth
    return whole_round + above * (width + above * tan_degrees(half_angle))


def depth_for_area(area: Fraction, half_angle: Fraction, tip: Tip = SHARP) -> Fraction:
    """The depth at which the groove's section has an area, mm: the inverse of :func:`chip_area`.

    With the flanks in the metal the quadratic is solved outright; within a round tip by Newton's steps, to 1e-15 mm.
    Source: plane geometry.
    """
    if area <= 0:
        return Fraction(0)
    round_depth, width, whole_round = _round_part(half_angle, tip)
    if area < whole_round:
        return _segment_depth(area, tip.radius, round_depth)
    slope = tan_degrees(half_angle)
    if not slope:
        return round_depth + (area - whole_round) / width  # a square groove
    return round_depth + (sqrt(width * width + 4 * slope * (area - whole_round)) - width) / (2 * slope)


@lru_cache(maxsize=64)
def _round_part(half_angle: Fraction, tip: Tip) -> tuple[Fraction, Fraction, Fraction]:
    """Where the flanks begin: the depth from the bottom of a round tip, the width there, and the section up to there."""
    depth = tip.radius * (1 - sin_degrees(half_angle)) if tip.radius else Fraction(0)
    width, area = tip.width_at_flanks(half_angle), _segment(depth, tip.radius)
    return (_trim(depth), _trim(width), _trim(area)) if tip.radius else (depth, width, area)


def _trim(value: Fraction) -> Fraction:
    """Keep 40 decimals, as many as are good: products of irrational figures would otherwise be as long as all their factors."""
    return Fraction(round(value * _SCALE), _SCALE)


def _segment(depth: Fraction, radius: Fraction) -> Fraction:
    """Area of a circle's segment ``depth`` high, at most a quarter turn either side."""
    if depth <= 0:
        return Fraction(0)
    rest, half_chord = radius - depth, sqrt(2 * radius * depth - depth * depth)
    return radius * radius * atan_degrees(half_chord / rest) * PI / 180 - rest * half_chord


def _segment_depth(area: Fraction, radius: Fraction, above: Fraction) -> Fraction:
    """Height of the segment with an area, starting from a height ``above`` it: the area is convex, so the steps come down to it."""
    while True:
        step = (_segment(above, radius) - area) / (2 * sqrt(2 * radius * above - above * above))
        if step < Fraction(1, 10**15):
            return above
        above = Fraction(round((above - step) * 10**20), 10**20)
