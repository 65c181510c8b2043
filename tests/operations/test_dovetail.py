"""Dovetails over rollers, against circles fitted into the corner by numbers and a table that handbooks print; sheets against the sums."""

from __future__ import annotations

import math
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path

import pytest
from shapely.geometry import LineString, Point

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Figure
from benchleaf.standards.shaped import over_rollers

CASES = Path(__file__).parent / "cases"


def figures(name: str) -> dict[str, Figure]:
    sheet = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    return {figure.id: figure for figure in sheet.sections[-1].figures()}


@pytest.mark.parametrize("name", ["dovetail", "dovetail-inside", "dovetail-angle", "dovetail-tool-too-blunt"])
def test_the_roller_touches_floor_and_flank_where_the_sheet_measures(name: str) -> None:
    """Source: plane geometry by a general library: the circle's distance from both lines is its radius, and it touches the flank itself."""
    found = figures(name)
    angle = math.radians({"dovetail-angle": 55, "dovetail-tool-too-blunt": 51}.get(name, 60))
    foot, depth, roller, measured = (float(F(found[key].value)) for key in ("width_aim", "deep_aim", "roller", "size_aim"))
    sign = -1 if name == "dovetail-inside" else 1
    centre = Point(measured / 2 - sign * roller / 2, roller / 2)
    flank = LineString([(foot / 2, 0), (foot / 2 + sign * depth / math.tan(angle), depth)])
    assert math.isclose(centre.distance(flank), roller / 2, abs_tol=1e-9)
    if sign > 0:
        assert measured / 2 > foot / 2 + depth / math.tan(angle)  # the anvils meet the rollers, not the edge of the tail


@pytest.mark.parametrize(("angle", "factor"), [(60, F("2.7321")), (55, F("2.9210")), (45, F("3.4142"))])
def test_the_constant_of_a_roller(angle: int, factor: F) -> None:
    """Source: 1 + cot(angle / 2), as handbooks print it for the common angles (from memory)."""
    assert abs(over_rollers(F(0), F(1), F(angle)) - factor) < F(1, 10000)


def test_a_worked_example() -> None:
    """Source: common practice, worked by hand: 60 deg, 40 mm at the corners, rollers of 10 mm: 40 + 10 + 10 x 1.7321 = 67.321 mm."""
    assert abs(over_rollers(F(40), F(10), F(60)) - F("67.321")) < F(1, 1000)


@pytest.mark.parametrize(("name", "straight"), [("dovetail", 2), ("dovetail-inside", 1)])
def test_the_straight_cuts_leave_the_edge_its_metal(name: str, straight: int) -> None:
    sheet = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    cuts = [item for item in sheet.sections if item.added]
    assert len(cuts) == straight
    wide = {figure.id: F(figure.value) for figure in cuts[0].figures() if figure.id == "width_aim"}["width_aim"]
    edge = F(figures(name)["edge"].value)
    left = edge - wide if straight == 1 else F(80) - 2 * wide - edge  # the block of the cases is 80 mm wide
    assert 0 < left < 1
