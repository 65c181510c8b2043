"""Groove geometry against a drawn groove, ISO 68-1 and BS 84 proportions, and worked values."""

from __future__ import annotations

import math
from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, box
from shapely.affinity import translate

from benchleaf.standards.infeed import (
    SHARP,
    Tip,
    along_flank,
    apex_height,
    chip_area,
    crest_width,
    depth_for_area,
    infeed_external,
    infeed_internal,
    largest_flat,
    largest_radius,
    lead_angle,
    side_clearance,
    sideways,
    tip_for_root,
    too_blunt,
    top_slide_angle,
)

V60, V55, BA, TR, ACME = F(30), F("27.5"), F("23.75"), F(15), F("14.5")

# (what, blank, pitch diameter, pitch, half angle, tip, infeed), mm.  Depths: 5H/8, 17H/24 and 7H/8 of ISO 68-1; 0.640327 P of BS 84;
# 0.5 P + clearance of ISO 2904; the rest by the plane geometry that the drawn groove below repeats.
INFEEDS = [
    ("M10x1.5 basic, flat P/4: 5H/8", "10", "9.0257", "1.5", V60, Tip(flat=F("0.375")), 0.8119),
    ("M10x1.5 basic, radius H/6: 17H/24", "10", "9.0257", "1.5", V60, Tip(radius=F("0.21651")), 0.9202),
    ("M10x1.5-6g in the middle of its limits, turned to 9.85, radius 0.1", "9.85", "8.928", "1.5", V60, Tip(radius=F("0.1")), 1.0105),
    ("M10x1.5 sharp: 7H/8", "10", "9.0257", "1.5", V60, SHARP, 1.1367),
    ("1/4 BSW, full radius 0.137329 P: 0.640327 P", "6.35", "5.5368", "1.27", V55, Tip(radius=F("0.17441")), 0.8132),
    ("Tr14x3, flat of the root's width", "14", "12.415", "3", TR, Tip(flat=F("0.9641")), 1.7926),
]


@pytest.mark.parametrize(("what", "blank", "d2", "pitch", "half", "tip", "infeed"), INFEEDS)
def test_infeed_is_the_published_depth(what: str, blank: str, d2: str, pitch: str, half: F, tip: Tip, infeed: float) -> None:
    found = infeed_external(F(blank), F(d2), F(pitch), half, tip)
    assert float(found.depth) == pytest.approx(infeed, abs=6e-4), what
    assert found.root == F(blank) - 2 * found.depth
    assert found.rule.status == "derived"
    assert ("tip radius" in found.rule.formula, "tip flat" in found.rule.formula) == (tip.radius > 0, tip.flat > 0)


def test_depth_constants_of_the_standards() -> None:
    # ISO 68-1: external depth 17H/24 = 0.61343 P with root radius H/6, internal 5H/8 = 0.54127 P with flat P/8 and bore D1 = D - 1.08253 P;
    # ASME B1.1: 1.08253175 P is twice that, 0.64951905 P the drop from major to pitch diameter (Machinery's Handbook 31, pp. 2010-2023).
    height = apex_height(F(1), V60)
    assert float(height) == pytest.approx(0.8660254, abs=1e-7)
    d2 = 10 - F("0.64951905")
    assert float(infeed_external(F(10), d2, F(1), V60, Tip(radius=height / 6)).depth) == pytest.approx(0.61343, abs=1e-5)
    inside = infeed_internal(10 - F("1.08253175"), d2, F(1), V60, Tip(flat=F(1, 8)))
    assert float(inside.depth) == pytest.approx(0.54127, abs=1e-5)
    assert float(inside.root) == pytest.approx(10, abs=1e-6)
    assert float(inside.crest) == pytest.approx(0.25, abs=1e-6)  # internal crest P/4
    # BS 84 (Whitworth): depth 0.640327 P; BS 93 (BA): depth 0.6 P, radius 2/11 P to two figures.
    assert float(infeed_external(F(10), 10 - F("0.640327"), F(1), V55, Tip(radius=F("0.137329"))).depth) == pytest.approx(0.640327, abs=2e-6)
    assert float(infeed_external(F(10), F("9.4"), F(1), BA, Tip(radius=F(2, 11))).depth) == pytest.approx(0.6, abs=2e-3)


def _tool(half: F, tip: Tip, height: float) -> Polygon:
    """The tool as a drawing: bottom of the tip at y = 0, flanks up to ``height``."""
    a = math.radians(float(half))
    if tip.radius:
        r = float(tip.radius)
        low, reach = r * (1 - math.sin(a)), r * math.cos(a)
        round_part = Point(0, r).buffer(r, quad_segs=4000).intersection(box(-reach, 0, reach, low))
    else:
        low, reach, round_part = 0.0, float(tip.flat) / 2, Polygon()
    wide = reach + (height - low) * math.tan(a)
    return Polygon([(-reach, low), (reach, low), (wide, height), (-wide, height)]).union(round_part)


GROOVES = [
    (half, tip) for half in (V60, V55, BA, TR, ACME, F(5), F(45)) for tip in (SHARP, Tip(flat=F("0.2")), Tip(flat=F("0.9")), Tip(radius=F("0.15")), Tip(radius=F("0.5")))
]


@pytest.mark.parametrize(("half", "tip"), GROOVES)
@pytest.mark.parametrize("inside", [False, True])
def test_a_drawn_groove_is_half_a_pitch_wide_at_the_pitch_line(half: F, tip: Tip, inside: bool) -> None:
    pitch, d2 = F(2), F(30)
    surface = d2 - 1 if inside else d2 + 1
    found = (infeed_internal if inside else infeed_external)(surface, d2, pitch, half, tip)
    below = float(found.depth - F(1, 2))  # the pitch line lies half a millimetre in, either way
    groove = _tool(half, tip, 40.0)
    at_pitch_line = groove.intersection(LineString([(-50, below), (50, below)])).length
    assert at_pitch_line == pytest.approx(1.0, abs=1e-6)
    at_surface = groove.intersection(LineString([(-50, float(found.depth)), (50, float(found.depth))])).length
    assert 2 - at_surface == pytest.approx(float(found.crest), abs=1e-6)
    assert found.crest == crest_width(found.depth, pitch, half, tip)


@pytest.mark.parametrize(("half", "tip"), GROOVES)
def test_chip_area_is_the_area_of_the_drawn_groove(half: F, tip: Tip) -> None:
    shape = _tool(half, tip, 5.0)
    for depth in (0.02, 0.1, 0.3, 1.2):
        metal = translate(box(-20, 0, 20, depth), 0, 0)
        assert float(chip_area(F(depth), half, tip)) == pytest.approx(shape.intersection(metal).area, abs=2e-6)


def test_too_blunt_a_tip() -> None:
    # P / (4 cos a): 0.288675 P at 60 degrees, half of the best wire 0.57735 P (Machinery's Handbook 31).
    assert float(largest_radius(F(1), V60)) == pytest.approx(0.288675, abs=1e-6)
    assert largest_flat(F("1.5")) == F("0.75")
    assert too_blunt(Tip(radius=F("0.29")), F(9), F(1), V60)
    assert not too_blunt(Tip(radius=F("0.288")), F(9), F(1), V60)
    assert too_blunt(Tip(flat=F("0.51")), F(9), F(1), V60)
    # M10x1.5: the root must clear the 6H nut's smallest minor diameter 8.376 (ISO 965-2).  At the smallest 6g pitch diameter, 8.862, a
    # flat of P/4 reaches 7.94; at d2 = 8.994 with a radius of 0.4 (an insert for 3 mm and up) the root stays too full.
    assert not too_blunt(Tip(flat=F("0.375")), F("8.862"), F("1.5"), V60, F("8.376"))
    assert too_blunt(Tip(radius=F("0.4")), F("8.994"), F("1.5"), V60, F("8.376"))
    # An inside 60 degree thread of 0.5 mm with a 0.1 radius: the root must reach the major diameter.
    assert too_blunt(Tip(radius=F("0.1")), F("4.675"), F("0.5"), V60, F(5), inside=True)
    assert not too_blunt(Tip(radius=F("0.03")), F("4.675"), F("0.5"), V60, F(5), inside=True)


@given(
    half=st.sampled_from([V60, V55, BA, TR, ACME]), pitch=st.fractions(F(1, 4), F(8), max_denominator=50), drop=st.fractions(F(1, 10), F(9, 10), max_denominator=100)
)
def test_the_widest_tips_for_a_root_leave_that_root(half: F, pitch: F, drop: F) -> None:
    d2 = F(40)
    root = d2 - apex_height(pitch, half) * drop
    for tip in tip_for_root(d2, root, pitch, half):
        left = infeed_external(F(41), d2, pitch, half, tip).root
        reaches_pitch_line = tip.width_at_flanks(half) >= pitch / 2 - F(1, 10**20)
        assert abs(left - root) < F(1, 10**20) or (reaches_pitch_line and left < root)
        assert not too_blunt(tip, d2, pitch, half, max(left, root) + F(1, 10**20))
        blunter = Tip(flat=tip.flat * F(11, 10)) if tip.flat else Tip(radius=tip.radius * F(11, 10))
        assert too_blunt(blunter, d2, pitch, half, root)


@settings(deadline=None)
@given(
    half=st.sampled_from([V60, V55, BA, TR, ACME]),
    tip=st.one_of(st.just(SHARP), st.fractions(F(1, 100), F(2), max_denominator=200).flatmap(lambda size: st.sampled_from([Tip(flat=size), Tip(radius=size)]))),
    depth=st.fractions(F(1, 1000), F(4), max_denominator=1000),
)
def test_depth_for_area_undoes_chip_area(half: F, tip: Tip, depth: F) -> None:
    assert abs(depth_for_area(chip_area(depth, half, tip), half, tip) - depth) < F(1, 10**9)


@pytest.mark.parametrize(
    ("lead", "diameter", "degrees"),
    [
        # Machinery's Handbook 31, p. 1978: 1-64 UNC 4 deg 31 min, 4-40 UNC 4 deg 45 min; the others by tan = lead / (pi d2).
        ("0.396875", "1.59766", 4.52), ("0.635", "2.43332", 4.75), ("1.5", "9.026", 3.03), ("14", "36.5", 6.96), ("14", "32", 7.93), ("2.5", "18.376", 2.48),
    ],
)  # fmt: skip
def test_lead_angle(lead: str, diameter: str, degrees: float) -> None:
    assert float(lead_angle(F(lead), F(diameter))) == pytest.approx(degrees, abs=0.01)


def test_side_clearance_is_judged_where_the_thread_is_steepest() -> None:
    # Tr40x14(P7), ISO 2903 sizes d2 36.5 and d3 32: 6.96 degrees at the pitch line, 7.93 at the root.
    found = side_clearance(F(14), F("36.5"), F(32))
    assert float(found.at_pitch) == pytest.approx(6.96, abs=0.01)
    assert found.needs == found.at_smallest == lead_angle(F(14), F(32))
    assert found.ground
    assert not side_clearance(F("1.5"), F("29.026"), F("28.16")).ground  # M30x1.5: one degree


def test_flank_infeed() -> None:
    # Common practice: 29.5 degrees for 60 degree threads, 27 for Whitworth, 14.5 for trapezoidal, 14 for Acme.
    assert [top_slide_angle(half) for half in (V60, V55, TR, ACME, F(0))] == [F("29.5"), F(27), F("14.5"), F(14), 0]
    # Plane geometry: 0.92 deep at 29.5 degrees is 1.0570 along the slide; at 29 degrees 1.14335 a millimetre.
    assert float(along_flank(F("0.92"), F("29.5"))) == pytest.approx(1.0570, abs=1e-4)
    assert float(along_flank(F(1), F(29))) == pytest.approx(1.14335, abs=1e-5)
    assert float(along_flank(F("0.92"), V60) ** 2 - sideways(F("0.92"), V60) ** 2) == pytest.approx(0.92**2, abs=1e-12)


def test_a_tip_is_one_thing() -> None:
    for flat, radius in [("0.1", "0.1"), ("-0.1", "0"), ("0", "-1")]:
        with pytest.raises(ValueError, match="tip"):
            Tip(F(flat), F(radius))
