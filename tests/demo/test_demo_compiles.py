"""The demo workshop and the starter go through the whole compiler, and say what arithmetic by hand says.

Half-nuts: lead / leadscrew lead = a / b in lowest terms; anywhere when a = 1, marks when a divides the teeth of a dial wheel, else never
(plain arithmetic on whole numbers of leads).
"""

from __future__ import annotations

import re
from fractions import Fraction as F  # noqa: N817 - tables of sums read better
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from benchleaf.compile import Checked, check_paths
from benchleaf.resources import data_folder
from benchleaf.sheet.model import Figure

PROFILES = data_folder("profiles")


class Expected(NamedTuple):
    """Lead that is cut (mm), its error, the half-nuts, and the fastest speed there is that stops in four fifths of the room
    (rpm; None: no bound)."""

    lead: F
    error: F
    half_nuts: str
    stops: int | None


# Speed: 0.8 x room x 60 / (lead x 1.5 s), a fifth kept in hand, where the tool runs into a relief, room being its width less the body beyond the tip.
EXPECTED = {
    # 3 x 40/63 x 5/6; a = 100 x ... : 100/189 of a leadscrew turn.  (5 - 1.5) mm: at most 70 rpm.
    "packing-tube": Expected(F(100, 63), F(-1, 8001), "never", 52),
    # 3.175 x 20/40; 1/2 of a turn.  (3/16 in - 1.5 mm): at most 65 rpm.
    "gland": Expected(F(127, 80), F(0), "anywhere", 45),
    # 3.175 x 60/127: 60 does not divide 16.  (5 - 1.5) mm: at most 74 rpm.
    "valve-spindle": Expected(F(3, 2), F(0), "never", 72),
    "handle-screw": Expected(F(3, 2), F(0), "anywhere", None),  # left-hand: it starts in the relief and runs out of it
    # 4/3 of a turn: 4 divides the 16-tooth dial wheel.  (8 - 2) mm: at most 48 rpm.
    "regulating-screw": Expected(F(4), F(0), "marks", 32),
    "locking-ring": Expected(F(1), F(0), "anywhere", 85),  # (4 - 1) mm: at most 96 rpm
    "oil-cup": Expected(F(127, 130), F(0), "marks", None),  # 8/26 = 4/13 of a turn: 4 divides 16
    # 3 x 40/48 x 57/72 x 11/12 = 1045/576 for 127/70.  (6 - 1.5) mm: at most 79 rpm.
    "delivery-union": Expected(F(1045, 576), F(1045 * 70, 576 * 127) - 1, "never", 52),
    "flange-stud": Expected(F(127, 60), F(0), "marks", 72),  # 2/3 of a turn; 1/4 in to run out over: at most 96 rpm
    "cap-nut": Expected(F(127, 50), F(0), "marks", 45),  # 4/5 of a turn; (1/4 in - 1.5 mm): at most 61 rpm
    "adjusting-screw": Expected(F(81, 100), F(0), "never", 85),  # 27/100: 27 divides none of 14, 15, 16; 3 mm: at most 118 rpm
    "drain-stub": Expected(F(127, 70), F(0), "marks", 45),  # 4/7 of a turn; 4 mm: at most 70 rpm
    "suction-nipple": Expected(F(127, 70), F(0), "marks", 72),  # 4/7 of a turn; 1/4 in: at most 112 rpm
    "air-cock-boss": Expected(F(127, 70), F(0), "marks", None),  # 4/7; (6 - 1.5) mm allows 79 rpm, the speed for cast iron less
    "spindle-nut": Expected(F(3, 2), F(0), "anywhere", 85),  # 1/2 of a turn; (5 - 1) mm: at most 85.3 rpm
    "feed-screw": Expected(F(5), F(0), "marks", 52),  # 5/3: 5 divides 15; (14 - 3) mm: at most 70 rpm
    "sluice-screw": Expected(F(127, 25), F(0), "marks", 72),  # 8/5: 8 divides 16; (5/8 in - 3 mm): at most 81 rpm
    "press-screw": Expected(F(127, 20), F(0), "marks", 72),  # 2/1; (5/8 in - 1.5 mm): at most 72.4 rpm
    "lamp-thread": Expected(F(127, 130), F(0), "marks", 72),  # 4/13; 3/16 in: at most 155 rpm
    "crank-pin": Expected(F(127, 100), F(0), "marks", 72),  # 2/5; 3/16 in: at most 119 rpm
    # 3 x 50/48 x 57/63 x 5/3 for 1.5 pi; 2375/1512 of a turn.  (12 - 3) mm: at most 61 rpm.
    "counter-worm": Expected(F(2375, 504), F(2375, 504) / (F(3, 2) * F("3.14159265358979323846264338327950288")) - 1, "never", 52),
}


# Jobs of several steps: see test_routes_by_hand.py.
ROUTES = {
    path.stem
    for path in (PROFILES / "osier-lane" / "jobs").glob("*.yaml")
    if re.findall(r"^  - ([a-z-]+):", path.read_text(encoding="utf-8"), re.M) != ["screwcut"]
}


@cache
def checked(shop: str) -> Checked:
    return check_paths([PROFILES / shop], PROFILES)


@cache
def figures(shop: str) -> dict[str, dict[str, Figure]]:
    """The figures of every job of a workshop, by job and id."""
    return {
        Path(job.job.key).stem: {figure.id: figure for section in job.sheet.sections for figure in section.figures()}
        for job in checked(shop).jobs
        if job.sheet is not None
    }


def test_every_job_comes_out_and_the_screwed_nose_alone_is_warned_of() -> None:
    """Inch threads on the long lathe keep the half-nuts closed, and its chuck is screwed on."""
    assert set(figures("osier-lane")) == set(EXPECTED) | ROUTES
    assert set(figures("starter")) == {"job", "part"}
    assert checked("starter").diagnostics == ()
    found = checked("osier-lane").diagnostics
    assert sorted((fault.severity.value, fault.code) for fault in found) == [("note", "tap/owned")] * 2 + [("warning", "nose/reverse")] * 4
    warned = {Path(place.file).stem for fault in found for place, _ in fault.related if fault.code == "nose/reverse"}
    assert warned == {"packing-tube", "delivery-union", "adjusting-screw", "counter-worm"}


@pytest.mark.parametrize("job", sorted(EXPECTED))
def test_a_job_of_the_demo_is_cut_as_worked_by_hand(job: str) -> None:
    here, expected = figures("osier-lane")[job], EXPECTED[job]
    assert here["lead_actual"].value == expected.lead
    error = here["lead_error"].value
    assert isinstance(error, F)
    assert error == expected.error * 1_000_000 or (job == "counter-worm" and abs(error - expected.error * 1_000_000) < F(1, 10**20))  # pi
    assert here["half_nuts"].value == expected.half_nuts
    if expected.stops is not None:
        assert here["spindle_speed"].value == expected.stops
    assert ("starts" in here) == (job == "regulating-screw")


def test_the_second_start_comes_round_by_half_the_first_wheel() -> None:
    assert "until 20 teeth of A have passed" in str(figures("osier-lane")["regulating-screw"]["start_indexing"].value)
    assert str(figures("osier-lane")["regulating-screw"]["train"].value).startswith("A 40")
