"""Drilling from the tailstock: pilot and further drills that are owned, pecks by depth, readings of the tailstock's dial."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.operations.cautions import caution
from benchleaf.operations.centre_drill import CentreDrill
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, times
from benchleaf.operations.cutting.bits import cuts_with_of, drill_of, drills_of, set_names
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.speeds import Bound, spindle
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import GEOMETRY, OWNER, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import collar
from benchleaf.operations.registry import Operation
from benchleaf.operations.work import FAR
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Row, Say, Section, Steps, Table, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.holes import DRILL_POINT, deep_hole, drill_feed, drill_oversize, drill_point, drill_steps, hole_rule, pecks
from benchleaf.standards.speeds import cutting_speed, nearest_not_above, spindle_speed
from benchleaf.standards.tapping import Drill as Bit
from benchleaf.units import convert
from benchleaf.workshop.values import Length, Measure, Origin, Speed

__all__ = ["OPERATION", "Drill", "needs", "plan"]


@record
class Drill:
    """Drill a hole from the front face; right through when no depth is given."""

    origin: Origin
    diameter: Length
    depth: Length | None
    speed: Speed | None


def needs(step: Drill, context: Context) -> list[tuple[str, Any]]:
    """A spot for the drill to start in, where there is neither that nor a hole."""
    if context.work.has("centre") or context.work.measure("inside", Fraction(0), Fraction(1, 1000)) is not None:
        return []
    return [("centre-drill", CentreDrill(step.origin, None, None))]


def plan(step: Drill, context: Context) -> Section | None:
    """The section of a drilling step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    bit = drill_of(step.diameter.value, context)
    end = step.depth.value if step.depth is not None else work.end
    at: Measure = step.depth or step.diameter
    sound = (
        stock.not_parted(step.diameter, context)
        & end_free("the hole is drilled from the tailstock", step.diameter, context)
        & stock.within_length(end, at, context)
        & stock.spares_finished("inside", Fraction(0), end, step.diameter, context, to=step.diameter.value)
        & _something_to_drill(end, step, context)
        & stock.wall_left(Fraction(0), end, step.diameter.value, step.diameter, context)
    )
    hole = work.measure("inside", Fraction(0), Fraction(1, 1000))
    entered = work.hole(Fraction(0), end)
    if not work.has("centre") and hole is None:
        context.faults.warning(
            "drill/no-spot",
            "the drill starts on a bare face: it wanders",
            step.diameter,
            hint="put a `centre-drill` step before it, or set `missing-steps: plan`",
        )
    begins = _begins(end, step, context)
    if sound:
        stock.open_to(end, step.diameter.value, "drilled", step.diameter, context)
    if bit is None:
        _not_owned(step, context)
    if bit is None or not sound:
        return None
    depth = _depth(desk, step, bit, begins, context)
    if depth is None:
        return None
    speed = spindle(
        desk,
        context,
        "drilling",
        cuts_with_of(bit, context),
        bit.size,
        step.diameter,
        wish=step.speed,
        also_bounded=_deep(desk, bit, depth, context),
    )
    if speed is None:
        return None
    pace = _feed(desk, bit, context)
    _travel(begins + depth, step, context)
    _longer_than_a_jobber(bit, end, step, context)
    pecked = pecks(bit.size, depth, context.material.group.value)
    times.estimate(desk, depth / (pace * speed.speed.value), len(pecked.pecks), ("feed", "spindle_speed"))
    table = _drills(desk, bit, entered.value if entered is not None else None, speed.speed.value, context)
    return section(
        context,
        "drill",
        f"Drill {bit.name}",
        f"{step.depth.text} deep" if step.depth is not None else "right through",
        _blocks(desk, table, bit, depth, begins, context),
    )


def _begins(end: Fraction, step: Drill, context: Context) -> Fraction:
    """Where the point meets the work, mm from the face: behind any hole that it passes through, unless that is a pilot all the way."""
    if context.work.hole(Fraction(0), end) is not None:
        return Fraction(0)
    narrow = (
        item.start for item in context.work.over("inside", Fraction(0), end) if item.smallest is None or item.smallest < step.diameter.value
    )
    return next(narrow, Fraction(0))


def _deep(desk: Desk, bit: Bit, depth: Fraction, context: Context) -> list[Bound]:
    """A deep hole is drilled slower: the bound on the speed, turns a minute."""
    deep = deep_hole(bit.size, depth)
    found = cutting_speed(context.material.group.value, "drilling", cuts_with_of(bit, context).value)
    if not deep.deep or found is None:
        return []
    most = spindle_speed(found.speed, bit.size) * deep.speed[0]
    why = basis(
        "1000 v / (pi d), less what a hole of this depth takes off it", ("in_all", context.material.group), source(deep.source, deep.status)
    )
    desk.number("deep", "Deep hole: speed at most", most, "rpm", fixed(most, 0), why, rational=False)
    return [(most, "deep")]


def _something_to_drill(end: Fraction, step: Drill, context: Context) -> bool:
    """Whether some of the hole is still narrower than the drill, solid or not known; False after an error."""
    there = context.work.over("inside", Fraction(0), end)
    narrow = [item for item in there if item.smallest is None or item.smallest < step.diameter.value]
    if narrow or not there:
        return True
    return stock.metal_there("inside", Fraction(0), end, step.diameter.value, step.diameter, context)


def _not_owned(step: Drill, context: Context) -> None:
    near = sorted(drills_of(context), key=lambda drill: abs(drill.size - step.diameter.value))[:4]
    names = ", ".join(
        f"{drill.name} ({length_text(drill.size, context.system, 'caliper')})" for drill in sorted(near, key=lambda drill: drill.size)
    )
    context.faults.error(
        "drill/not-owned",
        f"no drill of {step.diameter.text} is owned",
        step.diameter,
        hint=f"nearest: {names}; or drill smaller and `bore`" if near else "no drills are in the drawers: add a set",
    )


def _depth(desk: Desk, step: Drill, bit: Bit, begins: Fraction, context: Context) -> Fraction | None:
    """How far the drill goes in from where its point meets the work, mm, its point included where it comes out."""
    point = drill_point(bit.size)
    why = basis(DRILL_POINT.formula, (step.diameter,), source(DRILL_POINT.source, DRILL_POINT.status))
    desk.length("point", "Length of the point, at 118 deg", point, why, read_by="caliper", rational=False)
    length = context.work.overall
    if step.depth is not None:
        end = step.depth.value
        words = basis("as the job says: the full diameter goes so deep, the point deeper", (step.depth,), OWNER)
        desk.length("depth", "Depth of the full diameter", end, words, read_by="caliper")
        inputs: tuple[Value | str, ...] = ("depth", "point")
    elif length is not None:
        end, inputs = length.value, (length, "point")
    else:
        context.faults.error(
            "drill/no-length",
            "the hole goes right through, and the length of the work is not known",
            step.diameter,
            hint="add `length` to `blank`, or a `depth` to this step",
        )
        return None
    if begins:
        met = basis("end of the wider hole that the drill passes through", (step.diameter,), GEOMETRY)
        desk.length("begins", "Point meets the work", begins, met, read_by="caliper")
        inputs = (*inputs, "begins")
    less = " - where the point meets the work" if begins else ""
    words = basis(f"{'depth' if step.depth is not None else 'length of the work'} + point{less}", inputs, GEOMETRY)
    desk.length("in_all", "Point goes in by", end + point - begins, words, read_by="caliper", rational=False)
    return end + point - begins


def _feed(desk: Desk, bit: Bit, context: Context) -> Fraction:
    found = drill_feed(bit.size, context.material.group.value)
    middle = (found.low + found.high) / 2
    amount = convert(middle, "mm", desk.unit)
    why = basis(
        "middle of practice for the diameter and the material, by hand", (context.material.group,), source(found.source, found.status)
    )
    desk.number("feed", "Feed", amount, f"{desk.unit}/turn", fixed(amount, 2 if desk.unit == "mm" else 4), why, also="by hand")
    return middle


def _travel(depth: Fraction, step: Drill, context: Context) -> None:
    tail = context.lathe.slides.tailstock
    if tail is None or depth <= tail.travel.value:
        return
    context.faults.warning(
        "drill/tailstock-travel",
        f"the hole is {length_text(depth, context.system, 'rule')} deep with the point, the tailstock barrel travels {tail.travel.text}",
        step.depth or step.diameter,
        hint="wind the barrel back, push the tailstock up against the bottom of the hole, and go on; count the depth from there",
        related=((tail.travel, "its travel"),),
    )


def _longer_than_a_jobber(bit: Bit, end: Fraction, step: Drill, context: Context) -> None:
    """A hole deeper than the flutes of a usual drill: chips jam where they cannot come out."""
    if end >= FAR or not deep_hole(bit.size, end).pilot_depth_passed:
        return
    limit = hole_rule("jobber_depth")
    context.faults.warning(
        "drill/long",
        f"the hole is {fixed(end / bit.size, 0)} diameters deep: a jobber drill's flutes are buried, its chips jam and it breaks",
        step.depth or step.diameter,
        f"up to {fixed(limit.high, 0)} with a jobber drill",
        hint="drill half way from each end, or start with a jobber drill and go on with a long-series one, drawn out every half diameter",
        note=f"{limit.source} ({limit.status})",
    )


def _drills(desk: Desk, bit: Bit, hole: Fraction | None, speed: Fraction, context: Context) -> Table:
    """Every drill on the way with its own speed: the point of one runs in the hole of the last."""
    owned = drills_of(context)
    steps = drill_steps(bit.size, tuple(drill.size for drill in owned))
    sizes = [size for size in steps.sizes if hole is None or size > hole]
    by_size = {drill.size: drill for drill in owned}
    speeds = [row.speed.value for row in context.lathe.spindle.speeds]
    rows: list[Row] = []
    for size in sizes:
        drill = by_size[size]
        found = cutting_speed(context.material.group.value, "drilling", cuts_with_of(drill, context).value)
        turns = speed if size == bit.size or found is None else nearest_not_above(spindle_speed(found.speed, size), speeds) or min(speeds)
        over = drill_oversize(size)
        comes_out = length_text(size + (over.low + over.high) / 2, context.system, "caliper").rsplit(" ", 1)[0]
        rows.append(
            Row(
                (None, None, turns, convert(size + (over.low + over.high) / 2, "mm", desk.unit)),
                ("", drill.name, fixed(turns, 0), comes_out),
            )
        )
    why = basis(
        "pilot from 10 mm on, then steps of 3 to 6 mm, from the drills owned", set_names(context), source(steps.source, steps.status)
    )
    turns_why = basis("the fastest speed there is within n = 1000 v / (pi d), for each diameter", ("cutting_speed",), GEOMETRY)
    over = drill_oversize(bit.size)
    out = basis("drill plus what a hand-ground point cuts over", set_names(context)[:1], source(over.source, over.status))
    columns = (
        desk.column("done", "", "", why, "tick"),
        desk.column("drill", "Drill", "", why, "text"),
        desk.column("rpm", "Speed", "rpm", turns_why, "number"),
        desk.column("hole", "Hole, about", desk.unit, out, "number"),
    )
    return Table("drills", "Drills", columns, tuple(rows))


def _blocks(desk: Desk, table: Table, bit: Bit, depth: Fraction, begins: Fraction, context: Context) -> list[Block | None]:
    pecked = _pecks(desk, bit, depth, begins, context)
    touch = "bottom of the hole, {begins} from the face" if begins else "face"
    steps = (
        Say(f"Touch the point on the {touch}; set the tailstock's dial to zero or mark the barrel. Tailstock locked to the bed."),
        Say(f"Feed so that chips come steadily; {'draw out by the table, clear the flutes, oil' if pecked is not None else 'oil'}."),
        Say("Ease off as the point breaks through: it snatches." if "depth" not in desk else "Stop at {in_all} from the touch."),
    )
    brass = context.material.group.value in ("free-cutting brass", "gunmetal", "leaded bronze")
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Hole", desk.pick("depth", "begins", "in_all", "feed"), Weight.WORK),
        Steps("Drill", steps),
        table,
        pecked,
        Check(Say("Hole runs true: the drill does not weave when the work turns.")),
        caution("drill_lathe"),
        caution("drill_brass") if brass else None,
        FigureGroup("Background", desk.pick("point", "deep", "cutting_speed", "speed_setting", "time"), Weight.KNOW),
    ]


def _pecks(desk: Desk, bit: Bit, depth: Fraction, begins: Fraction, context: Context) -> Table | None:
    """Where to draw the drill out, as the tailstock's dial reads it from the touch."""
    found = pecks(bit.size, depth, context.material.group.value)
    if len(found.pecks) < 2:
        return None
    tail = context.lathe.slides.tailstock
    dial = collar(tail.dial) if tail is not None and tail.dial is not None else None
    rows: list[Row] = []
    for number, reached in enumerate(found.depths, 1):
        deep = length_text(begins + reached, context.system, "rule").rsplit(" ", 1)[0]
        if dial is None:
            rows.append(Row((None, Fraction(number), convert(begins + reached, "mm", desk.unit)), ("", str(number), deep)))
            continue
        reading = dial.at(reached)
        turns = reading.turns_shown
        rows.append(
            Row(
                (None, Fraction(number), Fraction(reading.turns), reading.value, convert(begins + reached, "mm", desk.unit)),
                ("", str(number), turns, reading.shown, deep),
            )
        )
    why = basis(
        "pecks in drill diameters, by the material; the last is what remains",
        ("in_all", context.material.group),
        source(found.source, found.status),
    )
    columns = [desk.column("done", "", "", why, "tick"), desk.column("peck", "Out at", "", why, "number")]
    if dial is not None and tail is not None and tail.dial is not None:
        total = basis("running total from the touch, to the nearest division", ("in_all", tail.dial.division, tail.dial.turn), PRACTICE)
        columns += [
            desk.column("turns", "Turns" if any(row.shown[2] for row in rows) else "", "", total, "text"),
            desk.column("dial", "Dial", dial.unit, total, "dial"),
        ]
    columns.append(desk.column("deep", "Point, from the face", desk.unit, why, "number"))
    return Table(
        "pecks",
        "Draw out at",
        tuple(columns),
        tuple(rows),
        Say("Zero with the point touching the work." if dial else "Marked on the barrel or the drill."),
    )


OPERATION = Operation(Drill, plan, needs)
