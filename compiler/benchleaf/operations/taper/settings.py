"""What sets the lathe to the taper: scale, indicator and set-over, and what one division of each is worth."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.indicators import reading, round_travel
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, source
from benchleaf.operations.dials import collar
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.operations.taper.ways import ATTACHMENT, SET_OVER, TOP_SLIDE, Way, tailstock_reading
from benchleaf.operations.taper.words import by_eye, degrees_text, slide_scale
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapers import (
    clock_by_saddle,
    clock_on_parallel_bar,
    contact_error,
    depth_for_diameter,
    division_worth,
    half_angle_from_clock,
    indicator_worth,
    off_centre_error,
    set_over_exact,
    taper_rule,
    top_slide_travel,
)
from benchleaf.workshop.lathe import TaperAttachment, TopSlide
from benchleaf.workshop.tooling import Indicator
from benchleaf.workshop.values import Measure

__all__ = ["sizes", "write"]

_OFF = Fraction(1, 10)  # mm off centre height, for what it costs: about what the eye lets pass against a centre point; common practice
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
        _top_slide(desk, slide, way, wanted, indicator, context)
    elif way.name == ATTACHMENT and attachment is not None:
        _attachment(desk, attachment, wanted, indicator, context)
    elif way.name == SET_OVER and context.work.overall is not None:
        _set_over(desk, context.work.overall, wanted, indicator, context)
    lost = 2 * (off_centre_error(wanted.small.value, _OFF) - off_centre_error(wanted.large.value, _OFF))
    if lost >= _SHOWN:
        why = basis("2 x (sqrt((d/2)^2 + h^2) - d/2) at the small end, less that at the large end", ("large_end", "small_end"), GEOMETRY)
        desk.length("height_cost", "Tool 0.1 mm off centre: taper short by", lost, why, rational=False)
    if wanted.taper.name.startswith("MT"):
        rule = taper_rule("morse_rate_tolerance")
        over = rule.high / 12 * wanted.length.value
        what = "sockets only shallower" if wanted.inside else "shanks only steeper"
        why = basis(f"{fixed(rule.high, 3)} in per foot over the length; {what}", ("length",), source(rule.source, rule.status))
        desk.length("rate_tolerance", f"Allowed on the taper, {what}", over, why)


def _top_slide(desk: Desk, slide: TopSlide, way: Way, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
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
    if travel is None:
        return
    turned = dial.at(travel)
    turns = f"{turned.turns} turns of its handle" + (f" and {turned.shown} {dial.unit}" if turned.value % dial.turn else "")
    inputs: tuple[Value | str, ...] = (
        (slide.travel, slide.dial.turn) if indicator is None else (slide.travel, slide.dial.turn, indicator.range)
    )
    why = basis("longest round travel that slide and indicator have", inputs, PRACTICE)
    desk.length("clock_travel", "Clock over this travel of the slide", travel, why, read_by="caliper")
    desk.words(
        "clock_turns", "Clocking travel, on the handle", turns, basis("travel / one turn", ("clock_travel", slide.dial.turn), GEOMETRY)
    )
    why = basis("travel x sin(half angle), on a parallel bar", ("clock_travel", "half_angle"), GEOMETRY)
    reading(desk, "clock_reading", "Needle moves", clock_on_parallel_bar(taper, travel), indicator, why)
    if indicator is not None:
        each = indicator_worth(taper, indicator.division.value, travel, length)
        _needle(desk, each.angle, each.diameter, indicator, "asin of the reading with one division more, less the half angle")
    _saddle_proof(desk, wanted, indicator, dial.unit)


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


def _needle(desk: Desk, angle: Fraction, diameter: Fraction, indicator: Indicator, formula: str) -> None:
    inputs: tuple[Value | str, ...] = ("half_angle", "clock_travel", indicator.division)
    minutes = 60 * angle
    why = basis(formula, inputs, GEOMETRY)
    desk.number("needle_angle", "One division of the needle", minutes, "min", fixed(minutes, 2), why, rational=False, also="of half angle")
    why = basis("2 x length x (tan of the half angle so changed - tan of the half angle)", ("needle_angle", "length"), GEOMETRY)
    desk.length("needle_worth", "That is, over the length", diameter, why, rational=False)


def _saddle_proof(
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


def _attachment(desk: Desk, owned: TaperAttachment, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
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
            angle = _angle_of(change, wanted)
            _needle(desk, angle, change, indicator, "change of the half angle that moves the needle by one division over the travel")
    _saddle_proof(desk, wanted, indicator, desk.unit)


def _angle_of(change: Fraction, wanted: Wanted) -> Fraction:
    """The change of half angle, degrees, that changes the taper's diameter by so much over its length (first order, from 1 minute)."""
    minute = Fraction(1, 60)
    return minute * change / contact_error(minute, wanted.length.value, wanted.taper.half_angle)


def _set_over(desk: Desk, whole: Measure, wanted: Wanted, indicator: Indicator | None, context: Context) -> None:
    taper, length = wanted.taper, wanted.length.value
    needed = set_over_exact(taper, whole.value)
    why = basis("whole length between centres x sin(half angle), however short the taper", (whole, "half_angle"), GEOMETRY)
    reading(desk, "set_over", "Set the tailstock over by", needed, indicator, why)
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
    _saddle_proof(desk, wanted, indicator, desk.unit, over=whole.value, along="a parallel bar")
