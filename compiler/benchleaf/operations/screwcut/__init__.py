"""Screwcutting: a single-point thread, inside or outside, right or left hand, single or multi-start.

:func:`plan` reads as the job does: thread, blank, tool, train, speed, cuts, gauging; then all of it is laid out in the order in which it is
wanted at the machine.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, basis
from benchleaf.operations.registry import Operation
from benchleaf.operations.screwcut import indexing, relief, taper, tapping
from benchleaf.operations.screwcut.cutting import cutting
from benchleaf.operations.screwcut.gauging import gauging
from benchleaf.operations.screwcut.gearing import Gearing, find_gearing
from benchleaf.operations.screwcut.layout import lay_out
from benchleaf.operations.screwcut.missing import needs, with_relief
from benchleaf.operations.screwcut.model import Ending, Screwcut
from benchleaf.operations.screwcut.names import known
from benchleaf.operations.screwcut.speed import spindle_speed
from benchleaf.operations.screwcut.thread import Wanted, aim, blank_figures, read_thread, thread_figures
from benchleaf.operations.screwcut.tool import find_tool
from benchleaf.sheet.model import Section

__all__ = ["OPERATION", "plan"]


def plan(step: Screwcut, context: Context) -> Section | None:
    """The section of a screwcutting step, or None when its faults leave nothing true to print."""
    work = with_relief(step, context)
    if work is None:
        return None
    desk = context.desk()
    wanted = read_thread(work, context)
    if wanted is None or not known(work, context):
        return None
    placed = _placed(work, wanted, context)
    # Everything that can be judged on its own is judged, so that one run finds all faults.
    thread_figures(desk, wanted)
    start = blank_figures(desk, wanted, work, context)
    follows = taper.follow(wanted, work, context)
    if wanted.thread.taper:
        taper.setting(desk, wanted, work, context)
        start = taper.stock(wanted, work, context) if start is not None else None
    tapping.offer(desk, wanted, work, context)
    tool = find_tool(work, wanted, context)
    gearing = find_gearing(desk, wanted, work, context)
    if gearing is None or tool is None:
        relief.check(desk, wanted, work, None, context)
        return None
    speed = spindle_speed(desk, work, wanted, tool, gearing.train.lead, context)
    indexed = indexing.index(desk, wanted, gearing, work, context)
    _nose(gearing, wanted, work, context)
    cut = cutting(desk, wanted, work, tool, start, context) if start is not None else None
    ending = relief.check(desk, wanted, work, cut.infeed.root if cut else None, context)
    _cut_away(work, wanted, context)
    if cut is None or speed is None or not ending or not indexed or not follows or not placed:
        return None
    gauge = gauging(desk, wanted, work, cut.collar, cut.angle, cut.infeed.root, context)
    _scratch(desk, wanted, gearing, work)
    thread = wanted.thread
    hand = "" if thread.hand == "right" else ", left hand"
    named = thread.designation if thread.designation.endswith(wanted.side) else f"{thread.designation} {wanted.side}"
    return Section(
        context.section_id,
        "screwcut",
        f"Screwcut {named}{hand}",
        f"{work.length.text} long, {_ending_words(work)}, with {tool.name.value}",
        lay_out(desk, wanted, gearing, cut, gauge, work, context),
    )


def _placed(step: Screwcut, wanted: Wanted, context: Context) -> bool:
    """Whether the thread can be where it is to be, as the work stands and is held; False after an error."""
    start, side = step.from_.value, step.where.value
    end = start + step.length.value
    if not wanted.inside:
        holding.clears_cross_slide(context)
    beyond = step.ends_in.relief.width.value if isinstance(step.ends_in, Ending) and step.ends_in.relief is not None else Fraction(0)
    return (
        stock.not_parted(wanted.at, context)
        & stock.within_length(end, step.length, context)
        & (wanted.inside or holding.in_reach(end + beyond, step.length, context))
        & stock.spares_finished(side, start, end, wanted.at, context)
    )


def _cut_away(step: Screwcut, wanted: Wanted, context: Context) -> None:
    """Tell the work what was cut: the thread, and the relief that the step itself asks for."""
    start, side = step.from_.value, step.where.value
    end = start + step.length.value
    size = wanted.limits.minor if wanted.inside else wanted.limits.major
    if isinstance(step.ends_in, Ending) and step.ends_in.relief is not None:
        relief = step.ends_in.relief
        bottom = relief.diameter.value if relief.diameter is not None else wanted.thread.minor_diameter
        context.work.cut(side, end, end + relief.width.value, bottom, "groove", relief.width)
    context.work.cut(side, start, end, aim(size), "thread", wanted.at)


def _ending_words(step: Screwcut) -> str:
    ending = step.ends_in
    if not isinstance(ending, Ending):
        return f"to a {ending.value}" if ending.value == "shoulder" else "to a free end"
    if ending.relief is not None:
        return f"into a relief {ending.relief.width.text} wide"
    return f"running out over {ending.run_out.length.text}" if ending.run_out is not None else ""


def _nose(gearing: Gearing, wanted: Wanted, step: Screwcut, context: Context) -> None:
    """Reversing: can this spindle do it, and does a screwed nose stand it?  A screwed nose holds only while the spindle drives forward."""
    spindle, holding = context.lathe.spindle, context.holding
    outwards = step.stop_by.value == "outwards"
    goes_back = gearing.half_nuts.rule == "never" and step.stop_by.value != "hand"
    if (outwards or goes_back) and not spindle.reverse.value:
        why = "the tool cuts away from the headstock" if outwards else "the half-nuts stay closed, so the tool goes back by reversing"
        context.faults.error(
            "nose/no-reverse",
            f"{why}, and this spindle does not reverse",
            spindle.reverse,
            "said here",
            hint="turn the spindle by hand both ways (`stop-by: hand`)",
            related=((wanted.at, "the thread"),),
        )
    if spindle.nose.fixing.value != "screwed" or (holding is not None and not holding.on_nose.value):
        return
    if outwards:
        context.faults.error(
            "nose/reverse",
            "cutting with the spindle in reverse can unscrew the chuck from this nose",
            spindle.nose.fixing,
            "a screwed nose",
            hint="retain the chuck positively, or cut towards the headstock into a relief",
            related=((step.stop_by, "asks for it"),),
        )
    elif goes_back:
        context.faults.warning(
            "nose/reverse",
            "the tool goes back by reversing the spindle, which can unscrew the chuck from this nose",
            spindle.nose.fixing,
            "a screwed nose",
            hint="let the spindle come to rest before reversing, slowest speed, no braking; or turn it back by hand",
            related=((wanted.at, "half-nuts must stay closed for this thread"),),
        )


def _scratch(desk: Desk, wanted: Wanted, gearing: Gearing, step: Screwcut) -> None:
    """A distance to check with a rule before the first real cut: as many whole turns as the thread is long, ten at most."""
    lead = gearing.train.lead
    turns = max(1, min(10, int(step.length.value / lead)))
    why = basis("whole turns that the length of thread holds, ten at most", (step.length, "lead_actual"), PRACTICE)
    desk.number("scratch_turns", "Scratch check over", Fraction(turns), "turns", str(turns), why)
    span = basis("turns x lead cut", ("scratch_turns", "lead_actual"), GEOMETRY)
    desk.length("scratch_check", f"{turns} turns must span", turns * lead, span, read_by="caliper")


OPERATION = Operation(Screwcut, plan, needs)
