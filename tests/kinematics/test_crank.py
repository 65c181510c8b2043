"""The quick return against a crank stepped round in floats, worked values, and laws that hold for any link.

The stepped crank below knows nothing but where the pin is: the link points from its pivot to the pin, the ram hangs on its end.
"""

from __future__ import annotations

from fractions import Fraction
from math import acos, asin, cos, degrees, hypot, pi, sin, sqrt
from typing import NamedTuple

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.kinematics.crank import (
    Constant,
    Link,
    acos_degrees,
    asin_degrees,
    crank_radius,
    link_of_strokes,
    motion,
    rate_error,
    rotating_arm_ratio,
    stroke_of,
)

F = Fraction


class Stepped(NamedTuple):
    stroke: float
    cut_arc: float
    peak_cut: float  # mm per radian of the bull gear
    peak_return: float


def step(distance: float, radius: float, length: float, drag: tuple[float, float] | None = None, steps: int = 36000) -> Stepped:
    """Turn the crank once and watch the ram.  ``drag``: length of a drag link and height of the ram's pin over the link's pivot."""

    def ram(angle: float) -> float:
        # Bull gear at (0, distance) over the link's pivot at the origin.
        pin_x, pin_y = radius * sin(angle), distance + radius * cos(angle)
        reach = hypot(pin_x, pin_y)
        end_x, end_y = length * pin_x / reach, length * pin_y / reach
        if drag is None:
            return end_x
        rod, height = drag
        return end_x + sqrt(rod * rod - (height - end_y) ** 2)

    turn = 2 * pi
    x = [ram(turn * k / steps) for k in range(steps)]
    width = turn / steps
    speed = [(x[(k + 1) % steps] - x[k - 1]) / (2 * width) for k in range(steps)]
    forward = sum(x[(k + 1) % steps] > x[k] for k in range(steps))
    return Stepped(max(x) - min(x), 360 * forward / steps, max(speed), -min(speed))


# d, r, length, N: worked slotted-link shapers (kinematics, stepped; ratio and speeds rounded).
WORKED = [
    (200, 100, 400, 40, "400", 30.0, 2.0, 24.0, 33.51, 100.531),
    (200, 50, 400, 80, "200", 14.4775, 1.3834, 27.566, 40.212, 67.021),
    (150, 60, 300, 60, "240", 23.5782, 1.7099, 22.821, 32.314, 75.398),
    (300, 105, 600, 25, "420", 20.4873, 1.5895, 17.106, 24.435, 50.749),
    (120, 42, 250, 90, "175", 20.4873, 1.5895, 25.659, 36.652, 76.123),
]


@pytest.mark.parametrize(("d", "r", "length", "rate", "stroke", "swing", "ratio", "mean", "peak", "back"), WORKED)
def test_worked_shapers(d: int, r: int, length: int, rate: int, stroke: str, swing: float, ratio: float, mean: float, peak: float, back: float) -> None:
    link, radius, turns = Link(F(d), F(length), F(10), F(d - 10)), F(r), F(rate)
    assert stroke_of(link, radius) == F(stroke)
    assert crank_radius(link, F(stroke)) == radius
    assert float(link.half_swing(radius)) == pytest.approx(swing, abs=5e-5)
    assert float(link.ratio(radius)) == pytest.approx(ratio, abs=1e-4)  # stepped: the last figure may differ
    found = motion(link, F(stroke))
    assert float(found.mean_cutting_speed(turns)) == pytest.approx(mean, abs=6e-4)
    assert float(link.peak_cutting_speed(radius, turns)) == pytest.approx(peak, abs=6e-4)
    assert float(link.peak_return_speed(radius, turns)) == pytest.approx(back, abs=6e-4)
    assert float(found.peak or 0) == pytest.approx(peak / mean, rel=1e-4)
    assert found.rate(found.mean_cutting_speed(turns)) == turns


@pytest.mark.parametrize(("d", "r", "length"), [row[:3] for row in WORKED] + [(180, 6, 410), (180, 120, 410)])
def test_against_the_crank_stepped_round(d: int, r: int, length: int) -> None:
    link, radius = Link(F(d), F(length), F(1), F(d - 1)), F(r)
    seen = step(d, r, length)
    found = motion(link, stroke_of(link, radius))
    assert float(found.stroke) == pytest.approx(seen.stroke, rel=1e-7)
    assert float(found.cutting_arc) == pytest.approx(seen.cut_arc, abs=0.02)
    assert float(found.return_arc) == pytest.approx(360 - seen.cut_arc, abs=0.02)
    per_minute = 2 * pi * 45 / 1000
    assert float(link.peak_cutting_speed(radius, F(45))) == pytest.approx(seen.peak_cut * per_minute, rel=1e-6)
    assert float(link.peak_return_speed(radius, F(45))) == pytest.approx(seen.peak_return * per_minute, rel=1e-6)
    peak = found.peak_cutting_speed(F(45))
    assert peak is not None
    assert float(peak) == pytest.approx(seen.peak_cut * per_minute, rel=1e-6)


@pytest.mark.parametrize("angle", [-180, -121, -90, -37, 0, 12, 60, 90, 105, 119, 121, 150, 179])
def test_position_and_speed_at_an_angle_by_a_general_purpose_library(angle: int) -> None:
    """The rocking link as atan2 of the pin, its derivative taken numerically with 40 digits."""
    link, radius, rate = Link(F(200), F(400), F(10), F(120)), F(90), F(30)
    with mpmath.workdps(50):

        def ram(t: mpmath.mpf) -> mpmath.mpf:
            return 400 * mpmath.sin(mpmath.atan2(90 * mpmath.sin(t), 200 + 90 * mpmath.cos(t)))

        at = mpmath.radians(angle)
        speed = mpmath.diff(ram, at) * 2 * mpmath.pi * 30 / 1000
        place = link.ram_position(radius, F(angle))
        assert abs(mpmath.mpf(place.numerator) / place.denominator - ram(at)) < mpmath.mpf(10) ** -36
        told = link.ram_speed(radius, F(angle), rate)
        assert abs(mpmath.mpf(told.numerator) / told.denominator - speed) < mpmath.mpf(10) ** -15


def test_a_drag_link_leaves_stroke_and_ratio_and_little_else_changes() -> None:
    """What the module leaves out, and what that costs: a drag link of 180 mm on a link of 400 mm."""
    plain = step(200, 90, 400)
    for height in (360.0, 380.0, 400.0):
        dragged = step(200, 90, 400, (180.0, height))
        assert dragged.stroke == pytest.approx(plain.stroke, rel=1e-6)
        assert dragged.cut_arc == pytest.approx(plain.cut_arc, abs=0.02)
        assert dragged.peak_cut == pytest.approx(plain.peak_cut, rel=0.06)


def test_the_handbooks_rate_is_exact_for_the_mean_and_the_peak_lies_half_above() -> None:
    """N = 1000 v / (l (1 + m)) (handbooks): distance travelled in the cutting strokes over the time they take."""
    link = Link(F(200), F(400), F(10), F(100))
    for stroke in (40, 150, 300, 400):
        found, seen = motion(link, F(stroke)), step(200, stroke / 4, 400)
        rate = float(found.rate(F(20)))
        minutes_cutting = seen.cut_arc / 360 / rate
        assert seen.stroke / 1000 / minutes_cutting == pytest.approx(20, rel=2e-4)
        assert F(139, 100) < (found.peak or 0) < F(158, 100)  # pi / 2 for a vanishing stroke
    # With the m of the full stroke (1/2) everywhere, a tenth of the stroke is run this much too fast.
    assert float(rate_error(link, F(40), F(1, 2))) == pytest.approx((1 + (90 - degrees(asin(0.05))) / (90 + degrees(asin(0.05)))) / 1.5 - 1)
    assert rate_error(link, F(400), F(1, 2)) == 0


@pytest.mark.parametrize(
    ("stroke", "speed", "m", "rate"),
    [("100", "20", "0.6", 125.0), ("200", "20", "0.6", 62.5), ("300", "15", "0.667", 29.994), ("150", "25", "0.6", 104.167), ("400", "18", "0.7", 26.471),
     ("60", "20", "0.8", 185.185), ("250", "12", "0.6", 30.0), ("120", "30", "0.65", 151.515)],
)  # fmt: skip
def test_rates_for_a_stated_ratio(stroke: str, speed: str, m: str, rate: float) -> None:
    """N = 1000 V / (S (1 + m)) as an open textbook has it."""
    found = motion(Constant(1 / F(m)), F(stroke))
    assert float(found.rate(F(speed))) == pytest.approx(rate, abs=5e-4)
    assert found.return_share == F(m)


@pytest.mark.parametrize(("stroke", "rate", "m", "speed"), [(150, 60, "0.6", "14.4"), (100, 110, "0.7", "18.7"), (350, 30, "0.65", "17.325")])
def test_mean_speeds_for_a_stated_ratio(stroke: int, rate: int, m: str, speed: str) -> None:
    assert motion(Constant(1 / F(m)), F(stroke)).mean_cutting_speed(F(rate)) == F(speed)


def test_a_hydraulic_ram_runs_evenly_and_of_a_stated_ratio_no_peak_is_known() -> None:
    assert motion(Constant(F(2), even=True), F(100)).peak_cutting_speed(F(30)) == motion(Constant(F(2)), F(100)).mean_cutting_speed(F(30))
    assert motion(Constant(F(2)), F(100)).peak_cutting_speed(F(30)) is None


def test_a_rotating_arm() -> None:
    """Pin radius 90, offset 30, stroke 200 at 60 a minute: 218.942 degrees of cutting, 1.5521, mean 19.731 m/min (kinematics)."""
    ratio = rotating_arm_ratio(F(90), F(30))
    assert float(ratio) == pytest.approx((360 - 2 * degrees(acos(1 / 3))) / (2 * degrees(acos(1 / 3))), rel=1e-12)
    found = motion(Constant(ratio), F(200))
    assert float(found.cutting_arc) == pytest.approx(218.942, abs=6e-4)
    assert float(found.mean_cutting_speed(F(60))) == pytest.approx(19.731, abs=6e-4)
    assert rotating_arm_ratio(F(90), F(0)) == 1
    with pytest.raises(ValueError, match="runs round"):
        rotating_arm_ratio(F(30), F(30))


def test_what_cannot_be() -> None:
    for least, largest in ((-1, 10), (20, 10), (10, 200)):
        with pytest.raises(ValueError, match="crank pin"):
            Link(F(200), F(400), F(least), F(largest))
    with pytest.raises(ValueError, match="length"):
        Link(F(200), F(0), F(10), F(100))
    with pytest.raises(ValueError, match="twice the link"):
        motion(Link(F(200), F(400), F(10), F(100)), F(800))
    with pytest.raises(ValueError, match="above nought"):
        motion(Constant(F(2)), F(0))
    with pytest.raises(ValueError, match="above nought"):
        Constant(F(0))
    with pytest.raises(ValueError, match="sine"):
        asin_degrees(F(2))


LENGTHS = st.fractions(min_value=20, max_value=600, max_denominator=50)
SHARES = st.fractions(min_value=F(1, 100), max_value=F(9, 10), max_denominator=200)


@given(LENGTHS, LENGTHS, SHARES, SHARES)
def test_laws_of_any_link(distance: Fraction, length: Fraction, one: Fraction, other: Fraction) -> None:
    link = Link(distance, length, distance / 200, distance * 99 / 100)
    short, long = sorted((one * distance, other * distance))
    less, more = motion(link, stroke_of(link, short)), motion(link, stroke_of(link, long))
    assert crank_radius(link, less.stroke) == short
    assert link_of_strokes(distance, length, less.stroke, more.stroke) == Link(distance, length, short, long)
    assert less.stroke <= more.stroke <= link.longest_stroke
    assert 1 < less.ratio <= more.ratio
    assert abs(less.cutting_arc + less.return_arc - 360) < F(1, 10**30)
    # Fastest against mean: as of a sine where the stroke vanishes, never far from half as much again.
    assert all(F(1379, 1000) < (found.peak or 0) < F(3142, 2000) for found in (less, more))
    # The ends of the stroke: link and crank stand square, the ram stands still.
    end = 90 + link.half_swing(long)
    assert abs(link.ram_position(long, end) - more.stroke / 2) < F(1, 10**30)
    assert abs(link.ram_position(long, -end) + more.stroke / 2) < F(1, 10**30)
    assert abs(link.ram_speed(long, end, F(60))) < F(1, 10**25)


@given(LENGTHS, LENGTHS)
def test_the_ratio_nears_one_as_the_stroke_vanishes(distance: Fraction, length: Fraction) -> None:
    link = Link(distance, length, distance / 10**9, distance / 2)
    gone = motion(link, link.shortest_stroke)
    assert 1 < gone.ratio < 1 + F(1, 10**8)
    assert abs(link.ratio(distance / 2) - 2) < F(1, 10**30)  # pin at half the distance: 240 degrees to 120


@given(st.fractions(min_value=-1, max_value=1, max_denominator=1000))
def test_arcs_by_a_general_purpose_library(value: Fraction) -> None:
    with mpmath.workdps(50):
        exact = mpmath.mpf(value.numerator) / value.denominator
        for told, wanted in ((asin_degrees(value), mpmath.degrees(mpmath.asin(exact))), (acos_degrees(value), mpmath.degrees(mpmath.acos(exact)))):
            assert abs(mpmath.mpf(told.numerator) / told.denominator - wanted) < mpmath.mpf(10) ** -38
