"""Ratios from plates with gaps and misprints, against the invented box that the plate was made from."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import prod
from random import Random

import pytest

from benchleaf.workshop.plate.algebra import Plate, without_faults
from benchleaf.workshop.plate.algebra import Row as GearboxRow

WHEELS = (16, 18, 20, 22, 24, 26, 28, 30, 32, 36, 40)


def a_box(draw: Random) -> dict[tuple[tuple[str, str], ...], Fraction]:
    levers = [[((name, str(n)), Fraction(draw.choice(WHEELS), draw.choice(WHEELS))) for n in range(count)] for name, count in (("A", 3), ("B", 3), ("C", 8))]
    return {tuple(key for key, _ in each): Fraction(prod((ratio for _, ratio in each), start=Fraction(1))) for each in product(*levers)}


@pytest.mark.parametrize("seed", range(6))
def test_a_third_missing_and_two_misprints(seed: int) -> None:
    draw = Random(seed)
    box = a_box(draw)
    rows = [GearboxRow(levers, ratio) for levers, ratio in draw.sample(sorted(box.items()), len(box) * 2 // 3)]
    wrong = sorted(draw.sample(range(len(rows)), 2))
    printed = [GearboxRow(row.levers, row.ratio * Fraction(21, 20)) if n in wrong else row for n, row in enumerate(rows)]
    (only,) = without_faults(printed)
    assert only.wrong == tuple((n, rows[n].ratio) for n in wrong)
    plate = Plate()
    assert all(plate.add(row) for n, row in enumerate(printed) if n not in wrong)
    assert {levers: plate.ratio(levers) for levers in box} == box


def test_what_no_row_settles_stays_unknown() -> None:
    plate = Plate()
    for a, b, ratio in (("1", "x", 2), ("2", "x", 3), ("1", "y", 4)):
        assert plate.add(GearboxRow((("A", a), ("B", b)), Fraction(ratio)))
    assert plate.ratio((("A", "2"), ("B", "y"))) == 6
    assert plate.ratio((("A", "3"), ("B", "y"))) is None


def test_two_explanations_that_are_equally_good_are_both_given() -> None:
    rows = [GearboxRow((("A", "1"), ("B", "x")), Fraction(ratio)) for ratio in (2, 3)]
    assert [each.wrong for each in without_faults(rows)] == [((0, Fraction(3)),), ((1, Fraction(2)),)]
