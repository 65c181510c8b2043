"""A slot or a step in the top of a block on a shaper, straight down with a square-nosed tool."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock as metal
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.feeds import slide_dial
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, block, device, jaws_words, seated
from benchleaf.operations.shaping.slot import Slot as Down
from benchleaf.operations.shaping.slot import plan_slot
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run, choose
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Distance, Length, Origin, StrokeRate, Text

__all__ = ["OPERATION", "Slot", "plan"]


@record
class Slot:
    """Shape a slot into the top of a block.  ``across``: from the block's side to the near wall, None for in the middle; ``runs_into``:
    length of the hole or groove that it ends in, where it does not run out at the end of the block."""

    origin: Origin
    width: Text
    depth: Text
    across: Distance | None
    from_: Distance
    length: Length | None
    runs_into: Length | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def plan(step: Slot, context: Context) -> Section | None:
    """The section of a slot, or None when its faults leave nothing true to print."""
    desk, start = context.desk(), step.from_.value
    end = context.work.end if step.length is None else start + step.length.value
    sound = metal.within_length(end, step.length or step.width, context)
    width, depth = read_size(step.width, "inside", context, "shaping"), read_size(step.depth, "inside", context, "shaping")
    there = block("the slot", step.width, context, start, end)
    if width is None or depth is None or there is None:
        return None
    near = step.across.value if step.across is not None else (there.width.value - width.aim) / 2
    if not _in_block(step, width, depth, near, there, context):
        return None
    tool = tools.find(
        step.tool, owned(context), lambda item: _unsuited(item, width, depth, context), "shaping tools", step.width, context,
        best=lambda item: -(item.width.value if item.width is not None else Fraction(0)),
    )  # fmt: skip
    at: Value = step.length or context.work.overall or step.width
    run = choose(end - start, at, *_ends(step, start, end, context), context)
    held, sides = device(context), step.gripped.value == "sides"
    is_step = near == 0 or near + width.aim == there.width.value
    sits = seated(desk, held, _seat(step, there, depth, is_step, context), there.height.value / 2, context)
    context.work.shape("outside", start, end, there.height.value - depth.aim, "slot", step.depth)
    if tool is None or tool.width is None or run is None or not sits or not sound:
        return None
    stroke = plan_stroke(desk, context, run, tool.cuts_with, step.stroke, step.rate, by_hand=True)
    if stroke is None:
        return None
    size_figure(desk, depth, "Depth", "size")
    size_figure(desk, width, "Width", "width")
    places = _places(desk, context, step, width, near, there, tool)
    desk.length("depth", "Down, from the touch-off", depth.aim, basis("depth from the top", ("size_aim",), GEOMETRY), read_by="caliper")
    down = plan_slot(desk, context, depth.aim, Fraction(0), step.depth, (Fraction(0), -1), "Depth", "")
    if not places or down is None:
        return None
    page.tilt(desk, "slot", context)
    count = len(places)
    page.estimate(desk, Fraction(down.strokes * count), stroke.rate, 2 * count, ("rate", "slot_strokes"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "beside" if sides else "ends"
    drawing = envelope(run, stroke, Scene(context.held.by.value, jaws), context.system)
    what = "Step" if is_step else "Slot"
    long = f"{step.length.text} long" if step.length is not None else "right through"
    title = f"{what} {step.width.value} wide, {step.depth.value} deep"
    blocks = _blocks(desk, context, step, run, drawing, down, tool, places)
    return section(context, "slot", title, f"{long}, with {tool.name.value}", blocks)


def _in_block(step: Slot, width: Size, depth: Size, near: Fraction, there: Stock, context: Context) -> bool:
    """Whether the slot lies within the block and leaves a floor; False after an error."""
    system = context.system
    over = near + width.aim - there.width.value if near >= 0 else width.aim - there.width.value
    if over > 0:
        context.faults.error(
            "slot/beyond-block",
            f"the slot goes {length_text(over, system, 'caliper')} beyond the side of the block",
            step.across if step.across is not None else step.width,
            f"it ends {length_text(max(near, Fraction(0)) + width.aim, system, 'caliper')} from the side that it is measured from",
            hint="a narrower slot, or one nearer to the other side (`across`)",
            related=((there.width, "the block's width"),),
        )
        return False
    if depth.aim < there.height.value:
        return True
    context.faults.error(
        "route/no-wall", f"the slot cuts through: the block is {length_text(there.height.value, system)} high", step.depth,
        hint="a shallower slot, or saw it through", related=((there.height, "its height"),),
    )  # fmt: skip
    return False


def _unsuited(tool: ShapingTool, width: Size, depth: Size, context: Context) -> str:
    if tool.shape.value != "square nose" or tool.width is None:
        return "it is no square nose tool of a known width"
    widest = width.upper if width.upper is not None else width.aim
    if tool.width.value > widest:
        return f"it is {tool.width.text} wide, the slot {length_text(widest, context.system)} at the most"
    if tool.largest_depth is not None and tool.largest_depth.value < depth.aim:
        return f"it goes {tool.largest_depth.text} deep, the slot {length_text(depth.aim, context.system, 'caliper')}"
    return ""


def _ends(step: Slot, start: Fraction, end: Fraction, context: Context) -> tuple[End, End]:
    """Open at the ends of the block; else the end of the slot, or of what it runs into."""
    into = step.runs_into
    closed = End(Fraction(0), "the end of the slot", step.length or step.from_) if into is None else End(
        into.value, "the end of what it runs into", into
    )  # fmt: skip
    return closed if start > 0 else End(), closed if end < context.work.end else End()


def _seat(step: Slot, there: Stock, depth: Size, is_step: bool, context: Context) -> Seat:
    """Jaws beside a closed slot may stand above its floor; those in the way of the stroke, or beside an open step, may not."""
    sides = step.gripped.value == "sides"
    between = there.width if sides or context.work.overall is None else context.work.overall
    inside = sides and not is_step
    lowest = there.height.value - (Fraction(0) if inside else depth.aim)
    face = "Top of the block above the jaws" if inside else "Bottom of the slot above the jaws"
    return Seat(there.height.value, lowest, None, between.value, between, step.depth, False, face)


def _places(
    desk: Desk, context: Context, step: Slot, width: Size, near: Fraction, there: Stock, tool: ShapingTool
) -> tuple[str, ...]:  # fmt: skip
    """Write down where the table stands for each cut side by side; nothing after an error."""
    if tool.width is None:
        return ()
    edge, cross = tool.width.value, context.shaper.table.cross
    single = edge >= (width.lower if width.lower is not None else width.aim)
    count = 1 if single else max(ceil(width.aim / edge), 2)
    if not few_enough(count, width.aim, step.width, context):
        return ()
    spare = width.aim - edge
    offsets = [spare / 2] if single else [spare * number / (count - 1) for number in range(count)]
    if near + edge + offsets[-1] > cross.travel.value:
        context.faults.error(
            "slot/cross-travel",
            f"the table is to go {length_text(near + edge + offsets[-1], context.system, 'caliper')} across, and it travels "
            f"{cross.travel.text}",
            step.across if step.across is not None else step.width,
            hint="measure from the other side of the block",
            related=((cross.travel, "its travel"),),
        )
        return ()
    dial, names = slide_dial(cross.dial), []
    said: Value = step.across if step.across is not None else there.width
    inputs: tuple[Value | str, ...] = (tool.width, cross.dial.division, "width_aim", said)
    formula = "from the block's side to the near wall + width of the tool + step to this cut, as a running total"
    for number, offset in enumerate(offsets, 1):
        reading, name = dial.at(near + edge + offset), f"place_{number}"
        turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
        label = "Table" if single else f"Table: cut {number} of {count}"
        desk.number(name, label, reading.value, dial.unit, f"{turns}{reading.shown}", basis(formula, inputs, GEOMETRY))
        names.append(name)
    return tuple(names)


_KNOW = ("slot_strokes", "depth", "finish_cut", "cuts")


def _blocks(
    desk: Desk, context: Context, step: Slot, run: Run, drawing: Block, down: Down, tool: ShapingTool, places: tuple[str, ...]
) -> list[Block | None]:  # fmt: skip
    vice, sides = isinstance(device(context), Vice), step.gripped.value == "sides"
    grips = [Say(jaws_words(sides)), page.said("seating")] if vice else [Say("Clamps tight and low; a stop in front takes the push.")]
    steps = [
        *grips,
        *page.set_ram(context, run),
        Say(f"Tool {page.plain(tool.name)} square to the stroke, clapper box {desk['clapper'].shown}."),
        Say("Tool's side up to the block's side until it drags thin paper; on by the paper's thickness, table's dial to zero."),
        Say("Tool up clear; table to {place_1}, always wound the same way; lock it.")
        if len(places) == 1
        else Say("Tool up clear; table to each place in turn, always wound the same way; lock it. Running totals: never back to zero."),
        Say("Touch the top with the tool moving: tool-head's dial to zero. Down by {down_feed} at each return, chips brushed out."),
        Say("Every place down to the reading where it is measured, then measure, fill in, and every place down to the last reading."),
    ]
    rule = Say(
        "Last reading = reading now + ({size_aim} less the depth it measures). One division is {dial_worth}. "
        "In doubt leave it shallow: it can be deepened."
    )
    squeeze = Check(Say("Vice slackened, the width once more: jaws close a slot that they grip beside.")) if vice and sides else None
    return [
        *page.groups(desk, ("width", "width_aim", "size", "size_aim"), places),
        drawing,
        Steps("Shape", tuple(steps)),
        down.table,
        Box("measured", "Depth before the last cut", desk.unit, rule, 2, down_sum(desk, down.dial, "size", grows=True)),
        Box("last_reading", "Last reading", down.dial.unit, Say("Wind down onto it; clamp the slide."), 1),
        Check(Say("Width {width} at both ends and at top and bottom; burrs off first.")),
        squeeze,
        *page.cautions(context, vice=vice),
        FigureGroup("Background", desk.pick(*dict.fromkeys((*page.BACKGROUND, *_KNOW))), Weight.KNOW),
    ]


OPERATION = Operation(Slot, plan, on="shaper")
