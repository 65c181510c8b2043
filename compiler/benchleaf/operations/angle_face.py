"""A slanting face at the side of a block on a shaper: the tool-head swung, fed down its own slide, layers set by the table."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock as metal
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import length_text
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.flank import FIGURES, Flank, plan_flank, run_out
from benchleaf.operations.shaping.flank_sketches import face_sketch
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, block, device, jaws_words, seated
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run, choose
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.shaped import angular_face
from benchleaf.standards.shaping import fact
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Distance, Length, Origin, PositiveAngle, StrokeRate, Text

__all__ = ["OPERATION", "AngleFace", "plan"]


@record
class AngleFace:
    """Shape a slanting face from the top of a block down one side.  ``angle`` is that of the face to the block's base, ``height`` how far
    it comes down from the top, ``side`` 'left' or 'right' as the operator sees it."""

    origin: Origin
    angle: PositiveAngle
    height: Text
    side: Text
    from_: Distance
    length: Length | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def plan(step: AngleFace, context: Context) -> Section | None:
    """The section of a slanting face, or None when its faults leave nothing true to print."""
    desk, start, angle = context.desk(), step.from_.value, step.angle.value
    end = context.work.end if step.length is None else start + step.length.value
    sound = metal.within_length(end, step.length or step.height, context)
    size, there = read_size(step.height, "inside", context, "shaping"), block("the face", step.height, context, start, end)
    if size is None or there is None or not _in_block(step, size, angle, there, context):
        return None
    slope = angular_face(size.aim, angle).slide
    unsuited = partial(_unsuited, side=step.side.value, slope=slope, context=context)
    tool = tools.find(step.tool, owned(context), unsuited, "shaping tools", step.height, context)
    closed = End(Fraction(0), "the end of the face", step.length or step.from_)
    front, back = closed if start > 0 else End(), closed if end < context.work.end else End()
    run = choose(end - start, step.length or context.work.overall or step.height, front, back, context)
    held, sides = device(context), step.gripped.value == "sides"
    between = there.width if sides or context.work.overall is None else context.work.overall
    seat = Seat(
        there.height.value,
        there.height.value - size.aim - run_out(angle),
        None,
        between.value,
        between,
        step.height,
        False,
        "Lowest that the tool comes, above the jaws",
    )
    sits = seated(desk, held, seat, there.height.value / 2, context)
    context.work.shape("outside", start, end, there.height.value - size.aim, "angle-face", step.height)
    if tool is None or run is None or not sits or not sound:
        return None
    stroke = plan_stroke(desk, context, run, tool.cuts_with, step.stroke, step.rate, by_hand=True)
    if stroke is None:
        return None
    size_figure(desk, size, "Height of the face", "size")
    flank = plan_flank(desk, context, size.aim, step.angle, step.height, ("size_aim",), "Height of the face", open_below=True)
    if flank is None:
        return None
    _overhang(step, slope, context)
    page.tilt(desk, "angular", context)
    page.estimate(desk, Fraction(flank.strokes * flank.layers), stroke.rate, flank.layers, ("rate", "layer_strokes", "cuts"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "beside" if sides else "ends"
    drawings = (
        face_sketch(step.side.value, step.angle, size.aim, (there.width.value, there.height.value), context.system),
        envelope(run, stroke, Scene(context.held.by.value, jaws), context.system),
    )
    title = f"Slanting face on the {step.side.value}, {step.angle.text} to the base"
    blocks = _blocks(step, context, run, drawings, flank, tool)
    return section(context, "angle-face", title, f"{step.height.value} high, with {tool.name.value}", blocks)


def _in_block(step: AngleFace, size: Size, angle: Fraction, there: Stock, context: Context) -> bool:
    """Whether the face leaves block on its other side and under it; False after an error."""
    if angle >= 90:
        context.faults.error(
            "angle-face/angle",
            f"a face at {step.angle.text} to the base does not slant in from the side",
            step.angle,
            hint="a face upright to the base is a step: `slot` with `across: 0 mm`; one that hangs over is a dovetail's",
        )
        return False
    wide = size.aim / tan_degrees(angle)
    if wide < there.width.value and size.aim < there.height.value:
        return True
    across = wide >= there.width.value
    reach = length_text(wide if across else size.aim, context.system, "caliper")
    context.faults.error(
        "angle-face/beyond-block",
        f"the face comes {reach} {'across' if across else 'down'}, and the block is {(there.width if across else there.height).text} "
        f"{'wide' if across else 'high'}",
        step.height,
        hint="a lower face, or a steeper one" if across else "a lower face",
        related=((there.width if across else there.height, "the block"),),
    )
    return False


def _unsuited(tool: ShapingTool, side: str, slope: Fraction, context: Context) -> str:
    if tool.shape.value != f"{side}-hand side":
        return f"it is no {side}-hand side tool, and the face is on the {side}"
    if tool.largest_depth is not None and tool.largest_depth.value < slope:
        return f"it goes {tool.largest_depth.text} deep, and the face is {length_text(slope, context.system, 'caliper')} down its slant"
    return ""


def _overhang(step: AngleFace, slope: Fraction, context: Context) -> None:
    """Warn where the clapper box would come down onto the top before the tool is at the foot."""
    rule = fact("tool_overhang")
    if slope > rule.high:
        context.faults.warning(
            "angle-face/long-overhang",
            f"the face is {length_text(slope, context.system, 'caliper')} down its slant, farther than a tool commonly stands out "
            "below the clapper box",
            step.height,
            f"{length_text(rule.high, context.system, 'caliper')} at the most",
            hint="set the block up on the slant in the vice, and shape the face level",
            note=f"{rule.about}: {rule.source} ({rule.status})",
        )


_KNOW = ("layer_strokes", "finish_cut", "cuts", "depth", "layer", "slide_travel")


def _blocks(
    step: AngleFace, context: Context, run: Run, drawings: tuple[Block, ...], flank: Flank, tool: ShapingTool
) -> list[Block | None]:
    desk, vice, side = flank.desk, isinstance(device(context), Vice), step.side.value
    grips = (
        [Say(jaws_words(step.gripped.value == "sides")), page.said("seating")]
        if vice
        else [Say("Clamps tight and low; a stop in front takes the push.")]
    )
    steps = [
        *grips,
        *page.set_ram(context, run),
        Say(
            f"Tool-head swung {{swing}}, so that its slide runs down towards the {side}; clamp it, "
            "and prove it with a protractor on the slide."
        ),
        Say(f"Tool {page.plain(tool.name)} with its edge to the face, out of the block by more than the length of the slant."),
        Say(f"Clapper box: {desk['clapper'].shown}: here its top to the {side}."),
        Say("Tool-slide up; table towards the tool until the moving tool just marks the top corner: table's dial to zero."),
        Say("Each layer: table to its reading, locked; down the slide by {down_feed} at each return until it runs out at the foot."),
        Say("Measure where {before_last} left it; fill in the last reading; last layer with the finest feed.")
        if "before_last" in desk
        else Say("Measure; fill in the one reading; down the slide with the finest feed."),
    ]
    rule = Say(
        "Last reading = reading now + ({size_aim} less the height it measures) x {table_for_height}. "
        "One division is {dial_worth}. In doubt leave the face short of its height: it can be cut again, nothing is put back."
    )
    return [
        *page.groups(desk, ("size", "size_aim"), ("swing",)),
        *drawings,
        Steps("Shape", tuple(steps)),
        flank.table,
        Box(
            "measured",
            "Height of the face, before the last cut",
            desk.unit,
            rule,
            2,
            down_sum(desk, flank.dial, "size", times=tan_degrees(step.angle.value), grows=True, wind="Table on by"),
        ),
        Box("last_reading", "Last reading of the table", flank.dial.unit, Say("Wind on to it; lock the table."), 1),
        Check(Say(f"{step.angle.text} by the protractor at both ends; {{size}} down from the top at both ends.")),
        Check(page.said("head returned")),
        *page.cautions(context, vice=vice),
        FigureGroup(
            "Background", desk.pick(*dict.fromkeys((*(name for name in page.BACKGROUND if name != "depth"), *_KNOW, *FIGURES))), Weight.KNOW
        ),
    ]


OPERATION = Operation(AngleFace, plan, on="shaper")
