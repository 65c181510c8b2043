"""What sets the lathe to the taper, and what being off centre costs."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import slender
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.operations.taper import led, swung
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.operations.taper.ways import ATTACHMENT, SET_OVER, TOP_SLIDE, Way
from benchleaf.operations.taper.words import degrees_text
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapers import (
    off_centre_error,
    taper_rule,
)
from benchleaf.workshop.tooling import Indicator

__all__ = ["sizes", "write"]

_OFF = {  # off centre height, for what it costs: about what the eye lets pass against a centre point; common practice
    "mm": (Fraction(1, 10), "0.1 mm"),
    "in": (Fraction(127, 1000), "0.005 in"),
}
_SHOWN = Fraction(1, 1000)  # mm: what a micrometer shows


def sizes(desk: Desk, wanted: Wanted) -> None:
    """The taper itself: rate, half angle, ends, length."""
    taper = wanted.taper
    by = source(taper.source, taper.status)
    inputs: tuple[Value | str, ...] = (wanted.at,)
    rate = f"1 in {fixed(taper.one_in, 3)}"
    desk.words(
        "taper",
        "Taper on the diameter",
        rate,
        basis("as named" if not taper.by_angle else "2 tan(half angle)", inputs, by),
        also=f"{fixed(taper.per_foot, 4)} in per foot; {fixed(100 * taper.rate, 3)} mm per 100 mm",
    )
    formula = "atan(taper / 2)" if not taper.by_angle else "as named: half the included angle"
    desk.number(
        "half_angle",
        "Half angle, side to axis",
        taper.half_angle,
        "deg",
        fixed(taper.half_angle, 3),
        basis(formula, ("taper",), GEOMETRY),
        rational=False,
        also=f"{degrees_text(taper.half_angle)}; included {degrees_text(taper.included)}",
    )
    for name, label, known in (
        ("large_end", "Large end", wanted.large),
        ("small_end", "Small end", wanted.small),
        ("length", "Length, along the axis", wanted.length),
    ):
        desk.length(
            name, label, known.value, basis(known.formula, known.inputs, known.source), read_by="caliper", rational=not taper.by_angle
        )


def write(desk: Desk, way: Way, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
    """The setting by the way that is taken, how it is clocked, and what being off centre costs."""
    slide, attachment = context.lathe.slides.top_slide, context.lathe.taper_attachment
    if way.name == TOP_SLIDE and slide is not None:
        swung.top_slide(desk, slide, way, wanted, indicator, context)
    elif way.name == ATTACHMENT and attachment is not None:
        led.attachment(desk, attachment, wanted, indicator, context)
    elif way.name == SET_OVER and context.work.overall is not None:
        led.set_over(desk, context.work.overall, wanted, indicator, context)
    if way.name != SET_OVER:
        _of_its_own(desk, wanted, context)
    off, named = _OFF[desk.unit]
    lost = 2 * (off_centre_error(wanted.small.value, off) - off_centre_error(wanted.large.value, off))
    if lost >= _SHOWN:
        why = basis("2 x (sqrt((d/2)^2 + h^2) - d/2) at the small end, less that at the large end", ("large_end", "small_end"), GEOMETRY)
        desk.length("height_cost", f"Tool {named} off centre: taper short by", lost, why, rational=False)
    if wanted.taper.name.startswith("MT"):
        rule = taper_rule("morse_rate_tolerance")
        over = rule.high / 12 * wanted.length.value
        what = "sockets only shallower" if wanted.inside else "shanks only steeper"
        why = basis(f"{fixed(rule.high, 3)} in per foot over the length; {what}", ("length",), source(rule.source, rule.status))
        desk.length("rate_tolerance", f"Allowed on the taper, {what}", over, why)


def _of_its_own(desk: Desk, wanted: Wanted, context: Context) -> None:
    """The taper that the machine is known to cut on a parallel job, which comes on top of what is set."""
    adds, reading = slender.expected_taper(wanted.start, wanted.end, context)
    if reading is None or not adds:
        return
    end = "headstock" if adds > 0 else "tailstock"
    inputs: tuple[Value | str, ...] = ("length", reading.reads) if reading.over is None else ("length", reading.reads, reading.over)
    formula = (
        "twice the tailstock's offset x length / length held"
        if reading.over is None
        else "difference of the collars x length / their distance"
    )
    label = f"The machine is known to add, larger at the {end}"
    desk.length("of_its_own", label, abs(adds), basis(f"{formula}, read on {reading.date.value}", inputs, GEOMETRY))
