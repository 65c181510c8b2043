"""Readings over wires against handbook constants, a drawn section and the exact contact of wire and helicoid."""

from __future__ import annotations

import math
from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards.wires import (
    best_wire,
    choose_wire,
    correction_matters,
    infeed_left,
    lead_correction,
    limits_over_wires,
    over_one_wire,
    over_two_wires,
    over_wires,
    pitch_diameter_from,
    wire_range,
)

V60, V55, BA, TR, ACME = F(30), F("27.5"), F("23.75"), F(15), F("14.5")


@pytest.mark.parametrize(
    ("half", "pitch", "wire"),
    [(V60, "1.5", 0.8660), (V55, "1.27", 0.7159), (BA, "0.81", 0.4425), (TR, "3", 1.5529), (ACME, "127/30", 2.1863)],
)
def test_best_wire(half: F, pitch: str, wire: float) -> None:
    # w = P / (2 cos a): 0.57735 P, 0.56369 P, 0.54626 P, 0.51764 P, 0.51645 P (Machinery's Handbook 31 for 60 and 55 degrees).
    assert float(best_wire(F(pitch), half)) == pytest.approx(wire, abs=2e-4)


@pytest.mark.parametrize(
    ("half", "wires", "pitches"),
    # M = d2 + k w - c P.  60 and 55 degrees: Machinery's Handbook 31, p. 2129; 47.5, 30 and 29 by the same plane formula.
    [(V60, 3, 0.866025), (V55, 3.16568, 0.960491), (BA, 3.48295, 1.136336), (TR, 4.86370, 1.866025), (ACME, 4.99393, 1.933357)],
)
def test_constants_of_the_three_wire_formula(half: F, wires: float, pitches: float) -> None:
    assert float(over_wires(F(0), F(0), half, F(1)).reading) == pytest.approx(wires, abs=1e-5)
    assert float(over_wires(F(0), F(1), half, F(0)).reading) == pytest.approx(-pitches, abs=1e-6)


@pytest.mark.parametrize(
    ("what", "d2", "pitch", "half", "wire", "reading", "within"),
    [
        ("M10x1.5, mm", "9.026", "1.5", V60, "0.866", 10.325, 6e-4),
        ("M6x1 in its limits, mm", "5.268", "1", V60, "0.6", 6.202, 6e-4),
        ("7/16-14 UNC, in; M = D + 3 w - 1.5155 / n prints .464", "0.3911", "1/14", V60, "0.045", 0.4642, 6e-4),
        ("1/4-20 BSW, in; .9605 P (Machinery's Handbook 31, p. 2129)", "0.218", "1/20", V55, "0.0282", 0.2592, 2e-4),
        ("Tr14x3, mm, plane formula", "12.5", "3", TR, "1.553", 14.4552, 1e-3),
    ],
)
def test_readings(what: str, d2: str, pitch: str, half: F, wire: str, reading: float, within: float) -> None:
    assert float(over_wires(F(d2), F(pitch), half, F(wire)).reading) == pytest.approx(reading, abs=within), what


def _seat(wire: float, lead: float, d2: float, half: float, tilt: float) -> float:
    """How much higher than in the plane section a tilted wire rests in a real helical groove, on the diameter, mm: found numerically.

    The groove has straight flanks in the axial section and touches a best wire at the pitch line in that section.  The half turn about
    the radius through the wire takes one flank into the other, so one flank is enough: its nearest point to the wire's axis is found
    on a grid that closes in, and the wire raised until that point is half a wire away.
    """
    a, turn, length = math.radians(half), lead / (2 * math.pi), math.hypot(1, tilt)
    apex = d2 / 2 - wire / 2 * math.cos(a) / math.tan(a)
    plane = apex + wire / 2 / math.sin(a)

    def gap(height: float) -> float:
        least, middle_r, middle_y, span = math.inf, d2 / 2, 0.0, wire / 2
        for _ in range(11):
            found = []
            for step_r in range(-5, 6):
                for step_y in range(-5, 6):
                    r, y = middle_r + span * step_r / 5, middle_y + span * step_y / 5
                    if r > apex and abs(y) < r:
                        angle = math.asin(y / r)
                        x, z = r * math.cos(angle) - height, (r - apex) * math.tan(a) + turn * angle
                        along = (y + z * tilt) / length
                        found.append((math.sqrt(max(x * x + y * y + z * z - along * along, 0)), r, y))
            least, middle_r, middle_y = min(found)
            span *= 0.4
        return least - wire / 2

    low, high = plane - wire / 10, plane + wire / 10
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (low, middle) if gap(middle) >= 0 else (middle, high)
    return 2 * (high - plane)


@pytest.mark.parametrize(
    ("wire", "lead", "d2", "half", "formula", "contact"),
    # First-order formula and numeric contact, um: M10x1.5 and a two-start Tr40x14(P7).
    [("0.866", "1.5", "9.026", V60, 1.82, 1.73), ("3.6235", "14", "36.5", TR, 97.4, 94.0)],
)
def test_lead_correction_is_the_first_term_of_the_real_contact(wire: str, lead: str, d2: str, half: F, formula: float, contact: float) -> None:
    correction = lead_correction(F(wire), F(lead), F(d2), half)
    assert float(correction) * 1000 == pytest.approx(formula, rel=0.005)
    slope = float(F(lead) / F(d2)) / math.pi
    seats = [_seat(float(F(wire)), float(F(lead)), float(F(d2)), float(half), slope * share / 100) for share in (95, 96, 97, 98, 100)]
    assert min(seats) * 1000 == pytest.approx(contact, rel=0.01)
    # A wire that lies along the pitch line's slope gives the formula itself; a free one settles up to a twentieth lower.
    assert seats[-1] == pytest.approx(float(correction), rel=0.005)
    assert 0.95 < min(seats) / float(correction) < 1


def test_lead_correction_is_added_and_mentioned_where_it_can_be_seen() -> None:
    correction = lead_correction(F("3.6235"), F(14), F("36.5"), TR)
    assert over_wires(F("36.5"), F(7), TR, F("3.6235"), F(14)).reading == over_wires(F("36.5"), F(7), TR, F("3.6235")).reading + correction
    assert correction_matters(correction)
    assert not correction_matters(lead_correction(F("0.866"), F("1.5"), F("9.026"), V60), F("0.132"))  # Td2 6g of ISO 965-1
    assert correction_matters(F("0.004"), F("0.06"))


def test_wire_range_is_the_handbooks() -> None:
    # Machinery's Handbook (from memory): 60 degree wires from 0.505 P to 1.010 P on the basic major diameter.
    found = wire_range(F(1), V60, 10 - F("0.64951905"), F(10))
    assert [float(size) for size in (found.smallest, found.best, found.largest)] == pytest.approx([0.505, 0.57735, 1.010], abs=5e-4)
    assert found.fits(found.best)
    assert not found.fits(F("0.5"))
    # Whitworth crests are rounded off H/6 = 0.160082 P at radius 0.137329 P (BS 84): the straight flank ends 0.0739 P below the crest.
    rounded = wire_range(F(1), V55, 10 - F("0.640327"), F(10), flank_top=10 - 2 * F("0.0739"))
    assert rounded.largest < wire_range(F(1), V55, 10 - F("0.640327"), F(10)).largest
    assert rounded.fits(rounded.best)


@given(
    half=st.sampled_from([V60, V55, BA, TR, ACME]), pitch=st.fractions(F(1, 4), F(8), max_denominator=40), size=st.fractions(F(1, 5), F(2), max_denominator=100)
)
def test_wires_in_range_touch_the_flank_and_stand_proud(half: F, pitch: F, size: F) -> None:
    d2, major, wire = F(50), 50 + pitch * F(3, 5), pitch * size
    a = math.radians(float(half))
    # The section drawn: axis of the wire above the apex, its top and its point of contact with the flank, as radii.
    apex = 25 - float(pitch) / (4 * math.tan(a))
    axis = apex + float(wire) / (2 * math.sin(a))
    top, contact = axis + float(wire) / 2, axis - float(wire) / 2 * math.sin(a)
    found = wire_range(pitch, half, d2, major)
    if abs(top - float(major) / 2) > 1e-9 and abs(contact - float(major) / 2) > 1e-9:
        assert found.fits(wire) == (top > float(major) / 2 and contact < float(major) / 2)
    assert float(over_wires(d2, pitch, half, wire).reading) == pytest.approx(2 * top, abs=1e-9)
    chosen = choose_wire([wire], pitch, half, d2, major)
    if chosen is not None:
        assert float(chosen.off) == pytest.approx(contact - 25, abs=1e-9)


def test_the_nearest_owned_wire_is_chosen() -> None:
    owned = [F("0.5"), F("0.75"), F("0.895"), F("1.1"), F("2")]
    chosen = choose_wire(owned, F("1.5"), V60, F("9.026"), F(10))
    assert chosen is not None
    assert chosen.wire == F("0.895")
    assert choose_wire([F("0.5"), F(2)], F("1.5"), V60, F("9.026"), F(10)) is None
    assert choose_wire([], F("1.5"), V60, F("9.026"), F(10)) is None
    # A wire too thin for the root that a blunt tip leaves would rest on its bottom.
    assert choose_wire([F("0.80")], F("1.5"), V60, F("9.026"), F("9.85"), root=F("8.95")) is None


@given(
    half=st.sampled_from([V60, V55, BA, TR, ACME]), d2=st.fractions(F(3), F(100), max_denominator=1000), pitch=st.fractions(F(1, 4), F(4), max_denominator=40), starts=st.integers(1, 2)
)
def test_reading_and_pitch_diameter_undo_each_other(half: F, d2: F, pitch: F, starts: int) -> None:
    wire, lead = best_wire(pitch, half), pitch * starts
    reading = over_wires(d2, pitch, half, wire, lead).reading
    assert abs(pitch_diameter_from(reading, pitch, half, wire) - lead_correction(wire, lead, d2, half) - d2) < F(1, 10**20)
    assert abs(pitch_diameter_from(reading, pitch, half, wire, lead) - d2) <= 3 * lead_correction(wire, lead, d2, half) ** 2 / d2
    low, high = limits_over_wires(d2, d2 + F(1, 10), pitch, half, wire)
    assert high - low == F(1, 10)
    assert infeed_left(high, low) == F(1, 20)  # the reading moves by twice the infeed


def test_two_wires_and_one() -> None:
    # Plane geometry: wires half a pitch apart along the axis stand on a slant; with two starts the grooves face each other.
    three = over_wires(F("9.026"), F("1.5"), V60, F("0.866")).reading
    two = over_two_wires(three, F("0.866"), F("1.5"))
    assert float(two) == pytest.approx(math.hypot(float(three) - 0.866, 0.75) + 0.866, abs=1e-12)
    assert over_two_wires(three, F("0.866"), F("1.5"), starts=2) == three
    assert over_one_wire(three, F("9.9")) == (three + F("9.9")) / 2
