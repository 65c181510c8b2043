"""A T-slot by its throat: sizes of ISO 299 (from memory), wings and levels worked out by hand."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Section

CASES = Path(__file__).parent / "cases"


def tee(name: str) -> Section:
    planned = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert planned is not None
    return next(section for section in planned.sections if section.kind == "t-slot")


def test_the_standard_slot_for_fourteen() -> None:
    figures = {figure.id: figure for figure in tee("t-slot").figures()}
    limits = {name: (float(figures[name].limits.lower), float(figures[name].limits.upper)) for name in ("width", "height", "whole")}  # type: ignore[union-attr,arg-type]
    assert limits == {"width": (23, 25), "height": (9, 11), "whole": (23, 28)}
    assert float(figures["wing"].value) == (24 - 14) / 2  # type: ignore[arg-type]
    assert float(figures["wing_dial"].value) == pytest.approx(5.0)  # type: ignore[arg-type]  # a division of 0.05 mm
    # Head 6 mm high in 10 mm: two levels, the bottom one at 25.5, the other 4 mm higher.
    assert [float(figures[name].value) for name in ("level_1", "level_2")] == pytest.approx([25.5, 21.5], abs=0.011)  # type: ignore[arg-type]
    assert "level_3" not in figures


def test_levels_leave_no_ridge() -> None:
    """Each level overlaps the one below it: heads of 6 mm, 9.5 mm to be cut."""
    figures = {figure.id: float(figure.value) for figure in tee("t-slot-odd-throat").figures() if not isinstance(figure.value, str)}
    levels = [figures[name] for name in sorted(figures) if name.startswith("level_")]
    assert all(below - above <= 6 for below, above in itertools.pairwise(levels))
    assert levels[0] == pytest.approx(figures["whole_aim"], abs=0.011)
    assert levels[-1] - 6 == pytest.approx(figures["whole_aim"] - figures["height_aim"], abs=0.011)
