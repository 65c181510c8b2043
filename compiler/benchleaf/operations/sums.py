"""From a measurement to the setting it calls for, in the dial's own terms, as data that a page can work out."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.desk import Desk
from benchleaf.operations.dials import Collar
from benchleaf.sheet.model import Graduation, Limits, Sum, SumWords
from benchleaf.sheet.numbers import round_half_up
from benchleaf.units import convert

__all__ = ["by_dial", "by_length"]

Ends = tuple[Fraction | None, Fraction | None]
_MEASURED = {"mm": 3, "in": 4}  # decimals that a micrometer shows, and that sizes to measure are printed with
_LONG = 12  # decimals kept of a factor that is irrational: far beyond what any dial could tell apart


def by_dial(
    desk: Desk,
    dial: Collar,
    target: Fraction,
    per_travel: Fraction,
    words: SumWords,
    *,
    grows: bool = False,
    winding_out: bool = False,
    rounding: str = "nearest",
    limits: Ends | None = None,
    start: Fraction | None = None,
) -> Sum:
    """The sum of a measurement in the desk's unit that a dial corrects; lengths in mm.

    ``per_travel`` is by how much the reading changes for 1 mm of the slide's travel (2 for a diameter).  ``winding_out``: the cut is set by
    drawing the slide towards the operator, so that the collar counts down.  The sizes are taken as the sheet shows them, so that who does
    the sum by hand comes to the same.
    """
    counted = dial.factor / per_travel
    factor = counted if desk.unit == dial.unit else convert(convert(counted, desk.unit, "mm"), "mm", dial.unit)
    return Sum(
        target=_shown(desk, target),
        factor=factor if factor.denominator < 10**_LONG else round_half_up(factor, _LONG),
        unit=dial.unit,
        places=dial.places,
        reads=_MEASURED[desk.unit],
        words=words,
        grows=grows,
        rounding=rounding,
        limits=_ends(desk, limits),
        start=None if start is None else _shown(desk, start),
        collar=Graduation(convert(dial.division, "mm", dial.unit), convert(dial.turn, "mm", dial.unit), winding_out),
    )


def by_length(
    desk: Desk, target: Fraction, factor: Fraction, words: SumWords, *, limits: Ends | None = None, start: Fraction | None = None
) -> Sum:
    """The sum of a measurement that no dial corrects, or none that is known: ``factor`` of what the reading is over, in the desk's unit."""
    return Sum(
        target=_shown(desk, target),
        factor=factor,
        unit=desk.unit,
        places=_MEASURED[desk.unit],
        reads=_MEASURED[desk.unit],
        words=words,
        limits=_ends(desk, limits),
        start=None if start is None else _shown(desk, start),
    )


def _shown(desk: Desk, mm: Fraction) -> Fraction:
    return round_half_up(convert(mm, "mm", desk.unit), _MEASURED[desk.unit])


def _ends(desk: Desk, limits: Ends | None) -> Limits | None:
    if limits is None or limits == (None, None):
        return None
    return Limits(*(None if end is None else _shown(desk, end) for end in limits))
