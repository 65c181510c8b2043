"""A slot's places across and depths, against plane geometry done by hand: where both edges of the tool stand at each place."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from itertools import pairwise
from pathlib import Path

import pytest

from benchleaf.compile import check_paths

CASES = Path(__file__).parent / "cases"
_TURN, _DIVISION, _TOOL = F(5), F(1, 20), F(5)  # mm: the table's dial and the square-nosed tool of the shop of the cases


def figures(name: str) -> dict[str, object]:
    sheet = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    return {figure.id: figure for figure in sheet.sections[0].figures()}


def places(name: str) -> list[F]:
    """The table's places in mm from the touch-off, put together again from turns and reading as they are printed."""
    found = []
    for key, figure in figures(name).items():
        if key.startswith("place_"):
            turns, _, reading = str(getattr(figure, "shown")).rpartition(" + ")  # noqa: B009 - any kind of figure
            found.append(F(turns.split()[0]) * _TURN + F(reading) if turns else F(reading))
    return found


@pytest.mark.parametrize(
    ("name", "near", "far"),
    [
        ("slot-middle", (F(40) - F("12.05")) / 2, (F(40) + F("12.05")) / 2),
        ("slot-beyond-block", F(27), F("39.05")),
        ("slot-beyond-the-table", F(280), F("292.05")),
    ],
)
def test_the_outer_cuts_make_both_walls_and_leave_no_rib(name: str, near: F, far: F) -> None:
    """Source: plane geometry.  Touching with its inner edge the tool's outer edge leads by its width, hence the cut lies from place less
    width to place."""
    cuts = [(place - _TOOL, place) for place in places(name)]
    assert abs(cuts[0][0] - near) <= _DIVISION / 2
    assert abs(cuts[-1][1] - far) <= _DIVISION / 2
    assert all(after[0] <= before[1] for before, after in pairwise(cuts))


def test_a_tool_of_the_slots_width_stands_once() -> None:
    assert len(places("slot-narrower-than-the-tool")) == 1
