"""Threading a hole with a tap that is owned: the hole for it, the order of taps, by hand and square."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.bits import drills_of, set_names
from benchleaf.operations.cutting.said import said
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import PRACTICE, Desk, basis, length_text, source, stands_for
from benchleaf.operations.drill import Drill
from benchleaf.operations.registry import Operation
from benchleaf.operations.screwcut.gauging import same_thread
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapping import SHARE, choose_drill, hole_for_share, share_of_thread
from benchleaf.standards.tapping import Drill as Bit
from benchleaf.standards.threads import DesignationError, Thread, parse_designation
from benchleaf.workshop.values import Length, Measure, Origin, Share, Text

__all__ = ["OPERATION", "Tap", "hole_limits", "needs", "plan", "read_thread"]

_USUAL_SHARE = Fraction(3, 4)  # of the basic depth, where nothing else decides; common practice
_DEEP = Fraction(29, 50)  # pitches: basic depths above it (Whitworth 0.64, BA 0.6; 60 degree threads 0.54) are cut to the usual share
_MOST, _LEAST = Fraction(17, 20), Fraction(1, 2)  # of the basic depth: above it taps break, below it threads strip; common practice


@record
class Tap:
    """Tap a hole; right through when no depth is given."""

    origin: Origin
    thread: Text
    depth: Length | None
    share: Share | None
    tool: Text | None


def read_thread(words: Text, context: Context) -> Thread | None:
    """The thread that the words designate, or None with a diagnostic at them."""
    try:
        return parse_designation(words.value)
    except DesignationError as error:
        context.faults.error("thread/designation", error.message, words, hint=error.hint)
        return None


def hole_limits(thread: Thread, engagement: Fraction, share: Share | None) -> tuple[Fraction, Fraction, Fraction, str, str]:
    """(aim, lower, upper, source, status) of the hole before tapping, mm: the minor diameter's limits, or the depth that a share leaves.

    Without limits of a class, half to 85 % of the basic depth is let pass (common practice).
    """
    depth = (thread.major - thread.minor_diameter) / 2
    limits = thread.limits(True, engagement).minor
    if share is None and limits.lower is not None and limits.upper is not None and depth < _DEEP * thread.pitch:
        return (limits.lower + limits.upper) / 2, limits.lower, limits.upper, limits.source, limits.status
    usual = hole_for_share(thread.major, depth, _USUAL_SHARE)
    if share is None and limits.lower is not None and limits.upper is not None:  # a deep form: the middle of its limits binds the tap
        return min(max(usual, limits.lower), limits.upper), limits.lower, limits.upper, SHARE.source, SHARE.status
    aim = hole_for_share(thread.major, depth, share.value) if share is not None else usual
    tightest, loosest = hole_for_share(thread.major, depth, _MOST), hole_for_share(thread.major, depth, _LEAST)
    return aim, min(tightest, aim), max(loosest, aim), SHARE.source, SHARE.status  # a share that is asked for is the owner's to choose


def needs(step: Tap, context: Context) -> list[tuple[str, Any]]:
    """The hole for the tap, with room for its lead beyond a blind thread, where there is none."""
    end = step.depth.value if step.depth is not None else context.work.end
    if context.work.hole(Fraction(0), end) is not None:
        return []
    try:
        thread = parse_designation(step.thread.value)
        bit = _bit(thread, step, context)
    except DesignationError:
        return []
    if bit is None:
        return []
    at = stands_for(step.thread)
    deep = None if step.depth is None else Measure(step.depth.value + _ROOM * thread.pitch, "mm", step.depth.text, stands_for(step.depth))
    return [("drill", Drill(step.origin, Measure(bit.size, "mm", bit.name, at), deep, None))]


_ROOM = 5  # pitches beyond a blind thread, for the lead of the tap and chips; common practice


def _bit(thread: Thread, step: Tap, context: Context) -> Bit | None:
    aim, lower, upper, _, _ = hole_limits(thread, step.depth.value if step.depth is not None else thread.major, step.share)
    return choose_drill(drills_of(context), aim, lower, upper)


def plan(step: Tap, context: Context) -> Section | None:
    """The section of a tapping step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    thread = read_thread(step.thread, context)
    if thread is None:
        return None
    owned = [tap for drawer in context.inputs.toolings for tap in drawer.taps]
    tool = tools.find(
        step.tool,
        owned,
        lambda item: "" if same_thread(item.thread.value, thread) else f"it cuts {item.thread.value}",
        "taps",
        step.thread,
        context,
    )
    end = step.depth.value if step.depth is not None else work.end
    aim, lower, upper, by, status = hole_limits(thread, end if step.depth is not None else thread.major, step.share)
    bit = _bit(thread, step, context)
    hint = f"put a `drill` step of {bit.name} before it" if bit is not None else f"bore it to {length_text(aim, context.system)} before"
    hole = stock.hole_to(Fraction(0), end, step.depth or step.thread, context, "nothing has made the hole that is to be tapped", hint)
    sound = stock.not_parted(step.thread, context) & stock.spares_finished(
        "inside", Fraction(0), end, step.thread, context, to=thread.major
    )
    sound &= stock.within_length(end, step.depth or step.thread, context) & end_free("the hole is tapped", step.thread, context)
    if hole is not None:
        sound &= _hole_right(hole, lower, upper, hint, step, thread, context) & _room_below(end, step, thread, context)
    stock.open_to(end, hole.value if hole is not None else aim, "thread", step.thread, context, up_to=thread.major)
    if hole is None or tool is None or not sound:
        return None
    why = basis(
        "the minor diameter's limits, or the depth of thread that is asked for",
        (step.thread, *((step.share,) if step.share else ())),
        source(by, status),
    )
    desk.length("hole", "Hole for tapping", aim, why, limits=(lower, upper))
    desk.length("stock", "Hole there is", hole.value, basis("the hole as the steps before leave it", (hole,), PRACTICE), read_by="caliper")
    leaves = share_of_thread(thread.major, (thread.major - thread.minor_diameter) / 2, hole.value)
    desk.number(
        "share",
        "Leaves of the basic depth",
        leaves * 100,
        "%",
        fixed(leaves * 100, 0),
        basis(SHARE.formula, ("stock", step.thread), source(SHARE.source, SHARE.status)),
    )
    if bit is not None:
        drill = basis("the owned drill nearest to the hole wanted", ("hole", *set_names(context)), PRACTICE)
        desk.words("drill", "Drill for it", bit.name, drill)
    if step.depth is not None:
        said(desk, "depth", "Full thread, deep", step.depth)
    long = f"{step.depth.text} deep" if step.depth is not None else "right through"
    return section(context, "tap", f"Tap {thread.designation}", f"{long}, with {tool.name.value}", _blocks(desk, thread, step, context))


def _hole_right(hole: Measure, lower: Fraction, upper: Fraction, hint: str, step: Tap, thread: Thread, context: Context) -> bool:
    system = context.system
    if lower <= hole.value <= upper:
        return True
    small = hole.value < lower
    off = length_text(lower - hole.value if small else hole.value - upper, system)
    words = f"{off} {'under' if small else 'over'} what {thread.designation} wants before tapping"
    needed = f"{length_text(lower, system).rsplit(' ', 1)[0]} to {length_text(upper, system)}"
    holds = not small and hole.value <= hole_for_share(thread.major, (thread.major - thread.minor_diameter) / 2, _LEAST)
    found = "the tap binds and breaks" if small else "the thread is outside its class" if holds else "the thread is shallow and strips"
    report = context.faults.warning if holds else context.faults.error
    report(
        "tap/hole-small" if small else "tap/hole-large",
        f"the hole is {words}: {found}",
        step.thread,
        f"needs {needed}",
        hint=hint
        if small
        else "good for a common fixing; a gauged thread wants a smaller hole"
        if holds
        else "bush it, or take the next size of thread",
        related=((hole, "the hole"),),
    )
    return holds


def _room_below(end: Fraction, step: Tap, thread: Thread, context: Context) -> bool:
    """A blind hole goes deeper than the full thread: the tap's lead needs room, and so do chips."""
    if step.depth is None or context.work.length is None or end >= context.work.length:
        return True
    reach = end + _ROOM * thread.pitch
    if all(item.smallest for item in context.work.over("inside", end, min(reach, context.work.length))):
        return True
    context.faults.warning(
        "tap/no-room",
        "the hole ends with the thread: the lead of the tap meets the bottom before the thread is full",
        step.depth,
        hint=f"drill {length_text(reach, context.system, 'rule')} deep, or finish with a bottoming tap",
        note=f"about {_ROOM} pitches beyond the full thread (common practice)",
    )
    return True


def _blocks(desk: Desk, thread: Thread, step: Tap, context: Context) -> list[Block | None]:
    blind = step.depth is not None and (context.work.length is None or step.depth.value < context.work.length)
    left = " to the left" if thread.hand == "left" else ""
    steps = (
        Say("Mouth of the hole countersunk a little over the thread. Spindle stopped, motor isolated, in low gear so that it stands."),
        Say(
            f"Tap square: its back end on the tailstock's centre, which follows; turn{left} by the wrench, a turn on, "
            f"half a turn back to break the chip."
        ),
        Say(
            "Taper, second, then bottoming tap; clear the chips out each time."
            if blind
            else "Cutting oil (iron and brass dry); clear the flutes each few turns."
        ),
    )
    return [
        FigureGroup("Hole", desk.pick("hole", "stock", "depth"), Weight.WORK),
        Steps("Tap", steps),
        Check(Say("Burrs off; plug gauge or mating screw goes in by hand.")),
        caution("tap"),
        FigureGroup("Background", desk.pick("drill", "share"), Weight.KNOW),
    ]


OPERATION = Operation(Tap, plan, needs)
