"""The saddle led along the taper: by a taper attachment, or along the bed past work that stands askew."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import atan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.indicators import reading, round_travel
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, source
from benchleaf.operations.taper.needle import by_cross_slide, needle, saddle_proof
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.operations.taper.ways import tailstock_reading
from benchleaf.operations.taper.words import by_eye, degrees_text
from benchleaf.standards.tapers import (
    clock_by_saddle,
    depth_for_diameter,
    division_worth,
    set_over_exact,
)
from benchleaf.workshop.lathe import TaperAttachment
from benchleaf.workshop.tooling import Indicator
from benchleaf.workshop.values import Measure

__all__ = ["attachment", "set_over"]


def attachment(desk: Desk, owned: TaperAttachment, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
    """Write down how a taper attachment is set and clocked, and what one division of its scale and of the needle is worth."""
    taper, length = wanted.taper, wanted.length.value
    division = owned.scale_division
    inputs: tuple[Value | str, ...] = ("half_angle",) if division is None else ("half_angle", division)
    shown = degrees_text(taper.half_angle) if division is None else by_eye(taper.half_angle, division.value)
    why = basis("the half angle: its bar leads the cross-slide, which moves the radius", inputs, GEOMETRY)
    exactly = f"exactly {degrees_text(taper.half_angle)}; included {degrees_text(taper.included)}"
    if division is None:
        desk.words("attachment_setting", "Taper attachment to", shown, why)
    else:
        desk.number(
            "attachment_setting", "Taper attachment on its scale", taper.half_angle, "deg", shown, why, rational=False, also=exactly
        )
        worth = division_worth(taper, division.value, length)
        words = "2 x length x (tan(half angle + division) - tan(half angle))"
        desk.length(
            "scale_worth",
            "One scale division, over the length",
            worth.diameter,
            basis(words, ("half_angle", "length", division), GEOMETRY),
            rational=False,
        )
    rise = clock_by_saddle(taper, Fraction(1))
    travel = round_travel(owned.length.value, rise, indicator, desk.unit)
    if travel is not None:
        ranged: tuple[Value | str, ...] = (owned.length,) if indicator is None else (owned.length, indicator.range)
        why = basis("longest round travel that attachment and indicator have", ranged, PRACTICE)
        desk.length("clock_travel", "Clock over this travel of the saddle", travel, why, read_by="caliper")
        why = basis("travel x tan(half angle): the saddle moves along the bed", ("clock_travel", "half_angle"), GEOMETRY)
        reading(desk, "clock_reading", "Needle moves", clock_by_saddle(taper, travel), indicator, why)
        if indicator is not None:
            # The needle shows travel x tan of the half angle, so one division is a change of the tangent by division / travel.
            change = 2 * length * indicator.division.value / travel
            angle = atan_degrees(taper.rate / 2 + indicator.division.value / travel) - taper.half_angle
            needle(desk, angle, change, indicator, "atan(taper / 2 + division / travel), less the half angle")
    saddle_proof(desk, wanted, indicator, desk.unit)


def set_over(desk: Desk, whole: Measure, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
    """Write down how far the tailstock is set over on work ``whole`` between centres, from true and from where it is known to stand."""
    taper, length = wanted.taper, wanted.length.value
    needed = set_over_exact(taper, whole.value)
    why = basis("whole length between centres x sin(half angle), however short the taper", (whole, "half_angle"), GEOMETRY)
    reading(desk, "set_over", "Set the tailstock over by", needed, indicator, why)
    if indicator is not None and needed > indicator.range.value:
        by_cross_slide(desk, "set_over_cross", "That is, on the cross-slide", needed, "the set-over", ("set_over",), context)
    by_rule = whole.value * taper.rate / 2
    why = basis("length between centres x taper / 2", (whole, "taper"), source("the handbooks' rule", "common practice"))
    desk.length("set_over_rule", "By the usual rule", by_rule, why, read_by="caliper", rational=False)
    tailstock = context.lathe.slides.tailstock
    most = tailstock.set_over if tailstock is not None else None
    if most is not None:
        why = basis("as the profile says", (most,), source("the lathe's profile", "owner"))
        desk.length("set_over_most", "As far as it goes", most.value, why, read_by="caliper")
    known = tailstock_reading(context)
    if known is not None:
        # Plus is towards the operator, which is where it goes for a taper whose small end is at the tailstock.
        towards = 1 if wanted.large_at_headstock else -1
        left = needed - towards * known.reads.value
        why = basis("set-over less where it stands already, as the profile's reading has it", ("set_over", known.reads), GEOMETRY)
        reading(desk, "set_over_from_here", f"From where it stood on {known.date.value}", left, indicator, why)
    if indicator is not None:
        change = 2 * length * indicator.division.value / whole.value
        why = basis("2 x division x length of the taper / whole length", (indicator.division, "length", whole), GEOMETRY)
        desk.length("needle_worth", "One division, over the length", change, why)
    why = basis("change of diameter / taper", ("taper",), GEOMETRY)
    unit = Fraction(1, 100) if desk.unit == "mm" else Fraction(127, 5000)
    label = "0.01 mm on the diameter is" if desk.unit == "mm" else "0.001 in on the diameter is"
    desk.length("along", f"{label} along the taper", depth_for_diameter(taper, unit), why, read_by="caliper", rational=False)
    # The side of the taper that the tool leaves lies along the bed; what shows the angle is a bar as long as the work.
    saddle_proof(desk, wanted, indicator, desk.unit, over=whole.value, along="a parallel bar")
