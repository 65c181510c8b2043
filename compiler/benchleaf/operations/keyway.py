"""A keyway on a shaper: along a shaft with a narrow tool, or in a bore with a bar."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock as metal
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text
from benchleaf.operations.registry import Operation
from benchleaf.operations.shaping import keys, page
from benchleaf.operations.shaping.envelope_sketches import Scene, envelope
from benchleaf.operations.shaping.feeds import slide_dial
from benchleaf.operations.shaping.grip import Seat
from benchleaf.operations.shaping.held import device, end_of_head, jaws_words, seated
from benchleaf.operations.shaping.keys import Keyway as Wanted
from benchleaf.operations.shaping.readings import dated
from benchleaf.operations.shaping.slot import Slot, plan_slot
from benchleaf.operations.shaping.stroke import plan_stroke
from benchleaf.operations.shaping.sums import down_sum
from benchleaf.operations.shaping.tools import owned
from benchleaf.operations.shaping.travel import End, Run, bore_room, choose, end_room
from benchleaf.operations.work import FAR, FINISHED
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.keys import CHORD, chord_height
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Distance, Length, Measure, Origin, StrokeRate, Text

__all__ = ["OPERATION", "Keyway", "plan"]


@record
class Keyway:
    """Shape a keyway: outside along a shaft or inside through a bore, for a standard key or to given sizes.  ``runs_into`` is the length of
    the hole that it ends in, where it does not run out at the end of the work."""

    origin: Origin
    where: Text
    from_: Distance
    length: Length | None
    runs_into: Length | None
    key: Text
    section: Text | None
    fit: Text | None
    width: Text | None
    depth: Text | None
    gripped: Text
    tool: Text | None
    stroke: Length | None
    rate: StrokeRate | None


def plan(step: Keyway, context: Context) -> Section | None:
    """The section of a keyway, or None when its faults leave nothing true to print."""
    desk, work, inside = context.desk(), context.work, step.where.value == "inside"
    start = step.from_.value
    end = work.end if step.length is None else start + step.length.value
    at: Value = step.length or step.where
    round_ = _round(step, start, end, context)
    if round_ is None:
        return None
    sound = metal.within_length(end, at, context) & _spares(step, start, end, context)
    wanted = keys.wanted(step, round_, context)
    if wanted is None:
        return None
    radius = round_.value / 2 + (wanted.depth_aim if inside else -wanted.depth_aim)
    sound &= _metal_round(step, start, end, radius, inside, context)
    tool = tools.find(
        step.tool, owned(context), lambda item: _unsuited(item, wanted, round_, inside, end - start, context), "shaping tools", at, context,
        best=lambda item: -(item.width.value if item.width is not None else Fraction(0)),
    )  # fmt: skip
    run = choose(end - start, at if step.length is not None else work.overall or at, *_ends(step, start, end, radius, context), context)
    held = device(context)
    seat = _seat(step, round_, wanted, inside, context)
    around = work.largest("outside", Fraction(0), work.end)
    half = around.largest / 2 if around is not None and around.largest is not None else round_.value / 2
    sits = seat is not None and seated(desk, held, seat, half, context)
    over = round_.value + wanted.depth_aim if inside else round_.value - wanted.depth_aim
    work.shape(step.where.value, start, end, over, "keyway", step.where)
    if tool is None or tool.width is None or run is None or not sits or not sound:
        return None
    stroke = plan_stroke(desk, context, run, tool.cuts_with, step.stroke, step.rate, by_hand=True)
    if stroke is None:
        return None
    keys.write(desk, wanted, round_, inside, context)
    slot = _slot(desk, context, wanted, round_, tool, inside, at)
    if slot is None:
        return None
    sides = _width(desk, context, wanted, round_, tool, inside)
    page.tilt(desk, "inside keyway" if inside else "slot", context)
    if inside and tool.smallest_bore is not None:
        slack = basis("bore less the smallest that the bar passes", (round_, tool.smallest_bore), GEOMETRY)
        desk.length("bar_slack", "Bar has room of", round_.value - tool.smallest_bore.value, slack, read_by="caliper")
    if isinstance(held, Vice):
        along = step.gripped.value == "sides"
        dated(
            desk,
            context,
            "jaw along the stroke" if along else "jaw across the stroke",
            run.length,
            "Out of line with the axis",
            of=held.name.value,
        )
        dated(desk, context, "vice bed", run.length, "Deeper at one end", of=held.name.value, allowed=wanted.depth[1] - wanted.depth[0])
    passes = 2 if sides else 1
    page.estimate(desk, Fraction(slot.strokes * passes), stroke.rate, 2 * passes, ("rate", "slot_strokes"))
    page.behind(desk, context)
    long = f"{step.length.text} long" if step.length is not None else "right through"
    where = "in the bore" if inside else "on the shaft"
    jaws = "" if not isinstance(held, Vice) else "beside" if step.gripped.value == "sides" else "ends"
    drawing = envelope(run, stroke, Scene(context.held.by.value, jaws, inside=inside), context.system)
    blocks = _blocks(desk, context, step, run, drawing, slot, tool, sides, inside)
    return section(context, "keyway", f"Keyway {_name(wanted, context)} {where}", f"{long}, with {tool.name.value}", blocks)


def _name(wanted: Wanted, context: Context) -> str:
    key = wanted.key
    if key is None:
        return f"{length_text(wanted.width_aim, context.system, 'caliper')} wide"
    return f"for a key {keys.section_text(key)}"


def _round(step: Keyway, start: Fraction, end: Fraction, context: Context) -> Measure | None:
    """The shaft or bore that the keyway is for; None after an error."""
    inside = step.where.value == "inside"
    if end == FAR:
        context.faults.error(
            "blank/unstated", "the keyway goes to the end of the work, and its length is not known", context.work.blank.origin.span,
            hint="add `length` to `blank`, or to the step",
        )  # fmt: skip
        return None
    if inside:
        return metal.hole_to(
            start, end, step.where, context, "there is no bore for the keyway", "put a `bore` step before it, or add `bore` to `blank`"
        )
    found = context.work.measure("outside", start, end)
    if found is None:
        context.faults.error(
            "blank/unstated", "the keyway goes by the diameter of the shaft, and the blank gives none", context.work.blank.origin.span,
            hint="add `outside` to `blank`",
        )  # fmt: skip
    return found


def _spares(step: Keyway, start: Fraction, end: Fraction, context: Context) -> bool:
    """Whether no thread, knurl or taper, nor what a shaper made, lies there; a fit takes its keyway.  False after an error."""
    side = step.where.value
    cut_up = [item for item in context.work.over(side, start, end) if item.kind in FINISHED - {"fit"}]
    done = next(iter([*cut_up, *context.work.shaped_over(side, start, end)]), None)
    if done is None:
        return True
    context.faults.error(
        "route/cuts-away",
        f"the keyway cuts into the {done.kind} that an earlier step has made",
        step.length or step.where,
        hint="keep clear of it with `from` and `length`",
        related=((done.at, f"the {done.kind}"),),
    )
    return False


def _metal_round(step: Keyway, start: Fraction, end: Fraction, radius: Fraction, inside: bool, context: Context) -> bool:
    """Whether metal is left under the keyway; False after an error."""
    other = context.work.smallest("outside", start, end) if inside else context.work.largest("inside", start, end)
    across = None if other is None else other.smallest if inside else other.largest
    if other is None or not across or (across > 2 * radius if inside else across < 2 * radius):
        return True
    context.faults.error(
        "route/no-wall",
        f"the keyway cuts through: the {'outside' if inside else 'bore'} is {length_text(across, context.system)} there",
        step.where,
        hint="a flatter key, a larger hub or a smaller bore",
        related=((other.at, "made so here"),),
    )
    return False


def _unsuited(tool: ShapingTool, wanted: Wanted, round_: Measure, inside: bool, length: Fraction, context: Context) -> str:
    system = context.system
    shape = "keyway bar" if inside else "square nose"
    if tool.shape.value != shape or tool.width is None:
        return f"it is no {shape} tool of a known width"
    if tool.width.value > wanted.width[1]:
        return f"it is {tool.width.text} wide, the keyway {length_text(wanted.width[1], system)} at the most"
    deep = wanted.depth_aim + (chord_height(round_.value, min(tool.width.value, round_.value)) if inside else 0)
    if tool.largest_depth is not None and tool.largest_depth.value < deep:
        return f"it goes {tool.largest_depth.text} deep, the keyway {length_text(deep, system, 'caliper')}"
    if inside and tool.smallest_bore is not None and tool.smallest_bore.value > round_.value:
        return f"it needs a bore of {tool.smallest_bore.text}, and this is {length_text(round_.value, system, 'caliper')}"
    if inside and tool.reach is not None and tool.reach.value < length:
        return f"it reaches {tool.reach.text}, and the keyway is {length_text(length, system, 'rule')} long"
    return ""


def _ends(step: Keyway, start: Fraction, end: Fraction, radius: Fraction, context: Context) -> tuple[End, End]:
    """What stands at both ends: nothing at the end of the work, else the end of the keyway or of the hole that it runs into."""
    work = context.work
    room = bore_room if step.where.value == "inside" else end_room
    ends = [room(work, start, -1, radius), room(work, end, 1, radius)]
    into = step.runs_into
    ends = [End(into.value, "the end of the hole it runs into", into) if side.room == 0 and into is not None else side for side in ends]
    return ends[0], end_of_head(device(context), end, ends[1], context)


def _seat(step: Keyway, round_: Measure, wanted: Wanted, inside: bool, context: Context) -> Seat | None:
    """How the work sits in a vice: a shaft on its underside; a hub with its axis along the stroke, jaws below the bar."""
    work = context.work
    around = work.measure("outside", Fraction(0), work.end) if inside else round_
    if around is None:
        context.faults.error(
            "blank/unstated", "how the work sits goes by its outside, and the blank does not give it", work.blank.origin.span,
            hint="add `outside` to `blank`",
        )  # fmt: skip
        return None
    sides = step.gripped.value == "sides"
    between = around if sides or work.overall is None else work.overall
    height = around.value
    lowest = height / 2 - round_.value / 2 - wanted.depth_aim if inside else height - wanted.depth_aim
    face = "Bottom of the keyway above the jaws" if inside else "Finished face above the jaws"
    return Seat(height, lowest, height / 2 if sides else None, between.value, between, step.where, sides, face)


def _slot(desk: Desk, context: Context, wanted: Wanted, round_: Measure, tool: ShapingTool, inside: bool, at: Value) -> Slot | None:
    """Down-feed: on a shaft from the crown, in a bore from where the corners of the edge touch the wall."""
    edge = tool.width.value if tool.width is not None else Fraction(0)
    chord = chord_height(round_.value, edge)
    inputs: tuple[Value | str, ...] = (round_, tool.width) if tool.width is not None else (round_,)
    label = "Corners touch above the wall's lowest place by" if inside else "Chord: cut to full width from"
    desk.length("chord", label, chord, basis(CHORD.formula, inputs, GEOMETRY), read_by="caliper", rational=False)
    travel = wanted.depth_aim + (chord if inside else 0)
    words = "depth from the wall + chord: the corners of the edge touch first" if inside else "depth from the crown"
    desk.length(
        "depth", "Down, from the touch-off", travel, basis(words, ("keyway_depth", "chord"), GEOMETRY), read_by="caliper", rational=False
    )
    becomes = (round_.value - chord, -1) if inside else (round_.value, 1)
    full = "wall reached, full width" if inside else "full width from here"
    return plan_slot(desk, context, travel, chord, at, becomes, "Over", full)


def _width(desk: Desk, context: Context, wanted: Wanted, round_: Measure, tool: ShapingTool, inside: bool) -> bool:
    """Write down where the tool stands across; True when it is narrower than the keyway and cuts one side after the other."""
    if tool.width is None:
        return False
    cross = context.shaper.table.cross
    dial = slide_dial(cross.dial)
    narrow = tool.width.value < wanted.width[0]
    off = (wanted.width_aim - tool.width.value) / 2 if narrow else Fraction(0)
    if narrow:
        why = basis("(width - tool) / 2 to each side of the middle", ("width", tool.width), GEOMETRY)
        desk.length("side_step", "To each side of the middle", off, why, read_by="micrometer")
    if inside:
        return narrow
    middle = (round_.value + tool.width.value) / 2
    places = (
        (("side_one", "Table: first side", middle - off), ("side_two", "Table: other side", middle + off))
        if narrow
        else (("middle", "Table: middle of the shaft", middle),)
    )
    for name, label, place in places:
        reading = dial.at(place)
        turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
        formula = "(diameter + tool) / 2 from where the tool's side touches the shaft, as a running total" + (
            " less or plus the side step" if narrow else ""
        )
        causes: tuple[Value | str, ...] = (round_, tool.width, cross.dial.division, *(("side_step",) if narrow else ()))
        desk.number(name, label, reading.value, dial.unit, f"{turns}{reading.shown}", basis(formula, causes, GEOMETRY))
    return narrow


_KNOW = ("slot_strokes", "chord", "depth", "finish_cut", "cuts", "side_step", "bar_slack")


def _blocks(
    desk: Desk, context: Context, step: Keyway, run: Run, drawing: Block, slot: Slot, tool: ShapingTool, sides: bool, inside: bool
) -> list[Block | None]:  # fmt: skip
    vice = isinstance(device(context), Vice)
    grips = [Say(jaws_words(step.gripped.value == "sides"))] if vice else []
    steps = [*grips, *page.set_ram(context, run), *(_inside(tool, sides) if inside else _outside(tool, sides))]
    steps += [
        Say("Dial to zero. Down by {down_feed} at each return, to the reading where it is measured; feed by hand, chips brushed out."),
        Say("Measure; fill in the last reading; go down to it and let the tool run until it cuts no more."),
    ]
    way = "{over_aim} less what it measures" if inside else "what it measures less {over_aim}"
    safe = "In doubt leave it shallow: it can be deepened."
    rule = Say(f"Last reading = reading now + ({way}). One division is {{dial_worth}}. {safe}")
    fit = Check(Say("A piece of key, or a gauge ground to its width, tried in the keyway: {key_play}.")) if "key_play" in desk else None
    return [
        *page.groups(desk, ("key", "width", "key_play", "keyway_depth", "over", "over_aim"), ("middle", "side_one", "side_two")),
        drawing,
        Steps("Shape", tuple(steps)),
        slot.table,
        Box("measured", "Bottom to the far side, before the last cut", desk.unit, rule, 2, down_sum(desk, slot.dial, "over", grows=inside)),
        Box("last_reading", "Last reading", slot.dial.unit, Say("Wind down onto it; clamp the slide."), 1),
        fit,
        Check(Say("Width {width} with gauge or key; sides square to the bottom; no taper from end to end.")),
        *page.cautions(context, vice=vice, clapper=not inside, inside=inside),
        FigureGroup("Background", desk.pick(*dict.fromkeys((*page.BACKGROUND, *_KNOW))), Weight.KNOW),
    ]


def _outside(tool: ShapingTool, sides: bool) -> list[Say]:
    touch = "Tool's side up to the shaft's side until it drags thin paper; on by the paper's thickness, table's dial to zero"
    across = "{side_one}, cut to depth, then {side_two}" if sides else "{middle} across; lock the table"
    return [
        Say(f"Tool {page.plain(tool.name)} square to the shaft, clapper box upright."),
        Say(f"{touch}; tool up clear, {across}."),
        Say("Touch the crown with the tool moving: the least mark."),
    ]


def _inside(tool: ShapingTool, sides: bool) -> list[Say]:
    across = "one side at {side_step} from the middle, then the other" if sides else "in the middle, table locked"
    return [
        Say(f"Bar {page.plain(tool.name)} level and square to the face, edge down, no longer out than the bore wants; clapper locked."),
        Say(f"Touch the bore's wall left and right at one height: half the table's travel is the middle. Cut {across}."),
        Say("Down until both corners of the edge just mark the wall. Ease the bar up by hand on the return, or cut on the pull."),
    ]


OPERATION = Operation(Keyway, plan, on="shaper")
