"""Centre drilling: a centre for the tailstock, or a spot that a drill starts in."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import basis, source
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.holes import centre_drill_depth
from benchleaf.standards.reliefs import centre_hole_for_shaft
from benchleaf.workshop.tooling import CentreDrill as CentreDrillOwned
from benchleaf.workshop.values import Origin, Speed, Text, Word

__all__ = ["OPERATION", "CentreDrill", "plan"]


@record
class CentreDrill:
    """Centre drill the front face."""

    origin: Origin
    tool: Text | None
    speed: Speed | None


def plan(step: CentreDrill, context: Context) -> Section | None:
    """The section of a centre-drilling step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    at = step.tool or Word("centre-drill", step.origin)
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.centre_drills]
    around = work.measure("outside", Fraction(0), Fraction(1, 1000))
    wish = centre_hole_for_shaft(around.value) if around is not None else None
    bore = work.measure("inside", Fraction(0), Fraction(1, 1000))
    tool = tools.find(
        step.tool,
        owned,
        lambda item: _unsuited(item, around.value if around is not None else None),
        "centre drills",
        at,
        context,
        best=lambda item: abs(item.pilot.value - (wish.pilot if wish is not None else item.pilot.value)),
    )
    sound = stock.not_parted(at, context) & end_free("the end is centre drilled", at, context)
    if bore is not None:
        context.faults.error(
            "centre/bored",
            "the end is already bored: there is nothing for a centre drill to cut",
            at,
            hint="put it before the hole, or leave it out: a bored end takes a pipe centre or a chuck",
            related=((bore, "the bore"),),
        )
        sound = False
    work.add("centre", at)
    if tool is None or not sound:
        return None
    speed = spindle(desk, context, "drilling", tool.cuts_with, tool.pilot.value, tool.pilot, wish=step.speed)
    if speed is None:
        return None
    depth = centre_drill_depth(tool.pilot.value, tool.body.value)
    why = basis("half to three quarters of its cone", (tool.pilot, tool.body), source(depth.source, depth.status))
    desk.length("depth", "Cone goes in by", (depth.low + depth.high) / 2, why, read_by="rule", rational=False)
    if wish is not None and around is not None:
        desk.length(
            "pilot_wanted",
            "Pilot for this diameter",
            wish.pilot,
            basis("by the shaft's diameter", (around,), source(wish.source, wish.status)),
            read_by="caliper",
        )
    steps = (
        Say("Face is clean, no pip. Tailstock locked, its barrel short."),
        Say("Feed slowly, plenty of oil, draw back often: the pilot snaps when chips pack. Cone in by {depth}."),
    )
    return section(
        context,
        "centre-drill",
        "Centre drill",
        f"with {tool.name.value}",
        [
            FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
            FigureGroup("Centre", desk.pick("depth"), Weight.WORK),
            Steps("Centre drill", steps),
            FigureGroup("Background", desk.pick("pilot_wanted", "cutting_speed", "speed_setting"), Weight.KNOW),
        ],
    )


def _unsuited(tool: CentreDrillOwned, around: Fraction | None) -> str:
    return "its cone is larger than the end" if around is not None and tool.body.value >= around else ""


OPERATION = Operation(CentreDrill, plan)
