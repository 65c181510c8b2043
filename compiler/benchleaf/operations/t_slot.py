"""The wings of a T-slot on a shaper: a straight slot undercut to either side, level by level, with the clapper locked."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import GEOMETRY, OWNER, Desk, Value, basis, length_text, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.feeds import cross_feed, slide_dial, strokes_over
from benchleaf.operations.shaping.flank_sketches import tee_sketch
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, device, jaws_words, seated, stock
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run, choose
from benchleaf.operations.work import FAR
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.shaping import TSlot, t_slot
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Length, Origin, StrokeRate, Text

__all__ = ["OPERATION", "TeeSlot", "plan"]


@record
class TeeSlot:
    """Undercut a straight slot that runs the whole length of a block to a T-slot.  ``width`` and ``height`` are those of the wide part,
    ``depth`` that of the whole; None for what the standard has for the throat."""

    origin: Origin
    throat: Length
    width: Text | None
    height: Text | None
    depth: Text | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


@record
class _Sizes:
    """Width and height of the wide part and depth of the whole, mm."""

    width: Fraction
    height: Fraction
    depth: Fraction


def plan(step: TeeSlot, context: Context) -> Section | None:
    """The section of a T-slot, or None when its faults leave nothing true to print."""
    desk, throat = context.desk(), step.throat.value
    there, sizes = _block(step, context), _sizes(desk, step, context)
    if there is None or sizes is None or not _sound(step, sizes, there, context):
        return None
    wing = (sizes.width - throat) / 2
    tool = tools.find(
        step.tool, owned(context), lambda item: _unsuited(item, step, sizes, wing, context), "shaping tools", step.throat, context
    )
    run = choose(context.work.end, context.work.overall or step.throat, End(), End(), context)
    held, sides = device(context), step.gripped.value == "sides"
    between = there.width if sides or context.work.overall is None else context.work.overall
    lowest = there.height.value - (Fraction(0) if sides else sizes.depth)
    face = "Top of the block above the jaws" if sides else "Bottom of the slot above the jaws"
    sits = seated(
        desk,
        held,
        Seat(there.height.value, lowest, None, between.value, between, step.throat, False, face),
        there.height.value / 2,
        context,
    )
    context.work.shape("outside", Fraction(0), context.work.end, there.height.value - sizes.depth, "t-slot", step.throat)
    if tool is None or tool.head_height is None or run is None or not sits:
        return None
    stroke, feed = plan_stroke(desk, context, run, tool.cuts_with, step.stroke, step.rate), cross_feed(desk, context, "finishing")
    levels = _levels(desk, context, step, sizes, tool.head_height.value)
    if stroke is None or feed is None or not levels:
        return None
    _wing(desk, context, wing)
    page.tilt(desk, "undercut", context)
    strokes = strokes_over(wing, feed, 0)
    desk.number(
        "strokes_fine", "Strokes of a wing, each level", Fraction(strokes), "", str(strokes),
        basis("wing / feed, rounded up, + 1", ("wing", "finishing_feed"), GEOMETRY),
    )  # fmt: skip
    page.estimate(desk, Fraction(2 * strokes * len(levels)), stroke.rate, 2 * len(levels), ("rate", "strokes_fine"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "beside" if sides else "ends"
    drawing = tee_sketch(step.throat, sizes.width, sizes.height, sizes.depth, context.system)
    drawings = (drawing, envelope(run, stroke, Scene(context.held.by.value, jaws), context.system))
    title = f"T-slot for {step.throat.text}: both wings"
    blocks = _blocks(step, context, desk, run, drawings, levels, tool)
    return section(context, "t-slot", title, f"clapper locked, with {tool.name.value}", blocks)


def _block(step: TeeSlot, context: Context) -> Stock | None:
    """The block; None after an error."""
    if context.work.end == FAR:
        context.faults.error(
            "blank/unstated", "the slot goes along the work, and its length is not known", context.work.blank.origin.span,
            hint="add `length` to `blank`",
        )  # fmt: skip
        return None
    there = stock(Fraction(0), context.work.end, context)
    if there is not None and there.round:
        context.faults.error(
            "t-slot/not-a-block", "a T-slot is shaped along a block, and the work is a round", step.throat,
            hint="give the blank `width` and `height`", related=((there.height, "the round"),),
        )  # fmt: skip
        return None
    return there


def _sizes(desk: Desk, step: TeeSlot, context: Context) -> _Sizes | None:
    """What the job says, else the standard; written down as ``width``, ``height`` and ``whole``.  None after an error."""
    known = t_slot(step.throat.value)
    found: list[Fraction] = []
    for name, label, said, of in (
        ("width", "Width of the wide part", step.width, "width"),
        ("height", "Height of the wide part", step.height, "height"),
        ("whole", "Whole depth", step.depth, "depth"),
    ):
        size = None if said is None else read_size(said, "inside", context, "shaping")
        if said is not None and size is None:
            return None
        if size is None and known is None:
            context.faults.error(
                "t-slot/no-size", f"no standard T-slot has a throat of {step.throat.text}, and the job gives no {of}", step.throat,
                hint="give `width`, `height` and `depth`, or take a throat of the standard: 8, 10, 12, 14 or 18 mm",
            )  # fmt: skip
            return None
        found.append(_written(desk, name, label, size, known, of, step))
    return _Sizes(*found)


def _written(desk: Desk, name: str, label: str, size: Size | None, known: TSlot | None, of: str, step: TeeSlot) -> Fraction:
    if size is not None:
        size_figure(desk, size, label, name)
        return size.aim
    assert known is not None, "asked before"
    low, high = getattr(known, of)
    aim: Fraction = (low + high) / 2
    by = source(known.source, known.status)
    desk.length(name, label, aim, basis("as the standard has it for the throat", (step.throat,), by), limits=(low, high))
    desk.length(f"{name}_aim", "Aim at", aim, basis("middle of the limits", (name,), by))
    return aim


def _sound(step: TeeSlot, sizes: _Sizes, there: Stock, context: Context) -> bool:
    """Whether there is a wing, a lip, and block around it all; False after an error."""
    throat = step.throat.value
    if sizes.width <= throat or sizes.height >= sizes.depth:
        narrow = sizes.width <= throat
        words = "the wide part is no wider than the throat" if narrow else "the wide part is as high as the whole slot: no lip is left"
        hint = "look at `throat`, `width`, `height` and `depth`: the lip is depth less height"
        context.faults.error("t-slot/no-lip", words, (step.width if narrow else step.height) or step.throat, hint=hint)
        return False
    if not context.shaper.head.clapper_locks.value:
        context.faults.error(
            "t-slot/clapper",
            f"an undercut wants the clapper locked, and that of the {context.shaper.name.value} does not lock",
            step.throat,
            hint="mill it, or fit a block that holds the clapper and say so in the shaper's file (`clapper-locks: true` under `head`)",
        )
        return False
    if not any(item.kind == "slot" for item in context.work.shaped_over("outside", Fraction(0), context.work.end)):
        context.faults.warning(
            "t-slot/no-slot", "no straight slot was shaped before that could be undercut", step.throat,
            hint="shape it first (`slot`), as wide as the throat and to the whole depth",
        )  # fmt: skip
    if sizes.width < there.width.value and sizes.depth < there.height.value:
        return True
    wide = sizes.width >= there.width.value
    large = length_text(sizes.width if wide else sizes.depth, context.system, "caliper")
    limit = (there.width if wide else there.height).text
    context.faults.error(
        "t-slot/beyond-block",
        f"the T-slot is {large} {'wide' if wide else 'deep'}, and the block {limit}",
        step.throat,
        hint="a smaller T-slot, or a larger block",
        related=((there.width if wide else there.height, "the block"),),
    )
    return False


def _unsuited(tool: ShapingTool, step: TeeSlot, sizes: _Sizes, wing: Fraction, context: Context) -> str:
    if tool.shape.value != "tee slot" or tool.width is None or tool.reach is None or tool.head_height is None:
        return "it is no tee slot tool whose head (`width`, `head-height`) and `reach` are known"
    system = context.system
    if tool.width.value >= step.throat.value:
        return f"its head is {tool.width.text} wide, and the throat {step.throat.text}"
    if tool.reach.value < wing:
        return f"it reaches {tool.reach.text} under the lip, and the wing is {length_text(wing, system, 'caliper')}"
    if tool.head_height.value > sizes.height:
        return f"its head is {tool.head_height.text} high, the wide part {length_text(sizes.height, system, 'caliper')}"
    if tool.largest_depth is not None and tool.largest_depth.value < sizes.depth:
        return f"it goes {tool.largest_depth.text} deep, the slot {length_text(sizes.depth, system, 'caliper')}"
    return ""


def _levels(desk: Desk, context: Context, step: TeeSlot, sizes: _Sizes, head: Fraction) -> tuple[str, ...]:
    """Write down where the tool-head stands at each level, from the bottom up; nothing after an error."""
    count = ceil(sizes.height / head)
    if not few_enough(count, sizes.height, step.throat, context):
        return ()
    if sizes.depth > context.shaper.head.travel.value:
        context.faults.error(
            "shaping/slide-travel",
            f"the head goes {length_text(sizes.depth, context.system, 'caliper')} down, and the tool slide travels "
            f"{context.shaper.head.travel.text}",
            step.throat,
            hint="raise the table for the rest, in a second step",
            related=((context.shaper.head.travel, "its travel"),),
        )
        return ()
    dial, names = slide_dial(context.shaper.head.dial), []
    rise = sizes.height - head
    inputs: tuple[Value | str, ...] = ("whole_aim", "height_aim", context.shaper.head.dial.division)
    for number in range(count):
        reading, name = dial.at(sizes.depth - (rise * number / (count - 1) if count > 1 else 0)), f"level_{number + 1}"
        turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
        label = "Tool-head" if count == 1 else f"Tool-head: level {number + 1} of {count}"
        formula = "whole depth, less this level's share of what the wide part is higher than the tool's head; to a division"
        desk.number(name, label, reading.value, dial.unit, f"{turns}{reading.shown}", basis(formula, inputs, GEOMETRY))
        names.append(name)
    desk.length(
        "dial_worth", "One division of the tool-head", dial.division,
        basis("as the profile says", (context.shaper.head.dial.division,), OWNER),
    )  # fmt: skip
    return tuple(names)


def _wing(desk: Desk, context: Context, wing: Fraction) -> None:
    dial = slide_dial(context.shaper.table.cross.dial)
    reading = dial.at(wing)
    turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
    desk.length("wing", "Each wing", wing, basis("(width - throat) / 2", ("width_aim",), GEOMETRY), read_by="caliper")
    why = basis("the wing, to a division of the table's dial", ("wing", context.shaper.table.cross.dial.division), GEOMETRY)
    desk.number("wing_dial", "Table, from the wall", reading.value, dial.unit, f"{turns}{reading.shown}", why)


def _blocks(
    step: TeeSlot, context: Context, desk: Desk, run: Run, drawings: tuple[Block, ...], levels: tuple[str, ...], tool: ShapingTool
) -> list[Block | None]:
    vice = isinstance(device(context), Vice)
    grips = (
        [Say(jaws_words(step.gripped.value == "sides")), page.said("seating")]
        if vice
        else [Say("Clamps tight and low; a stop in front takes the push.")]
    )
    steps = [
        Say(f"Before this there is a straight slot, {step.throat.text} wide and {{whole}} deep."),
        *grips,
        *page.set_ram(context, run),
        Say(f"Tool {page.plain(tool.name)} square to the stroke; clapper box {desk['clapper'].shown}."),
        Say("Edge onto the top of the block: tool-head's dial to zero. Ram drawn back, tool outside the slot, down to {level_1}."),
        Say("Into the slot by hand; table until the moving edge marks the wall: table's dial to zero."),
        Say("Table on by {finishing_notches} at each return, tool outside the slot, to {wing_dial}; never lift the tool inside."),
        *([Say("The other levels one after the other, from the bottom up.")] if len(levels) > 1 else []),
        Say("The other wing with the other hand of tool, from the other wall, to the same readings."),
    ]
    know = dict.fromkeys((*page.BACKGROUND, "wing", "finishing_feed"))
    return [
        *page.groups(desk, ("width", "width_aim", "height", "height_aim", "whole", "whole_aim"), (*levels, "wing_dial")),
        *drawings,
        Steps("Shape", tuple(steps)),
        Check(Say("{width} wide and {height} high at both ends; a bolt's head slides through without binding.")),
        Check(Say("Lip alike on both sides: the same depth from the top to the wings.")),
        *page.cautions(context, vice=vice, clapper=False),
        caution("internal_shape"),
        FigureGroup("Background", desk.pick(*know), Weight.KNOW),
    ]


OPERATION = Operation(TeeSlot, plan, on="shaper")
