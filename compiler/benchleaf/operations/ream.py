"""Reaming: the stock that is left for it, slow and with a steady feed."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.bits import largest_up_to
from benchleaf.operations.cutting.said import said
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import Desk, basis, length_text, source, stands_for
from benchleaf.operations.drill import Drill
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.holes import drill_oversize, reaming_allowance
from benchleaf.standards.speeds import Range
from benchleaf.workshop.tooling import Reamer
from benchleaf.workshop.values import Length, Measure, Origin, Speed, Text, Word

__all__ = ["OPERATION", "Ream", "needs", "plan"]


@record
class Ream:
    """Ream to the size of a reamer; right through when no depth is given."""

    origin: Origin
    diameter: Length
    depth: Length | None
    tool: Text | None
    speed: Speed | None


def needs(step: Ream, context: Context) -> list[tuple[str, Any]]:
    """A hole with the right stock, where there is none."""
    end = _end(step, context)
    if context.work.hole(Fraction(0), end) is not None:
        return []
    left = _allowance(step, None, context)
    bit = largest_up_to(step.diameter.value - left.low, context, step.diameter.value - left.high - _over(step.diameter.value))
    return (
        [("drill", Drill(step.origin, Measure(bit.size, "mm", bit.name, stands_for(step.diameter)), step.depth, None))]
        if bit is not None
        else []
    )


def plan(step: Ream, context: Context) -> Section | None:
    """The section of a reaming step, or None when its faults leave nothing true to print."""
    desk = context.desk()
    end = _end(step, context)
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.reamers]
    tool = tools.find(step.tool, owned, lambda item: _unsuited(item, step, context), "reamers", step.diameter, context)
    left = _allowance(step, tool, context)
    least, most = (length_text(step.diameter.value - end, context.system, "caliper") for end in (left.high, left.low))
    hint = f"drill or bore to {least.rsplit(' ', 1)[0]} to {most} first"
    hole = stock.hole_to(Fraction(0), end, step.diameter, context, "nothing has made the hole that is to be reamed", hint)
    sound = stock.not_parted(step.diameter, context) & stock.spares_finished(
        "inside", Fraction(0), end, step.diameter, context, to=step.diameter.value
    )
    sound &= stock.within_length(end, step.depth or step.diameter, context) & end_free("the hole is reamed", step.diameter, context)
    if hole is not None:
        sound &= _stock_right(step, hole, left, hint, context)
    size = _size(step, tool, context)
    stock.open_to(end, step.diameter.value, "fit", step.diameter, context)
    if tool is None or hole is None or not sound or size is None:
        return None
    size_figure(desk, size, "Hole that it gives")
    desk.length("stock", "From", hole.value, basis("the hole as the steps before leave it", (hole,), size.source), read_by="caliper")
    why = basis(
        "stock on the diameter that a reamer wants, by diameter and material",
        (step.diameter, context.material.group),
        source(left.source, left.status),
    )
    desk.length("allowance", "Stock for the reamer", (left.low + left.high) / 2, why, limits=(left.low, left.high))
    if tool.driven.value == "machine":
        speed = spindle(desk, context, "reaming", tool.cuts_with, step.diameter.value, step.diameter, wish=step.speed)
        if speed is None:
            return None
    if step.depth is not None:
        said(desk, "depth", "Depth to full size", step.depth)
    long = f"{step.depth.text} deep" if step.depth is not None else "right through"
    return section(context, "ream", f"Ream {step.diameter.text}", f"{long}, with {tool.name.value}", _blocks(desk, tool, context))


def _end(step: Ream, context: Context) -> Fraction:
    return step.depth.value if step.depth is not None else context.work.end


def _allowance(step: Ream, tool: Reamer | None, context: Context) -> Range:
    return reaming_allowance(step.diameter.value, context.material.group.value, by_hand=tool is not None and tool.driven.value == "hand")


def _over(diameter: Fraction) -> Fraction:
    return drill_oversize(diameter).high


def _unsuited(tool: Reamer, step: Ream, context: Context) -> str:
    if tool.size.value != step.diameter.value:
        return f"it is {tool.size.text}"
    if tool.flutes is not None and step.depth is not None and tool.flutes.value < step.depth.value:
        return f"its flutes are {tool.flutes.text} long, the hole {length_text(step.depth.value, context.system, 'rule')} deep"
    return ""


def _stock_right(step: Ream, hole: Measure, left: Range, hint: str, context: Context) -> bool:
    """Whether the hole leaves the reamer what it wants: too much breaks it, too little lets it rub, none leaves a step."""
    there = step.diameter.value - hole.value
    if there <= 0:
        context.faults.error(
            "ream/nothing-left",
            f"the hole is already {length_text(hole.value, context.system)}: the reamer has nothing to cut",
            step.diameter,
            hint=hint,
            related=((hole, "made so here"),),
        )
        return False
    if there > left.high:
        context.faults.error(
            "ream/too-much",
            f"the hole leaves {length_text(there, context.system)} for the reamer, which takes "
            f"{length_text(left.high, context.system)} at most",
            step.diameter,
            hint=hint,
            note=f"{left.source} ({left.status})",
            related=((hole, "the hole"),),
        )
        return False
    if there < left.low:
        context.faults.warning(
            "ream/too-little",
            f"the hole leaves only {length_text(there, context.system)} for the reamer: it rubs and the hole is left rough",
            step.diameter,
            hint=hint,
            note=f"{left.source} ({left.status})",
            related=((hole, "the hole"),),
        )
    return True


def _size(step: Ream, tool: Reamer | None, context: Context) -> Size | None:
    """What the reamer gives: its own tolerance where the size is metric, the size alone otherwise."""
    symbol = f" {tool.tolerance.value}" if tool is not None and step.diameter.system != "inch" else ""
    return read_size(Word(f"{step.diameter.text}{symbol}", stands_for(step.diameter)), "inside", context)


def _blocks(desk: Desk, tool: Reamer, context: Context) -> list[Block | None]:
    by_hand = tool.driven.value == "hand"
    steps = (
        (
            Say("Spindle locked, motor isolated. Back end of the reamer on the tailstock's centre, turned by a wrench."),
            Say("Turn it forward only, with a light push, oil; never backwards: the edges chip."),
        )
        if by_hand
        else (
            Say("Reamer in the tailstock; floating if it has a floating holder."),
            Say("Slow and even, plenty of oil (iron dry), one stroke in; draw it out with the spindle still turning forward."),
            Say("Never turn it backwards: the edges chip and score the hole."),
        )
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Hole", desk.pick("size", "size_aim", "stock", "allowance", "depth"), Weight.WORK),
        Steps("Ream", steps),
        Check(Say("Hole brushed clean; gauge or mating part goes in by hand: {size}.")),
        caution("ream"),
        FigureGroup("Background", desk.pick("cutting_speed", "speed_setting"), Weight.KNOW),
    ]


OPERATION = Operation(Ream, plan, needs)
