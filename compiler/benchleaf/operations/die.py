"""Threading a bar with a die that is owned: the bar for it, the chamfer, square to the axis from the tailstock."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.said import said, stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import Desk, basis, length_text, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.screwcut.gauging import same_thread
from benchleaf.operations.tap import read_thread
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.threads import Thread
from benchleaf.workshop.values import Length, Measure, Origin, Text

__all__ = ["OPERATION", "Die", "plan"]

_SWELLS = Fraction(1, 10)  # of the pitch: a die raises the crests, so the bar may be this much under the limits; common practice


@record
class Die:
    """Cut a thread on the outside with a die, from the front face."""

    origin: Origin
    thread: Text
    length: Length
    tool: Text | None


def plan(step: Die, context: Context) -> Section | None:
    """The section of a step with a die, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    thread = read_thread(step.thread, context)
    if thread is None:
        return None
    owned = [die for drawer in context.inputs.toolings for die in drawer.dies]
    tool = tools.find(
        step.tool,
        owned,
        lambda item: "" if same_thread(item.thread.value, thread) else f"it cuts {item.thread.value}",
        "dies",
        step.thread,
        context,
    )
    end = step.length.value
    sound = (
        stock.not_parted(step.thread, context)
        & stock.within_length(end, step.length, context)
        & holding.in_reach(end, step.length, context)
        & stock.spares_finished("outside", Fraction(0), end, step.thread, context)
        & end_free("the die comes on from the tailstock", step.thread, context)
    )
    now = work.measure("outside", Fraction(0), end)
    if now is None:
        stands_unknown("outside", context, "the thread is cut outside")
        return None
    size = thread.limits(False, end).major
    lower = (size.lower if size.lower is not None else size.basic or thread.major) - _SWELLS * thread.pitch
    upper = size.upper if size.upper is not None else size.basic or thread.major
    sound &= _bar_right(now, lower, upper, step, thread, context)
    _up_to_shoulder(end, max(now.value, thread.major), step, thread, context)
    work.cut("outside", Fraction(0), end, thread.major, "thread", step.thread)
    if tool is None or not sound:
        return None
    why = basis(
        "the major diameter's limits, less a tenth of the pitch that the die raises", (step.thread,), source(size.source, size.status)
    )
    desk.length("bar", "Bar before the die", (lower + upper) / 2, why, limits=(lower, upper))
    desk.length(
        "stock",
        "Bar there is",
        now.value,
        basis("the work as the steps before leave it", (now,), source(size.source, size.status)),
        read_by="caliper",
    )
    said(desk, "length", "Length of thread", step.length)
    return section(
        context, "die", f"Thread {thread.designation} with a die", f"{step.length.text} long, with {tool.name.value}", _blocks(desk, thread)
    )


def _up_to_shoulder(end: Fraction, bar: Fraction, step: Die, thread: Thread, context: Context) -> None:
    """A die tapers in: it leaves the last threads before a shoulder shallow, and a nut does not go up to it."""
    behind = context.work.over("outside", end, end + Fraction(1, 1000))[:1]
    if not behind or behind[0].near is None or behind[0].near <= bar:
        return
    context.faults.warning(
        "die/to-shoulder",
        f"the thread runs up to a shoulder: a die leaves its last {_LEAD} turns shallow, and a nut will not go up to it",
        step.length,
        hint=f"cut a `groove` there first, {length_text(_LEAD * thread.pitch, context.system, 'caliper')} wide; or "
        f"end the thread short of the "
        "shoulder; or run the die once more turned round",
        note=f"the lead of a die is some {_LEAD} pitches (common practice)",
        related=((behind[0].at, "the shoulder"),),
    )


_LEAD = 2  # pitches that a die leaves shallow; common practice


def _bar_right(now: Measure, lower: Fraction, upper: Fraction, step: Die, thread: Thread, context: Context) -> bool:
    system = context.system
    if lower <= now.value <= upper:
        return True
    fat = now.value > upper
    off = length_text(now.value - upper if fat else lower - now.value, system)
    pipe = f"; the size in {thread.designation} is a pipe bore, not a diameter" if thread.size_is_nominal_bore else ""
    context.faults.error(
        "die/bar-large" if fat else "die/bar-small",
        f"the bar is {off} {'over' if fat else 'under'} what {thread.designation} wants before a die{pipe}",
        step.thread,
        f"needs {length_text(lower, system).rsplit(' ', 1)[0]} to {length_text(upper, system)}",
        hint=f"turn it to {length_text((lower + upper) / 2, system)} before" if fat else "start from larger stock",
        related=((now, "the bar"),),
    )
    return False


def _blocks(desk: Desk, thread: Thread) -> list[Block | None]:
    left = " to the left" if thread.hand == "left" else ""
    steps = (
        Say("End chamfered to under the root. Spindle stopped, motor isolated, in low gear so that it stands."),
        Say(f"Die in its holder on the tailstock barrel, open for the first pass; turn{left} by hand, a turn on, half a turn back, oil."),
        Say("Close the die and go again until the gauge or the mating nut goes on by hand."),
    )
    return [
        FigureGroup("Bar", desk.pick("bar", "stock", "length"), Weight.WORK),
        Steps("Thread", steps),
        Check(Say("Ring gauge or mating nut goes on by hand over {length}.")),
        caution("tap"),
    ]


OPERATION = Operation(Die, plan)
