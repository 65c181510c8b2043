"""How deep a cut may be: what the owner states, else practice for the size of lathe; and what is left for the last cut."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, Value, basis, source
from benchleaf.standards.tables import table
from benchleaf.workshop.values import Measure, Text

__all__ = ["deepest_cut", "finishing_cut"]

_LIGHT = Fraction(200)  # mm of swing over the bed: up to here a light bench lathe, as the table of depths divides them (centre height 100 mm)
_SLIM = Fraction(1, 2)  # of the depth outside, for a boring bar; common practice


def deepest_cut(desk: Desk, context: Context, operation: str, cuts_with: Text) -> Fraction:
    """Write down ``depth_of_cut`` and return it, mm on the radius."""
    lathe = context.lathe
    share = _SLIM if operation == "boring" else Fraction(1)
    if lathe.largest_cut is not None:
        value, words = lathe.largest_cut.value * share, "the largest cut that the profile states"
        by = source("the lathe's profile", "owner")
        inputs: tuple[Value | str, ...] = (lathe.largest_cut,)
    else:
        light = lathe.swing.over_bed.value <= _LIGHT
        row = next(row for row in table("speeds", "depths").where("cut", "roughing") if row.text("machine").startswith("light") is light)
        value, words = row.span("range")[0] * share, f"low end of practice for a {row.text('machine')}"
        by, inputs = source(row.source, row.status), (lathe.swing.over_bed,)
    half = "; half of it inside, where the bar is slim" if share != 1 else ""
    desk.length("depth_of_cut", "Deepest cut, on the radius", value, basis(words + half, inputs, by), read_by="caliper")
    return value


def finishing_cut(desk: Desk, context: Context, operation: str, cuts_with: Text, least: Measure | None) -> Fraction:
    """Write down ``finish_cut``, what is left for the last cut, and return it, mm on the radius: the middle of practice for the tool,
    and never less than the tool takes without rubbing."""
    of_tool = "carbide" if cuts_with.value == "carbide" else "HSS"
    row = next(row for row in table("speeds", "depths").where("cut", "finishing") if row.text("tool") == of_tool)
    low, high = row.span("range")
    value = max((low + high) / 2, least.value if least is not None else Fraction(0))
    inputs: tuple[Value | str, ...] = (cuts_with,) if least is None else (cuts_with, least)
    why = basis("middle of practice for the tool, and not less than it takes without rubbing", inputs, source(row.source, row.status))
    desk.length("finish_cut", "Left for the last cut, on the radius", value, why, read_by="caliper")
    return value
