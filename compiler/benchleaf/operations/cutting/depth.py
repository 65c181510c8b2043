"""How deep a cut may be: what the owner states, what the motor drives, practice; and what is left for the last cut."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, Value, basis, source
from benchleaf.sheet.model import Source
from benchleaf.standards.speeds import surface_speed
from benchleaf.standards.turning import depth_of_cut, largest_depth, specific_force, turning_rule
from benchleaf.workshop.values import Measure, Text

__all__ = ["deepest_cut", "finishing_cut"]

_SLIM = Fraction(1, 2)  # of the depth outside, for a boring bar; common practice
_STEEL_AT = Fraction(1, 10)  # mm of feed, at which the owner's largest cut in mild steel is set against another material

Bound = tuple[Fraction, str, tuple[Value | str, ...], Source]


def deepest_cut(
    desk: Desk,
    context: Context,
    operation: str,
    *,
    feed: Fraction | None = None,
    turns: Fraction | None = None,
    diameter: Fraction | None = None,
) -> Fraction:
    """Write down ``depth_of_cut`` and return it, mm on the radius: the least of what the profile states, practice, and what the motor
    drives (where its power is given, and ``feed`` mm a turn, ``turns`` a minute and ``diameter`` mm are known)."""
    lathe, group = context.lathe, context.material.group
    share = _SLIM if operation == "boring" else Fraction(1)
    if lathe.largest_cut is not None:
        force = specific_force(group.value)
        against = specific_force("mild steel").at(_STEEL_AT) / force.at(_STEEL_AT)
        words = "largest cut that the profile states for mild steel, by the cutting force of this material"
        bound: Bound = (
            lathe.largest_cut.value * min(against, Fraction(1)),
            words,
            (lathe.largest_cut, group),
            source(force.source, force.status),
        )
    else:
        found = depth_of_cut("roughing", centre_height=lathe.swing.over_bed.value / 2, material=group.value)
        words = "low end of practice for a lathe of this swing and this material"
        bound = (found.low, words, (lathe.swing.over_bed, group), source(found.source, found.status))
    if lathe.power is not None and feed and turns and diameter:
        bound = min(bound, _by_power(lathe.power, feed, turns, diameter, context), key=lambda item: item[0])
    half = "; half of it inside, where the bar is slim" if share != 1 else ""
    desk.length(
        "depth_of_cut",
        "Deepest cut, on the radius",
        bound[0] * share,
        basis(bound[1] + half, bound[2], bound[3]),
        read_by="caliper",
        rational=False,
    )
    return bound[0] * share


def _by_power(power: Measure, feed: Fraction, turns: Fraction, diameter: Fraction, context: Context) -> Bound:
    force, drive = specific_force(context.material.group.value), turning_rule("efficiency")
    value = largest_depth(power.value, force.at(feed), feed, surface_speed(turns, diameter), efficiency=drive.low)
    words = "60000 x power x efficiency / (specific force x feed x cutting speed)"
    return value, words, (power, context.material.group), source(force.source, force.status)


def finishing_cut(desk: Desk, context: Context, cuts_with: Text, least: Measure | None) -> Fraction:
    """Write down ``finish_cut``, what is left for the last cut, and return it, mm on the radius: the middle of practice for the tool,
    and never less than the tool takes without rubbing."""
    found = depth_of_cut("finishing", tool="carbide" if cuts_with.value == "carbide" else "HSS")
    value = max((found.low + found.high) / 2, least.value if least is not None else Fraction(0))
    inputs: tuple[Value | str, ...] = (cuts_with,) if least is None else (cuts_with, least)
    why = basis("middle of practice for the tool, and not less than it takes without rubbing", inputs, source(found.source, found.status))
    desk.length("finish_cut", "Left for the last cut, on the radius", value, why, read_by="caliper")
    return value
