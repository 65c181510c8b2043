"""What a measurement calls for.  Sums by hand: a dial of 0.05 mm that reads diameter, one of 0.02 mm that reads depth, one of 0.001 in."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.sheet.model import Graduation, Limits, Say, Sum, SumWords
from benchleaf.sheet.reckon import Outcome, reckon

F = Fraction
WORDS = SumWords(*(Say(word) for word in ("Wind in", "done", "fine", "spoilt", "odd")))
# 0.05 mm a division, 80 to a turn, reads diameter: a shaft of 19.883 to 19.935, aimed at 19.922, from 28 mm.
SHAFT = Sum(F("19.922"), F(1), "mm", 2, 3, WORDS, False, "nearest", Limits(F("19.883"), F("19.935")), F(28), Graduation(F("0.05"), F(4)))
# 0.02 mm a division, 100 to a turn, reads depth: a bore with no limits, wound outwards.
BORE = Sum(F(30), F(1, 2), "mm", 2, 3, WORDS, True, "nearest", None, F(20), Graduation(F("0.02"), F(2), counts_down=True))
# Over wires, 4.750 to 4.856 mm: 0.02 mm a division down to the upper limit; reading moves by twice the depth.
WIRES = Sum(F("4.856"), F(1, 2), "mm", 2, 3, WORDS, False, "up", Limits(F("4.750"), F("4.856")), F("5.585"), Graduation(F("0.02"), F(2)))
# A gauge of a taper 1 in 10: 1 mm off is 0.1 mm of diameter.
STAND_OFF = Sum(F(0), F(1, 10), "mm", 2, 3, WORDS, False, "down", None, F(36), Graduation(F("0.05"), F(4)))
LENGTH = Sum(F(180), F(1), "mm", 3, 3, WORDS, False, "nearest", Limits(F("179.8"), F("180.2")), F(182))


@pytest.mark.parametrize(
    ("rule", "reading", "now", "wanted"),
    [
        # 20.4 is 0.478 over: 9.56 divisions, 10 come out at 19.900, within the limits
        (SHAFT, "20.4", None, Outcome("cut", F("0.5"), F("19.900"), 10)),
        # 19.948 is 0.026 over: nearer to one division, which gives 19.898
        (SHAFT, "19.948", "3.98", Outcome("cut", F("0.05"), F("19.898"), 1, F("0.03"))),
        # 19.930 is within the limits, 0.008 off: half a division is nearer to none
        (SHAFT, "19.930", None, Outcome("done")),
        (SHAFT, "19.883", None, Outcome("done")),
        (SHAFT, "19.882", None, Outcome("spoilt")),
        (SHAFT, "28.001", None, Outcome("odd")),
        (SHAFT, "28", "0", Outcome("cut", F("8.1"), F("19.9"), 162, F("0.1"))),
        # 29.85 is 0.15 under, 0.075 on the radius: 3.75 divisions, 4 give 30.01; the collar falls from 0.06 through zero
        (BORE, "29.85", "0.06", Outcome("cut", F("0.08"), F("30.01"), 4, F("1.98"))),
        (BORE, "30.019", None, Outcome("done")),
        (BORE, "30.021", None, Outcome("spoilt")),
        (BORE, "19.9", None, Outcome("odd")),
        # 4.900 is 0.044 over the upper limit: 1.1 divisions of 0.04, so two, which leave 4.820
        (WIRES, "4.900", None, Outcome("cut", F("0.04"), F("4.820"), 2)),
        (WIRES, "4.857", None, Outcome("cut", F("0.02"), F("4.817"), 1)),
        (WIRES, "4.856", None, Outcome("done")),
        (WIRES, "4.750", None, Outcome("done")),
        (WIRES, "4.749", None, Outcome("spoilt")),
        # 2.4 mm off is 0.24 on the dial: 4 divisions, never 5
        (STAND_OFF, "2.4", None, Outcome("cut", F("0.2"), F("0.4"), 4)),
        (STAND_OFF, "0.4", None, Outcome("fine")),
        (STAND_OFF, "0", None, Outcome("done")),
        (LENGTH, "180.35", None, Outcome("cut", F("0.35"), F(180))),
        (LENGTH, "179.9", None, Outcome("done")),
        (LENGTH, "179.79", None, Outcome("spoilt")),
    ],
)
def test_worked_by_hand(rule: Sum, reading: str, now: str | None, wanted: Outcome) -> None:
    assert reckon(rule, F(reading), None if now is None else F(now)) == wanted


def test_a_tolerance_narrower_than_a_division_may_not_be_reached() -> None:
    narrow = replace(SHAFT, limits=Limits(F("19.917"), F("19.927")))
    assert reckon(narrow, F("19.945")) == Outcome("fine")  # one division would leave 19.895
    assert reckon(narrow, F("19.970")) == Outcome("cut", F("0.05"), F("19.920"), 1)


sizes = st.fractions(min_value=0, max_value=60, max_denominator=10000)


@given(reading=sizes, target=sizes, factor=st.sampled_from([F(1, 2), F(1), F("0.574477770792"), F(1, 10)]), grows=st.booleans(),
       rounding=st.sampled_from(["nearest", "up", "down"]), tolerance=st.fractions(min_value=0, max_value=1, max_denominator=1000),
       limited=st.booleans())  # fmt: skip
def test_no_cut_goes_beyond_what_will_do(reading: Fraction, target: Fraction, factor: Fraction, grows: bool, rounding: str, tolerance: Fraction, limited: bool) -> None:
    limits = Limits(target - tolerance, target + tolerance) if limited else None
    found = reckon(Sum(target, factor, "mm", 2, 3, WORDS, grows, rounding, limits, None, Graduation(F("0.05"), F(4))), reading)
    if found.kind != "cut":
        assert (found.divisions, found.after) == (None, None)
        return
    assert found.divisions is not None
    assert found.after is not None
    worth = F("0.05") / factor
    assert found.divisions > 0
    assert found.amount == found.divisions * F("0.05")
    assert (found.after > reading) == grows
    assert abs(found.after - reading) == found.divisions * worth
    over = found.after - target if grows else target - found.after  # how far it is beyond the target
    if limited:
        assert over <= tolerance
    if rounding == "down":
        assert over <= 0
    assert abs(over) <= worth or limited
