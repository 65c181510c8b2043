"""Undercuts, run-outs, reliefs and centre holes against the standards' own rules and thread sizes."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards.infeed import apex_height
from benchleaf.standards.reliefs import (
    centre_hole_for_shaft,
    groove_diameter_limit,
    groove_width_needed,
    run_out,
    shaft_reliefs,
    thread_undercut,
)
from benchleaf.standards.tables import table

PITCHES = [row.number("pitch") for row in table("undercuts", "thread_undercut_outside").rows]


@pytest.mark.parametrize(
    ("pitch", "below", "least", "widest"),
    # DIN 76-1 form A, from memory; the diameters of 0.5, 1, 1.25, 1.5, 1.75, 2 and 3 also stand in a published table.
    [("0.5", "0.8", "1.1", "1.75"), ("0.7", "1.1", "1.5", "2.45"), ("0.8", "1.3", "1.7", "2.8"), ("1", "1.6", "2.1", "3.5"), ("1.25", "2", "2.7", "4.4"),
     ("1.5", "2.3", "3.2", "5.2"), ("1.75", "2.6", "3.9", "6.1"), ("2", "3", "4.5", "7"), ("2.5", "3.6", "5.6", "8.7"), ("3", "4.4", "6.7", "10.5")],
)  # fmt: skip
def test_outside_undercuts(pitch: str, below: str, least: str, widest: str) -> None:
    found = thread_undercut(F(pitch), F(40))
    assert (found.form, 40 - found.diameter, found.least, found.widest) == ("A", F(below), F(least), F(widest))
    assert found.tabled
    # The groove clears the thread: (d - dg) / 2 is more than the depth 17H/24 of ISO 68-1, and dg less than d3.
    assert F(below) / 2 > apex_height(F(pitch), F(30)) * F(17, 24)


@pytest.mark.parametrize(
    ("pitch", "above", "least", "widest"), [("0.5", "0.3", "2", "2.7"), ("1", "0.5", "4", "5.2"), ("1.5", "0.5", "6", "7.8"), ("2", "0.5", "8", "10.3")]
)  # DIN 76-1 form C, from memory
def test_inside_undercuts(pitch: str, above: str, least: str, widest: str) -> None:
    found = thread_undercut(F(pitch), F(40), inside=True)
    assert (found.form, found.diameter - 40, found.least, found.widest) == ("C", F(above), F(least), F(widest))


def test_all_pitches_of_the_standard_are_there_and_grow() -> None:
    # ISO 261 pitches that DIN 76-1 covers.
    wanted = "0.2 0.25 0.3 0.35 0.4 0.45 0.5 0.6 0.7 0.75 0.8 1 1.25 1.5 1.75 2 2.5 3 3.5 4 4.5 5 5.5 6"
    assert [F(pitch) for pitch in wanted.split()] == PITCHES
    for name in ("thread_undercut_inside", "run_out"):
        assert [row.number("pitch") for row in table("undercuts", name).rows] == PITCHES
    for inside in (False, True):
        for short in (False, True):
            found = [thread_undercut(pitch, F(100), inside=inside, short=short) for pitch in PITCHES]
            assert all(a.least <= b.least and a.widest < b.widest and a.radius <= b.radius for a, b in pairwise(found))
            # DIN 76-1 makes the whole width 3.5 P (A) and 2.5 P (B), the inside parallel part 4 P (C) and 2.5 P (D), all rounded.
            for pitch, each in zip(PITCHES, found, strict=True):
                ruled, factor = (each.least, F(5, 2) if short else 4) if inside else (each.widest, F(5, 2) if short else F(7, 2))
                assert abs(ruled - factor * pitch) <= max(F(1, 10) * pitch, F(1, 20)) * 2
                assert each.least < each.widest


def test_run_outs_follow_the_rule_of_the_standard() -> None:
    # ISO 3508: x = 2.5 P and 1.25 P, a = 3 P, 2 P and 4 P, rounded up to sizes.
    for pitch in PITCHES:
        found = run_out(pitch)
        for size, factor in ((found.normal, F(5, 2)), (found.short, F(5, 4)), (found.to_shoulder, F(3)), (found.to_shoulder_short, F(2)), (found.to_shoulder_long, F(4))):
            assert abs(size - factor * pitch) <= F(3, 10) * pitch
        assert found.tabled
        assert found.status == "from memory"


@given(st.fractions(F(1, 10), F(8), max_denominator=1000), st.booleans(), st.booleans())
def test_a_pitch_between_rows_lies_between_them_and_says_so(pitch: F, inside: bool, short: bool) -> None:
    found = thread_undercut(pitch, F(50), inside=inside, short=short)
    assert found.tabled == (pitch in PITCHES)
    if not found.tabled:
        assert (found.diameter_status, found.width_status) == ("derived", "derived")
    assert (found.diameter > 50) is inside
    below, above = max((p for p in PITCHES if p <= pitch), default=None), min((p for p in PITCHES if p >= pitch), default=None)
    if below is not None and above is not None:
        low, high = (thread_undercut(end, F(50), inside=inside, short=short) for end in (below, above))
        assert low.least <= found.least <= high.least
        assert min(low.diameter, high.diameter) <= found.diameter <= max(low.diameter, high.diameter)
    if not inside:
        assert (50 - found.diameter) / 2 > apex_height(pitch, F(30)) * F(17, 24)  # never shallower than the thread
    assert 0 < found.least < found.widest


def test_the_status_of_a_figure_is_that_of_its_cell() -> None:
    assert (thread_undercut(F(2), F(20)).diameter_status, thread_undercut(F(2), F(20)).width_status) == ("published", "from memory")
    assert thread_undercut(F("1.5"), F(20)).diameter_status == "from memory"


def test_groove_limits() -> None:
    # Plane geometry: the tip runs in air with the clearance all round.
    assert groove_diameter_limit(F("8.16"), F("0.1")) == F("7.96")
    assert groove_diameter_limit(F("30.2"), F("0.2"), inside=True) == F("30.6")
    assert groove_width_needed(F("1.25"), F("1.5"), F("0.3")) == F("3.05")


@pytest.mark.parametrize(
    ("diameter", "designations"),
    # DIN 509:1998-06: over 10 to 18 usual loading 0.4x0.2 and 0.6x0.2; over 18 to 80 0.6x0.3 and 0.8x0.3, raised fatigue strength 1x0.2, 1.2x0.2.
    [("12", ["0.4x0.2", "0.6x0.2"]), ("18", ["0.4x0.2", "0.6x0.2"]), ("40", ["0.6x0.3", "0.8x0.3", "1x0.2", "1.2x0.2"]), ("100", ["1x0.4", "1.2x0.4", "2.5x0.4"])],
)
def test_shaft_reliefs(diameter: str, designations: list[str]) -> None:
    found = shaft_reliefs(F(diameter))
    assert sorted(each.designation for each in found) == sorted(f"DIN 509-F {name}" for name in designations)
    assert all(each.depth <= each.width / 5 for each in found)
    with pytest.raises(ValueError, match="form"):
        shaft_reliefs(F(10), "G")


def test_centre_holes() -> None:
    # ISO 866: 2.5 mm pilot, 5.3 mm cone; its 60 degree cone is (d2 - d1) / (2 tan 30) deep, less than the whole depth.
    found = centre_hole_for_shaft(F(20))
    assert (found.pilot, found.cone, found.protecting) == (F("2.5"), F("5.3"), F(8))
    for row in table("undercuts", "centre_holes").rows:
        cone = float(row.number("d2") - row.number("d1")) / (2 * 0.57735)
        assert cone < float(row.number("t_A"))
        # The standard's sizes hold d2 at 2.1 pilots.
        assert 2.09 <= row.number("d2") / row.number("d1") <= 2.15
    sizes = [centre_hole_for_shaft(F(d)).pilot for d in (8, 9, 12, 13, 18, 19, 25, 26, 40, 41, 80, 81, 180, 181)]
    assert sizes == [F(size) for size in ["1", "1.6", "1.6", "2", "2", "2.5", "2.5", "3.15", "3.15", "4", "4", "6.3", "6.3", "10"]]
    with pytest.raises(ValueError, match="diameter"):
        centre_hole_for_shaft(F(0))


def test_no_pitch_no_groove() -> None:
    with pytest.raises(ValueError, match="pitch"):
        thread_undercut(F(0), F(10))


def test_halfway_between_two_pitches_is_halfway_between_their_grooves() -> None:
    # DIN 76-1 at 1.0 and 1.25: 1.6 and 2.0 below the nominal, 2.1 and 2.7 wide.
    found = thread_undercut(F("1.125"), F(20))
    assert (found.diameter, found.least, found.tabled) == (F("18.2"), F("2.4"), False)
    # Beyond the table in proportion: twice the groove of 6 mm for 12 mm.
    assert thread_undercut(F(12), F(200)).least == 2 * thread_undercut(F(6), F(200)).least
