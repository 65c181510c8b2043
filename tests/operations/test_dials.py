"""Settings as a collar reads them: laws of rounding, turns and direction (common practice; arithmetic)."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.operations.dials import Collar

COLLARS = st.builds(
    lambda division, divisions, factor: Collar(division, division * divisions, factor, "mm", 2, "diameter" if factor == 2 else "depth"),
    st.sampled_from([F("0.01"), F("0.02"), F("0.05"), F("0.1")]),
    st.sampled_from([40, 50, 80, 100, 200]),
    st.sampled_from([1, 2]),
)


@settings(deadline=None, max_examples=80)
@given(COLLARS, st.lists(st.fractions(F(1, 1000), F(3), max_denominator=9973), min_size=1, max_size=12), st.booleans())
def test_totals_are_rounded_never_steps(collar: Collar, steps: list[F], winding_out: bool) -> None:
    """However many steps there are, each total stands within half a division of its true place, and never goes back."""
    total, before = F(0), 0
    for step in steps:
        total += step
        reading = collar.at(total, winding_out=winding_out)
        assert abs(reading.travel - total) <= collar.step / 2
        assert reading.divisions >= before
        assert reading.value == reading.divisions * collar.division
        shown = F(reading.shown)
        counted = collar.turn * (reading.turns + 1) - shown if winding_out and shown else collar.turn * reading.turns + shown
        assert counted == reading.value, "turns and collar together are the total"
        before = reading.divisions


@pytest.mark.parametrize(
    ("travel", "factor", "out", "turns", "shown"),
    [
        ("0.90", 2, False, 0, "1.80"),  # 0.9 mm deep on a dial that reads diameter
        ("0.90", 1, False, 0, "0.90"),
        ("2.31", 2, False, 1, "0.60"),  # 4.62 counted, one turn of 4 mm, nearest 0.05
        ("0.11", 2, True, 0, "3.80"),  # drawn out, the collar falls: 4.00 - 0.20
        ("0", 2, True, 0, "0.00"),
    ],
)
def test_by_hand(travel: str, factor: int, out: bool, turns: int, shown: str) -> None:
    reading = Collar(F("0.05"), F(4), factor, "mm", 2, "").at(F(travel), winding_out=out)
    assert (reading.turns, reading.shown) == (turns, shown)
