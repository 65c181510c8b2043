"""From what is measured before the last cut to the reading of the tool-head."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.desk import Desk
from benchleaf.operations.dials import Collar
from benchleaf.operations.sums import by_dial
from benchleaf.sheet.model import Say, Sum, SumWords
from benchleaf.units import convert

__all__ = ["down_sum"]


def down_sum(
    desk: Desk, dial: Collar, size: str, *, times: Fraction | int = 1, grows: bool = False, stock: str = "", wind: str = "Wind down"
) -> Sum:  # fmt: skip
    """The sum for a size whose figure is ``size``, aimed at ``<size>_aim``; it changes by ``times`` the depth.  ``stock`` is the figure of
    what is there before any cut, ``wind`` what is done with the slide.

    In doubt a division less: what is left can be cut, nothing is put back.
    """
    over, under = ("Less", "Larger") if grows else ("More", "Smaller")
    words = SumWords(
        Say(wind),
        Say("To size. Nothing more comes off."),
        Say("Less than one division, {dial_worth}, is left: as near as the dial sets it."),
        Say(f"{under} than it may be. Stop, and measure once more."),
        Say(f"{over} than before any cut: misread. Measure again."),
    )
    limits = desk[size].limits if size in desk else None
    return by_dial(
        desk,
        dial,
        _mm(desk, f"{size}_aim"),
        Fraction(times),
        words,
        grows=grows,
        rounding="down",
        limits=None if limits is None else (_back(desk, limits.lower), _back(desk, limits.upper)),
        start=_mm(desk, stock) if stock in desk else None,
    )


def _mm(desk: Desk, name: str) -> Fraction:
    value = desk[name].value
    if not isinstance(value, Fraction):
        raise TypeError(f"{name} is no size")
    return convert(value, desk.unit, "mm")


def _back(desk: Desk, end: Fraction | None) -> Fraction | None:
    return None if end is None else convert(end, desk.unit, "mm")
