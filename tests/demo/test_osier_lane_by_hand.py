"""The demo jobs make sense on paper: sizes inside published limits, tools that enter and reach, reliefs wide enough to stop in.

Worked here from the files' own words with plain arithmetic, apart from the compiler.  Limits of size:
ASME B1.1 (1 1/8-16 UN), ISO 965-2 and 965-1 tables (metric, 6g and 6H), ISO 228-1 (G 1/2 A).  The thread that no table lists follows the formulas of ASME B1.1.
"""

from __future__ import annotations

from fractions import Fraction
from math import atan, cos, degrees, pi, radians, tan
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from benchleaf.resources import data_folder
from benchleaf.units import Parsed, parse

SHOP = data_folder("profiles") / "osier-lane"
INCH = 25.4


class Published(NamedTuple):
    """What the standard says of a thread (mm): limits of the blank, root of an outside or major of an inside thread, lead, starts."""

    blank: tuple[float, float]
    far: float  # where the tool's tip ends: root of an outside thread (basic), largest major diameter wanted of an inside one
    lead: float
    starts: int
    angle: float
    bottom: float = 0  # width of a flat bottom, where the form has one
    round: float = 0.14434  # root radius in pitches: ISO 68-1 (BS 84 has 0.1373)


PUBLISHED = {
    "packing-tube": Published((1.057 * INCH, 1.071 * INCH), 1.125 * INCH, INCH / 16, 1, 60),  # 2B minor 1.057 to 1.071
    "gland": Published((1.1141 * INCH, 1.1235 * INCH), (1.125 - 1.22687 / 16) * INCH, INCH / 16, 1, 60),  # 2A major 1.1141 to 1.1235
    "valve-spindle": Published((15.732, 15.968), 16 - 1.22687 * 1.5, 1.5, 1, 60),
    "handle-screw": Published((19.732, 19.968), 20 - 1.22687 * 1.5, 1.5, 1, 60),
    "regulating-screw": Published((23.682, 23.962), 24 - 1.22687 * 2, 4.0, 2, 60),
    "locking-ring": Published((29.794, 29.974), 30 - 1.22687 * 1, 1.0, 1, 60),
    # 2A by the formulas: allowance 0.3 x (0.0015 (D^1/3 + (9 P)^1/2) + 0.015 P^2/3) = 0.0012, major tolerance 0.060 P^2/3 = 0.0068
    "oil-cup": Published((1.0120 * INCH, 1.0188 * INCH), (1.020 - 1.22687 / 26) * INCH, INCH / 26, 1, 60),
    "delivery-union": Published((20.671, 20.955), 18.631, INCH / 14, 1, 55),
    # BS 84, medium fit: 1/2 BSW bolt 0.4920 to 0.5000; 1 BSF nut from 0.8719, plus 0.2 P + 0.007 over the crests (from memory)
    "flange-stud": Published((0.4920 * INCH, 0.5000 * INCH), (0.5 - 1.280654 / 12) * INCH, INCH / 12, 1, 55, round=0.1373),
    "cap-nut": Published((0.8719 * INCH, 0.8989 * INCH), INCH, INCH / 10, 1, 55, round=0.1373),
    "adjusting-screw": Published((4.513, 4.675), 3.73, 0.81, 1, 47.5, round=2 / 11),  # BS 93, normal class: allowance 0.025, tolerance 0.2 P
    # ISO 7-1: 20.955 at 8.2 from the end, taper 1:16; the bar must be larger than the large end, 20.955 + (14 - 8.2) / 16
    "drain-stub": Published((20.955 + 5.8 / 16, 25), 18.631 - 8.2 / 16, INCH / 14, 1, 55, round=0.1373),
    # ASME B1.20.1: pitch diameter 0.75843 in at the small end, thread 0.8 P high, taper 1:16; the bar must be larger than the large end
    "suction-nipple": Published(
        ((0.75843 + 0.8 / 14 + 17 / 32 / 16) * INCH, 25), (0.75843 - 0.8 / 14) * INCH, INCH / 14, 1, 60
    ),
    # ISO 7-1: 18.631 over the crests at the mouth, less at the inner end; the bore before must be smaller than that
    "air-cock-boss": Published((0, 18.631 - 16 / 16), 20.955, INCH / 14, 1, 55, round=0.1373),
    "spindle-nut": Published((14.376, 14.676), 16, 1.5, 1, 60),  # ISO 965-2: 6H minor
    "feed-screw": Published((23.665, 24.0), 18.5, 5, 1, 30, bottom=0.366 * 5 - 0.536 * 0.25),  # ISO 2904: major tolerance 4h 0.335, d3 = d - P - 2 ac
    "sluice-screw": Published((0.99 * INCH, INCH), 0.78 * INCH, INCH / 5, 1, 29, bottom=(0.3707 * 0.2 - 0.259 * 0.02) * INCH),  # ASME B1.5: 0.05 P on the major
    "press-screw": Published((0.98 * INCH, INCH), 0.75 * INCH, INCH / 4, 1, 0, bottom=INCH / 8),  # half a pitch deep and wide; blank by the nut: common practice
    "lamp-thread": Published((0.4933 * INCH, 0.5000 * INCH), (0.5 - 1.280654 / 26) * INCH, INCH / 26, 1, 55, round=0.1373),  # Whitworth form, BS 84 formulas
    "crank-pin": Published((0.5600 * INCH, 0.5625 * INCH), (0.5625 - 1.0654 / 20) * INCH, INCH / 20, 1, 60, round=1 / 6),  # BS 811 form; blank at the basic size
    "counter-worm": Published((23.9, 24), 24 - 2 * 2.2 * 1.5, 1.5 * pi, 1, 40, bottom=1.5 * (pi / 2 - 2.4 * tan(radians(20)))),  # addendum m, dedendum 1.2 m: common practice
}


def read(path: Path) -> Any:
    return yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)  # every scalar stays text


def number(form: str, text: str) -> float:
    parsed = parse(form, text)
    assert isinstance(parsed, Parsed), f"{text}: {parsed.message}"
    return float(parsed.value)


class Case:
    """One job with the files it names."""

    def __init__(self, name: str) -> None:
        home = SHOP / "jobs"
        self.job = read(home / f"{name}.yaml")
        self.step = self.job["steps"][0]["screwcut"]
        machine = home / self.job["machine"]
        self.lathe = read(machine)
        drawers = [read(machine.parent / link) for link in self.lathe["tooling"]]
        self.tool = next(tool for drawer in drawers for tool in drawer.get("threading-tools", []) if tool["name"] == self.step["tool"])
        self.inside = self.step["where"] == "inside"
        self.blank = number("length", self.job["blank"]["bore" if self.inside else "outside"])
        self.wanted = PUBLISHED[name]
        self.slowest = min(number("speed", row["speed"]) for row in self.lathe["spindle"]["speeds"])
        self.relief = self.step["ends-in"].get("relief")


@pytest.fixture(params=sorted(PUBLISHED))
def case(request: pytest.FixtureRequest) -> Case:
    return Case(request.param)


def test_every_job_of_the_workshop_is_looked_at() -> None:
    shop = read(SHOP / "workshop.yaml")
    jobs = {path.stem: read(path) for path in (SHOP / "jobs").glob("*.yaml")}
    assert {Path(link).stem for link in shop["jobs"]} == set(jobs)
    # Jobs of several steps are looked at in test_routes_by_hand.py.
    assert {name for name, job in jobs.items() if [list(step) for step in job["steps"]] == [["screwcut"]]} == set(PUBLISHED)
    threads = [Case(name) for name in PUBLISHED]
    designated = [item for item in threads if isinstance(item.step["thread"], str)]
    pairs = {(item.lathe["system"], "metric" if item.step["thread"][:1] == "M" else "inch") for item in designated}
    assert pairs == {("metric", "inch"), ("metric", "metric"), ("inch", "inch"), ("inch", "metric")}
    assert any(str(item.step["thread"]).endswith("LH") for item in threads)
    assert any(item.inside for item in threads)
    assert any(item.wanted.starts == 2 for item in threads)
    assert any(isinstance(item.step["thread"], dict) for item in threads)


def test_the_blank_is_inside_the_limits_for_threading(case: Case) -> None:
    low, high = case.wanted.blank
    assert low <= case.blank <= high


def test_the_tool_is_of_the_right_kind_and_sharp_enough(case: Case) -> None:
    pitch = case.wanted.lead / case.wanted.starts
    assert case.tool["where"] == case.step["where"]
    assert number("angle", case.tool["angle"]) == case.wanted.angle
    tip = case.tool["tip"]
    if case.wanted.bottom:
        assert case.wanted.bottom / 4 <= number("distance", tip["flat"]) <= case.wanted.bottom + 0.01
    elif "flat" in tip:
        assert number("distance", tip["flat"]) <= pitch / 8  # ISO 68-1: the root flat of the basic profile is P/4 outside, P/8 inside
    else:
        assert number("distance", tip["radius"]) <= min(
            case.wanted.round * pitch, pitch / (4 * cos(radians(case.wanted.angle / 2)))
        )  # ISO 68-1; BS 84: 0.1373 P


def test_the_tool_clears_the_flank_of_the_thread(case: Case) -> None:
    """The lead angle uses up side clearance (plane geometry)."""
    middle = (case.blank + case.wanted.far) / 2
    assert degrees(atan(case.wanted.lead / (pi * middle))) < number("angle", case.tool["side-clearance"])


def test_an_inside_tool_enters_and_reaches(case: Case) -> None:
    if not case.inside:
        assert "reach" not in case.tool
        return
    assert number("length", case.tool["smallest-bore"]) <= case.blank
    assert number("length", case.step["length"]) + number("length", case.relief["width"]) <= number("length", case.tool["reach"])


def test_the_thread_ends_where_there_is_room_to_stop(case: Case) -> None:
    """Overrun = rpm x lead x stopping time / 60, and the tool's own body takes its share (common practice: 1 to 2 s)."""
    overrun = case.slowest * case.wanted.lead * number("time", case.lathe["stop-time"]) / 60
    if case.relief is None:
        assert number("length", case.step["ends-in"]["run-out"]["length"]) > overrun
        return
    assert number("length", case.relief["width"]) > overrun + number("distance", case.tool["beyond-tip"])
    bottom = number("length", case.relief["diameter"])
    if case.inside:
        assert bottom >= case.wanted.far + 0.2
    else:
        assert bottom <= case.wanted.far - 0.1


def test_the_work_fits_the_lathe_and_its_chuck(case: Case) -> None:
    blank, held = case.job["blank"], case.job["held"]
    device = next(item for item in case.lathe["workholding"] if item["name"] == held["by"])
    outside = number("length", blank["outside"])
    end = number("length", case.relief["width"]) if case.relief else 0
    if device["kind"] == "centres":
        assert number("length", case.step["length"]) + end < number("length", blank["length"]) <= number("length", case.lathe["centres"])
        return
    assert number("distance", device["holds-from"]) <= outside <= number("length", device["holds-to"])
    out = number("length", held["stands-out"])
    assert number("length", case.step["length"]) + end < out < number("length", blank["length"])
    assert out < 4 * outside  # common practice: more wants the tailstock's centre


def test_a_relief_can_be_cut_with_a_tool_that_is_owned(case: Case) -> None:
    if case.relief is None:
        return
    drawers = [read(SHOP / "lathes" / link) for link in case.lathe["tooling"]]
    deep = abs(number("length", case.relief["diameter"]) - case.blank) / 2
    fits = [
        tool
        for drawer in drawers
        for tool in drawer.get("grooving-tools", ())
        if tool["where"] == case.step["where"]
        and number("length", tool["width"]) <= number("length", case.relief["width"])
        and number("length", tool["largest-depth"]) >= deep
        and (not case.inside or number("length", tool["smallest-bore"]) <= case.blank)
    ]
    assert fits


@pytest.mark.parametrize("name", ["long-lathe", "loose-wheel-lathe"])
def test_the_mounted_train_is_owned_and_spans_the_gap(name: str) -> None:
    """A simple train reaches when its two meshes together span the centre distance (plane geometry)."""
    lathe = read(SHOP / "lathes" / f"{name}.yaml")
    gears = read(SHOP / "lathes" / lathe["gears"][0])
    owned = [
        int(wheel if isinstance(wheel, str) else wheel["teeth"])
        for wheel in gears["wheels"]
        for _ in range(1 if isinstance(wheel, str) else int(wheel.get("copies", 1)))
    ]
    first, idler, last = (int(teeth) for teeth in lathe["mounted"]["train"])
    for teeth in (first, idler, last):
        owned.remove(teeth)
    module, apart = number("tooth-size", gears["tooth-size"]), number("length", lathe["banjo"]["centre-distance"])
    assert module * (first + idler) / 2 + module * (idler + last) / 2 > apart
    assert module * (first + last + 4) / 2 < apart  # first and last do not touch


def test_the_long_lathe_cuts_the_common_metric_pitches_by_its_levers_alone() -> None:
    """ISO 262 coarse pitches from 0.75 to 6 mm that a seven-step box covers with the plain train 40-66-40."""
    lathe = read(SHOP / "lathes" / "long-lathe.yaml")
    levers = lathe["gearbox"]["levers"]
    leads = {Fraction(3) * a * b * c for a in _ratios(levers[0]) for b in _ratios(levers[1]) for c in _ratios(levers[2])}
    assert {Fraction(text) for text in ["0.75", "1", "1.25", "1.5", "1.75", "2", "2.5", "3", "3.5", "4", "4.5", "5", "5.5", "6"]} <= leads


def _ratios(lever: Any) -> list[Fraction]:
    return [Fraction(text) for text in lever["positions"].values()]
