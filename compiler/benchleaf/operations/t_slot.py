"""A T-slot on a shaper: the wings of its base undercut with tee slot tools, after the straight slot."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import size_figure
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.feeds import slide_dial
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, block, device, jaws_words, seated
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.t_slot_sizes import Asked, Sizes, read_sizes, words_of
from benchleaf.operations.shaping.t_slot_sketches import Tee, tee_sketch
from benchleaf.operations.shaping.t_slot_ways import plan_levels, plan_sides
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run
from benchleaf.operations.slot import Slot
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Distance, Length, Measure, Origin, StrokeRate, Text

__all__ = ["OPERATION", "TSlot", "needs", "plan"]


@record
class TSlot:
    """Undercut a straight slot to a T-slot, right through.  Sizes by the nominal throat ``size``, or one by one; ``across``: from the
    block's side to the near wall of the throat, None for in the middle."""

    origin: Origin
    size: Length | None
    throat: Text | None
    base_width: Text | None
    base_height: Text | None
    depth: Text | None
    across: Distance | None
    gripped: Text
    stroke: Length | None
    rate: StrokeRate | None


def needs(step: TSlot, context: Context) -> list[tuple[str, Any]]:
    """The straight slot, where there is none yet."""
    words = words_of(_asked(step))
    if _floor(context) is not None or "throat" not in words or "depth" not in words:
        return []
    front = Measure(Fraction(0), "mm", "0 mm", step.origin)
    width, depth = words["throat"], words["depth"]
    return [("slot", Slot(step.origin, width, depth, step.across, front, None, None, step.gripped, None, step.stroke, step.rate))]


def plan(step: TSlot, context: Context) -> Section | None:
    """The section of a T-slot, or None when its faults leave nothing true to print."""
    desk, sizes = context.desk(), read_sizes(_asked(step), context)
    there = block("the T-slot", step.origin.span, context)
    if sizes is None or there is None or not _fits(step, sizes, there, context):
        return None
    _clapper(sizes, context)
    right = _tool("right", sizes, None, context)
    left = None if right is None else _tool("left", sizes, right, context)
    held, sides = device(context), step.gripped.value == "sides"
    along: Value = context.work.overall or sizes.depth.at
    run = Run(context.work.end, along, End(), End())
    sits = seated(desk, held, _seat(step, sizes, there, context), there.height.value / 2, context)
    if right is None or left is None or not sits:
        return None
    stroke = plan_stroke(desk, context, run, right.cuts_with, step.stroke, step.rate, by_hand=True)
    levels = plan_levels(desk, context, sizes, right)
    if stroke is None or not levels:
        return None
    _figures(desk, context, sizes)
    strokes = plan_sides(desk, context, sizes, len(levels))
    page.tilt(desk, "undercut", context)
    page.estimate(desk, Fraction(strokes), stroke.rate, 2 * len(levels), ("rate", "wing_strokes"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "beside" if sides else "ends"
    drawings = (_tee(sizes, right, context), envelope(run, stroke, Scene(context.held.by.value, jaws), context.system))
    named = f"T-slot {step.size.text}" if step.size is not None else f"T-slot, throat {sizes.throat.at.value}"
    both = right.name.value if right is left else f"{right.name.value} and {left.name.value}"
    blocks = _blocks(desk, context, sides, run, drawings, levels, right, left)
    return section(context, "t_slot", named, f"the base undercut with {both}", blocks)


def _asked(step: TSlot) -> Asked:
    return Asked(step.origin, step.size, step.throat, step.base_width, step.base_height, step.depth)


def _floor(context: Context) -> Fraction | None:
    """How high the floor of the straight slot lies over the seat, mm; None where no slot goes from end to end."""
    slots = [item for item in context.work.shaped_over("outside", Fraction(0), context.work.end) if item.kind == "slot"]
    through = [item for item in slots if item.start <= 0 and item.end >= context.work.end]
    return through[-1].smallest if through else None


def _fits(step: TSlot, sizes: Sizes, there: Stock, context: Context) -> bool:
    """Whether the straight slot is there as it should be and the base stays inside the block; False after an error."""
    system, throat = context.system, sizes.throat.aim
    near = step.across.value if step.across is not None else (there.width.value - throat) / 2
    left = min(near, there.width.value - near - throat) - sizes.undercut
    at: Value = step.across if step.across is not None else sizes.base.at
    if left <= 0:
        context.faults.error(
            "t-slot/beyond-block",
            "the base breaks out at the side of the block"
            if left == 0
            else f"the base comes {length_text(-left, system, 'caliper')} beyond the side of the block",
            at,
            f"it goes {length_text(sizes.undercut, system, 'caliper')} under each lip",
            hint="a throat further from the side, a narrower base, or a wider block",
            related=((there.width, "the block's width"),),
        )
        return False
    floor = _floor(context)
    if floor is None:
        context.faults.error(
            "t-slot/no-slot", "there is no straight slot to undercut", step.origin.span,
            hint="a `slot` step before it, from end to end, or `missing-steps: plan`",
        )  # fmt: skip
        return False
    deep = there.height.value - floor
    low, high = sizes.depth.lower or sizes.depth.aim, sizes.depth.upper or sizes.depth.aim
    if low <= deep <= high:
        return True
    context.faults.error(
        "t-slot/slot-depth",
        f"the straight slot is {length_text(deep, system, 'caliper')} deep and the T-slot "
        f"{length_text(sizes.depth.aim, system, 'caliper')}",
        sizes.depth.at,
        hint="give both the same depth",
    )
    return False


def _clapper(sizes: Sizes, context: Context) -> None:
    locks = context.shaper.head.clapper_locks
    if not locks.value:
        context.faults.warning(
            "t-slot/clapper-free",
            f"the clapper of the {context.shaper.name.value} cannot be locked: on the return it lifts the tool's head into the lip",
            sizes.base.at,
            hint="pin or wedge the block fast for this step, and say `clapper-locks: true` in the shaper's file",
            note="common practice: the clapper is locked for undercuts",
            related=((locks, "the shaper's file"),),
        )


def _tool(side: str, sizes: Sizes, other: ShapingTool | None, context: Context) -> ShapingTool | None:
    """The tool for one side, with a head as high as the ``other``'s: both sides are cut at the same readings of the tool-head."""
    return tools.find(
        None,
        owned(context),
        lambda item: _unsuited(item, side, sizes, context) or _unlike(item, other),
        "shaping tools",
        sizes.base.at,
        context,
        best=lambda item: (item.cuts_to.value == "both", -(item.head_height.value if item.head_height is not None else Fraction(0))),
    )


def _unlike(tool: ShapingTool, other: ShapingTool | None) -> str:
    if tool.head_height is None or other is None or other.head_height is None or tool.head_height.value == other.head_height.value:
        return ""
    return f"its head is {tool.head_height.text} high, that of {other.name.value} {other.head_height.text}"


def _toe(tool: ShapingTool) -> Fraction:
    """How far the head stands out beside the neck, mm."""
    if tool.width is None or tool.neck is None:
        return Fraction(0)
    out = tool.width.value - tool.neck.value
    return out / 2 if tool.cuts_to.value == "both" else out


def _unsuited(tool: ShapingTool, side: str, sizes: Sizes, context: Context) -> str:
    system = context.system
    if tool.shape.value != "tee slot" or tool.width is None or tool.neck is None or tool.head_height is None:
        return "it is no tee slot tool of known `width`, `neck` and `head-height`"
    narrowest = sizes.throat.lower if sizes.throat.lower is not None else sizes.throat.aim
    highest = sizes.height.upper if sizes.height.upper is not None else sizes.height.aim
    if tool.cuts_to.value not in (side, "both"):
        return f"it cuts to the {tool.cuts_to.value}"
    if tool.width.value >= narrowest:
        return f"its head, {tool.width.text}, does not go down a throat of {length_text(narrowest, system)}"
    if _toe(tool) <= sizes.undercut:
        return (
            f"its head stands {length_text(_toe(tool), system, 'caliper')} out beside the neck, the base goes "
            f"{length_text(sizes.undercut, system, 'caliper')} under the lip"
        )
    if tool.head_height.value > highest:
        return f"its head is {tool.head_height.text} high, the base {length_text(highest, system)} at the most"
    if tool.largest_depth is not None and tool.largest_depth.value < sizes.depth.aim:
        return f"it goes {tool.largest_depth.text} deep, the slot {length_text(sizes.depth.aim, system, 'caliper')}"
    return ""


def _seat(step: TSlot, sizes: Sizes, there: Stock, context: Context) -> Seat:
    """Jaws beside the block may stand above the floor; those in the way of the stroke may not."""
    sides = step.gripped.value == "sides"
    between = there.width if sides or context.work.overall is None else context.work.overall
    lowest = there.height.value - (Fraction(0) if sides else sizes.depth.aim)
    face = "Top of the block above the jaws" if sides else "Bottom of the slot above the jaws"
    return Seat(there.height.value, lowest, None, between.value, between, sizes.depth.at, False, face)


def _figures(desk: Desk, context: Context, sizes: Sizes) -> None:
    size_figure(desk, sizes.throat, "Throat", "throat")
    size_figure(desk, sizes.base, "Base, wide", "base")
    size_figure(desk, sizes.height, "Base, high", "base_height")
    size_figure(desk, sizes.depth, "Depth", "depth")
    why = basis("(width of the base - throat) / 2", ("base_aim", "throat_aim"), GEOMETRY)
    desk.length("undercut", "Under each lip", sizes.undercut, why, read_by="caliper", rational=False)
    lip = basis("depth - height of the base", ("depth_aim", "base_height_aim"), GEOMETRY)
    desk.length("lip", "Lip left above the base", sizes.depth.aim - sizes.height.aim, lip, read_by="caliper")
    if sizes.named is not None:
        row = sizes.named
        across, high = (length_text(part, context.system, "caliper") for part in (row.head_width, row.head_height))
        why = basis("the bolt of this size", (sizes.throat.at,), source(row.source, row.status))
        desk.words("bolt", "Bolt that goes in", f"{row.bolt}, head {across} wide, {high} high", why)


def _tee(sizes: Sizes, tool: ShapingTool, context: Context) -> Block:
    def words(mm: Fraction) -> str:
        return length_text(mm, context.system, "caliper")

    head, neck, blade = (part.value if part is not None else Fraction(1) for part in (tool.width, tool.neck, tool.head_height))
    said = (words(sizes.throat.aim), words(sizes.base.aim), f"{words(sizes.height.aim)} high", f"{words(sizes.depth.aim)} deep")
    return tee_sketch(
        Tee(sizes.throat.aim, sizes.base.aim, sizes.height.aim, sizes.depth.aim, head, neck, blade, tool.cuts_to.value == "both", said)
    )  # fmt: skip


_SET = ("wing_dial", "side_feed")
_SIZES = ("throat", "throat_aim", "base", "base_aim", "base_height", "base_height_aim", "depth", "depth_aim", "undercut", "lip", "bolt")
_KNOW = ("wing_strokes",)


def _blocks(
    desk: Desk, context: Context, sides: bool, run: Run, drawings: tuple[Block, ...], levels: tuple[str, ...], right: ShapingTool,
    left: ShapingTool,
) -> list[Block | None]:  # fmt: skip
    vice = isinstance(device(context), Vice)
    grips = [Say(jaws_words(sides)), page.said("seating")] if vice else [Say("Clamps tight and low; a stop in front takes the push.")]
    one = len(levels) == 1
    places = "to {level_1}" if one else "to each reading in turn, lowest first"
    other = "The same tool to the left" if right is left else f"Tool {page.plain(left.name)} for the left"
    steps = [
        *grips,
        *page.set_ram(context, run),
        Say(f"Clapper box {desk['clapper'].shown}. Tool {page.plain(right.name)} square to the stroke."),
        Say("Touch the top of the block with the head's underside: tool-head's dial to zero."),
        Say(f"Head down the middle of the throat {places}; lock the tool slide."),
        Say("Table over until the toe drags thin paper on the throat's right wall; on by the paper's thickness, table's dial to zero."),
        Say(
            "A full stroke by hand: head clear of the work at both ends. Feed {side_feed} only at the back end of the return; "
            "chips out of the slot with the machine stopped."
        ),
        Say(f"Up to the last reading{'' if one else ', at every height'}. Table back until the toe is in the throat; tool up."),
        Say(f"{other}, wound the other way past its backlash: dial to zero at the left wall, and as before."),
    ]
    rule = Say(
        "Last reading = ({base_aim} less the throat) / 2, at each side, counted from its own wall; "
        "{wing_dial} if the throat is {throat_aim}."
    )
    unit = slide_dial(context.shaper.table.cross.dial).unit
    return [
        *page.groups(desk, _SIZES, (*levels, *_SET)),
        *drawings,
        Steps("Undercut", tuple(steps)),
        Box("throat_measured", "Throat, before the sides are cut", desk.unit, rule, 2),
        Box("last_reading", "Last reading, table", unit, Say("Wind onto it the way that it was fed, never back onto it."), 2),
        Check(Say("Lip {lip} at both ends of both sides; a bolt's head or a gauge block of {base} goes through from end to end.")),
        *page.cautions(context, vice=vice, clapper=False),
        FigureGroup("Background", desk.pick(*dict.fromkeys((*(name for name in page.BACKGROUND if name != "depth"), *_KNOW))), Weight.KNOW),
    ]


OPERATION = Operation(TSlot, plan, needs, on="shaper")
