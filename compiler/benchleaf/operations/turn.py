"""Turning the outside to a size, along the work, up to a shoulder where the cut ends inside it."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import slender, stock, times, tools
from benchleaf.operations.cutting.cuts import Cuts, plan_cuts
from benchleaf.operations.cutting.feeds import feed
from benchleaf.operations.cutting.said import near_end, said, stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, fit_figure, read_size, size_figure
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import clear_of_carrier, held_firmly
from benchleaf.operations.desk import Desk, basis, length_text
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.workshop.tooling import TurningTool
from benchleaf.workshop.values import Distance, Length, Origin, Speed, Text

__all__ = ["OPERATION", "Turn", "plan"]


@record
class Turn:
    """Turn the outside to size over a length."""

    origin: Origin
    to: Text
    from_: Distance
    length: Length
    mates_with: Text | None
    tool: Text | None
    speed: Speed | None


def plan(step: Turn, context: Context) -> Section | None:
    """The section of a turning step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    start = step.from_.value
    end = start + step.length.value
    size = read_size(step.to, "outside", context, "turning")
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.turning_tools]
    tool = tools.find(step.tool, owned, _unsuited, "turning tools", step.to, context)
    holding.clears_cross_slide(context)
    sound = (
        stock.not_parted(step.to, context)
        & stock.within_length(end, step.length, context)
        & holding.in_reach(end, step.length, context)
        & clear_of_carrier(end, step.length, context)
    )
    if size is None:
        return None
    sound &= stock.spares_finished("outside", start, end, step.to, context, to=size.aim)
    if not stock.metal_there("outside", start, end, size.aim, step.to, context):
        return None
    before = work.measure("outside", start, end)
    shoulder = work.over("outside", end, end + _NEXT)
    _plunges(start, size, step, context)
    stock.cut_to("outside", start, end, size.aim, "fit" if size.is_fit or step.mates_with else "turned", step.to, context)
    if before is None:
        stands_unknown("outside", context, "the outside is turned")
        return None
    if tool is None or not sound:
        return None
    size_figure(desk, size, "Turn to")
    fit_figure(desk, size, step.mates_with, "outside", context)
    desk.length("stock", "From", before.value, basis("the work as the steps before leave it", (before,), size.source), read_by="caliper")
    speed = spindle(desk, context, "turning", tool.cuts_with, before.value, "stock", wish=step.speed)
    rough = feed(desk, context, "turning", tool.cuts_with, "roughing", prefix="rough_")
    fine = feed(desk, context, "turning", tool.cuts_with, "finishing", prefix="fine_")
    if speed is None or rough is None or fine is None:
        return None
    cuts = plan_cuts(
        desk, context, "turning", before.value, size, tool.cuts_with, tool.least_cut, (before, "size"), feed=rough, turns=speed.speed.value
    )
    slender.check(start, end, size, context)
    if cuts is None or not held_firmly(context):
        return None
    minutes = step.length.value / speed.speed.value * (cuts.roughing / rough + cuts.finishing / fine)
    times.estimate(desk, minutes, cuts.count, ("rough_feed", "fine_feed", "spindle_speed", "cuts"))
    at_shoulder = bool(shoulder)
    return section(
        context,
        "turn",
        f"Turn to {step.to.value}",
        f"{step.length.text} long{near_end(step.from_)}, with {tool.name.value}",
        _blocks(desk, step, cuts, at_shoulder, context),
    )


def _unsuited(tool: TurningTool) -> str:
    return "" if any(use.value == "turn" for use in tool.uses) else "it is not for turning along the work"


def _plunges(start: Fraction, size: Size, step: Turn, context: Context) -> None:
    """A cut that begins behind a larger diameter: the tool comes from the tailstock and cannot get there but by plunging in."""
    front = context.work.over("outside", start - _NEXT, start)[-1:]
    first = context.work.smallest("outside", start, start + _NEXT)
    in_groove = first is not None and first.smallest is not None and first.smallest < size.aim
    if not front or in_groove or front[0].far is None or front[0].far <= size.aim:
        return
    context.faults.warning(
        "turning/plunges",
        f"the cut begins behind {length_text(front[0].far, context.system, 'caliper')}, larger than it is to be: "
        "a turning tool cannot plunge in there",
        step.from_,
        hint="turn what lies in front of it first, the smallest diameter last of all; or cut a `groove` there for the tool to start in",
        related=((front[0].at, "what lies in front"),),
    )


_NEXT = Fraction(1, 1000)  # mm: the very end of what lies beside a cut


def _blocks(desk: Desk, step: Turn, cuts: Cuts, at_shoulder: bool, context: Context) -> list[Block | None]:
    first = "Mark the end of the cut at {length} from the face" if step.from_.value == 0 else "Mark both ends of the cut from the face"
    said(desk, "length", "Length", step.length)
    ends = "; stop short of the shoulder, face it with the last cut, outwards" if at_shoulder else ""
    steps = Steps(
        "Turn",
        (
            Say(f"{first}{ends}."),
            Say("Touch the tool on the work, set the dial to zero, wind back to the face."),
            Say("Take the cuts by the table. Stop the spindle and measure before the last one."),
        ),
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Dial", desk.pick("first_dial", "last_dial"), Weight.SET),
        FigureGroup("Size", desk.pick("size", "size_aim", "fit", "stock", "length", "rough_feed", "fine_feed"), Weight.WORK),
        steps,
        cuts.table,
        cuts.box,
        Check(Say("Edges broken; {size} measured at both ends: a difference is taper.")),
        caution("measure"),
        FigureGroup("Background", desk.pick(*_KNOW), Weight.KNOW),
    ]


_KNOW = ("to_remove", "cutting_speed", "speed_setting", "depth_of_cut", "finish_cut", "cuts", "dial_worth", "time")


OPERATION = Operation(Turn, plan)
