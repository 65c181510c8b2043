"""A taper: its rate and angle, and its ends where they are known."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import atan_degrees, tan_degrees
from benchleaf.record import record
from benchleaf.standards.speeds import Range
from benchleaf.standards.tables import Rule, table

__all__ = ["Taper", "half_angle", "taper_from_ends", "taper_from_half_angle", "taper_from_rate", "taper_rule"]

FROM_ENDS = Rule("(large diameter - small diameter) / length", "plane geometry; ISO 3040 for the terms", "derived")
GIVEN = Rule("as it was given", "the description of the work", "derived")


@record
class Taper:
    """A taper: ``rate`` is its change of diameter per length, ``half_angle`` (degrees) that between its side and its axis.

    ``by_angle``: the angle was given, so the rate is the one that is not rational; otherwise it is the other way round.  ``large`` and
    ``small`` end and the ``length`` between them are mm, None where a taper has none of its own (a bare ratio).  ``status`` is that of
    the rate or angle, ``ends_status`` that of ends and length where a table gives them.
    """

    name: str
    rate: Fraction
    half_angle: Fraction
    by_angle: bool
    large: Fraction | None
    small: Fraction | None
    length: Fraction | None
    source: str
    status: str
    ends_status: str = ""

    @property
    def included(self) -> Fraction:
        """The angle between its two sides, degrees."""
        return 2 * self.half_angle

    @property
    def one_in(self) -> Fraction:
        """The length over which the diameter changes by 1: 16 for 1:16."""
        return 1 / self.rate

    @property
    def per_foot(self) -> Fraction:
        """The change of diameter in inches over a foot."""
        return 12 * self.rate

    def diameter_at(self, diameter: Fraction, distance: Fraction) -> Fraction:
        """The diameter ``distance`` mm from a place of a known diameter, towards the small end; negative towards the large one."""
        return diameter - self.rate * distance

    def length_between(self, large: Fraction, small: Fraction) -> Fraction:
        """How long the taper is from one diameter to another, along the axis, mm."""
        return (large - small) / self.rate


def half_angle(taper: Fraction) -> Fraction:
    """Angle between the taper's side and its axis, degrees: atan(taper / 2).  Source: plane geometry."""
    return atan_degrees(taper / 2)


def taper_from_rate(
    rate: Fraction,
    name: str,
    *,
    large: Fraction | None = None,
    length: Fraction | None = None,
    source: str = GIVEN.source,
    status: str = GIVEN.status,
    ends_status: str = "",
) -> Taper:
    """A taper from its change of diameter per length.  The small end follows where ``large`` and ``length`` are known.

    Raises ValueError for a rate of nought or less, or when the small end would come to less than nothing.
    """
    if rate <= 0:
        raise ValueError("a taper has a rate above nought")
    return _taper(name, rate, half_angle(rate), False, large, length, source, status, ends_status)


def taper_from_half_angle(
    angle: Fraction,
    name: str,
    *,
    large: Fraction | None = None,
    length: Fraction | None = None,
    source: str = GIVEN.source,
    status: str = GIVEN.status,
) -> Taper:
    """A taper from the angle between its side and its axis, degrees.  Raises ValueError unless it is above 0 and below 90."""
    if not 0 < angle < 90:
        raise ValueError("the half angle of a taper is between 0 and 90 degrees")
    return _taper(name, 2 * tan_degrees(angle), angle, True, large, length, source, status, "")


def taper_from_ends(large: Fraction, small: Fraction, length: Fraction, name: str = "") -> Taper:
    """A taper from its two diameters and the length between them along the axis, mm.

    Raises ValueError when the large end is not the larger or there is no length.  Source: plane geometry (terms of ISO 3040).
    """
    if not large > small >= 0 or length <= 0:
        raise ValueError("a taper has a large end, a small end and a length between them")
    rate = (large - small) / length
    return Taper(name, rate, half_angle(rate), False, large, small, length, FROM_ENDS.source, FROM_ENDS.status)


def taper_rule(name: str) -> Range:
    """A fact of practice or of a standard that bears on tapers, by id.  Raises LookupError when there is none.

    Ids: morse_rate_tolerance (in per foot), blue_contact (share of the length that must show contact).
    """
    for row in table("tapers", "rules").where("id", name):
        low, high = row.span("range")
        return Range(low, high, row.text("unit"), row.text("about"), row.source, row.status)
    raise LookupError(f"no rule {name}")


def _taper(
    name: str,
    rate: Fraction,
    angle: Fraction,
    by_angle: bool,
    large: Fraction | None,
    length: Fraction | None,
    source: str,
    status: str,
    ends_status: str,
) -> Taper:
    small = None if large is None or length is None else large - rate * length
    if small is not None and small < 0:
        raise ValueError("the taper comes to a point before its small end")
    return Taper(name, rate, angle, by_angle, large, small, length, source, status, ends_status)
