"""A dovetail on a shaper, slot or tail: both flanks with the head swung, after the straight cuts, measured with two rollers."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.desk import GEOMETRY, Desk, basis, length_text
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page
from benchleaf.operations.shaping.dovetail_rollers import choose_roller, measured_figure
from benchleaf.operations.shaping.dovetail_sketches import Tail, tail_sketch
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.flank import FIGURES, Flank, plan_flank
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, device, jaws_words, seated, stock
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run
from benchleaf.operations.slot import Slot
from benchleaf.operations.work import FAR
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.fits import SizeFault, sized
from benchleaf.standards.shaped import dovetail_top
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Length, Measure, Origin, PositiveAngle, StrokeRate, Text, Word

__all__ = ["OPERATION", "Dovetail", "needs", "plan"]

_LEAST, _UPRIGHT = Fraction(30), Fraction(90)  # degrees: a thinner corner does not bear; common practice
_LEAVE = Fraction(1, 2)  # mm that the planned mouth of a slot is narrower, or the tail's top wider; common practice


@record
class Dovetail:
    """Shape the flanks of a dovetail in the middle of a block.  ``where`` is 'outside' for a tail, 'inside' for a slot; ``width`` is that
    between the sharp corners at the foot of the flanks, ``angle`` that of flank to floor, ``roller`` what it is measured with."""

    origin: Origin
    where: Text
    width: Text
    depth: Text
    angle: PositiveAngle
    roller: Length | None
    gripped: Text
    stroke: Length | None
    rate: StrokeRate | None

    @property
    def inside(self) -> bool:
        """Whether it is a slot."""
        return self.where.value == "inside"


def needs(step: Dovetail, context: Context) -> list[tuple[str, Any]]:
    """The slot as wide as the mouth, or the shoulders at both sides of a tail, where they are not there yet."""
    foot, depth, block = sized(step.width.value), sized(step.depth.value), context.work.blank.width
    angle = step.angle.value
    if isinstance(foot, SizeFault) or isinstance(depth, SizeFault) or block is None:
        return []
    if _floors(context) or not _LEAST <= angle < _UPRIGHT:
        return []
    deep = depth.nominal if depth.limits is None else (depth.limits.lower + depth.limits.upper) / 2
    edge = dovetail_top(foot.nominal, -deep if step.inside else deep, angle)
    wide = edge - _LEAVE if step.inside else (block.value - edge - _LEAVE) / 2
    if wide < 1:
        return []
    tenths = Fraction(int(wide * 10), 10)
    origin = Origin(step.width.origin.path, step.width.origin.span, words="from the sizes of the dovetail")
    said, front = Word(f"{fixed(tenths, 1)} mm", origin), Measure(Fraction(0), "mm", "0 mm", origin)
    far = Measure(block.value - tenths, "mm", f"{fixed(block.value - tenths, 2)} mm", origin)
    places = (None,) if step.inside else (front, far)
    return [
        ("slot", Slot(step.origin, said, step.depth, place, front, None, None, step.gripped, None, step.stroke, step.rate))
        for place in places
    ]  # fmt: skip


def plan(step: Dovetail, context: Context) -> Section | None:
    """The section of a dovetail, or None when its faults leave nothing true to print."""
    desk, inside = context.desk(), step.inside
    width = read_size(step.width, step.where.value, context, "shaping")
    depth = read_size(step.depth, "inside", context, "shaping")  # what is cut down, whichever side is left
    there = _block(step, context)
    if width is None or depth is None or there is None or not _sound(step, width, depth, there, context):
        return None
    right = _tool("right", step, depth, context)
    left = None if right is None else _tool("left", step, depth, context)
    roller = choose_roller(step.roller, width, depth.aim, step.angle.value, inside, context)
    run = Run(context.work.end, context.work.overall or step.width, End(), End())
    held, sides = device(context), step.gripped.value == "sides"
    sits = seated(desk, held, _seat(step, depth, there, context), there.height.value / 2, context)
    if right is None or left is None or roller is None or not sits:
        return None
    stroke = plan_stroke(desk, context, run, right.cuts_with, step.stroke, step.rate, by_hand=True)
    size_figure(desk, width, "Between the sharp corners", "width")
    size_figure(desk, depth, "Depth", "deep")
    flank = plan_flank(desk, context, depth.aim, step.angle, step.depth, ("deep_aim",), "Flank up from the floor")
    if stroke is None or flank is None:
        return None
    measured_figure(desk, roller, width, step.angle, inside)
    _edge(desk, step, width, depth)
    reading = flank.dial.at(depth.aim / tan_degrees(step.angle.value))
    turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
    why = basis("depth / tan(angle), from the touch-off at the foot of the wall", ("depth", "dial_worth"), GEOMETRY)
    desk.number("first_flank", "Table, first flank", reading.value, flank.dial.unit, f"{turns}{reading.shown}", why)
    page.tilt(desk, "angular", context)
    page.estimate(desk, Fraction(2 * flank.strokes * flank.layers), stroke.rate, 2 * flank.layers, ("rate", "layer_strokes", "cuts"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "beside" if sides else "ends"
    stroked = envelope(run, stroke, Scene(context.held.by.value, jaws), context.system)
    drawings = (_sketch(step, width, depth, roller, desk, context), stroked)
    title = f"Dovetail {'slot' if inside else 'tail'}, {step.angle.text}, {step.width.value} at the corners"
    both = right.name.value if right is left else f"{right.name.value} and {left.name.value}"
    blocks = _blocks(desk, step, context, run, drawings, flank, right, left)
    return section(context, "dovetail", title, f"{step.depth.value} deep, with {both}", blocks)


def _floors(context: Context) -> list[Fraction]:
    """How high the floors of straight cuts that go from end to end lie over the seat, mm."""
    cuts = [item for item in context.work.shaped_over("outside", Fraction(0), context.work.end) if item.kind == "slot"]
    return [item.smallest for item in cuts if item.start <= 0 and item.end >= context.work.end and item.smallest is not None]


def _block(step: Dovetail, context: Context) -> Stock | None:
    """The block; None after an error."""
    if context.work.end == FAR:
        context.faults.error(
            "blank/unstated", "the dovetail goes to the end of the work, and its length is not known", context.work.blank.origin.span,
            hint="add `length` to `blank`",
        )  # fmt: skip
        return None
    there = stock(Fraction(0), context.work.end, context)
    if there is None or not there.round:
        return there
    context.faults.error(
        "slot/not-a-block", "a dovetail is shaped into the top of a block, and the work is a round", step.width,
        hint="give the blank `width` and `height`", related=((there.height, "the round"),),
    )  # fmt: skip
    return None


def _sound(step: Dovetail, width: Size, depth: Size, there: Stock, context: Context) -> bool:
    """Whether it is a dovetail, inside its block, with the straight cuts made; False after an error."""
    angle, system, error = step.angle.value, context.system, context.faults.error
    if not _LEAST <= angle < _UPRIGHT:
        error(
            "dovetail/angle", f"{step.angle.text} between flank and floor is no dovetail's angle", step.angle,
            hint=f"counted from upright it is {fixed(90 - angle, 1)} degrees: see which of the two is meant" if angle < _LEAST
            else "60 and 55 degrees are common",
        )  # fmt: skip
        return False
    edge = dovetail_top(width.aim, -depth.aim if step.inside else depth.aim, angle)
    if edge <= 0:
        deepest = length_text(width.aim * tan_degrees(angle) / 2, system, "caliper")
        error(
            "dovetail/no-mouth", "the flanks meet before they come to the top", step.depth, f"at {deepest} of depth nothing is left",
            hint="a shallower slot, or a wider one: the width is that at the floor", related=((step.width, "between the corners"),),
        )  # fmt: skip
        return False
    widest = max(edge, width.aim)
    if widest >= there.width.value:
        error(
            "dovetail/beyond-block",
            f"the dovetail is {length_text(widest, system, 'caliper')} wide {'at its floor' if step.inside else 'at its top'}, "
            f"and the block {there.width.text}",
            step.width,
            hint="a wider block, or a narrower dovetail",
            related=((there.width, "the block's width"),),
        )
        return False
    if depth.aim >= there.height.value:
        error(
            "route/no-wall", f"the dovetail cuts through: the block is {length_text(there.height.value, system)} high", step.depth,
            hint="a shallower one, or a higher block", related=((there.height, "its height"),),
        )  # fmt: skip
        return False
    floors, wanted = _floors(context), 1 if step.inside else 2
    if len(floors) < wanted:
        error(
            "dovetail/no-slot",
            "there is no straight slot to undercut" if step.inside else "there are no two square shoulders to undercut",
            step.depth,
            hint=("a `slot` step before it, from end to end" if step.inside else "two `slot` steps before it, one at each side")
            + ", or `missing-steps: plan`",
        )
        return False
    low, high = depth.lower or depth.aim, depth.upper or depth.aim
    wrong = [there.height.value - floor for floor in floors if not low <= there.height.value - floor <= high]
    if wrong:
        error(
            "dovetail/slot-depth",
            f"the straight cut is {length_text(wrong[0], system, 'caliper')} deep and the dovetail "
            f"{length_text(depth.aim, system, 'caliper')}",
            step.depth,
            hint="give both the same depth",
        )
    return not wrong


def _tool(side: str, step: Dovetail, depth: Size, context: Context) -> ShapingTool | None:
    def unsuited(tool: ShapingTool) -> str:
        if tool.shape.value != "dovetail" or tool.angle is None:
            return "it is no dovetail tool of a known nose angle"
        if tool.cuts_to.value not in (side, "both"):
            return f"it cuts to the {tool.cuts_to.value}"
        if tool.angle.value >= step.angle.value:
            return f"its nose of {tool.angle.text} is no sharper than the corner of {step.angle.text}: it would cut floor and flank at once"
        if tool.largest_depth is not None and tool.largest_depth.value < depth.aim:
            return f"it goes {tool.largest_depth.text} deep, the dovetail {length_text(depth.aim, context.system, 'caliper')}"
        return ""

    return tools.find(None, owned(context), unsuited, "shaping tools", step.angle, context)


def _seat(step: Dovetail, depth: Size, there: Stock, context: Context) -> Seat:
    """Jaws beside a slot may stand above its floor; those beside the shoulders of a tail, or in the way of the stroke, may not."""
    sides = step.gripped.value == "sides"
    between = there.width if sides or context.work.overall is None else context.work.overall
    above = sides and step.inside
    lowest = there.height.value - (Fraction(0) if above else depth.aim)
    face = "Top of the block above the jaws" if above else "Floor of the dovetail above the jaws"
    return Seat(there.height.value, lowest, None, between.value, between, step.depth, False, face)


def _edge(desk: Desk, step: Dovetail, width: Size, depth: Size) -> None:
    edge = dovetail_top(width.aim, -depth.aim if step.inside else depth.aim, step.angle.value)
    sign = "-" if step.inside else "+"
    why = basis(f"width {sign} 2 x depth / tan(angle)", ("width_aim", "deep_aim", step.angle), GEOMETRY)
    label = "Mouth, if its edges are sharp" if step.inside else "Top, if its edges are sharp"
    desk.length("edge", label, edge, why, read_by="caliper", rational=False)


def _sketch(step: Dovetail, width: Size, depth: Size, roller: Measure, desk: Desk, context: Context) -> Block:
    foot, deep = (length_text(part, context.system, "caliper") for part in (width.aim, depth.aim))
    over = f"{desk['size_aim'].shown} {desk.unit} {'between' if step.inside else 'over'} rollers"
    words = (foot, f"{deep} deep", step.angle.text, over)
    return tail_sketch(Tail(step.inside, width.aim, depth.aim, step.angle.value, roller.value, words))


_SIZES = ("size", "size_aim", "roller", "deep", "deep_aim", "width", "edge")
_KNOW = ("width_aim", "layer_strokes", "finish_cut", "cuts", "depth", "layer", "slide_travel")


def _blocks(
    desk: Desk, step: Dovetail, context: Context, run: Run, drawings: tuple[Block, ...], flank: Flank, right: ShapingTool, left: ShapingTool
) -> list[Block | None]:
    vice, sides, inside = isinstance(device(context), Vice), step.gripped.value == "sides", step.inside
    grips = [Say(jaws_words(sides)), page.said("seating")] if vice else [Say("Clamps tight and low; a stop in front takes the push.")]
    wall = ("right wall of the slot", "left wall") if inside else ("left side of the tail", "right side")
    other = "The same tool" if right is left else f"Tool {page.plain(left.name)}"
    steps = [
        *grips,
        *page.set_ram(context, run),
        Say(
            "First flank: tool-head swung {swing}, so that its slide runs down towards the right; clamp it, prove it with a protractor. "
            f"Tool {page.plain(right.name)}, its nose clear of the flank behind its edge; clapper box: {desk['clapper'].shown}."
        ),
        Say("Down the slide until the tool drags thin paper on the floor: note the slide's dial. It goes no deeper, in any layer."),
        Say(f"At the foot of the {wall[0]}, the tool just marking it: table's dial to zero. Tool-slide up past the top."),
        Say("Each layer: table to its reading, locked; down the slide by {down_feed} at each return to the floor. On to {first_flank}."),
        Say(f"Second flank: head swung {{swing}} to the other side. {other}; touch the {wall[1]}, zero, the table fed the other way."),
        Say("Stop at {before_last}. Chips and burrs out, a roller in each corner, measure at both ends; fill in, then the last reading.")
        if "before_last" in desk
        else Say("Chips and burrs out, a roller in each corner, measure at both ends; fill in, then the last reading."),
    ]
    gap = "({size_aim} less what it measures)" if inside else "(what it measures less {size_aim})"
    rule = Say(f"Last reading = reading now + {gap}. One division is {{dial_worth}}. In doubt leave metal on: nothing is put back.")
    label = f"{'Between' if inside else 'Over'} the rollers, before the last cut"
    know = (*(name for name in page.BACKGROUND if name != "depth"), *_KNOW, *FIGURES[:1])
    return [
        *page.groups(desk, _SIZES, ("swing", "first_flank")),
        *drawings,
        Steps("Shape", tuple(steps)),
        flank.table,
        Box("measured", label, desk.unit, rule, 2, down_sum(desk, flank.dial, "size", grows=inside, wind="Table on by")),
        Box("last_reading", "Last reading of the table, second flank", flank.dial.unit, Say("Wind on to it; lock the table."), 1),
        Check(Say(f"{{size}} at both ends with rollers of {{roller}}; {step.angle.text} by the protractor on both flanks.")),
        Check(Say("Vice slackened, the same once more: jaws close a slot that they grip beside.")) if vice and sides and inside else None,
        Check(page.said("head returned")),
        *page.cautions(context, vice=vice),
        FigureGroup("Background", desk.pick(*dict.fromkeys(know)), Weight.KNOW),
    ]


OPERATION = Operation(Dovetail, plan, needs, on="shaper")
