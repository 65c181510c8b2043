"""What an error of lead costs: in pitch diameter over an engagement, or in travel of a feed screw.

Lengths in mm, angles in degrees; errors as exact ratios, actual / wanted - 1.  The cotangents are irrational (about 40 digits).
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import tan_degrees
from benchleaf.record import record
from benchleaf.standards.tables import Rule

__all__ = [
    "VIRTUAL_CHANGE", "LeadErrorCost", "engagement_limit", "lead_error", "lead_error_cost", "microns_per_100_mm", "ppm", "virtual_change",
]  # fmt: skip

VIRTUAL_CHANGE = Rule(
    "error of lead x length of engagement / tan half angle", "virtual pitch diameter, plane geometry (practice of BS 919)", "derived"
)


def lead_error(actual: Fraction, wanted: Fraction) -> Fraction:
    """Relative error of a lead, exact: actual / wanted - 1; positive when the thread is stretched.  Source: definition."""
    return actual / wanted - 1


def ppm(error: Fraction) -> Fraction:
    """A relative error in millionths.  Source: definition."""
    return error * 10**6


def virtual_change(cumulative: Fraction, half_angle: Fraction) -> Fraction:
    """How much larger a screw (or smaller a nut) acts on the pitch diameter, mm: |error over the engagement| / tan a.

    The same for both signs: long or short, the flanks bind at the ends.  Source: plane geometry, as in BS 919 (1.732 for 60 degrees,
    1.921 for 55, 3.732 for 30).
    """
    return abs(cumulative) / tan_degrees(half_angle)


@record
class LeadErrorCost:
    """The cost over one engagement.  ``cumulative`` is signed, mm; ``virtual`` is the effect on the pitch diameter, mm, never
    negative; ``share`` of the pitch-diameter tolerance, None where there is none."""

    error: Fraction
    engagement: Fraction
    cumulative: Fraction
    virtual: Fraction
    share: Fraction | None
    rule: Rule = VIRTUAL_CHANGE


def lead_error_cost(error: Fraction, engagement: Fraction, half_angle: Fraction, tolerance: Fraction | None = None) -> LeadErrorCost:
    """What a relative error of lead costs over an engagement: it adds up to Le x error, and acts as that / tan a on the pitch diameter.

    ``tolerance`` is that of the pitch diameter, mm.  Source: see :data:`VIRTUAL_CHANGE`.  Raises ValueError for a tolerance of 0 or less.
    """
    if tolerance is not None and tolerance <= 0:
        raise ValueError("a tolerance is above nought")
    cumulative = error * engagement
    virtual = virtual_change(cumulative, half_angle)
    return LeadErrorCost(error, engagement, cumulative, virtual, None if tolerance is None else virtual / tolerance)


def engagement_limit(error: Fraction, half_angle: Fraction, tolerance: Fraction, share: Fraction) -> Fraction | None:
    """The engagement at which the error eats a stated share of the tolerance, mm: share x tolerance x tan a / |error|.

    None for an exact lead: any engagement will do.  Source: :data:`VIRTUAL_CHANGE` turned round.
    """
    return None if error == 0 else share * tolerance * tan_degrees(half_angle) / abs(error)


def microns_per_100_mm(error: Fraction) -> Fraction:
    """Error of travel of a feed screw or worm, um in 100 mm, signed.  Source: definition."""
    return error * 100 * 1000
