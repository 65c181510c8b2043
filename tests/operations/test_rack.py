"""Racks as they come out of the table of places and the depth that are printed, cut by a tool of paper in shapely."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import mpmath
import pytest
from shapely.affinity import translate
from shapely.geometry import LineString, Point, Polygon

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Box, Figure, Section, Table

CASES = Path(__file__).parent / "cases"
_TURN, _DIVISION = 5.0, 0.05  # mm: the table's dial in the shop of the cases

# name, module in mm, teeth, pressure angle in degrees, flat at the tool's tip in mm: as the case and the drawer say
RACKS = [
    ("rack", 2.0, 12, 20.0, 1.3),
    ("rack-diametral-pitch", 2.54, 10, 14.5, 2.4),
    ("rack-beyond-the-table", 2.0, 40, 20.0, 1.3),
]


def rack(name: str) -> tuple[Section, dict[str, Figure], list[float]]:
    """The section, its figures, and the places in mm put together again from turns and reading as they are printed."""
    sheet = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    section = next(item for item in sheet.sections if item.kind == "rack")
    (table,) = (block for block in section.blocks if isinstance(block, Table) and block.id == "places")
    found = []
    for row in table.rows:
        turns, reading = row.shown[2].split(" ")[0], float(row.shown[3])
        found.append((int(turns) if turns else 0) * _TURN + reading)
    return section, {figure.id: figure for figure in section.figures()}, found


def value(figures: dict[str, Figure], name: str) -> float:
    found = figures[name].value
    assert isinstance(found, Fraction)
    return float(found)


@pytest.mark.parametrize(("name", "module", "teeth", "angle", "tip"), RACKS)
def test_every_place_is_a_running_total_of_the_exact_pitch(name: str, module: float, teeth: int, angle: float, tip: float) -> None:
    """Source: ISO 54, pitch = pi x module, 1 / DP inch for a diametral pitch; pi by mpmath.  Rounded one by one they never drift."""
    _, figures, places = rack(name)
    assert len(places) == teeth + 1
    with mpmath.workdps(40):
        exact = [float(mpmath.pi * number * mpmath.mpf(module)) for number in range(teeth + 1)]
    assert all(abs(place - wanted) <= _DIVISION / 2 + 1e-9 for place, wanted in zip(places, exact, strict=True))
    steps = {round(after - before, 6) for before, after in pairwise(places)}
    assert len(steps) == 2  # a pitch in pi falls between two divisions: one step over and over would be the mistake
    assert abs(round(exact[1] / _DIVISION) * _DIVISION - exact[1]) * teeth == pytest.approx(value(figures, "drift"), abs=1e-9)


@pytest.mark.parametrize(("name", "module", "teeth", "angle", "tip"), RACKS)
def test_the_tool_at_the_printed_depth_leaves_the_teeth_of_the_basic_rack(name: str, module: float, teeth: int, angle: float, tip: float) -> None:
    """Source: ISO 53 (20 deg) and full-depth 14 1/2 deg teeth: a tooth of half a pitch one module below the tops, and at least the least
    clearance under two modules."""
    _, figures, places = rack(name)
    depth, slope = value(figures, "depth"), float(mpmath.tan(mpmath.radians(angle)))
    edge = tip / 2 + (depth + 1) * slope
    tool = Polygon([(-tip / 2, -depth), (tip / 2, -depth), (edge, 1), (-edge, 1)])
    block = Polygon([(-20, 0), (places[-1] + 20, 0), (places[-1] + 20, -3 * depth), (-20, -3 * depth)])
    for place in places:
        block = block.difference(translate(tool, place))
    pitch_line = block.intersection(LineString([(-20, -module), (places[-1] + 20, -module)]))
    between = [part.length for part in pitch_line.geoms if part.bounds[0] > -19 and part.bounds[2] < places[-1] + 19]
    assert len(between) == teeth
    assert all(tooth == pytest.approx(float(mpmath.pi) * module / 2, abs=_DIVISION + 0.001) for tooth in between)
    assert sum(between) == pytest.approx(teeth * float(mpmath.pi) * module / 2, abs=_DIVISION)  # errors do not add up
    assert 0.1 * module <= depth - 2 * module <= 0.4 * module + 1e-9


@pytest.mark.parametrize(("name", "angle", "with_pin"), [("rack", 20.0, False), ("rack-diametral-pitch", 14.5, False), ("rack-over-pin", 20.0, True)])
def test_what_is_measured_before_the_last_cut_says_how_far_to_go(name: str, angle: float, *, with_pin: bool) -> None:
    """Plane geometry: what is still to go down thins a tooth by 2 tan(angle) of it, and lets a pin sink by as much as itself."""
    section, figures, _ = rack(name)
    (box,) = (block for block in section.blocks if isinstance(block, Box) and block.id == "measured")
    assert box.sum is not None
    assert ("pin" in figures) is with_pin
    shrinks = 1.0 if with_pin else 2 * float(mpmath.tan(mpmath.radians(angle)))
    assert float(box.sum.factor) * shrinks == pytest.approx(1, rel=1e-9)


def test_a_pin_in_the_space_lies_on_both_flanks() -> None:
    """The pin let down into the printed space by shapely, until it touches: nothing but the circle and the two flanks."""
    _, figures, _ = rack("rack-over-pin")
    depth, radius, slope = value(figures, "depth"), value(figures, "pin") / 2, float(mpmath.tan(mpmath.radians(20)))
    edge = 1.3 / 2 + depth * slope
    metal = Polygon([(-20, 0), (-edge, 0), (-0.65, -depth), (0.65, -depth), (edge, 0), (20, 0), (20, -20), (-20, -20)])
    centre = value(figures, "size_aim") - radius
    assert metal.distance(Point(0, centre)) == pytest.approx(radius, abs=1e-6)
