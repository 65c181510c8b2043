"""Simple ratios out of measurements, against going through all of them."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from benchleaf.workshop.plate.measuring import candidates, simplest, turns_to_settle

SIZES = st.fractions(min_value=Fraction(1, 20), max_value=20, max_denominator=200)


@given(SIZES, st.fractions(min_value=0, max_value=1, max_denominator=200))
def test_the_simplest_is_the_one_that_counting_up_finds(low: Fraction, width: Fraction) -> None:
    bottom = next(b for b in range(1, 300) if -(-low * b // 1) <= (low + width) * b)
    assert simplest(low, low + width) == Fraction(-(-low * bottom // 1), bottom)


def test_candidates_hold_every_ratio_in_the_limits() -> None:
    low, high = Fraction(3, 10), Fraction(4, 10)
    every = {Fraction(a, b) for a in range(1, 13) for b in range(1, 13) if low <= Fraction(a, b) <= high}
    found = candidates(low, high, 12)
    assert set(found) == every
    assert found[0] == simplest(low, high) == Fraction(1, 3)


@given(SIZES, SIZES, st.fractions(min_value=Fraction(1, 100), max_value=1, max_denominator=100))
def test_one_turn_fewer_would_not_settle_it(one: Fraction, other: Fraction, off: Fraction) -> None:
    if one != other:
        turns = turns_to_settle(one, other, off)
        assert turns * abs(one - other) > 2 * off >= (turns - 1) * abs(one - other)
