"""The flanks of a dovetail on a shaper, a slot's or a tail's: both undercut with the head swung, the second to a size over rollers."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock as metal
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import GEOMETRY, Desk, basis, length_text, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.flank import FIGURES, Flank, plan_flank
from benchleaf.operations.shaping.flank_sketches import dovetail_sketch
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, block, device, jaws_words, seated
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run, choose
from benchleaf.operations.slot import Slot
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.fits import SizeFault, sized
from benchleaf.standards.shaped import (
    OVER_ROLLERS,
    between_rollers,
    dovetail_top,
    largest_roller,
    over_rollers,
    smallest_roller,
)
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Length, Measure, Origin, PositiveAngle, StrokeRate, Text, Word

__all__ = ["OPERATION", "Dovetail", "needs", "plan"]

_LEAVE = Fraction(1, 2)  # mm that the planned mouth of a slot is narrower, or the top of a tail wider; common practice


@record
class Dovetail:
    """Undercut the flanks of a slot ('inside') or of a tail ('outside') that runs the whole length of a block.  ``width`` is between the
    sharp corners at the bottom: the wide width of a slot, the narrow one of a tail; ``depth`` is that of both flanks."""

    origin: Origin
    where: Text
    angle: PositiveAngle
    depth: Length
    width: Text
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def needs(step: Dovetail, context: Context) -> list[tuple[str, Any]]:
    """The slot as wide as the mouth, or a step at both sides of a tail, where nothing was shaped yet."""
    corners, block, inside = sized(step.width.value), context.work.blank.width, step.where.value == "inside"
    before = context.work.shaped_over("outside", Fraction(0), context.work.end)
    if isinstance(corners, SizeFault) or block is None or step.angle.value >= 90 or any(item.kind == "slot" for item in before):
        return []
    top = dovetail_top(corners.nominal, -step.depth.value if inside else step.depth.value, step.angle.value)
    wide = top - _LEAVE if inside else (block.value - top - _LEAVE) / 2
    if wide < 1:
        return []
    tenths = Fraction(int(wide * 10), 10)
    origin = Origin(step.width.origin.path, step.width.origin.span, words="from the sizes of the dovetail")
    width, depth = Word(f"{fixed(tenths, 1)} mm", origin), Word(step.depth.text, step.depth.origin)
    front = Measure(Fraction(0), "mm", "0 mm", origin)
    far = Measure(block.value - tenths, "mm", f"{fixed(block.value - tenths, 2)} mm", origin)
    return [
        ("slot", Slot(step.origin, width, depth, across, front, None, None, step.gripped, None, step.stroke, step.rate))
        for across in ((None,) if inside else (front, far))
    ]


def plan(step: Dovetail, context: Context) -> Section | None:
    """The section of a dovetail, or None when its faults leave nothing true to print."""
    desk, inside, angle, depth = context.desk(), step.where.value == "inside", step.angle.value, step.depth.value
    size, there = read_size(step.width, step.where.value, context, "shaping"), block("the dovetail", step.width, context)
    if size is None or there is None:
        return None
    if angle >= 90:
        context.faults.error(
            "dovetail/no-mouth",
            f"flanks at {step.angle.text} to the base undercut nothing",
            step.angle,
            hint="55 and 60 degrees are usual; upright walls are a `slot`",
        )
        return None
    sound = metal.within_length(context.work.end, step.width, context)
    top = dovetail_top(size.aim, -depth if inside else depth, angle)
    if not _in_block(step, size, top, there, context):
        return None
    before = context.work.shaped_over("outside", Fraction(0), context.work.end)
    if not any(item.kind == "slot" for item in before):
        context.faults.warning(
            "dovetail/no-slot",
            "nothing was shaped before whose upright walls could be undercut",
            step.where,
            hint="shape the slot first (`slot`); for a tail a step at either side (`slot` with `across`)",
        )
    tool = tools.find(step.tool, owned(context), lambda item: _unsuited(item, step), "shaping tools", step.angle, context)
    roller = _roller(step, context)
    run = choose(context.work.end, context.work.overall or step.width, End(), End(), context)
    held, sides = device(context), step.gripped.value == "sides"
    between = there.width if sides or context.work.overall is None else context.work.overall
    lowest = there.height.value - (Fraction(0) if inside and sides else depth)
    face = "Top of the block above the jaws" if inside and sides else "Foot of the flanks above the jaws"
    seat = Seat(there.height.value, lowest, None, between.value, between, step.depth, False, face)
    sits = seated(desk, held, seat, there.height.value / 2, context)
    context.work.shape("outside", Fraction(0), context.work.end, there.height.value - depth, "dovetail", step.depth)
    if tool is None or roller is None or run is None or not sits or not sound:
        return None
    stroke = plan_stroke(desk, context, run, tool.cuts_with, step.stroke, step.rate, by_hand=True)
    if stroke is None:
        return None
    size_figure(desk, size, "Between the sharp corners at the bottom", "corners")
    _rollers(desk, step, size, roller)
    why = basis(f"width at the bottom {'-' if inside else '+'} 2 x depth / tan(angle)", ("corners_aim", step.depth, step.angle), GEOMETRY)
    desk.length("top", "Mouth of the slot" if inside else "Top of the tail", top, why, read_by="caliper", rational=False)
    flank = plan_flank(desk, context, depth, step.angle, step.depth, (step.depth,), "Up the wall", open_below=False)
    if flank is None:
        return None
    ends = flank.dial.at(depth / tan_degrees(angle))
    turns = f"{ends.turns} turn{'s' if ends.turns > 1 else ''} + " if ends.turns else ""
    desk.number(
        "first_flank", "First flank, last reading", ends.value, flank.dial.unit, f"{turns}{ends.shown}",
        basis("depth / tan(angle), to a division of the table's dial", ("depth",), GEOMETRY),
    )  # fmt: skip
    page.tilt(desk, "angular", context)
    page.estimate(desk, Fraction(2 * flank.strokes * flank.layers), stroke.rate, 2 * flank.layers, ("rate", "layer_strokes", "cuts"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "beside" if sides else "ends"
    drawings = (
        dovetail_sketch(step.angle, step.depth, size.aim, top, roller, _over(inside)(size.aim, roller.value, angle), context.system),
        envelope(run, stroke, Scene(context.held.by.value, jaws), context.system),
    )
    what = "Dovetail slot" if inside else "Dovetail tail"
    title = f"{what}, {step.angle.text}, {step.depth.text} deep"
    return section(context, "dovetail", title, f"both flanks, with {tool.name.value}", _blocks(step, context, run, drawings, flank, tool))


def _in_block(step: Dovetail, size: Size, top: Fraction, there: Stock, context: Context) -> bool:
    """Whether the dovetail closes and lies within the block; False after an error."""
    inside = step.where.value == "inside"
    if top <= 0 or size.aim <= 0:
        context.faults.error(
            "dovetail/no-mouth",
            f"flanks at {step.angle.text} that are {step.depth.text} deep leave no mouth over {step.width.value}",
            step.width,
            hint="a wider dovetail, a shallower one, or a larger angle of the flanks to the base (55 and 60 degrees are usual)",
        )
        return False
    widest = size.aim if inside else top
    if widest < there.width.value and step.depth.value < there.height.value:
        return True
    deep = step.depth.value >= there.height.value
    context.faults.error(
        "dovetail/beyond-block",
        f"the dovetail is {length_text(step.depth.value if deep else widest, context.system, 'caliper')} {'deep' if deep else 'wide'}, and "
        f"the block {(there.height if deep else there.width).text}",
        step.depth if deep else step.width,
        hint="a smaller dovetail, or a larger block",
        related=((there.height if deep else there.width, "the block"),),
    )
    return False


def _unsuited(tool: ShapingTool, step: Dovetail) -> str:
    if tool.shape.value != "dovetail" or tool.angle is None:
        return "it is no dovetail tool of a known nose angle"
    if tool.angle.value >= step.angle.value:
        return f"its nose is {tool.angle.text}, and only a sharper one than {step.angle.text} goes into the corner"
    if tool.largest_depth is not None and tool.largest_depth.value < step.depth.value:
        return f"it goes {tool.largest_depth.text} deep, the flanks {step.depth.text}"
    return ""


def _roller(step: Dovetail, context: Context) -> Length | None:
    """The largest pair of rollers owned that lies against the flanks and can be measured over; None after an error."""
    depth, angle, inside = step.depth.value, step.angle.value, step.where.value == "inside"
    most = largest_roller(depth, angle)
    least = Fraction(0) if inside else smallest_roller(depth, angle)
    owned_ = [pin for drawer in context.inputs.toolings for wires in drawer.wires for pin in wires.diameters]
    fits = [pin for pin in owned_ if least < pin.value <= most]
    if fits:
        return max(fits, key=lambda pin: pin.value)
    low, high = (length_text(end, context.system, "caliper") for end in (least, most))
    context.faults.error(
        "dovetail/no-roller",
        f"no rollers that are owned lie against the flanks: between {low} and {high} would do",
        step.depth,
        hint="two pieces of ground rod or two drill shanks of one size; enter them under `wires` in a drawer",
    )
    return None


def _over(inside: bool) -> Callable[[Fraction, Fraction, Fraction], Fraction]:
    return between_rollers if inside else over_rollers


def _rollers(desk: Desk, step: Dovetail, size: Size, roller: Length) -> None:
    inside, angle = step.where.value == "inside", step.angle.value
    over = _over(inside)
    limits = None if size.limits is None else (over(size.limits.lower, roller.value, angle), over(size.limits.upper, roller.value, angle))
    desk.length(
        "roller", "Rollers", roller.value, basis("the largest owned that lie against the flanks below their top", (roller,), GEOMETRY)
    )
    formula = OVER_ROLLERS.formula if not inside else OVER_ROLLERS.formula.replace("+ roller", "- roller")
    why = basis(formula, ("corners_aim", "roller", step.angle), source(OVER_ROLLERS.source, OVER_ROLLERS.status))
    aim = over(size.aim, roller.value, angle)
    words = "Between the rollers" if inside else "Over the rollers"
    desk.length("size", words, aim, why, rational=False, limits=limits)
    desk.length("size_aim", "Aim at", aim, basis("where the width aims", ("size",), GEOMETRY), rational=False)


_KNOW = ("corners_aim", "layer_strokes", "finish_cut", "cuts", "depth", "layer", "slide_travel")


def _blocks(step: Dovetail, context: Context, run: Run, drawings: tuple[Block, ...], flank: Flank, tool: ShapingTool) -> list[Block | None]:
    desk, inside, vice = flank.desk, step.where.value == "inside", isinstance(device(context), Vice)
    grips = (
        [Say(jaws_words(step.gripped.value == "sides")), page.said("seating")]
        if vice
        else [Say("Clamps tight and low; a stop in front takes the push.")]
    )
    first = "right" if inside else "left"
    straight = f"a slot of {{top}} wide, {step.depth.text} deep" if inside else f"a tongue of {{top}} wide, {step.depth.text} high"
    steps = [
        Say(f"Before this there is {straight}, its walls upright."),
        *grips,
        *page.set_ram(context, run),
        Say(
            f"Tool-head swung {{swing}}, so that its slide runs down towards the {first}: "
            "that is for the right flank. Prove it with a protractor."
        ),
        Say(
            f"Tool {page.plain(tool.name)}, or the other hand of it, its nose sharper than the corner; "
            f"clapper box: {desk['clapper'].shown}."
        ),
        Say("Tool's point down to the bottom beside the wall; table on until it drags thin paper, on by the paper: table's dial to zero."),
        Say("Each layer: tool up the flank, table to its reading, locked; down the slide by {down_feed} at each return to the bottom."),
        Say("First flank to {first_flank}. Head swung as far to the other side, the other hand of tool, zero anew at the other wall."),
        Say("Second flank to {before_last}; burrs off, rollers in, measure, fill in the last reading.")
        if "before_last" in desk
        else Say("Second flank: rollers in, measure, fill in the one reading."),
    ]
    know = dict.fromkeys((*(name for name in page.BACKGROUND if name != "depth"), *_KNOW, *FIGURES))
    rule = Say(
        "Last reading = reading now + ({size_aim} less what it measures). In doubt leave the mouth tight."
        if inside
        else "Last reading = reading now + (what it measures less {size_aim}). In doubt leave the tail wide."
    )
    return [
        *page.groups(desk, ("roller", "size", "size_aim", "corners", "top"), ("swing", "first_flank")),
        *drawings,
        Steps("Shape", tuple(steps)),
        flank.table,
        Box(
            "measured", f"{'Between' if inside else 'Over'} the rollers, before the last cut", desk.unit, rule, 2,
            down_sum(desk, flank.dial, "size", grows=inside, wind="Table on by"),
        ),
        Box("last_reading", "Last reading of the table", flank.dial.unit, Say("Wind on to it; lock the table."), 1),
        Check(Say("{size} at both ends: a difference is the vice out of line with the stroke.")),
        Check(page.said("head returned")),
        *page.cautions(context, vice=vice),
        FigureGroup("Background", desk.pick(*know), Weight.KNOW),
    ]  # fmt: skip


OPERATION = Operation(Dovetail, plan, needs, on="shaper")
