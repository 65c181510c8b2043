"""Grooves, reliefs and undercuts, outside and inside: plunged, side by side where the tool is narrower than the groove."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.cutting.said import near_end, said, stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import clear_of_carrier, end_free, held_firmly
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, basis, length_text
from benchleaf.operations.dials import collar
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Row, Say, Section, Steps, Table, Weight
from benchleaf.standards.speeds import feed as practice
from benchleaf.units import convert
from benchleaf.workshop.lathe import Slide, TopSlide
from benchleaf.workshop.tooling import GroovingTool
from benchleaf.workshop.values import Distance, Length, Origin, Speed, Text

__all__ = ["OPERATION", "Groove", "plan"]


@record
class Groove:
    """A groove: where it is, its width along the axis, the diameter at its bottom."""

    origin: Origin
    where: Text
    to: Text
    from_: Distance
    width: Length
    tool: Text | None
    speed: Speed | None


def plan(step: Groove, context: Context) -> Section | None:
    """The section of a grooving step, or None when its faults leave nothing true to print."""
    desk, work, side = context.desk(), context.work, step.where.value
    start = step.from_.value
    end = start + step.width.value
    size = read_size(step.to, side, context)
    sound = stock.not_parted(step.to, context) & stock.within_length(end, step.width, context)
    if side == "outside":
        holding.clears_cross_slide(context)
        sound &= holding.in_reach(end, step.width, context) & clear_of_carrier(end, step.width, context)
    else:
        sound &= end_free("the groove is cut in the bore", step.to, context)
    if size is None:
        return None
    sound &= stock.spares_finished(side, start, end, step.to, context, to=size.aim)
    sound &= stock.metal_there(side, start, end, size.aim, step.to, context)
    sound &= stock.wall_left(start, end, size.aim, step.to, context) if side == "inside" else _core_left(start, end, size, context)
    now = work.measure(side, start, end)
    mouth = None
    if side == "inside":
        mouth = stock.hole_to(
            Fraction(0),
            end,
            step.to,
            context,
            "nothing has made the hole that the groove is cut in",
            "put a `drill` or `bore` step before it",
        )
    depth = Fraction(0) if now is None else abs(now.value - size.aim) / 2
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.grooving_tools]
    tool = tools.find(
        step.tool,
        owned,
        lambda item: _unsuited(item, step, depth, end, mouth.value if mouth is not None else None, context),
        "grooving tools",
        step.to,
        context,
        best=lambda item: -item.width.value,
    )
    work.cut(side, start, end, size.aim, "groove", step.to)
    if now is None and side == "outside":
        stands_unknown(side, context, f"the groove is cut {side}")
    if now is None or tool is None or not sound or (side == "inside" and mouth is None):
        return None
    if side == "outside" and not held_firmly(context):
        return None
    size_figure(desk, size, "Bottom of the groove")
    desk.length("stock", "From", now.value, basis("the work as the steps before leave it", (now,), size.source), read_by="caliper")
    desk.length("depth", "Depth, on the radius", depth, basis("half the difference", ("size", "stock"), GEOMETRY), read_by="caliper")
    said(desk, "width", "Width", step.width)
    speed = spindle(desk, context, "parting", tool.cuts_with, max(now.value, size.aim), "stock", wish=step.speed)
    _feed(desk, tool, context)
    if speed is None:
        return None
    if not few_enough(ceil(step.width.value / tool.width.value), step.width.value, step.width, context):
        return None
    places = _plunges(start, step.width.value, tool.width.value)
    return section(
        context,
        "groove",
        f"Groove {side} to {step.to.value}",
        f"{step.width.text} wide{near_end(step.from_)}, with {tool.name.value}",
        _blocks(desk, step, tool, places, depth, context),
    )


def _core_left(start: Fraction, end: Fraction, size: Size, context: Context) -> bool:
    """Whether an outside groove leaves metal round the bore; False after an error."""
    bore = context.work.largest("inside", start, end)
    if bore is None or not bore.largest or bore.largest < size.aim:
        return True
    context.faults.error(
        "route/no-wall",
        f"a groove to {length_text(size.aim, context.system)} cuts through: the bore is {length_text(bore.largest, context.system)} there",
        size.at,
        hint="correct the size or the place",
        related=((bore.at, "the bore"),),
    )
    return False


def _unsuited(tool: GroovingTool, step: Groove, depth: Fraction, end: Fraction, mouth: Fraction | None, context: Context) -> str:
    system = context.system
    if tool.where.value != step.where.value:
        return f"it is for {tool.where.value} work"
    if tool.width.value > step.width.value:
        return f"it is {tool.width.text} wide, the groove {step.width.text}"
    if tool.largest_depth.value < depth:
        return f"it cuts {tool.largest_depth.text} deep, the groove is {length_text(depth, system, 'caliper')}"
    if tool.smallest_bore is not None and mouth is not None and tool.smallest_bore.value > mouth:
        return f"it needs a bore of {tool.smallest_bore.text}, and the hole is {length_text(mouth, system, 'caliper')}"
    if tool.reach is not None and step.where.value == "inside" and tool.reach.value < end:
        return f"it reaches {tool.reach.text}, the groove ends {length_text(end, system, 'rule')} deep"
    return ""


def _plunges(start: Fraction, width: Fraction, tool: Fraction) -> list[Fraction]:
    """Where the near edge of the tool stands for each plunge, mm from the face: the ends first, then evenly between, each overlapping."""
    if width == tool:
        return [start]
    last = start + width - tool
    between = -(-(width - tool) // tool) - 1  # plunges between the two ends, so that none stands more than a tool's width from the next
    step = (width - tool) / (between + 1)
    return [start, last, *(start + step * number for number in range(1, int(between) + 1))]


def _feed(desk: Desk, tool: GroovingTool, context: Context) -> None:
    found = practice("parting", "carbide" if tool.cuts_with.value == "carbide" else "HSS", "all")
    if found is None:
        return
    middle = convert((found.low + found.high) / 2, "mm", desk.unit)
    why = basis("middle of practice for a plunging tool, by hand", (tool.cuts_with, context.material.group), PRACTICE)
    desk.number(
        "feed",
        "Feed",
        middle,
        f"{desk.unit}/turn",
        f"{float(middle):.2f}" if desk.unit == "mm" else f"{float(middle):.4f}",
        why,
        also="by hand",
    )


def _along(farthest: Fraction, context: Context) -> Slide | TopSlide | None:
    """The slide whose dial places the tool ``farthest`` mm along the work: the top slide, set along the bed, as far as it travels, else
    the saddle; None where neither has a dial that does."""
    slides = context.lathe.slides
    return next((slide for slide in (slides.top_slide, slides.saddle) if slide is not None and farthest <= slide.travel.value), None)


def _blocks(desk: Desk, step: Groove, tool: GroovingTool, places: list[Fraction], depth: Fraction, context: Context) -> list[Block | None]:
    inside = step.where.value == "inside"
    cross = collar(context.lathe.slides.cross_slide.dial)
    reading = cross.at(depth, winding_out=inside)
    dial = context.lathe.slides.cross_slide.dial
    why = basis("depth to the nearest division, from the touch", ("depth", dial.division, dial.turn, dial.reads), PRACTICE)
    desk.number("last_dial", "Plunge to", reading.value, cross.unit, reading.in_words, why)
    steps = (
        Say("Tool square to the axis, on centre height, no longer out than the groove is deep."),
        Say("Touch, set the cross-slide's dial to zero; plunge to {last_dial} at each place, drawing back to clear chips."),
        Say(
            "Last: to the final reading at one end, along the bottom to the other, and out."
            if len(places) > 1
            else "Dwell two turns at the bottom, then out."
        ),
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Dial", desk.pick("last_dial"), Weight.SET),
        FigureGroup("Groove", desk.pick("size", "size_aim", "stock", "depth", "width", "feed"), Weight.WORK),
        Steps("Groove", steps),
        _places(desk, tool, places, context),
        Check(Say("Bottom {size}, width {width}; corners free of burrs.")),
        caution("bore") if inside else caution("tool_over"),
        FigureGroup("Background", desk.pick("cutting_speed", "speed_setting"), Weight.KNOW),
    ]


def _places(desk: Desk, tool: GroovingTool, places: list[Fraction], context: Context) -> Table:
    """Where the tool's near edge stands, from the front face, and what the dial of the slide that places it reads."""
    slide = _along(max(places) + tool.width.value, context)
    dial = collar(slide.dial) if slide is not None else None
    rows: list[Row] = []
    for number, place in enumerate(places, 1):
        at = length_text(place, context.system, "caliper").rsplit(" ", 1)[0]
        if dial is None:
            rows.append(Row((None, Fraction(number), convert(place, "mm", desk.unit)), ("", str(number), at)))
            continue
        reading = dial.at(place + tool.width.value)  # the edge that touched the face is the far one
        turns = reading.turns_shown
        rows.append(
            Row(
                (None, Fraction(number), Fraction(reading.turns), reading.value, convert(place, "mm", desk.unit)),
                ("", str(number), turns, reading.shown, at),
            )
        )
    why = basis("the ends of the groove, then steps no wider than the tool", ("width", tool.width), GEOMETRY)
    columns = [desk.column("done", "", "", why, "tick"), desk.column("plunge", "Plunge", "", why, "number")]
    if dial is not None and slide is not None:
        total = basis(
            "place + width of the tool, whose far edge touched the face; to the nearest division",
            (tool.width, slide.dial.division, slide.dial.turn),
            PRACTICE,
        )
        columns += [
            desk.column("turns", "Turns" if any(row.shown[2] for row in rows) else "", "", total, "text"),
            desk.column("dial", "Dial", dial.unit, total, "dial"),
        ]
    columns.append(desk.column("place", "Near edge", desk.unit, why, "number"))
    name = "top slide" if slide is context.lathe.slides.top_slide else "saddle"
    caption = (
        Say(f"{name.capitalize()} dial at zero with the edge nearer the headstock touching the face; always wind the same way.")
        if dial
        else Say("Near edge: from the front face to the edge of the tool nearer the tailstock, by caliper or rule.")
    )
    return Table("plunges", "Plunges", tuple(columns), tuple(rows), caption)


OPERATION = Operation(Groove, plan)
