"""When the half-nuts may be closed: the arithmetic of dial and leads, and folklore that fails."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.kinematics.half_nuts import DialWheel, half_nut_rule

F = Fraction

# Places in one turn of the dial where the nuts are in step (derived: T x leadscrew pitch / lcm of the leads; in inches or mm).
STOPS = [
    (F(1, 8), 16, F(1, 12), 8),
    (F(1, 8), 16, F(1, 11), 2),
    (F(1, 8), 16, F(2, 23), 1),
    (F(1, 8), 16, F(1, 16), 16),
    (F(3), 15, F(5, 4), 3),
    (F(3), 14, F(7, 4), 2),
    (F(3), 15, F(3, 2), 15),
    (F(6), 20, F(5, 4), 4),
]


@pytest.mark.parametrize(("screw", "teeth", "lead", "stops"), STOPS)
def test_places_in_a_turn(screw: Fraction, teeth: int, lead: Fraction, stops: int) -> None:
    assert half_nut_rule(lead, screw, [DialWheel(teeth, 1)]).stops_per_turn == stops


# 8 TPI leadscrew, 16-tooth dial wheel, 8 lines (common practice, checked by the arithmetic): lines that are right, of 0 to 7.
@pytest.mark.parametrize(
    ("tpi", "rule", "lines"),
    [
        (F(8), "any", 8), (F(16), "any", 8), (F(24), "any", 8), (F(12), "marks", 8), (F(20), "marks", 8), (F(28), "marks", 8),
        (F(10), "marks", 4), (F(14), "marks", 4), (F(18), "marks", 4), (F(22), "marks", 4), (F(11), "marks", 2), (F(19), "marks", 2),
        (F(23, 2), "marks", 1), (F(45, 4), "never", 0),
    ],
)  # fmt: skip
def test_eight_threads_an_inch(tpi: Fraction, rule: str, lines: int) -> None:
    found = half_nut_rule(F(127, 5) / tpi, F(127, 40), [DialWheel(16, 8)])
    assert (found.rule, len(found.marks)) == (rule, lines)


def test_fourteen_to_the_inch_is_not_any_line() -> None:
    found = half_nut_rule(F(127, 70), F(127, 40), [DialWheel(16, 8)])
    assert (found.a, found.b, found.marks, found.every) == (4, 7, (0, 2, 4, 6), 2)
    assert found.travel == F(127, 10)


def test_the_same_mark_out_of_step() -> None:
    assert half_nut_rule(F(7, 4), F(3), [DialWheel(15, 5)]).rule == "never"
    found = half_nut_rule(F(7, 4), F(3), [DialWheel(15, 5), DialWheel(14, 7)])
    assert (found.rule, found.dial, found.marks, found.travel) == ("marks", DialWheel(14, 7), (0,), F(42))


def test_of_several_dial_wheels_the_shortest_wait() -> None:
    found = half_nut_rule(F(5, 2), F(3), [DialWheel(20, 2), DialWheel(15, 3)])
    assert (found.a, found.dial, found.travel) == (5, DialWheel(15, 3), F(15))


def test_an_approximate_train_never_opens() -> None:
    assert half_nut_rule(F(56007, 32000), F(127, 40), [DialWheel(16, 8)]).rule == "never"
    found = half_nut_rule(F(3) * F(63, 80), F(3), [DialWheel(16, 8)])
    assert (found.rule, found.a) == ("never", 63)


def test_without_a_dial() -> None:
    assert half_nut_rule(F(3, 2), F(3)).rule == "any"
    assert half_nut_rule(F(2), F(3)).rule == "never"
    with pytest.raises(ValueError, match="lead"):
        half_nut_rule(F(0), F(3))


@given(st.fractions(F(1, 20), F(20), max_denominator=60), st.sampled_from([F(3), F(6), F(127, 40)]), st.integers(8, 40), st.integers(1, 16), st.integers(1, 5))
def test_every_mark_allowed_is_in_step_whenever_it_comes_round(lead: Fraction, screw: Fraction, teeth: int, marks: int, turns: int) -> None:
    found = half_nut_rule(lead, screw, [DialWheel(teeth, marks)])
    in_step = [mark for mark in range(marks) if all((turn * teeth + F(mark * teeth, marks)) * screw % lead == 0
               and (F(mark * teeth, marks)).denominator == 1 for turn in range(turns + 1))]  # fmt: skip
    if found.dial is None:
        assert teeth * screw % lead != 0
    else:
        assert list(found.marks) == in_step
        assert found.travel is not None
        assert found.travel % lead == 0
