"""The tolerance tables of ISO 965-1 against the formulas of the same standard, computed here in floating point."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import pytest

from benchleaf.standards.threads import parse_designation
from benchleaf.standards.threads.tables import table

# ISO 3, R40 series
R40 = [1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3.0, 3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0,
       5.3, 5.6, 6.0, 6.3, 6.7, 7.1, 7.5, 8.0, 8.5, 9.0, 9.5]  # fmt: skip
PREFERRED = [step * decade for decade in (10, 100, 1000) for step in R40]
OUTSIDE = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6, 9: 2.0}
INSIDE = {4: 0.85, 5: 1.06, 6: 1.32, 7: 1.7, 8: 2.12}


def _cells() -> list[tuple[str, str, str, int, int, float]]:
    low = {to: over for over, to in table("metric")["diameter ranges"]["rows"]}
    found = []
    for row in table("metric")["pitch diameters"]["rows"]:
        mean = math.sqrt(float(row["to"]) * float(low[row["to"]]))
        six = 90 * float(row["P"]) ** 0.4 * mean**0.1
        for symbol, first, shares in (("Td2", 3, OUTSIDE), ("TD2", 4, INSIDE)):
            found += [(row["to"], row["P"], symbol, first + place, cell, six * shares[first + place]) for place, cell in enumerate(row[symbol])]
    return found


def _nearest(value: float) -> int:
    return round(round(min(PREFERRED, key=lambda step: abs(math.log(step / value))), 6))


def test_pitch_diameter_cells_are_what_the_formula_gives_in_443_of_501() -> None:
    """The published tables hold 501 cells; the formula with R40 rounding gives 443 of them and strays by 6.5 per cent at most."""
    cells = _cells()
    assert len(cells) == 501
    assert sum(_nearest(value) == cell for *_, cell, value in cells) == 443
    assert max(abs(value / cell - 1) for *_, cell, value in cells) == pytest.approx(0.065, abs=0.001)


def test_tolerances_grow_with_grade_diameter_and_pitch() -> None:
    by_grade: dict[tuple[str, str, str], list[int]] = {}
    by_range: dict[tuple[str, str, int], list[tuple[float, int]]] = {}
    by_pitch: dict[tuple[str, str, int], list[tuple[float, int]]] = {}
    for to, pitch, symbol, grade, cell, _ in _cells():
        by_grade.setdefault((to, pitch, symbol), []).append(cell)
        by_range.setdefault((pitch, symbol, grade), []).append((float(to), cell))
        by_pitch.setdefault((to, symbol, grade), []).append((float(pitch), cell))
    assert all(low < high for cells in by_grade.values() for low, high in pairwise(cells))
    assert all(low <= high for cells in (*by_range.values(), *by_pitch.values()) for (_, low), (_, high) in pairwise(sorted(cells)))


@pytest.mark.parametrize(("symbol", "shares"), [("Td", {4: 0.63, 6: 1.0, 8: 1.6}), ("TD1", {4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6})])
def test_crest_cells_stay_near_their_formula(symbol: str, shares: dict[int, float]) -> None:
    """ISO 965-1: Td 180 P^(2/3) - 3.15/sqrt P; TD1 433 P - 190 P^1.22 up to P 0.8, 230 P^0.7 from P 1."""
    for row in table("metric")["crests"]["rows"]:
        pitch = float(row["P"])
        six = 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)
        if symbol == "TD1":
            six = 433 * pitch - 190 * pitch**1.22 if pitch <= 0.8 else 230 * pitch**0.7
        for cell, share in zip(row[symbol], shares.values(), strict=True):
            if cell is not None:
                assert abs(cell / (share * six) - 1) < 0.07


def test_deviations_stay_near_their_formula() -> None:
    """ISO 965-1: G and g 15 + 11 P, f 30 + 11 P, e 50 + 11 P micrometres."""
    for pitch, *cells in table("metric")["deviations"]["rows"]:
        for cell, ground in zip(cells, (15, 50, 30, 15), strict=True):
            if cell is not None:
                assert cell == pytest.approx(ground + 11 * float(pitch), rel=0.1)


@pytest.mark.parametrize(
    ("designation", "inside", "micrometres"),
    [
        # ranges are 'over, up to and including': 5.6 belongs to 2.8..5.6, 90 to 45..90 (ISO 965-1)
        ("M5.6x0.8-6g", False, 95), ("M5.601x0.8-6g", False, 100), ("M90x6-6g", False, 280), ("M91x6-6g", False, 300), ("M11.2x1-6g", False, 112), ("M11.3x1-6g", False, 118),
        # the geometric mean of the range, never the diameter itself: M6 and M11 share a tolerance
        ("M6x1-6g", False, 112), ("M11x1-6g", False, 112), ("M6x1-6H", True, 150), ("M11x1-6H", True, 150),
    ],
)  # fmt: skip
def test_ranges_of_diameter(designation: str, inside: bool, micrometres: int) -> None:
    assert parse_designation(designation).limits(inside).pitch_tolerance == Fraction(micrometres, 1000)


def test_a_cell_that_the_table_lacks_comes_from_the_formula_and_says_so() -> None:
    limits = parse_designation("M19.2x1.1-6g").limits(False)
    assert limits.pitch_tolerance == Fraction(_nearest(90 * 1.1**0.4 * math.sqrt(11.2 * 22.4) ** 0.1), 1000)
    assert limits.pitch.status == "derived"
    assert "R40" in next(item.formula for item in limits.basis if item.name.startswith("Td2"))
    assert parse_designation("M20x2.5-6g").limits(False).pitch.status == "standard"
