"""What a coarse lead asks of the wheels and the leadscrew."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record

__all__ = ["MOST_UP_GEARING", "Strain", "strain_of"]

MOST_UP_GEARING = Fraction(4)  # turns of the leadscrew for a turn of the spindle; common practice: beyond it drive by hand


@record
class Strain:
    """``up_gearing``: turns of the leadscrew for a turn of the spindle; ``leadscrew_speed`` turns/min; ``carriage_speed`` mm/min.

    ``beyond_usual``: more up-gearing than is driven under power by common practice.
    """

    up_gearing: Fraction
    leadscrew_speed: Fraction
    carriage_speed: Fraction
    beyond_usual: bool


def strain_of(lead: Fraction, leadscrew_lead: Fraction, speed: Fraction) -> Strain:
    """For a lead (mm per turn), the leadscrew's own, and a spindle speed (turns/min)."""
    ratio = lead / leadscrew_lead
    return Strain(ratio, ratio * speed, lead * speed, ratio > MOST_UP_GEARING)
