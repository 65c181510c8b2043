"""What the needle shows: one division's worth, the proof by the saddle, and the cross-slide where the needle does not reach."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.indicators import reading, round_travel
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis
from benchleaf.operations.dials import collar
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapers import (
    clock_by_saddle,
)
from benchleaf.units import convert
from benchleaf.workshop.tooling import Indicator

__all__ = ["by_cross_slide", "needle", "saddle_proof"]


def needle(desk: Desk, angle: Fraction, diameter: Fraction, indicator: Indicator, formula: str) -> None:
    """Write down what one division of the needle comes to: ``angle`` of half angle, degrees, and ``diameter`` over the taper, mm."""
    inputs: tuple[Value | str, ...] = ("half_angle", "clock_travel", indicator.division)
    minutes = 60 * angle
    why = basis(formula, inputs, GEOMETRY)
    desk.number("needle_angle", "One division of the needle", minutes, "min", fixed(minutes, 2), why, rational=False, also="of half angle")
    why = basis("2 x length x (tan of the half angle so changed - tan of the half angle)", ("needle_angle", "length"), GEOMETRY)
    desk.length("needle_worth", "That is, over the length", diameter, why, rational=False)


def saddle_proof(
    desk: Desk, wanted: Wanted, indicator: Indicator | None, unit: str, *, over: Fraction | None = None, along: str = "the taper"
) -> None:
    """What the needle shows when the saddle moves along the finished taper; or, the tailstock set over, along a parallel bar."""
    rise = clock_by_saddle(wanted.taper, Fraction(1))
    travel = round_travel(wanted.length.value if over is None else over, rise, indicator, unit)
    if travel is None:
        return
    inputs: tuple[Value | str, ...] = ("length",) if indicator is None else ("length", indicator.range)
    why = basis(f"longest round travel that {along} and the indicator have", inputs, PRACTICE)
    desk.length("saddle_travel", f"Along {along}, saddle moved by", travel, why, read_by="caliper")
    why = basis(
        "travel x tan(half angle): the angle lies between the needle's surface and the bed", ("saddle_travel", "half_angle"), GEOMETRY
    )
    reading(desk, "saddle_reading", f"Needle moves along {along}", clock_by_saddle(wanted.taper, travel), indicator, why)


def by_cross_slide(
    desk: Desk, figure_id: str, label: str, mm: Fraction, formula: str, inputs: tuple[Value | str, ...], context: Context
) -> None:
    """More than the indicator's range: the cross-slide brings the needle back to where it was, and its dial is read."""
    slide = context.lathe.slides.cross_slide
    dial = collar(slide.dial)
    found = dial.at(mm)
    rest = found.divisions * dial.division % dial.turn
    turns = f"{found.turns} turn{'s' if found.turns > 1 else ''}" if found.turns else ""
    within = fixed(convert(rest, "mm", dial.unit), dial.places) if rest or not turns else ""
    why = basis(f"{formula}, as the cross-slide's dial counts", (*inputs, slide.dial.division, slide.dial.turn, slide.dial.reads), GEOMETRY)
    desk.number(figure_id, label, found.value, dial.unit, " + ".join(filter(None, (turns, within))), why, rational=False)
