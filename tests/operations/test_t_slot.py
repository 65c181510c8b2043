"""T-slots: sizes against published rows, readings against plane geometry done by hand."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from itertools import pairwise
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Figure
from benchleaf.standards.shaping import t_slot

CASES = Path(__file__).parent / "cases"
_TURN, _DIVISION = F(2), F(1, 50)  # mm: the tool-head's dial of the shop of the cases
_CROSS_TURN, _CROSS_DIVISION = F(5), F(1, 20)  # mm: its table's
_HEAD = F(6)  # mm: height of the head of its tee slot tools


def figures(name: str) -> dict[str, Figure]:
    sheet = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    return {figure.id: figure for figure in sheet.sections[-1].figures()}


def wound(figure: Figure, turn: F) -> F:
    """A dial's travel, put together again from turns and reading as they are printed."""
    turns, _, reading = figure.shown.rpartition(" + ")
    return (F(turns.split()[0]) * turn if turns else F(0)) + F(reading)


@pytest.mark.parametrize("name", ["t-slot", "t-slot-not-in-table", "t-slot-size-missing"])
def test_the_cuts_join_to_the_base_and_keep_the_lip(name: str) -> None:
    """Source: plane geometry.  A head whose underside stands at a depth cuts from there up by its height."""
    found = figures(name)
    depth, height = (F(found[key].value) for key in ("depth_aim", "base_height_aim"))
    lows = [wound(figure, _TURN) for key, figure in found.items() if key.startswith("level_")]
    assert abs(lows[0] - depth) <= _DIVISION / 2
    assert abs(lows[-1] - _HEAD - (depth - height)) <= _DIVISION / 2
    assert all(before - after <= _HEAD for before, after in pairwise(lows))


@pytest.mark.parametrize("name", ["t-slot", "t-slot-not-in-table", "t-slot-size-missing"])
def test_both_sides_make_the_base(name: str) -> None:
    found = figures(name)
    made = F(found["throat_aim"].value) + 2 * wound(found["wing_dial"], _CROSS_TURN)
    assert abs(made - F(found["base_aim"].value)) <= _CROSS_DIVISION


@pytest.mark.parametrize(
    ("throat", "bolt", "width", "height"), [(12, "M10", (19, 21), (8, 9)), (14, "M12", (23, 25), (9, 11)), (18, "M16", (30, 32), (12, 14))]
)
def test_the_sizes_by_name_are_those_of_the_standard(throat: int, bolt: str, width: tuple[int, int], height: tuple[int, int]) -> None:
    """Source: ISO 299 / DIN 650, from memory."""
    row = t_slot(F(throat))
    assert row is not None
    assert (row.bolt, row.width, row.height) == (bolt, width, height)


def test_the_clapper_is_locked_and_the_straight_slot_goes_before() -> None:
    """Source: common practice.  A free clapper lifts the head into the lip on the return."""
    sheet = check_paths([CASES / "good" / "t-slot.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    assert [item.added for item in sheet.sections][-2:] == [True, False]
    assert "locked" in figures("t-slot")["clapper"].shown
