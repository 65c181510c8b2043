"""Boring a hole to a size with a bar, in the cross-slide's dial readings."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, times, tools
from benchleaf.operations.cutting.bits import largest_up_to
from benchleaf.operations.cutting.cuts import Cuts, plan_cuts
from benchleaf.operations.cutting.feeds import feed
from benchleaf.operations.cutting.said import near_end, said
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, fit_figure, read_size, size_figure
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import Desk, basis, length_text, source, stands_for
from benchleaf.operations.drill import Drill
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.holes import bar_overhang, boring_allowance, longest_overhang
from benchleaf.workshop.tooling import BoringBar
from benchleaf.workshop.values import Distance, Length, Measure, Origin, Speed, Text

__all__ = ["OPERATION", "Bore", "needs", "plan"]


@record
class Bore:
    """Bore to size over a length; right through when no length is given."""

    origin: Origin
    to: Text
    from_: Distance
    length: Length | None
    mates_with: Text | None
    tool: Text | None
    speed: Speed | None


def needs(step: Bore, context: Context) -> list[tuple[str, Any]]:
    """A hole for the bar to enter, drilled as large as leaves enough to bore, where there is none."""
    start, end = _ends(step, context)
    if context.work.hole(start, end) is not None:
        return []
    size = read_size(step.to, "inside", context)
    if size is None:
        return []
    bit = largest_up_to(
        size.aim - boring_allowance(size.aim).high, context, min((bar.smallest_bore.value for bar in _bars(context)), default=Fraction(0))
    )
    if bit is None:
        return []
    at = stands_for(step.to)
    depth = None if step.length is None else Measure(end, "mm", length_text(end, context.system, "caliper"), at)
    return [("drill", Drill(step.origin, Measure(bit.size, "mm", bit.name, at), depth, None))]


def plan(step: Bore, context: Context) -> Section | None:
    """The section of a boring step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    start, end = _ends(step, context)
    size = read_size(step.to, "inside", context, "boring")
    at = step.length or step.to
    sound = stock.not_parted(step.to, context) & stock.within_length(end, at, context) & end_free("the hole is bored", step.to, context)
    if size is None:
        return None
    sound &= stock.spares_finished("inside", start, end, step.to, context, to=size.aim)
    hole = stock.hole_to(start, end, step.to, context, "nothing has made a hole for the boring bar to enter", _drill_hint(size, context))
    mouth = work.hole(Fraction(0), end)
    enough = stock.metal_there("inside", start, end, size.aim, step.to, context) & stock.wall_left(start, end, size.aim, step.to, context)
    reach = end if start or step.length is not None else work.end
    bar = tools.find(
        step.tool,
        list(_bars(context)),
        lambda item: _unsuited(item, mouth.value if mouth is not None else size.aim, reach, context),
        "boring bars",
        step.to,
        context,
        best=lambda item: (-item.smallest_bore.value, item.reach.value),  # the stiffest that goes in
    )
    if enough:
        stock.cut_to("inside", start, end, size.aim, "fit" if size.is_fit or step.mates_with else "bored", step.to, context)
    if hole is None or not enough or bar is None or not sound:
        return None
    size_figure(desk, size, "Bore to")
    fit_figure(desk, size, step.mates_with, "inside", context)
    desk.length("stock", "From", hole.value, basis("the hole as the steps before leave it", (hole,), size.source), read_by="caliper")
    _overhang(desk, step, bar, reach, context)
    speed = spindle(desk, context, "boring", bar.cuts_with, size.aim, "size", wish=step.speed)
    rough = feed(desk, context, "boring", bar.cuts_with, "roughing", prefix="rough_")
    fine = feed(desk, context, "boring", bar.cuts_with, "finishing", prefix="fine_")
    if speed is None or rough is None or fine is None:
        return None
    cuts = plan_cuts(desk, context, "boring", hole.value, size, bar.cuts_with, None, (hole, "size"), feed=rough, turns=speed.speed.value)
    if cuts is None:
        return None
    times.estimate(
        desk,
        (end - start) / speed.speed.value * (cuts.roughing / rough + cuts.finishing / fine),
        cuts.count,
        ("rough_feed", "fine_feed", "spindle_speed", "cuts"),
    )
    long = f"{step.length.text} deep" if step.length is not None else "right through"
    blind = step.length is not None and (work.length is None or end < work.end)
    if step.length is not None:
        said(desk, "length", "Depth", step.length)
    return section(
        context,
        "bore",
        f"Bore to {step.to.value}",
        f"{long}{near_end(step.from_)}, with {bar.name.value}",
        _blocks(desk, cuts, blind),
    )


def _bars(context: Context) -> list[BoringBar]:
    return [bar for drawer in context.inputs.toolings for bar in drawer.boring_bars]


def _ends(step: Bore, context: Context) -> tuple[Fraction, Fraction]:
    start = step.from_.value
    return start, context.work.end if step.length is None else start + step.length.value


def _drill_hint(size: Size, context: Context) -> str:
    bit = largest_up_to(size.aim - boring_allowance(size.aim).high, context)
    return f"put a `drill` step before it, of {bit.name} say" if bit is not None else "put a `drill` step before it"


def _unsuited(bar: BoringBar, hole: Fraction, reach: Fraction, context: Context) -> str:
    if bar.smallest_bore.value > hole:
        return f"it needs a bore of {bar.smallest_bore.text}, and the hole is {length_text(hole, context.system, 'caliper')}"
    if bar.reach.value < reach:
        return f"it reaches {bar.reach.text}, and the bore is {length_text(reach, context.system, 'rule')} deep"
    return ""


def _overhang(desk: Desk, step: Bore, bar: BoringBar, reach: Fraction, context: Context) -> None:
    """How far the bar stands out, against what a bar of its shank stands."""
    if bar.shank is None:
        return
    limit = bar_overhang()
    most = longest_overhang(bar.shank.value)
    ratio = reach / bar.shank.value
    why = basis("depth of the bore / diameter of the bar", (bar.shank, bar.reach), source(limit.source, limit.status))
    desk.number("overhang", "Bar stands out", ratio, "bar diameters", fixed(ratio, 1), why)
    if reach > most:
        context.faults.warning(
            "bore/bar-slender",
            f"the bar stands out {length_text(reach, context.system, 'rule')}, {fixed(ratio, 1)} of its diameters: it chatters and springs",
            step.tool or step.to,
            f"a steel bar stands {length_text(most, context.system, 'rule')}",
            hint="a thicker bar if the hole takes one; light cuts, slow, and spring passes until it cuts no more",
            note=f"{limit.source} ({limit.status})",
            related=((bar.shank, "its diameter"),),
        )


def _blocks(desk: Desk, cuts: Cuts, blind: bool) -> list[Block | None]:
    bottom = (Say("Mark {length} on the bar, or set the saddle stop; wind the last of it by hand."),) if blind else ()
    steps = (
        Say("Bar on centre height or a hair above, no longer out than the bore is deep."),
        *bottom,
        Say("Touch the bore, set the dial to zero, take the cuts by the table; measure before the last one."),
        Say("Spring pass at the last reading until it cuts no more."),
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Dial", desk.pick("first_dial", "last_dial"), Weight.SET),
        FigureGroup("Size", desk.pick("size", "size_aim", "fit", "stock", "length", "rough_feed", "fine_feed"), Weight.WORK),
        Steps("Bore", steps),
        cuts.table,
        cuts.box,
        Check(Say("{size} measured at the mouth and at the bottom: a difference is taper or spring.")),
        caution("bore"),
        FigureGroup("Background", desk.pick(*_KNOW), Weight.KNOW),
    ]


_KNOW = ("to_remove", "overhang", "cutting_speed", "speed_setting", "depth_of_cut", "finish_cut", "cuts", "dial_worth", "time")

OPERATION = Operation(Bore, plan, needs)
