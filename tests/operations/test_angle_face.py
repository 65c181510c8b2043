"""A slanting face by its layers, against the triangle that is cut off."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Figure, Section, Table

CASES = Path(__file__).parent / "cases"


def face(name: str) -> Section:
    planned = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert planned is not None
    return next(section for section in planned.sections if section.kind == "angle-face")


@pytest.mark.parametrize(("name", "angle", "height"), [("angle-face", 60, 11.95), ("angle-face-flat", 35, 11.95), ("angle-face-across", 45, 18.95)])
def test_every_reading_stands_on_the_triangle(name: str, angle: float, height: float) -> None:
    section = face(name)
    figures: dict[str, Figure] = {figure.id: figure for figure in section.figures()}
    (table,) = (block for block in section.blocks if isinstance(block, Table))
    column = {item.id: number for number, item in enumerate(table.columns)}
    slope = math.tan(math.radians(angle))
    assert figures["swing"].shown == f"{90 - angle}"
    assert float(figures["depth"].value) == pytest.approx(height / slope, abs=1e-9)  # type: ignore[arg-type]
    assert float(figures["slide_travel"].value) == pytest.approx(height / math.sin(math.radians(angle)) + 6, abs=1e-9)  # type: ignore[arg-type]
    before = Fraction(0)
    deepest = float(figures["layer"].value)  # type: ignore[arg-type]
    for row in table.rows[:-1]:
        travel, after = (row.values[column[name]] for name in ("dial", "size"))  # the dial with its whole turns
        assert travel is not None
        assert after is not None
        assert float(after) == pytest.approx(float(travel) * slope, abs=1e-9)
        assert 0 < float(travel - before) <= deepest + 0.05  # a division of the dial
        before = travel
    assert float(table.rows[-1].values[column["size"]]) == pytest.approx(height, abs=1e-9)  # type: ignore[arg-type]
