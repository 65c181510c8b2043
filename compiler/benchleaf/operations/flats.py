"""Flats round a bar on a shaper: two opposite ones, a square or a hexagon, by an index head or turned over in the vice."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import division
from benchleaf.operations.cutting import stock as metal
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import GEOMETRY, Desk, basis, length_text, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.cuts import Down, plan_down
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.faces import Face, plan_face
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Device, Stock, device, jaws_words, no_metal, seated, stock
from benchleaf.operations.shaping.readings import dated
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.shaped import ACROSS_CORNERS, FLAT_DEPTH, SECOND_SIDE, across_corners, flat_width, second_side_target, smallest_bar
from benchleaf.workshop.shaper import IndexHead, Vice
from benchleaf.workshop.values import Count, Distance, Length, Measure, Origin, StrokeRate, Text

__all__ = ["OPERATION", "Flats", "plan"]

_NAMES = {2: "two flats", 4: "square", 6: "hexagon"}


@record
class Flats:
    """Shape flats round a bar: how many, across which size, where; ``corner`` is what may be missing from each corner."""

    origin: Origin
    number: Count
    across: Text
    from_: Distance
    length: Length | None
    corner: Distance
    cut: Text | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def plan(step: Flats, context: Context) -> Section | None:
    """The section of flats, or None when its faults leave nothing true to print."""
    desk, work, count = context.desk(), context.work, step.number.value
    start = step.from_.value
    end = work.end if step.length is None else start + step.length.value
    size = read_size(step.across, "outside", context, "shaping")
    sound = metal.within_length(end, step.length or step.across, context)
    sound &= metal.spares_finished("outside", start, end, step.across, context)
    if size is None:
        return None
    there = _bar(step, size, start, end, context)
    if there is None:
        return None
    held = device(context)
    sound &= _wall(step, size, start, end, context) & _turned(step, held, context)
    width = flat_width(there.height.value, size.aim)
    face = plan_face(
        desk, context, step.cut, start, step.length, step.across, width, size.aim / 2, there, step.stroke, step.rate, step.tool
    )  # fmt: skip
    sides = step.gripped.value == "sides"
    sits = seated(desk, held, _seat(there, size, step, sides, context), there.height.value / 2, context)
    by_head = isinstance(held, IndexHead)
    divided = not by_head or division.divide(desk, step.number, context.held.by, context)
    _written(step, size, there, start, end, context)
    if face is None or not sits or not divided or not sound:
        return None
    becomes = (there.height.value, 2 if by_head else 1)
    depth = (there.height.value - size.aim) / 2
    down = plan_down(
        desk, context, depth, step.across, (there.height, "size_aim"), feed=face.rough.travel, speed=face.stroke.peak, becomes=becomes,
        measured="Across" if by_head else "Over round",
    )  # fmt: skip
    if down is None:
        return None
    _figures(desk, step, size, there, face, by_head)
    if isinstance(held, Vice):
        limits = None if size.limits is None else size.limits.upper - size.limits.lower
        dated(desk, context, "vice bed", face.run.length, "Out of parallel along the stroke", of=held.name.value, allowed=limits)
    strokes = count * (face.rough_strokes * down.roughing + face.fine_strokes)
    page.estimate(desk, Fraction(strokes), face.stroke.rate, count * down.count, ("rate", "cuts", "strokes_rough", "strokes_fine"))
    page.behind(desk, context)
    title = "Two flats" if count == 2 else _NAMES[count].capitalize()
    long = f"{step.length.text} long" if step.length is not None else "over the whole length"
    way = "along the axis" if face.along else "across the axis"
    place = f", from {step.from_.text}" if start else ""
    blocks = _blocks(desk, context, step, face, down, held, sides, there)
    return section(
        context, "flats", f"{title}, {step.across.value} across", f"{long}{place}, cut {way} with {face.tool.name.value}", blocks
    )


def _bar(step: Flats, size: Size, start: Fraction, end: Fraction, context: Context) -> Stock | None:
    """The bar, if the flats come out of it; None after an error."""
    if context.work.height is not None:
        context.faults.error(
            "shaping/not-round", "flats across are shaped on a round, and the blank is a block", step.across,
            hint="use `flat` for the face of a block", related=((context.work.height, "the block"),),
        )  # fmt: skip
        return None
    there = stock(start, end, context)
    if there is None:
        return None
    thin = context.work.smallest("outside", start, end)
    least = there.height.value if thin is None or thin.smallest is None else thin.smallest
    if step.number.value == 2:
        if size.aim >= least:
            no_metal(there, size.aim, step.across, context)
            return None
        return there
    wanted = smallest_bar(size.aim, step.number.value, step.corner.value)
    if least >= wanted:
        return there
    corners = length_text(across_corners(size.aim, step.number.value), context.system)
    missing = length_text((across_corners(size.aim, step.number.value) - least) / 2, context.system)
    context.faults.error(
        "shaping/bar-small",
        f"the bar is {length_text(wanted - least, context.system)} too small for a {_NAMES[step.number.value]} "
        f"of {length_text(size.aim, context.system)} across flats",
        step.across,
        f"it is {corners} across corners",
        hint=f"take a larger bar, smaller flats, or allow the corners to be rounded off (`corner`, {missing} each here)",
        note=f"{ACROSS_CORNERS.formula} ({ACROSS_CORNERS.source})",
        related=((thin.at if thin is not None else there.height, "the bar"),),
    )
    return None


def _wall(step: Flats, size: Size, start: Fraction, end: Fraction, context: Context) -> bool:
    """Whether metal is left between flats and bore; False after an error."""
    bore = context.work.largest("inside", start, end)
    if bore is None or not bore.largest or bore.largest < size.aim:
        return True
    context.faults.error(
        "route/no-wall",
        f"flats of {length_text(size.aim, context.system)} across cut into the bore of {length_text(bore.largest, context.system)}",
        step.across,
        hint="correct the size or the place",
        related=((bore.at, "the bore"),),
    )
    return False


def _turned(step: Flats, held: Device | None, context: Context) -> bool:
    """Whether the way of holding can bring up all flats; False after an error."""
    if step.number.value != 6 or isinstance(held, IndexHead) or held is None:
        return True
    heads = [head.name.value for head in context.shaper.index_heads]
    context.faults.error(
        "shaping/not-divided",
        f"six flats cannot be brought up in the {context.held.by.value}: after the first pair nothing gives the 60 degrees",
        step.number,
        hint=f"hold the work in the {heads[0]} (`hold`)" if heads else "an index head is wanted",
        related=((context.held.by, "held by"),),
    )
    return False


def _seat(there: Stock, size: Size, step: Flats, sides: bool, context: Context) -> Seat:
    """In a vice the last face to be cut lies lowest: it stands on the flat opposite."""
    between: Measure = there.width if sides or context.work.overall is None else context.work.overall
    middle = there.height.value / 2 if sides else None
    return Seat(there.height.value, size.aim, middle, between.value, between, step.across, sides)


def _written(step: Flats, size: Size, there: Stock, start: Fraction, end: Fraction, context: Context) -> None:
    if step.number.value > 2:
        corners = across_corners(size.aim, step.number.value)
        if corners < there.height.value:  # the round is gone all the way round
            context.work.cut("outside", start, end, corners, "flats", step.across)
    context.work.shape("outside", start, end, size.aim, "flats", step.across)


def _figures(desk: Desk, step: Flats, size: Size, there: Stock, face: Face, by_head: bool) -> None:
    count, bar = step.number.value, there.height
    size_figure(desk, size, "Across flats")
    desk.length("stock", "Bar", bar.value, basis("the work as the steps before leave it", (bar,), size.source), read_by="micrometer")
    if count > 2:
        why = basis(ACROSS_CORNERS.formula, ("size_aim", step.number), source(ACROSS_CORNERS.source, ACROSS_CORNERS.status))
        desk.length("corners", "Across corners, sharp", across_corners(size.aim, count), why, read_by="caliper", rational=False)
    desk.length(
        "crown",
        "Each flat, from the crown",
        (bar.value - size.aim) / 2,
        basis(FLAT_DEPTH.formula, ("stock", "size_aim"), GEOMETRY),
        read_by="caliper",
    )
    if not by_head:
        target = second_side_target(bar.value, size.aim)
        why = basis(SECOND_SIDE.formula, ("stock", "size_aim"), source(SECOND_SIDE.source, SECOND_SIDE.status))
        desk.length("first_side", "First flat to the round opposite, for that bar", target, why)
    if face.along:
        return
    desk.length(
        "flat_width",
        "Width of a flat while it meets no other",
        face.run.length,
        basis("sqrt(diameter^2 - across flats^2)", ("stock", "size_aim"), GEOMETRY),
        read_by="caliper",
        rational=False,
    )


def _blocks(
    desk: Desk, context: Context, step: Flats, face: Face, down: Down, held: Device | None, sides: bool, there: Stock
) -> list[Block | None]:  # fmt: skip
    vice, head = isinstance(held, Vice), isinstance(held, IndexHead)
    jaws = "" if not vice else "beside" if face.along == sides else "ends"
    setting: list[Say] = []
    if vice:
        setting = [Say(jaws_words(face.along == sides)), Say("Tap the work down after closing the vice; the packing must stay nipped.")]
    elif head:
        lies = "along the stroke" if face.along else "square to the stroke"
        name = page.plain(context.held.by)
        setting = [
            Say(f"{name[:1].upper()}{name[1:]} on the table, axis {lies} and level: clock along top and side. Spindle locked to cut.")
        ]
    steps = [*setting, *page.set_ram(context, face.run), *face.steps]
    steps += _by_head(step) if head else _by_vice(step)
    background = [name for name in (*page.BACKGROUND, *division.FIGURES) if name not in ("move", "plate", "circle", "sector")]
    dividing = division.blocks(desk)[:-1] if head else []
    return [
        *page.groups(desk, ("size", "size_aim", "stock", "crown", "first_side", "corners")),
        envelope(face.run, face.stroke, Scene(context.held.by.value, jaws, None if face.along else there.height.value), context.system),
        *dividing,
        Steps("Shape", tuple(steps)),
        down.table,
        *_boxes(desk, down, head),
        Check(Say("{size} at both ends of the flats.")),
        *page.cautions(context, vice=vice, indexed=head),
        FigureGroup("Background", desk.pick(*background, "flat_width"), Weight.KNOW),
    ]


def _by_head(step: Flats) -> list[Say]:
    half = step.number.value // 2
    opposite = "{move}" if half == 1 else f"{half} x {{move}}"
    rest = (
        [Say("Last cut on these two, then index by {move} and take the others by the same readings, the last one as well.")]
        if half > 1
        else [Say("Last cut on both.")]
    )
    return [
        Say("Tool down by hand until it just marks the crown: dial to zero, and leave that zero for all flats."),
        Say(f"First flat by the table, the last cut left; index by {opposite} to the opposite side; the same readings there."),
        Say("Measure across the two; fill in the last reading."),
        *rest,
    ]  # fmt: skip


def _by_vice(step: Flats) -> list[Say]:
    more = step.number.value > 2
    pair = [Say("Second pair: a finished flat against the fixed jaw, squared off the vice's bed; both sides as before.")] if more else []
    return [
        Say("Measure the bar. Tool down until it just marks the crown: dial to zero."),
        Say("First side by the table; measure over the flat to the round opposite; fill in the last reading; last cut."),
        Say("Turn over: first flat down, tapped down until no feeler goes under. Mark the crown, zero; cuts by the table; measure across."),
        *pair,
    ]  # fmt: skip


def _boxes(desk: Desk, down: Down, head: bool) -> list[Block]:
    safe = "In doubt leave it large: it can be cut again, nothing puts metal back."
    if head:
        half = "half of (measured less {size_aim}): half comes off each side"
        rule = f"Last reading = reading now + {half}. One division takes {{dial_worth}} off one side. {safe}"
        return [
            Box("across", "Across the first two, before the last cut", desk.unit, Say(rule), 2, down_sum(desk, down.dial, "size", times=2)),
            Box("last_reading", "Last reading, for all flats", down.dial.unit, Say("Wind down onto it; clamp the slide."), 1),
        ]
    first = "It is to be half of (bar + {size_aim}): {first_side} for a bar of {stock}. Last reading = reading now + (measured less that)."
    second = f"Second side: last reading = reading now + (measured across less {{size_aim}}). One division is {{dial_worth}}. {safe}"
    return [
        Box("bar_measured", "Bar as measured", desk.unit, Say("Where the flats will be."), 1),
        Box("over_round", "First flat to the round, before the last cut", desk.unit, Say(first), 2),
        Box("across", "Across, before the last cut of the second side", desk.unit, Say(second), 2, down_sum(desk, down.dial, "size")),
        Box("last_reading", "Last readings: first side, second side", down.dial.unit, Say("Wind down onto it; clamp the slide."), 2),
    ]  # fmt: skip


OPERATION = Operation(Flats, plan, on="shaper")
