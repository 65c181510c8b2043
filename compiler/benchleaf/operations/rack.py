"""A rack in the top of a block on a shaper: a form tool straight down, the table stepped on by its dial."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size
from benchleaf.operations.desk import GEOMETRY, OWNER, Desk, Value, basis, length_text
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import page, rack_places
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import Stock, block, device, jaws_words, seated
from benchleaf.operations.shaping.rack_places import Places, plan_places
from benchleaf.operations.shaping.rack_sketches import Teeth, rack_sketch
from benchleaf.operations.shaping.rack_teeth import Form, plan_teeth
from benchleaf.operations.shaping.slot import Slot as Down
from benchleaf.operations.shaping.slot import plan_slot
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.racks import BasicRack, basic_rack, pitch_of
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Count, Distance, Length, Measure, Origin, PositiveAngle, StrokeRate, Text, ToothSize

__all__ = ["OPERATION", "Rack", "plan"]


@record
class Rack:
    """Shape a rack into the top of a block.  ``first_space``: from the front face to the middle of the first space, None for a rack in the
    middle of the work; ``thickness`` of the teeth at the pitch line, None for half a pitch."""

    origin: Origin
    tooth_size: ToothSize
    pressure_angle: PositiveAngle
    teeth: Count
    thickness: Text | None
    first_space: Distance | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def plan(step: Rack, context: Context) -> Section | None:
    """The section of a rack, or None when its faults leave nothing true to print."""
    desk, module, angle = context.desk(), step.tooth_size.value, step.pressure_angle.value
    basic = basic_rack(angle)
    if basic is None:
        context.faults.error(
            "rack/no-profile", f"there is no basic rack for a pressure angle of {step.pressure_angle.text}", step.pressure_angle,
            hint="20 deg and 14.5 deg are in the table; rub the mating wheel on paper and compare",
        )  # fmt: skip
        return None
    pitch, spaces = pitch_of(module), step.teeth.value + 1
    size = None if step.thickness is None else read_size(step.thickness, "outside", context, "shaping")
    there = block("the rack", step.teeth, context)
    if there is None or (size is None and step.thickness is not None):
        return None
    first = _first(step, pitch * step.teeth.value, context)
    tool = tools.find(
        step.tool, owned(context), lambda item: _unsuited(item, angle), "shaping tools", step.tooth_size, context,
        best=lambda item: abs((item.width.value if item.width is not None else Fraction(0)) - _ideal(pitch, size, basic, module)),
    )  # fmt: skip
    if first is None or tool is None:
        return None
    form = plan_teeth(desk, context, basic, step.tooth_size, step.pressure_angle, size, tool)
    if form is None:
        return None
    if form.depth >= there.height.value:
        context.faults.error(
            "route/no-wall",
            f"the spaces cut through: the block is {length_text(there.height.value, context.system)} high",
            step.tooth_size,
            hint="a higher block, or finer teeth",
            related=((there.height, "its height"),),
        )
        return None
    if tool.largest_depth is not None and tool.largest_depth.value < form.depth:
        deep = length_text(form.depth, context.system, "caliper")
        context.faults.error(
            "tool/unsuited", f"{tool.name.value} goes {tool.largest_depth.text} deep, the spaces {deep}", step.tool or step.tooth_size,
            hint="grind a longer one, or finer teeth", related=((tool.largest_depth, "how deep it goes"),),
        )  # fmt: skip
        return None
    places = plan_places(desk, context, pitch, spaces, step.tooth_size, step.teeth)
    run = Run(there.width.value, there.width, End(), End())
    held, sides = device(context), step.gripped.value == "sides"
    sits = seated(desk, held, _seat(step, there, form, context), there.height.value / 2, context)
    stroke = plan_stroke(desk, context, run, tool.cuts_with, step.stroke, step.rate, by_hand=True)
    context.work.shape(
        "outside", max(first - pitch / 2, Fraction(0)), first + pitch * (spaces - Fraction(1, 2)), there.height.value, "rack", step.teeth
    )
    if places is None or stroke is None or not sits:
        return None
    down = plan_slot(desk, context, form.depth, Fraction(0), step.tooth_size, (Fraction(0), -1), "Depth", "")
    if down is None:
        return None
    _figures(desk, step, first, pitch)
    page.tilt(desk, "slot", context)
    page.estimate(desk, Fraction(down.strokes * spaces), stroke.rate, 2 * spaces, ("rate", "slot_strokes"))
    page.behind(desk, context)
    jaws = "" if not isinstance(held, Vice) else "ends" if sides else "beside"
    drawings = (_teeth(form, context), envelope(run, stroke, Scene(context.held.by.value, jaws), context.system))
    title = f"Rack, {step.tooth_size.text}, {step.teeth.value} teeth"
    return section(
        context, "rack", title, f"{step.pressure_angle.text} pressure angle, with {tool.name.value}",
        _blocks(desk, context, sides, run, drawings, down, tool, form, places),
    )  # fmt: skip


def _first(step: Rack, long: Fraction, context: Context) -> Fraction | None:
    """The middle of the first space, mm from the front face; None after an error."""
    end = context.work.end
    first = step.first_space.value if step.first_space is not None else (end - long) / 2
    over = first + long - end if step.first_space is not None else long - end
    if over <= 0:
        return first
    length = context.work.overall
    context.faults.error(
        "rack/beyond-block",
        f"the last space comes {length_text(over, context.system, 'caliper')} beyond the end of the block",
        step.teeth,
        f"{step.teeth.value} teeth are {length_text(long, context.system, 'caliper')} long from the first space to the last",
        hint="fewer teeth, or a longer block",
        related=((length, "its length"),) if length is not None else (),
    )
    return None


def _ideal(pitch: Fraction, size: Size | None, basic: BasicRack, module: Fraction) -> Fraction:
    tooth = size.aim if size is not None else pitch / 2
    return pitch - tooth - 2 * basic.dedendum * module * tan_degrees(basic.angle)


def _unsuited(tool: ShapingTool, angle: Fraction) -> str:
    if tool.shape.value != "form" or tool.angle is None:
        return "it is no form tool of a known angle"
    if tool.angle.value != 2 * angle:
        return f"its edges stand at {tool.angle.text} to each other, and the flanks at twice the pressure angle"
    return "the flat at its tip is not known (`width`)" if tool.width is None else ""


def _seat(step: Rack, there: Stock, form: Form, context: Context) -> Seat:
    sides = step.gripped.value == "sides"
    between: Measure = there.width if sides or context.work.overall is None else context.work.overall
    height = there.height.value
    return Seat(height, height - form.depth, None, between.value, between, step.tooth_size, False, "Bottom of the spaces above the jaws")


def _figures(desk: Desk, step: Rack, first: Fraction, pitch: Fraction) -> None:
    inputs: tuple[Value | str, ...] = (step.first_space,) if step.first_space is not None else ("pitch", step.teeth)
    words = "as the job says" if step.first_space is not None else "(length of the work - teeth x pitch) / 2: the rack lies in the middle"
    desk.length(
        "first_space", "Middle of the first space, from the end", first,
        basis(words, inputs, OWNER if step.first_space is not None else GEOMETRY), read_by="caliper", rational=False,
    )  # fmt: skip
    desk.length(
        "span", "First space to last", pitch * step.teeth.value, basis("teeth x pitch", ("pitch", step.teeth), GEOMETRY), read_by="caliper",
        rational=False,
    )  # fmt: skip


def _teeth(form: Form, context: Context) -> Block:
    pitch, depth, tooth = (length_text(part, context.system) for part in (form.pitch, form.depth, form.tooth))
    return rack_sketch(
        Teeth(form.pitch, form.tooth, form.addendum, form.depth, form.tip, form.angle, form.pin, (pitch, f"{depth} deep", f"tooth {tooth}"))
    )


_TOOTH = ("tooth", "tooth_aim")  # with a vernier they are what is measured anyway
_KNOW = ("slot_strokes", "finish_cut", "cuts", "tip", "clearance", "addendum", "best_pin", "travel_for_tooth", "span", *rack_places.FIGURES)


def _blocks(
    desk: Desk,
    context: Context,
    sides: bool,
    run: Run,
    drawings: tuple[Block, ...],
    down: Down,
    tool: ShapingTool,
    form: Form,
    places: Places,
) -> list[Block | None]:
    vice = isinstance(device(context), Vice)
    grips = [Say(jaws_words(not sides)), page.said("seating")] if vice else [Say("Clamps tight and low; a stop in front takes the push.")]
    steps = [
        *grips,
        *page.set_ram(context, run),
        Say(
            f"Tool {page.plain(tool.name)} upright: both its flanks alike against a square or a gauge of the teeth; "
            f"clapper box {desk['clapper'].shown}."
        ),
        Say(
            "Scribe the middle of the first space {first_space} from the end. "
            "Tip over the line, coming on the way the table is fed: table's dial to zero."
        ),
        Say(
            "Touch the top with the tool moving: tool-head's dial to zero, for all spaces. "
            "Down by {down_feed} at each return, chips brushed out."
        ),
        Say("Spaces 1 and 2 down to {before_last}; burrs off, measure the tooth between them, fill in the last reading."),
        Say("Table back past space 1 and on to it again: 1, 2 and all others down to the last reading, one after the other."),
    ]
    aim = "{size_aim}"
    by = "how far the pin stands above the tops" if form.pin is not None else "the tooth at the pitch line"
    travels = "" if form.pin is not None else " x {travel_for_tooth}"
    rule = Say(
        f"Last reading = reading now + ({by}, less {aim}){travels}. One division is {{dial_worth}}. "
        "In doubt leave the tooth thick: it can be thinned."
    )
    label = "Pin above the tops, before the last cut" if form.pin is not None else "Tooth at the pitch line, before the last cut"
    know = (*_KNOW, *(_TOOTH if form.pin is None else ()))
    times: Fraction | int = 1 if form.pin is not None else 2 * tan_degrees(form.angle)
    return [
        *page.groups(desk, (*((*_TOOTH, "pin") if form.pin is not None else ()), "size", "size_aim", "blade", "depth", "first_space")),
        *drawings,
        Steps("Shape", tuple(steps)),
        down.table,
        Box("measured", label, desk.unit, rule, 2, down_sum(desk, down.dial, "size", times=times)),
        Box("last_reading", "Last reading, for all spaces", down.dial.unit, Say("Wind down onto it; clamp the slide."), 1),
        places.table,
        Check(Say("{span} from the first space to the last: a mating wheel rolled over the whole rack neither binds nor rattles.")),
        *page.cautions(context, vice=vice),
        FigureGroup("Background", desk.pick(*dict.fromkeys((*(name for name in page.BACKGROUND if name != "depth"), *know))), Weight.KNOW),
    ]


OPERATION = Operation(Rack, plan, on="shaper")
