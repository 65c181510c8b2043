"""Chamfers on an edge: outside or in the mouth of a bore, at the front or at a shoulder."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.said import near_end, said, stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, basis, length_text
from benchleaf.operations.dials import collar
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Block, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.workshop.tooling import BoringBar, TurningTool
from benchleaf.workshop.values import Distance, Length, Origin, PositiveAngle, Text

__all__ = ["OPERATION", "Chamfer", "plan"]


@record
class Chamfer:
    """A chamfer: its width along the axis, its angle to the axis, the edge that it is on."""

    origin: Origin
    where: Text
    from_: Distance
    width: Length
    angle: PositiveAngle
    tool: Text | None


def plan(step: Chamfer, context: Context) -> Section | None:
    """The section of a chamfering step, or None when its faults leave nothing true to print."""
    desk, work, side = context.desk(), context.work, step.where.value
    start = step.from_.value
    end = start + step.width.value
    sound = stock.not_parted(step.width, context) & stock.within_length(end, step.width, context)
    now = work.measure(side, start, end)
    inside = side == "inside"
    radial = step.width.value * tan_degrees(step.angle.value)
    if now is None:
        stands_unknown(side, context, f"the edge is chamfered {side}")
        return None
    edge = now.value + 2 * radial if inside else now.value - 2 * radial
    sound &= stock.wall_left(start, end, edge, step.width, context) if inside else _solid(edge, step, context)
    sound &= _on_an_edge(start, now.value, edge, step, context)
    tool: TurningTool | BoringBar | None
    if inside:
        bars = [bar for drawer in context.inputs.toolings for bar in drawer.boring_bars]
        tool = tools.find(
            step.tool, bars, lambda bar: "" if bar.smallest_bore.value <= now.value else f"it needs a bore of {bar.smallest_bore.text}",
            "boring bars", step.width, context, best=lambda bar: bar.reach.value,
        )  # fmt: skip
    else:
        owned = [item for drawer in context.inputs.toolings for item in drawer.turning_tools]
        tool = tools.find(step.tool, owned, _unsuited, "turning tools", step.width, context)
    kind = next((item.kind for item in work.over(side, start, end) if item.kind == "thread"), "chamfer")
    work.cut(side, start, end, edge, "chamfer" if kind != "thread" else "thread", step.width, far=now.value)
    if tool is None or not sound:
        return None
    said(desk, "width", "Width, along the axis", step.width)
    desk.number(
        "angle", "Angle to the axis", step.angle.value, "deg", fixed(step.angle.value, 0), basis("as the job says", (step.angle,), PRACTICE)
    )
    why = basis("diameter at the edge, by width x tan(angle)", (now, "width", "angle"), GEOMETRY)
    desk.length("edge", "Diameter at the edge", edge, why, read_by="caliper", rational=False)
    speed = spindle(desk, context, "boring" if inside else "turning", tool.cuts_with, now.value, now)
    if speed is None:
        return None
    cross = context.lathe.slides.cross_slide
    reading = collar(cross.dial).at(radial, winding_out=inside)
    dial_why = basis("from the touch on the edge, to the nearest division", ("edge", cross.dial.division, cross.dial.reads), PRACTICE)
    desk.number(
        "last_dial",
        "Out from the touch" if inside else "In from the touch",
        reading.value,
        collar(cross.dial).unit,
        reading.in_words,
        dial_why,
    )
    return section(
        context,
        "chamfer",
        f"Chamfer {step.width.text} at {step.angle.text} {side}",
        f"with {tool.name.value}{near_end(step.from_)}",
        _blocks(desk, inside),
    )


def _on_an_edge(start: Fraction, now: Fraction, edge: Fraction, step: Chamfer, context: Context) -> bool:
    """Whether there is a corner at that place, the front face or a shoulder, and the chamfer stays on it; False after an error."""
    if start == 0:
        return True
    side, inside = step.where.value, step.where.value == "inside"
    front = context.work.over(side, start - Fraction(1, 1000), start)[-1:]
    before = front[0].far if front else None
    if before is None:
        return True
    step_there = before - now if inside else now - before
    if step_there <= 0:
        context.faults.error(
            "chamfer/no-edge",
            "there is no corner to chamfer at that place: the work is no "
            + ("wider" if inside else "smaller")
            + f" in front of it, {length_text(before, context.system)}",
            step.from_,
            hint="`from` is where the "
            + ("bore narrows" if inside else "shoulder begins")
            + ", counted from the front face as it is by then",
            related=((front[0].at, "what lies in front"),),
        )
        return False
    if (edge - before if inside else before - edge) <= 0:
        return True
    context.faults.error(
        "chamfer/too-wide",
        f"the chamfer is wider than the shoulder is high: it would cut "
        f"{length_text(abs(edge - before) / 2, context.system)} into what lies in front",
        step.width,
        hint=f"make it {length_text(step_there / 2 / tan_degrees(step.angle.value), context.system)} wide at most",
        related=((front[0].at, "what lies in front"),),
    )
    return False


def _solid(edge: Fraction, step: Chamfer, context: Context) -> bool:
    bore = context.work.largest("inside", step.from_.value, step.from_.value + step.width.value)
    if edge > (bore.largest or 0 if bore is not None else 0):
        return True
    context.faults.error(
        "chamfer/too-wide",
        "a chamfer of this width leaves nothing of the end",
        step.width,
        hint="make it narrower, or flatter (`angle`)",
    )
    return False


def _unsuited(tool: TurningTool) -> str:
    return "" if any(use.value == "chamfer" for use in tool.uses) else "it is not for chamfers"


def _blocks(desk: Desk, inside: bool) -> list[Block | None]:
    steps = (
        Say("Edge of the tool at {angle} to the axis, on centre height."),
        Say(
            f"Touch the corner, set the dial to zero, {'wind out' if inside else 'feed in'} to {{last_dial}}; dwell a "
            f"turn. Width {{width}}."
        ),
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Dial", desk.pick("last_dial"), Weight.SET),
        FigureGroup("Chamfer", desk.pick("width", "angle", "edge"), Weight.WORK),
        Steps("Chamfer", steps),
        FigureGroup("Background", desk.pick("cutting_speed", "speed_setting"), Weight.KNOW),
    ]


OPERATION = Operation(Chamfer, plan)
