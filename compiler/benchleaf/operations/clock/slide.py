"""The top slide's scale against a parallel bar, and whether the slide runs level."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import atan_degrees, sin_degrees, sqrt
from benchleaf.operations import clocking_sketches as sketches
from benchleaf.operations.clock.common import Bench, boxes, difference_table, groups, keep, last_read, over_or_fault, should_read
from benchleaf.operations.cutting.indicators import reading
from benchleaf.operations.desk import GEOMETRY, PRACTICE, basis, length_text
from benchleaf.operations.dials import collar
from benchleaf.sheet.model import Block, Say, Steps
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.acceptance import acceptance

__all__ = ["top_slide"]

_BY_EYE = 10  # parts of a division that an eye tells on a swivel scale; common practice
_SHARE = Fraction(9, 10)  # of the travel, so that the slide stays well in its gib; common practice


def top_slide(this: Bench) -> list[Block] | None:
    """A parallel bar in the chuck, the top slide set by its scale to lie along it."""
    context, desk = this.context, this.desk
    slide = context.lathe.slides.top_slide
    if slide is None:
        context.faults.error(
            "clock/no-top-slide",
            f"the {context.lathe.name.value} has no top slide",
            this.step.what,
            hint="add `top-slide` to its profile if it has one",
        )
        return None
    dial = collar(slide.dial)
    turns = int(slide.travel.value * _SHARE // dial.turn)
    derived = max(turns, 1) * dial.turn / dial.factor
    travel = over_or_fault(this, derived, "Travel of the slide")
    if travel is None:
        return None
    if "over" not in desk:
        why = basis("whole turns of its handle that nine tenths of its travel hold", (slide.travel, slide.dial.turn), PRACTICE)
        desk.length("over", "Travel of the slide", travel, why, read_by="rule")
    if travel > slide.travel.value:
        context.faults.error(
            "clock/over-long",
            f"the slide is to travel {length_text(travel, context.system, 'rule')}, and it has {slide.travel.text}",
            this.step.over or this.step.what,
            hint="shorten `over`",
            related=((slide.travel, "its travel"),),
        )
        return None
    turned = travel * dial.factor / dial.turn
    why = basis("travel / one turn", ("over", slide.dial.turn), GEOMETRY)
    desk.number("turns", "That is", turned, "turns", fixed(turned, 0 if turned.denominator == 1 else 2), why)
    at = "0 deg" if slide.scale_zero.value == "along the bed" else "90 deg"
    desk.words(
        "scale_at",
        "Scale set to",
        at,
        basis(f"where the slide lies along the bed: its scale reads 0 {slide.scale_zero.value}", (slide.scale_zero,), PRACTICE),
    )
    sees = travel * sin_degrees(slide.scale_division.value / _BY_EYE)
    why = basis("travel x sin(a tenth of a division): finer than that the scale cannot be read", ("over", slide.scale_division), GEOMETRY)
    reading(desk, "scale_sees", "Beside the bar, within", sees, this.indicator, why)
    limit = acceptance("l_top")
    should_read(this, "level_limit", "Above the bar", limit, limit.over_length(travel))
    last_read(this, "top-slide scale")

    def minutes(mm: Fraction) -> Fraction:
        share = min(mm / travel, Fraction(1, 2))
        return 60 * atan_degrees(share / sqrt(1 - share * share))

    table = difference_table(
        this,
        "scale",
        "What the needle says",
        "Strays by",
        (
            ("out", "Scale out by", minutes, "min"),
            (
                "on_taper",
                "On a taper, diameter over 100 mm" if desk.unit == "mm" else "On a taper, diameter over 4 in",
                lambda mm: _on_taper(mm, travel, desk.unit),
                desk.unit,
            ),
        ),
        ("asin(reading / travel)", "2 x reading / travel x length"),
        ("over",),
        "Needle pressed in as the slide goes towards the headstock: plus.",
    )
    steps = (
        Say("Parallel bar in the chuck, clocked true at both ends; better between true centres."),
        Say(
            "Top slide to {scale_at} by its scale, bolts nipped as for work. The {indicator} in the tool post, level, at centre height, "
            "from your side."
        ),
        Say("Gib set, backlash taken up. Zero it; slide {over} ({turns}) towards the headstock; read."),
        Say("Then from above: the same travel."),
    )
    wrong = (
        Say(
            "Beside: set the slide until the needle stands still; the scale's new zero is where the mark then is. Scribe it, or keep "
            "the reading."
        ),
        Say(
            "Above: chips under the swivel, a slack gib, a worn slide. A taper turned with it comes out hollow, and the tool changes "
            "its height."
        ),
        Say("Sheets for tapers show what the scale is out by, once the reading is in the profile. They are clocked all the same."),
    )
    return [
        *groups(this, ("scale_sees", "level_limit"), ("over", "turns", "scale_at")),
        sketches.top_slide_angle(0, f"scale at {at}", length_text(travel, context.system, "rule"), "the needle stands still"),
        Steps("Clock", steps),
        *boxes(
            this,
            ("beside", "Beside the bar, strays by", "Plus when pressed in towards the headstock. This is what goes in the profile."),
            ("above", "Above the bar, strays by", "A new lathe: {level_limit}."),
        ),
        table,
        Steps("If it does not", wrong),
        *keep(this, "top-slide scale", over=length_text(travel, context.system, "rule")),
    ]


def _on_taper(mm: Fraction, travel: Fraction, unit: str) -> Fraction:
    return 2 * mm / travel * (Fraction(100) if unit == "mm" else 4 * Fraction(127, 5))
