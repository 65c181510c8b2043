"""Parting off: the part cut from the bar, close to the chuck."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.said import stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import read_size, size_figure
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.desk import GEOMETRY, Desk, basis, length_text, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.work import FINISHED
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.speeds import feed as practice
from benchleaf.standards.turning import parting_width
from benchleaf.units import convert
from benchleaf.workshop.tooling import GroovingTool
from benchleaf.workshop.values import Measure, Origin, Speed, Text

__all__ = ["OPERATION", "PartOff", "plan"]


@record
class PartOff:
    """Cut the part off at a length from the front face."""

    origin: Origin
    length: Text
    tool: Text | None
    speed: Speed | None


def plan(step: PartOff, context: Context) -> Section | None:
    """The section of a parting step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    size = read_size(step.length, "outside", context)
    sound = stock.not_parted(step.length, context) & _one_end_free(step, context)
    holding.clears_cross_slide(context)
    if size is None:
        return None
    sound &= stock.within_length(size.aim, step.length, context)
    at = size.aim
    around = work.measure("outside", at, at + Fraction(1, 1000))
    bore = work.largest("inside", at, at + Fraction(1, 1000))
    hole = bore.largest if bore is not None and bore.largest else Fraction(0)
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.grooving_tools]
    depth = Fraction(0) if around is None else (around.value - hole) / 2
    tool = tools.find(
        step.tool,
        owned,
        lambda item: _unsuited(item, depth, context),
        "parting tools",
        step.length,
        context,
        best=lambda item: item.width.value,
    )
    if tool is not None:
        sound &= _clear_of_jaws(at + tool.width.value, step, context)
    _far_out(at, around, step, context)
    _left_behind(at, step, context)
    work.part_off(at, step.length)
    if around is None:
        stands_unknown("outside", context, "the part is cut off, and its speed goes by the diameter")
        return None
    if tool is None or not sound or depth <= 0:  # nothing left to cut through: reported where it was cut away
        return None
    size_figure(desk, size, "Length left on the part")
    desk.length("across", "Across", around.value, basis("the work as the steps before leave it", (around,), size.source), read_by="caliper")
    desk.length(
        "depth", "To cut through, on the radius", depth, basis("half of outside less bore", ("across",), GEOMETRY), read_by="caliper"
    )
    speed = spindle(desk, context, "parting", tool.cuts_with, around.value, "across", wish=step.speed)
    _feed(desk, tool, context)
    if speed is None:
        return None
    desk.length(
        "far_side",
        "Far side of the cut, from the face",
        at + tool.width.value,
        basis("length + width of the tool", ("size", tool.width), GEOMETRY),
        read_by="caliper",
    )
    _width(step, depth, around, tool, context)
    return section(context, "part-off", f"Part off at {step.length.value}", f"with {tool.name.value}", _blocks(desk, bool(hole)))


def _unsuited(tool: GroovingTool, depth: Fraction, context: Context) -> str:
    if tool.where.value != "outside":
        return "it is for inside work"
    if tool.largest_depth.value < depth:
        return f"it cuts {tool.largest_depth.text} deep, and {length_text(depth, context.system, 'caliper')} is to be cut through"
    return ""


def _one_end_free(step: PartOff, context: Context) -> bool:
    """Never between centres or with the tailstock in: the ends close on the blade as it breaks through."""
    held, holder = context.held, context.holding
    between = holder is not None and holder.kind.value in ("centres", "mandrel")
    if held.supported_by.value != "tailstock" and not between:
        return True
    context.faults.error(
        "parting/both-ends-held",
        "the part is cut off while both ends are held: it closes on the blade and is thrown",
        step.length,
        hint="hold it in a chuck with the free end free, or saw it off",
        related=((held.by if between else held.supported_by, "said here"),),
    )
    return False


def _clear_of_jaws(place: Fraction, step: PartOff, context: Context) -> bool:
    out = context.held.stands_out
    if out is None or place <= out.value:
        return True
    context.faults.error(
        "holding/in-the-jaws",
        f"the blade ends {length_text(place - out.value, context.system, 'rule')} behind the face of the {context.held.by.value}",
        step.length,
        hint="let more of the work stand out, or hold it anew (`hold`) before this step",
        related=((out, "what stands out"),),
    )
    return False


def _far_out(at: Fraction, around: Measure | None, step: PartOff, context: Context) -> None:
    """Parting is done close to the chuck: more than about a diameter away it digs in."""
    out = context.held.stands_out
    if out is None or around is None or out.value - at <= around.value or "steady" in context.held.supported_by.value:
        return
    context.faults.warning(
        "parting/far-out",
        f"the part is cut off {length_text(out.value - at, context.system, 'rule')} from the {context.held.by.value}, "
        f"more than a diameter: the work springs and the blade digs in",
        step.length,
        hint="let less stand out for this step (`hold`), or support the work near the cut with a steady",
        note="no more than about a diameter from the jaws (common practice)",
        related=((out, "what stands out"),),
    )


def _left_behind(at: Fraction, step: PartOff, context: Context) -> None:
    """A finished surface that stays on the bar: the length is short, or the step comes too early."""
    work = context.work
    done = next(
        (item for side in ("outside", "inside") for item in work.surface(side) if item.kind in FINISHED and item.start >= at),
        None,
    )
    if done is None:
        return
    context.faults.warning(
        "parting/leaves-behind",
        f"the {done.kind} that an earlier step has made stays on the bar: it lies behind the cut",
        step.length,
        hint="correct the length, counted from the front face as it is by then",
        related=((done.at, f"the {done.kind}"),),
    )


def _feed(desk: Desk, tool: GroovingTool, context: Context) -> None:
    found = practice("parting", "carbide" if tool.cuts_with.value == "carbide" else "HSS", "all")
    if found is None:
        return
    middle = convert((found.low + found.high) / 2, "mm", desk.unit)
    why = basis(
        "middle of practice, by hand, never stopping in the cut",
        (tool.cuts_with, context.material.group),
        source(found.source, found.status),
    )
    desk.number("feed", "Feed", middle, f"{desk.unit}/turn", fixed(middle, 2 if desk.unit == "mm" else 4), why, also="by hand")


def _width(step: PartOff, depth: Fraction, around: Measure, tool: GroovingTool, context: Context) -> None:
    found = parting_width(2 * depth)  # the wall of a tube is cut like a bar of twice its thickness
    if tool.width.value >= found.low:
        return
    context.faults.warning(
        "parting/blade-thin",
        f"{tool.name.value} is {tool.width.text} wide for work of "
        f"{length_text(around.value, context.system, 'caliper')}: it wanders and breaks",
        step.tool or step.length,
        f"{length_text(found.low, context.system, 'caliper')} to {length_text(found.high, context.system, 'caliper')} is usual",
        hint="use a wider blade, or part half way and saw the rest",
        note=f"{found.source} ({found.status})",
        related=((tool.width, "its width"),),
    )


def _blocks(desk: Desk, hollow: bool) -> list[Block | None]:
    steps = (
        Say("Saddle and top slide locked. Blade square to the axis, on centre height, no longer out than it must be."),
        Say("Touch the face with the blade's far side and move along by {far_side}: its near side then stands at {size_aim}."),
        Say("Feed steadily with plenty of oil (brass and iron dry); if it chatters, slow the spindle rather than stop feeding."),
        Say(
            "Catch the part on a rod in its bore; keep fingers away."
            if hollow
            else "Ease off near the middle; let the part fall on a tray; fingers away."
        ),
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Part off", desk.pick("size", "size_aim", "far_side", "feed"), Weight.WORK),
        Steps("Part off", steps),
        Check(Say("Length of the part {size}.")),
        caution("part"),
        caution("part_catch"),
        FigureGroup("Background", desk.pick("across", "depth", "cutting_speed", "speed_setting"), Weight.KNOW),
    ]


OPERATION = Operation(PartOff, plan)
