"""The demo's jobs of several steps, from blank to inspection, against what arithmetic by hand gives.

Cutting speeds are those that the demo's materials take from the table (gunmetal 50 m/min, mild steel 30 m/min turning with HSS); speeds by
n = 1000 v / (pi d) (ISO 3002-1), the fastest of 32, 52, 85, 210, 340, 560 rpm not above; limits from ISO 286-2:2010, tables 2 and on.
"""

from __future__ import annotations

import math
from fractions import Fraction as F  # noqa: N817 - tables of sums read better
from functools import cache
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.resources import data_folder
from benchleaf.sheet.model import Figure, Sheet

SPEEDS = (32, 52, 85, 210, 340, 560)


@cache
def sheet(job: str) -> Sheet:
    checked = check_paths([data_folder("profiles") / "osier-lane" / "jobs" / f"{job}.yaml"], Path.cwd())
    found = checked.jobs[0].sheet
    assert found is not None
    return found


def section(job: str, name: str) -> dict[str, Figure]:
    return {figure.id: figure for part in sheet(job).sections if part.id == name for figure in part.figures()}


def order(job: str) -> list[str]:
    return [part.kind for part in sheet(job).sections]


def test_the_steps_come_in_the_order_of_the_job_with_what_was_missing_before_the_step_that_needs_it() -> None:
    assert order("pump-spindle") == [
        *("part", "face", "centre-drill", "hold", "face", "centre-drill", "hold", "turn", "turn", "turn", "groove", "chamfer", "screwcut"),
    ]
    assert order("gland-nut") == [
        *("part", "face", "turn", "centre-drill", "drill", "bore", "drill", "bore", "groove", "screwcut", "knurl", "chamfer", "part-off"),
    ]
    assert order("taper-plug") == ["part", "face", "turn", "turn", "chamfer", "die", "taper", "part-off"]
    added = [part.id for part in sheet("gland-nut").sections if "added" in part.subtitle]
    assert added == ["centre-drill", "drill", "drill-2", "groove"]


@pytest.mark.parametrize(
    ("job", "name", "speed", "diameter"),
    [
        ("gland-nut", "turn", 50, 40),
        ("gland-nut", "bore", F(4, 5) * 50, F(2845, 100)),  # boring: four fifths of turning (common practice)
        ("gland-nut", "groove", F(1, 2) * 50, F(304, 10)),  # grooving: half (common practice)
        ("pump-spindle", "turn", 30, 30),
        ("pump-spindle", "turn-2", 30, 28),  # from what the step before leaves
        ("taper-plug", "taper", 50, F(221, 10)),
    ],
)
def test_speeds_follow_the_diameter_that_the_steps_before_leave(job: str, name: str, speed: F, diameter: F) -> None:
    bound = 1000 * float(speed) / (math.pi * float(diameter))
    assert section(job, name)["spindle_speed"].value == max(each for each in SPEEDS if each <= bound)


def test_fits_are_those_of_the_standard() -> None:
    spindle, nut = section("pump-spindle", "turn-3"), section("gland-nut", "bore-2")
    assert spindle["size"].shown == "19.883 to 19.935"  # 20 d9: -65 and -117 um
    assert nut["size"].shown == "20.000 to 20.052"  # 20 H9: 0 and +52 um
    assert spindle["fit"].value == "clearance: 0.169 mm play to 0.065 mm play"  # 52 + 117, and 65 um
    assert nut["fit"].value == spindle["fit"].value


def test_the_last_reading_takes_off_what_is_to_come_off_within_half_a_division() -> None:
    """The cross-slide reads diameter, 0.05 mm a division, 4 mm a turn."""
    for job, name in (("pump-spindle", "turn"), ("pump-spindle", "turn-2"), ("pump-spindle", "turn-3"), ("taper-plug", "turn-2")):
        here = section(job, name)
        last, off = here["last_dial"].value, here["to_remove"].value
        assert isinstance(last, F)
        assert isinstance(off, F)
        assert (last / F(5, 100)).denominator == 1
        assert abs(last - off) <= F(25, 1000)


def test_the_planned_relief_clears_the_root_and_takes_the_tool_and_the_stop() -> None:
    groove, thread = section("pump-spindle", "groove"), section("pump-spindle", "screwcut")
    upper, bound = groove["size"].limits, thread["relief_limit"].limits
    assert upper is not None
    assert bound is not None
    assert upper.upper is not None
    assert bound.upper is not None
    assert upper.upper <= bound.upper
    room, run_on = thread["room_to_stop"].value, thread["run_on"].value
    assert isinstance(room, F)
    assert isinstance(run_on, F)
    assert run_on <= room


def test_the_knurl_goes_round_a_whole_number_of_times() -> None:
    """Diamond of 1 mm pitch at 30 degrees: teeth x pitch / cos 30 is the circumference (geometry; DIN 82)."""
    knurl = section("gland-nut", "knurl")
    teeth, blank = knurl["teeth"].value, knurl["blank"].value
    assert isinstance(blank, F)
    assert isinstance(teeth, F)
    assert math.isclose(float(teeth) / math.cos(math.radians(30)), math.pi * float(blank), rel_tol=1e-12)
    made = section("gland-nut", "turn")["size"].limits
    assert made is not None
    assert made.lower is not None
    assert made.upper is not None
    assert made.lower <= blank <= made.upper


def test_the_taper_is_set_by_half_its_angle() -> None:
    """1:10 on the diameter: atan(1/20) = 2.8624 degrees; 20 mm at the large end, 36 mm long: 16.4 mm at the small end (plane geometry)."""
    taper = section("taper-plug", "taper")
    assert taper["half_angle"].shown == f"{math.degrees(math.atan(1 / 20)):.3f}"
    assert taper["small_end"].shown == "16.40"


def test_a_part_goes_from_lathe_to_shaper_and_back_and_each_step_says_where() -> None:
    steps = [(part.kind, part.machine) for part in sheet("valve-key").sections[1:]]
    assert steps == [
        ("face", ""),
        ("turn", ""),
        ("hold", "Old shaper"),
        ("flats", "Old shaper"),
        ("hold", "Long lathe"),
        ("chamfer", "Long lathe"),
        ("part-off", "Long lathe"),
    ]
    assert sheet("valve-key").machine == "Long lathe, Old shaper"
    flats = section("valve-key", "flats")
    # 30 mm turned, 23.95 aimed at: (30 - 23.95) / 2 = 3.025 mm deep, (30 + 23.95) / 2 = 26.975 mm over the first flat (plane geometry)
    assert flats["crown"].shown == f"{3.025 / 25.4:.3f}"
    assert flats["first_side"].shown == f"{26.975 / 25.4:.4f}"
