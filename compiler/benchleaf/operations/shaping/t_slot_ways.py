"""Where tool-head and table stand while the base of a T-slot is undercut."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, basis, length_text, source
from benchleaf.operations.shaping.feeds import slide_dial
from benchleaf.operations.shaping.t_slot_sizes import Sizes
from benchleaf.standards.shaping import fact
from benchleaf.workshop.tooling import ShapingTool

__all__ = ["plan_levels", "plan_sides"]


def plan_levels(desk: Desk, context: Context, sizes: Sizes, tool: ShapingTool) -> tuple[str, ...]:
    """Write down where the tool-head stands for each cut one above the other, lowest first; nothing after an error."""
    blade = tool.head_height
    if blade is None:
        return ()
    count = max(ceil(sizes.height.aim / blade.value), 1)
    if not few_enough(count, sizes.height.aim, sizes.height.at, context):
        return ()
    head, spare = context.shaper.head, max(sizes.height.aim - blade.value, Fraction(0))
    if sizes.depth.aim > head.travel.value:
        context.faults.error(
            "shaping/slide-travel",
            f"the tool goes {length_text(sizes.depth.aim, context.system, 'caliper')} down, and the tool slide travels {head.travel.text}",
            sizes.depth.at,
            hint="a shallower slot",
            related=((head.travel, "its travel"),),
        )
        return ()
    dial, names = slide_dial(head.dial), []
    formula = "depth - step up to this cut; the topmost leaves the base as high as it is to be"
    for number in range(count):
        reading, name = dial.at(sizes.depth.aim - (spare * number / (count - 1) if count > 1 else 0)), f"level_{number + 1}"
        turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
        label = "Tool-head down to" if count == 1 else f"Tool-head: cut {number + 1} of {count}"
        why = basis(formula, (blade, head.dial.division, "depth", "base_height"), GEOMETRY)
        desk.number(name, label, reading.value, dial.unit, f"{turns}{reading.shown}", why)
        names.append(name)
    return tuple(names)


def plan_sides(desk: Desk, context: Context, sizes: Sizes, levels: int) -> int:
    """Write down the feed of the table and where it ends; returns the strokes of all cuts."""
    cross, found = context.shaper.table.cross, fact("slot_feed")
    dial = slide_dial(cross.dial)
    divisions = max(int(found.use / dial.division), 1)
    words = f"{divisions} division{'' if divisions == 1 else 's'}"
    low, high = (length_text(end, context.system) for end in (found.low, found.high))
    why = basis(f"practice, {low} to {high}, in whole divisions of the dial", (cross.dial.division,), source(found.source, found.status))
    feed = divisions * dial.division
    desk.words("side_feed", "Table, each return", words, why, also=f"{length_text(feed, context.system, 'caliper')} a stroke")
    reading = dial.at(sizes.undercut)
    turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
    inputs = ("base_aim", "throat_aim", cross.dial.division)
    why = basis("(width of the base - throat) / 2, from where the toe touches the throat", inputs, GEOMETRY)
    desk.number("wing_dial", "Table, to each side", reading.value, dial.unit, f"{turns}{reading.shown}", why)
    count = ceil(sizes.undercut / feed) * 2 * levels
    why = basis("undercut / feed, rounded up, at both sides, for each cut", ("undercut", "side_feed"), PRACTICE)
    desk.number("wing_strokes", "Strokes of both sides", Fraction(count), "", str(count), why)
    return count
