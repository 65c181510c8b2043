"""The top slide swung to the taper: its scale, how it is clocked, and whether its travel covers the taper."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.indicators import reading, round_travel
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis
from benchleaf.operations.dials import collar
from benchleaf.operations.taper.needle import by_cross_slide, needle, saddle_proof
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.operations.taper.ways import Way
from benchleaf.operations.taper.words import by_eye, degrees_text, slide_scale
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapers import (
    clock_on_parallel_bar,
    division_worth,
    half_angle_from_clock,
    indicator_worth,
    top_slide_travel,
)
from benchleaf.workshop.lathe import TopSlide
from benchleaf.workshop.tooling import Indicator

__all__ = ["top_slide"]


def top_slide(desk: Desk, slide: TopSlide, way: Way, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
    """Write down how the top slide is set and clocked, and what one division of its scale and of the needle is worth."""
    taper, length = wanted.taper, wanted.length.value
    scale = slide_scale(taper.half_angle, slide)
    division = slide.scale_division.value
    from_zero = "the half angle" if slide.scale_zero.value == "along the bed" else "90 deg less the half angle"
    desk.number(
        "slide_setting",
        "Top slide on its scale",
        scale,
        "deg",
        by_eye(scale, division),
        basis(
            f"{from_zero}, as its scale reads 0 {slide.scale_zero.value}; to a tenth of a division",
            ("half_angle", slide.scale_zero, slide.scale_division),
            PRACTICE,
        ),
        rational=False,
        also=f"exactly {degrees_text(scale)}",
    )
    _scale_known(desk, context)
    _travel(desk, slide, way, wanted)
    worth = division_worth(taper, division, length)
    words = "2 x length x (tan(half angle + division) - tan(half angle))"
    desk.length(
        "scale_worth",
        "One scale division, over the length",
        worth.diameter,
        basis(words, ("half_angle", "length", slide.scale_division), GEOMETRY),
        rational=False,
    )
    dial = collar(slide.dial)
    travel = round_travel(slide.travel.value, clock_on_parallel_bar(taper, Fraction(1)), indicator, dial.unit)
    in_range = travel is not None
    if travel is None:
        travel = round_travel(slide.travel.value, Fraction(1), None, dial.unit)
    if travel is None:
        return
    turned = dial.at(travel)
    rest = turned.divisions * dial.division % dial.turn
    turns = f"{turned.turns} turns of its handle" + (f" and {turned.shown} {dial.unit}" if rest else "")
    inputs: tuple[Value | str, ...] = (
        (slide.travel, slide.dial.turn) if indicator is None else (slide.travel, slide.dial.turn, indicator.range)
    )
    why = basis("longest round travel that slide and indicator have" if in_range else "longest round travel of the slide", inputs, PRACTICE)
    desk.length("clock_travel", "Clock over this travel of the slide", travel, why, read_by="caliper")
    desk.words(
        "clock_turns", "Clocking travel, on the handle", turns, basis("travel / one turn", ("clock_travel", slide.dial.turn), GEOMETRY)
    )
    if not in_range:
        inputs = ("clock_travel", "half_angle")
        moved = clock_on_parallel_bar(taper, travel)
        by_cross_slide(desk, "clock_cross", "Cross-slide brings the needle back by", moved, "travel x sin(half angle)", inputs, context)
        return
    why = basis("travel x sin(half angle), on a parallel bar", ("clock_travel", "half_angle"), GEOMETRY)
    reading(desk, "clock_reading", "Needle moves", clock_on_parallel_bar(taper, travel), indicator, why)
    if indicator is not None:
        each = indicator_worth(taper, indicator.division.value, travel, length)
        needle(desk, each.angle, each.diameter, indicator, "asin of the reading with one division more, less the half angle")
    saddle_proof(desk, wanted, indicator, dial.unit)


def _scale_known(desk: Desk, context: Context) -> None:
    """What the swivel scale is known to be out by."""
    readings = [item for item in context.lathe.readings if item.what.value == "top-slide scale" and item.over is not None]
    if not readings:
        return
    latest = max(readings, key=lambda item: item.date.value)
    if latest.over is None or not abs(latest.reads.value) < latest.over.value:
        return
    out = half_angle_from_clock(latest.reads.value, latest.over.value)
    minutes = 60 * out
    desk.number(
        "scale_out",
        "Its scale is known to be out by",
        minutes,
        "min",
        fixed(minutes, 1),
        basis("asin(reading / travel)", (latest.reads, latest.over), GEOMETRY),
        rational=False,
        also=f"read on {latest.date.value}",
    )


def _travel(desk: Desk, slide: TopSlide, way: Way, wanted: Wanted) -> None:
    """How far the slide goes, in one go or in lengths."""
    needed = top_slide_travel(wanted.taper, wanted.length.value)
    why = basis("length / cos(half angle)", ("length", "half_angle"), GEOMETRY)
    desk.length("slide_travel", "Top slide goes", needed, why, read_by="caliper", rational=False)
    why = basis("travel there is less what the taper takes", (slide.travel, "slide_travel"), GEOMETRY)
    if way.lengths == 1:
        desk.length("slide_spare", "Left for the run-in", slide.travel.value - needed, why, read_by="caliper", rational=False)
        return
    each = wanted.length.value / way.lengths
    lengths = basis("travel wanted / travel there is, upwards", ("slide_travel", slide.travel), GEOMETRY)
    desk.number("blend_lengths", "Cut in", Fraction(way.lengths), "lengths", str(way.lengths), lengths)
    desk.length(
        "blend_saddle", "Saddle moved for each", each, basis("length / lengths", ("length", "blend_lengths"), GEOMETRY), read_by="caliper"
    )
    cross = basis("that x taper / 2", ("blend_saddle", "taper"), GEOMETRY)
    desk.length("blend_cross", "Cross-slide moved with it", each * wanted.taper.rate / 2, cross, rational=False)
