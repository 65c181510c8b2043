"""Racks against what is published, and against geometry worked out by other means."""

from __future__ import annotations

import math
from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from benchleaf.standards.racks import basic_rack, best_pin, depth_for, pin_above, pin_fits, pitch_of, tip_for

ANGLES = (F(20), F(29, 2))


@pytest.mark.parametrize(
    ("module", "pitch"),
    [  # circular pitch of wheels by diametral pitch, in; handbook table of tooth parts (from memory), pi / DP
        (F(127, 5) / 4, 0.7854),
        (F(127, 5) / 8, 0.3927),
        (F(127, 5) / 10, 0.3142),
        (F(127, 5) / 12, 0.2618),
        (F(127, 5) / 16, 0.1963),
        (F(127, 5) / 20, 0.1571),
    ],
)
def test_pitch_by_diametral_pitch(module: F, pitch: float) -> None:
    assert float(pitch_of(module)) / 25.4 == pytest.approx(pitch, abs=5e-5)


@pytest.mark.parametrize(
    ("angle", "addendum", "dedendum"),
    [(F(20), 1, F(5, 4)), (F(29, 2), 1, F(1157, 1000))],  # ISO 53:1998 profile A; full-depth 14 1/2 deg teeth, AGMA 201.02 (both from memory)
)
def test_basic_racks(angle: F, addendum: F, dedendum: F) -> None:
    found = basic_rack(angle)
    assert found is not None
    assert (found.addendum, found.dedendum) == (addendum, dedendum)
    assert found.clearance[0] <= dedendum - addendum <= found.clearance[1]
    assert basic_rack(F(25)) is None


@given(st.sampled_from(ANGLES), st.fractions(min_value=F(1, 2), max_value=6, max_denominator=20), st.fractions(min_value=F(45, 100), max_value=F(1, 2), max_denominator=200))
def test_the_tip_that_is_asked_for_comes_to_the_full_depth(angle: F, module: F, share: F) -> None:
    rack, pitch = basic_rack(angle), pitch_of(module)
    assert rack is not None
    tooth, a, b = pitch * share, rack.addendum * module, rack.dedendum * module
    assert depth_for(pitch, tooth, a, tip_for(pitch, tooth, b, angle), angle) == pytest.approx(a + b, rel=1e-12)


@given(st.sampled_from(ANGLES), st.fractions(min_value=1, max_value=6, max_denominator=20), st.fractions(min_value=F(8, 10), max_value=F(13, 10), max_denominator=50))
def test_a_pin_lies_where_a_vee_and_a_circle_touch(angle: F, module: F, share: F) -> None:
    """The vee as a polygon, the pin let down into it until it touches: by shapely."""
    pitch = pitch_of(module)
    space, a, depth = float(pitch) / 2, float(module), 2.25 * float(module)
    pin = best_pin(pitch / 2, angle) * share
    if not pin_fits(pin, pitch / 2, module, F(9, 4) * module, angle):
        return
    slope, radius = math.tan(math.radians(angle)), float(pin) / 2
    top, bottom = space / 2 + a * slope, space / 2 - (depth - a) * slope
    metal = Polygon([(-9 * a, 0), (-top, 0), (-bottom, -depth), (bottom, -depth), (top, 0), (9 * a, 0), (9 * a, -2 * depth), (-9 * a, -2 * depth)])
    low, high = -depth, 20 * a
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if metal.distance(Point(0, middle)) >= radius else (middle, high)
    assert high + radius == pytest.approx(float(pin_above(pin, pitch / 2, module, angle)), abs=1e-6 * a)


@given(st.sampled_from(ANGLES), st.fractions(min_value=1, max_value=6, max_denominator=20))
def test_the_best_pin_touches_at_the_pitch_line(angle: F, module: F) -> None:
    space = pitch_of(module) / 2
    pin = best_pin(space, angle)
    centre = pin_above(pin, space, module, angle) - pin / 2  # from the tops
    assert float(centre) - float(pin) / 2 * math.sin(math.radians(angle)) == pytest.approx(-float(module), rel=1e-9)
