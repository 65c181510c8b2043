"""A flat on a shaper: on the top of a block, or on the crown of a round."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import sqrt
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock as metal
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import Desk, Value, basis
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.cuts import Down, plan_down
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.faces import Face, plan_face
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, device, jaws_words, no_metal, seated, stock
from benchleaf.operations.shaping.readings import dated
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.values import Distance, Length, Measure, Origin, StrokeRate, Text

__all__ = ["OPERATION", "Flat", "plan"]


@record
class Flat:
    """Shape a flat to a size: the height of a block, or from the flat to the round opposite."""

    origin: Origin
    to: Text
    from_: Distance
    length: Length | None
    cut: Text | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def plan(step: Flat, context: Context) -> Section | None:
    """The section of a flat, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    start = step.from_.value
    end = work.end if step.length is None else start + step.length.value
    size = read_size(step.to, "outside", context, "shaping")
    sound = metal.within_length(end, step.length or step.to, context) & metal.spares_finished("outside", start, end, step.to, context)
    there = stock(start, end, context)
    if size is None or there is None:
        return None
    if size.aim >= there.height.value:
        no_metal(there, size.aim, step.to, context)
        return None
    depth = there.height.value - size.aim
    face = plan_face(
        desk, context, step.cut, start, step.length, step.to, _width(there, size.aim), size.aim - there.height.value / 2, there,
        step.stroke, step.rate, step.tool,
    )  # fmt: skip
    held = device(context)
    sides = step.gripped.value == "sides"
    between: Measure = there.width if sides or work.overall is None else work.overall
    sits = seated(desk, held, _seat(there, size.aim, between, step.to, sides), there.height.value / 2, context)
    _written(step, size, there, start, end, context)
    if face is None or not sits or not sound:
        return None
    down = plan_down(
        desk, context, depth, step.to, (there.height, "size_aim"), feed=face.rough.travel, speed=face.stroke.peak,
        becomes=(there.height.value, 1),
    )  # fmt: skip
    if down is None:
        return None
    size_figure(desk, size, "Flat to the round opposite" if there.round else "Height")
    desk.length(
        "stock", "From", there.height.value, basis("the work as the steps before leave it", (there.height,), size.source), read_by="caliper"
    )
    along_jaws = face.along == sides
    _readings(desk, context, held, face, along_jaws, size)
    page.estimate(
        desk,
        Fraction(face.rough_strokes * down.roughing + face.fine_strokes),
        face.stroke.rate,
        down.count,
        ("rate", "cuts", "strokes_rough", "strokes_fine"),
    )
    page.behind(desk, context)
    long = f"{step.length.text} long" if step.length is not None else "over the whole length"
    what = "on the round" if there.round else "on the block"
    return section(
        context,
        "flat",
        f"Shape a flat {what} to {step.to.value}",
        f"{long}, with {face.tool.name.value}",
        _blocks(desk, context, face, down, size, along_jaws, there),
    )


def _width(there: Stock, aim: Fraction) -> Fraction:
    """Width of the finished face: that of the block, or the chord."""
    if not there.round:
        return there.width.value
    above = 2 * aim - there.height.value  # twice from the axis to the face
    return sqrt(there.height.value * there.height.value - above * above)


def _seat(there: Stock, aim: Fraction, between: Measure, at: Text, sides: bool) -> Seat:
    widest = there.height.value / 2 if there.round and sides else None
    return Seat(there.height.value, aim, widest, between.value, between, at, there.round and sides)


def _written(step: Flat, size: Size, there: Stock, start: Fraction, end: Fraction, context: Context) -> None:
    if there.round:
        context.work.shape("outside", start, end, size.aim, "flat", step.to)
    elif step.length is None:
        context.work.height = Measure(size.aim, "mm", step.to.value, step.to.origin)


def _readings(desk: Desk, context: Context, held: object, face: Face, along_jaws: bool, size: Size) -> None:
    """How far bed or table put the face out over the cut."""
    half = size.limits.upper - size.limits.lower if size.limits is not None else None
    if isinstance(held, Vice):
        dated(desk, context, "vice bed", face.run.length, "Out of parallel along the stroke", of=held.name.value, allowed=half)
        jaw = "jaw along the stroke" if along_jaws else "jaw across the stroke"
        dated(desk, context, jaw, face.run.length if along_jaws else face.width, "Out of line with the jaw", of=held.name.value)
    else:
        dated(desk, context, "table along the stroke", face.run.length, "Out of parallel along the stroke", allowed=half)


def _scene(face: Face, held: str, along_jaws: bool | None, there: Stock) -> Scene:
    jaws = "" if along_jaws is None else "beside" if along_jaws else "ends"
    return Scene(held, jaws, there.height.value if there.round and not face.along else None)


def _blocks(desk: Desk, context: Context, face: Face, down: Down, size: Size, along_jaws: bool, there: Stock) -> list[Block | None]:
    vice = isinstance(device(context), Vice)
    steps = [
        *(
            [Say(jaws_words(along_jaws)), page.said("seating")]
            if vice
            else [Say("Clamps tight and low; a stop in front of the work takes the push of the cut.")]
        ),
        *page.set_ram(context, face.run),
        *face.steps,
        Say("Tool down by hand until it just marks the highest place: dial to zero. Cuts by the table, feeding on the return."),
        Say("Measure where {before_last} left it; fill in the last reading; last cut at {finishing_notches}.")
        if "before_last" in desk
        else Say("Measure; fill in the one reading; cut at {finishing_notches}."),
    ]
    held = context.held.by.value
    rule = Say(
        "Last reading = reading now + (what it measures less {size_aim}). One division is {dial_worth}. "
        "In doubt leave it high: too high can be cut again, too low cannot be put back."
    )
    sizes: tuple[Value | str, ...] = ("size", "size_aim", "stock", "depth")
    return [
        *page.groups(desk, tuple(str(name) for name in sizes)),
        envelope(face.run, face.stroke, _scene(face, held, along_jaws if vice else None, there), context.system),
        Steps("Shape", tuple(steps)),
        down.table,
        Box("measured", "Measured before the last cut", desk.unit, rule, 2, down_sum(desk, down.dial, "size", stock="stock")),
        Box("last_reading", "Last reading", down.dial.unit, Say("Taken from the sum above; wind down onto it."), 1),
        Check(Say("{size} at both ends and both sides: a difference is the seat or the table, not the dial.")),
        *page.cautions(context, vice=vice),
        FigureGroup("Background", desk.pick(*(name for name in page.BACKGROUND if name != "depth")), Weight.KNOW),
    ]


OPERATION = Operation(Flat, plan, on="shaper")
