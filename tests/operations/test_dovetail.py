"""A dovetail over or between rollers: the figures of the sheet against the place of a circle in a corner, worked out with coordinates, and
against the usual handbook rule (over rollers = x + d (1 + cot(angle / 2)), published in machinists' handbooks; from memory)."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Box, Section

CASES = Path(__file__).parent / "cases"


def dovetail(name: str) -> Section:
    planned = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert planned is not None
    return next(section for section in planned.sections if section.kind == "dovetail")


@pytest.mark.parametrize(("name", "corners", "top", "outwards"), [("dovetail-inside", 40.025, 30.787, -1), ("dovetail-outside", 30.075, 39.313, 1)])
def test_rollers_lie_in_the_corners(name: str, corners: float, top: float, outwards: int) -> None:
    section = dovetail(name)
    value = {figure.id: float(figure.value) for figure in section.figures() if not isinstance(figure.value, str)}
    angle, depth, d = math.radians(60), 8.0, value["roller"]
    assert value["corners_aim"] == pytest.approx(corners, abs=1e-9)
    assert value["top"] == pytest.approx(top, abs=1e-3)
    centre = corners / 2 + outwards * (d / 2) / math.tan(angle / 2)  # touches base and flank
    normal = (math.sin(angle), math.cos(angle))
    on_flank = (centre - corners / 2) * outwards * normal[0] - d / 2 * normal[1]
    assert on_flank == pytest.approx(d / 2)
    assert value["size_aim"] == pytest.approx(2 * (centre + outwards * d / 2), abs=1e-9)
    assert value["size_aim"] == pytest.approx(corners + outwards * d * (1 + 1 / math.tan(angle / 2)), abs=1e-9)
    assert d / 2 * (1 + math.cos(angle)) <= depth, "it touches the flank below its top"
    if outwards > 0:
        assert value["size_aim"] > value["top"], "anvils reach it past the overhang"
    assert value["depth"] == pytest.approx(depth / math.tan(angle), abs=1e-9)


@pytest.mark.parametrize(("name", "grows"), [("dovetail-inside", True), ("dovetail-outside", False)])
def test_the_last_cut_errs_towards_metal_left(name: str, grows: bool) -> None:
    (box,) = (block for block in dovetail(name).blocks if isinstance(block, Box) and block.sum is not None)
    assert box.sum is not None
    assert box.sum.grows is grows
    assert box.sum.rounding == "down"
    assert float(box.sum.factor) == pytest.approx(1.0)


@pytest.mark.parametrize(("name", "straight"), [("dovetail-inside-planned", 1), ("dovetail-outside-planned", 2)])
def test_planned_straight_cuts_leave_the_edges_their_metal(name: str, straight: int) -> None:
    planned = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert planned is not None
    cuts = [section for section in planned.sections if section.added]
    assert len(cuts) == straight
    wide = next(float(figure.value) for figure in cuts[0].figures() if figure.id == "width_aim" and not isinstance(figure.value, str))
    top = next(float(figure.value) for figure in dovetail(name).figures() if figure.id == "top" and not isinstance(figure.value, str))
    left = top - wide if straight == 1 else 60 - 2 * wide - top  # the block of the cases is 60 mm wide
    assert 0 < left < 1
