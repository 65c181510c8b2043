"""Dial indicators: which one is used, and readings as its dial shows them."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk
from benchleaf.operations.names import pick
from benchleaf.sheet.model import Basis, Figure
from benchleaf.sheet.numbers import fixed, in_steps
from benchleaf.units import convert
from benchleaf.workshop.tooling import Indicator
from benchleaf.workshop.values import Text

__all__ = ["choose", "owned", "reading", "reading_text", "round_travel"]

_ROUND = {  # travels that a dial is wound by without a sum, in the dial's own unit, longest first
    "mm": tuple(Fraction(mm) for mm in (100, 80, 60, 50, 40, 30, 25, 20, 15, 10, 5)),
    "in": tuple(Fraction(quarters, 4) for quarters in (16, 12, 10, 8, 6, 5, 4, 3, 2, 1)),
}


def owned(context: Context) -> list[Indicator]:
    """Every indicator of the drawers."""
    return [item for drawer in context.inputs.toolings for item in drawer.indicators]


def choose(wanted: Text | None, context: Context, rise: Fraction | None = None, most: Fraction | None = None) -> Indicator | None:
    """The indicator that the job names, or the finest that is owned; None when there is none (an error only where one is named).

    For an angle that rises by ``rise`` mm a mm over at most ``most`` mm the finest is that whose division is least of the travel it allows.
    """
    if wanted is not None:
        return pick(wanted, owned(context), "indicators", "tool/unknown", context)

    def coarseness(item: Indicator) -> Fraction:
        travel = Fraction(1) if rise is None or most is None else min(most, item.range.value / rise)
        return item.division.value / travel

    return min(owned(context), key=coarseness, default=None)


def reading_text(mm: Fraction, indicator: Indicator) -> tuple[Fraction, str, str]:
    """A movement in mm as an indicator shows it, to the nearest of its divisions: exact value in its own unit, the unit, what is shown."""
    unit = "in" if indicator.division.system == "inch" else "mm"
    division = indicator.division.value
    nearest = convert(in_steps(mm, division) * division, "mm", unit)
    return convert(mm, "mm", unit), unit, fixed(nearest, _places(convert(division, "mm", unit)))


def reading(desk: Desk, figure_id: str, label: str, mm: Fraction, indicator: Indicator | None, why: Basis) -> Figure:
    """Write down what the indicator shows; without one, a length in the machine's own unit."""
    if indicator is None:
        return desk.length(figure_id, label, mm, why, read_by="caliper", rational=False)
    value, unit, shown = reading_text(mm, indicator)
    divisions = in_steps(mm, indicator.division.value)
    also = f"{divisions} division{'' if divisions == 1 else 's'}"
    return desk.number(figure_id, label, value, unit, shown, why, rational=False, also=also)


def round_travel(most: Fraction, rise: Fraction, indicator: Indicator | None, unit: str) -> Fraction | None:
    """The longest round travel, mm, that stays within ``most`` mm and over which the indicator does not run out of its range when it
    rises by ``rise`` mm a mm; None when even the shortest is too long."""
    limit = most if indicator is None else min(most, indicator.range.value / rise)
    return next((mm for mm in (convert(amount, unit, "mm") for amount in _ROUND[unit]) if mm <= limit), None)


def _places(division: Fraction) -> int:
    return next((places for places in range(6) if (division * 10**places).denominator == 1), 6)
