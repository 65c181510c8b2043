"""How long a step takes: an estimate from feed and speed, labelled so."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.desk import PRACTICE, Desk, basis
from benchleaf.sheet.numbers import fixed

__all__ = ["HANDLING", "estimate"]

HANDLING = Fraction(1, 2)  # minutes for each cut: set the dial, wind back, look; common practice


def estimate(desk: Desk, minutes: Fraction, cuts: int, inputs: tuple[str, ...]) -> None:
    """Write down the figure ``time``: minutes of cutting plus handling for each cut, to the next whole minute."""
    whole = minutes + cuts * HANDLING
    shown = str(max(1, -(-whole.numerator // whole.denominator)))
    why = basis(f"length / (feed x spindle speed) for each cut, and {fixed(HANDLING, 1)} min of handling a cut", inputs, PRACTICE)
    desk.number("time", "Time, an estimate", whole, "min", shown, why)
