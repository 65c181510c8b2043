"""The metal that the taper takes off: whether it is there, where it is thickest, and what cuts it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.cuts import Cuts, plan_cuts
from benchleaf.operations.cutting.said import stands_unknown
from benchleaf.operations.cutting.sizes import Size
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text
from benchleaf.operations.taper.model import TaperStep
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.operations.work import Stretch, diameter_at
from benchleaf.record import record
from benchleaf.sheet.model import Say
from benchleaf.units import convert
from benchleaf.workshop.tooling import BoringBar, TurningTool
from benchleaf.workshop.values import Distance, Length, Measure, Text

__all__ = ["Thickest", "Tool", "cut_plan", "metal", "room_for_the_wall", "tool_for"]

_NOTHING = Fraction(1, 10**6)  # mm


@record
class Thickest:
    """Where most metal comes off: the place, mm from the front face, the diameter there now, and the words that made it."""

    place: Fraction
    diameter: Fraction
    made: Measure


@record
class Tool:
    """What cuts the taper."""

    name: Text
    cuts_with: Text
    least_cut: Length | Distance | None


def metal(wanted: Wanted, context: Context) -> Thickest | None:
    """Where the taper takes most off; None after an error: no metal somewhere, no hole to bore, a blank that does not say."""
    found: Thickest | None = None
    most = -_NOTHING
    for place, now, stretch in _edges(wanted.side, wanted, context):
        if wanted.inside and not now:
            hint = "put a `drill` or `bore` step before it, smaller than the small end"
            stock.hole_to(wanted.start, wanted.end, wanted.at, context, "nothing has made a hole for the boring bar to enter", hint)
            return None
        if now is None:
            stands_unknown(wanted.side, context, f"the taper is cut on the {wanted.side}")
            return None
        taper = wanted.diameter_at(place)
        off = taper - now if wanted.inside else now - taper
        if off < -_NOTHING:
            _no_metal(wanted, place, now, stretch, context)
            return None
        if off > most:
            at = stretch.at
            found, most = Thickest(place, now, Measure(now, "mm", at.text, at.origin)), off
    return found


def _edges(side: str, wanted: Wanted, context: Context) -> list[tuple[Fraction, Fraction | None, Stretch]]:
    """Both ends of every stretch that lies under the taper; straight lines are furthest apart there."""
    over = context.work.over(side, wanted.start, wanted.end)
    return [(place, diameter_at(stretch, place), stretch) for stretch in over for place in (stretch.start, stretch.end)]


def _no_metal(wanted: Wanted, place: Fraction, now: Fraction, stretch: Stretch, context: Context) -> None:
    system, taper = context.system, wanted.diameter_at(place)
    what = "the bore is already" if wanted.inside else "the work is already"
    context.faults.error(
        "route/no-metal",
        f"{what} {length_text(abs(now - taper), system)} {'larger' if wanted.inside else 'smaller'} than the taper at "
        f"{length_text(place, system, 'rule')} from the face",
        wanted.at,
        f"{length_text(taper, system)} there",
        hint="start from a smaller bore, or correct the ends" if wanted.inside else "start from a larger blank, or correct the ends",
        related=((stretch.at, f"{length_text(now, system)}, made so here"),),
    )


def room_for_the_wall(wanted: Wanted, context: Context) -> bool:
    """Whether an inside taper leaves a wall all the way; False after an error."""
    if not wanted.inside:
        return True
    for place, around, stretch in _edges("outside", wanted, context):
        taper = wanted.diameter_at(place)
        if around is not None and around <= taper:
            context.faults.error(
                "route/no-wall",
                f"the taper leaves no wall at {length_text(place, context.system, 'rule')} from the face: it is "
                f"{length_text(taper, context.system)} there, and so is the outside",
                wanted.at,
                hint="correct the ends or the place",
                related=((stretch.at, f"the outside, {length_text(around, context.system)}"),),
            )
            return False
    return True


def tool_for(step: TaperStep, wanted: Wanted, thickest: Thickest | None, context: Context) -> Tool | None:
    """The turning tool or boring bar; None after an error."""
    if not wanted.inside:
        turning = [tool for drawer in context.inputs.toolings for tool in drawer.turning_tools]
        found = tools.find(step.tool, turning, _no_turner, "turning tools", wanted.at, context)
        return None if found is None else Tool(found.name, found.cuts_with, found.least_cut)
    hole = thickest.diameter if thickest is not None else wanted.small.value
    bars = [bar for drawer in context.inputs.toolings for bar in drawer.boring_bars]
    bar = tools.find(
        step.tool,
        bars,
        lambda item: _no_bar(item, hole, wanted.end, context),
        "boring bars",
        wanted.at,
        context,
        best=lambda item: (item.reach.value, -item.smallest_bore.value),
    )
    return None if bar is None else Tool(bar.name, bar.cuts_with, None)


def _no_turner(tool: TurningTool) -> str:
    return "" if any(use.value == "turn" for use in tool.uses) else "it is not for turning along the work"


def _no_bar(bar: BoringBar, hole: Fraction, reach: Fraction, context: Context) -> str:
    if bar.smallest_bore.value > hole:
        return f"it needs a bore of {bar.smallest_bore.text}, and the hole is {length_text(hole, context.system, 'caliper')}"
    if bar.reach.value < reach:
        return f"it reaches {bar.reach.text}, and the taper ends {length_text(reach, context.system, 'rule')} deep"
    return ""


def cut_plan(desk: Desk, wanted: Wanted, thickest: Thickest, tool: Tool, context: Context, *, turns: Fraction) -> Cuts | None:
    """The cuts as readings of the cross-slide's dial, from where the tool first touches; ``turns`` a minute.  None after an error."""
    aim = wanted.diameter_at(thickest.place)
    at_small = aim == wanted.small.value
    at_large = aim == wanted.large.value
    end = "small end" if at_small else "large end" if at_large else f"{length_text(thickest.place, context.system, 'rule')} from the face"
    inputs: tuple[Value | str, ...] = (thickest.made, "small_end" if at_small or not at_large else "large_end")
    formula = f"diameter of the taper at the {end}" if at_small or at_large else f"diameter of the taper {end}"
    size = Size(aim, None, aim, "nominal", formula, GEOMETRY, False, wanted.at)
    desk.length(
        "stock", "From", thickest.diameter, basis("the work as the steps before leave it", (thickest.made,), GEOMETRY), read_by="caliper"
    )
    operation = "boring" if wanted.inside else "turning"
    rough = desk["rough_feed"].value if "rough_feed" in desk else None
    feed = None if not isinstance(rough, Fraction) else rough if desk.unit == "mm" else convert(rough, "in", "mm")
    cuts = plan_cuts(desk, context, operation, thickest.diameter, size, tool.cuts_with, tool.least_cut, inputs, feed=feed, turns=turns)
    if cuts is None:
        return None
    where = f"at the {end}" if at_small or at_large else f"at {end}"
    surface = "the bore" if wanted.inside else "the work"
    touching = f"Zero with the tool touching {surface} {where}, where most comes off; diameters are those there."
    said = cuts.table.caption.words if cuts.table.caption is not None else ""
    first, _, rest = said.partition(". ")
    caption = Say(f"{touching} {rest}" if first.startswith("Zero") else f"{touching} {said}")
    return replace(cuts, table=replace(cuts.table, title=f"Cuts, {where}", caption=caption))
