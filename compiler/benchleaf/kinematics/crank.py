"""The quick return of a shaper: a crank pin on the bull gear slides in a link that rocks about a pivot below and carries the ram above.

Lengths in mm, angles in degrees, rates in double strokes a minute, speeds in m/min.  The bull gear turns evenly; its angle is counted from
the middle of the cutting stroke, where the pin is farthest from the link's pivot.  The ram's pin slides in the link (or the pivot gives),
so that the ram stands at link length x sin(link angle).  A short drag link between link and ram leaves stroke and ratio as they are,
because both ends of the stroke lie alike; it only shifts the speeds in between by a little, which is not reckoned with.

All of it is plane geometry.  What has an angle or a root in it is irrational and good to about 40 digits.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import PI, atan_degrees, cos_degrees, sin_degrees, sqrt
from benchleaf.record import record

__all__ = [
    "Constant", "Link", "Motion", "acos_degrees", "asin_degrees", "crank_radius", "link_of_strokes", "motion", "rate_error",
    "rotating_arm_ratio", "stroke_of",
]  # fmt: skip


def asin_degrees(value: Fraction) -> Fraction:
    """The angle from -90 to 90 degrees whose sine is ``value``.  Raises ValueError beyond -1 to 1."""
    if abs(value) > 1:
        raise ValueError("a sine is from -1 to 1")
    if abs(value) == 1:
        return 90 * value
    if abs(value) == Fraction(1, 2):
        return 60 * value
    return atan_degrees(value / sqrt(1 - value * value))


def acos_degrees(value: Fraction) -> Fraction:
    """The angle from 0 to 180 degrees whose cosine is ``value``.  Raises ValueError beyond -1 to 1."""
    return 90 - asin_degrees(value)


@record
class Link:
    """A slotted link: ``centre_distance`` from its pivot to the bull gear's axis, ``length`` from its pivot to the ram's pin.

    Raises ValueError unless 0 <= ``least_radius`` <= ``largest_radius`` < ``centre_distance``: a pin at or beyond the pivot cannot rock it.
    """

    centre_distance: Fraction
    length: Fraction
    least_radius: Fraction
    largest_radius: Fraction

    def __post_init__(self) -> None:
        if not 0 <= self.least_radius <= self.largest_radius < self.centre_distance:
            raise ValueError("the crank pin stays between the bull gear's axis and the link's pivot")
        if self.length <= 0:
            raise ValueError("a link has a length")

    @property
    def shortest_stroke(self) -> Fraction:
        """Stroke with the pin as far in as it goes, mm."""
        return stroke_of(self, self.least_radius)

    @property
    def longest_stroke(self) -> Fraction:
        """Stroke with the pin as far out as it goes, mm."""
        return stroke_of(self, self.largest_radius)

    def half_swing(self, radius: Fraction) -> Fraction:
        """How far the link rocks to either side, degrees: asin(crank radius / centre distance)."""
        return asin_degrees(radius / self.centre_distance)

    def ratio(self, radius: Fraction) -> Fraction:
        """Time of cutting over time of return: (180 + 2 half swing) / (180 - 2 half swing)."""
        swing = self.half_swing(radius)
        return (90 + swing) / (90 - swing)

    def ram_position(self, radius: Fraction, angle: Fraction) -> Fraction:
        """Where the ram stands before (+) or behind (-) the middle of its stroke, mm, at an angle of the bull gear."""
        return self.length * radius * sin_degrees(angle) / self._pin_distance(radius, cos_degrees(angle))

    def ram_speed(self, radius: Fraction, angle: Fraction, rate: Fraction) -> Fraction:
        """Speed of the ram at an angle of the bull gear, m/min: forwards above nought, on the return below."""
        cosine = cos_degrees(angle)
        pin = self._pin_distance(radius, cosine)
        along, across = radius + self.centre_distance * cosine, self.centre_distance + radius * cosine
        return 2 * PI * rate * self.length * radius * along * across / pin**3 / 1000

    def peak_cutting_speed(self, radius: Fraction, rate: Fraction) -> Fraction:
        """Fastest cutting speed, in the middle of the stroke, m/min: 2 pi N length r / (centre distance + r)."""
        return 2 * PI * rate * self.length * radius / (self.centre_distance + radius) / 1000

    def peak_return_speed(self, radius: Fraction, rate: Fraction) -> Fraction:
        """Fastest return, in the middle of the stroke, m/min: 2 pi N length r / (centre distance - r)."""
        return 2 * PI * rate * self.length * radius / (self.centre_distance - radius) / 1000

    def _pin_distance(self, radius: Fraction, cosine: Fraction) -> Fraction:
        """From the link's pivot to the crank pin."""
        distance = self.centre_distance
        return sqrt(distance * distance + radius * radius + 2 * distance * radius * cosine)


@record
class Constant:
    """A drive whose ratio of cutting to return time is the same at any stroke: as its plate states it, or a hydraulic ram.

    ``even``: the ram runs at one speed through the stroke, as a hydraulic one does but for its reversals.
    """

    ratio: Fraction
    even: bool = False

    def __post_init__(self) -> None:
        if self.ratio <= 0:
            raise ValueError("a ratio is above nought")


@record
class Motion:
    """The ram at one stroke.  ``ratio``: time of cutting over time of return.  ``peak``: fastest cutting speed over the mean one, None
    where it is not known; ``radius``: of the crank pin, None where there is none."""

    stroke: Fraction
    ratio: Fraction
    radius: Fraction | None
    peak: Fraction | None

    @property
    def return_share(self) -> Fraction:
        """m of the handbooks: time of return over time of cutting."""
        return 1 / self.ratio

    @property
    def cutting_arc(self) -> Fraction:
        """What the bull gear turns while the tool cuts, degrees; for a drive without one, that share of 360."""
        return 360 * self.ratio / (1 + self.ratio)

    @property
    def return_arc(self) -> Fraction:
        """What the bull gear turns during the return, degrees."""
        return 360 / (1 + self.ratio)

    def mean_cutting_speed(self, rate: Fraction) -> Fraction:
        """Mean speed over the cutting stroke, m/min: l N (1 + m) / 1000.  Source: definition, as the handbooks have it."""
        return self.stroke * rate * (1 + self.return_share) / 1000

    def rate(self, speed: Fraction) -> Fraction:
        """Double strokes a minute for a mean cutting speed: N = 1000 v / (l (1 + m)).  Source: definition, as the handbooks have it."""
        return 1000 * speed / (self.stroke * (1 + self.return_share))

    def peak_cutting_speed(self, rate: Fraction) -> Fraction | None:
        """Fastest speed of the cutting stroke, m/min; None where it is not known."""
        return None if self.peak is None else self.peak * self.mean_cutting_speed(rate)


def stroke_of(link: Link, radius: Fraction) -> Fraction:
    """Stroke for a crank radius, mm, exact: 2 x length x radius / centre distance."""
    return 2 * link.length * radius / link.centre_distance


def crank_radius(link: Link, stroke: Fraction) -> Fraction:
    """Crank radius for a stroke, mm, exact: stroke x centre distance / (2 x length)."""
    return stroke * link.centre_distance / (2 * link.length)


def link_of_strokes(centre_distance: Fraction, length: Fraction, shortest: Fraction, longest: Fraction) -> Link:
    """A link whose crank radii follow from its shortest and longest stroke, mm.  Raises ValueError as :class:`Link`."""
    least, largest = (stroke * centre_distance / (2 * length) for stroke in (shortest, longest))
    return Link(centre_distance, length, least, largest)


def motion(drive: Link | Constant, stroke: Fraction) -> Motion:
    """The ram at a stroke.

    Raises ValueError for a stroke that is nought or less, or as long as twice the link; the range of the pin is for the caller to look at.
    """
    if stroke <= 0:
        raise ValueError("a stroke is above nought")
    if isinstance(drive, Constant):
        return Motion(stroke, drive.ratio, None, Fraction(1) if drive.even else None)
    radius = crank_radius(drive, stroke)
    if radius >= drive.centre_distance:
        raise ValueError("the stroke is longer than twice the link")
    ratio, distance = drive.ratio(radius), drive.centre_distance
    return Motion(stroke, ratio, radius, PI * distance * ratio / ((distance + radius) * (1 + ratio)))


def rate_error(drive: Link | Constant, stroke: Fraction, assumed: Fraction) -> Fraction:
    """How far the handbooks' rate is off when m is taken as ``assumed`` at every stroke, as a share of the true rate.

    1000 v / (l (1 + m)) is exact for the mean cutting speed with the m of that stroke.  With the m of the full stroke a short one is run
    too fast (above nought), because there m is nearer to 1.
    """
    return (1 + motion(drive, stroke).return_share) / (1 + assumed) - 1


def rotating_arm_ratio(pin_radius: Fraction, offset: Fraction) -> Fraction:
    """Cutting over return time of a rotating-arm (Whitworth) quick return, the same at any stroke: pin on a gear of that radius, driving an
    arm whose axis lies ``offset`` from the gear's, square to the stroke.

    (360 - a) / a with a = 2 acos(offset / pin radius).  Raises ValueError unless 0 <= offset < pin radius.
    """
    if not 0 <= offset < pin_radius:
        raise ValueError("the pin runs round the arm's axis")
    back = 2 * acos_degrees(offset / pin_radius)
    return (360 - back) / back
