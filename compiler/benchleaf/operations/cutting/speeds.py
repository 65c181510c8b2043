"""Spindle speed: what the material and tool stand, what the holding stands, and which speeds there are."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.speeds import CuttingSpeed, cutting_speed
from benchleaf.standards.speeds import spindle_speed as rpm_for
from benchleaf.workshop.lathe import SpeedSetting
from benchleaf.workshop.values import Measure, Text

__all__ = ["Bound", "asked_for", "available", "holding_bound", "spindle", "surface_speed", "write_speed"]

Bound = tuple[Fraction, Value | str]  # turns a minute, and what bounds it: the owner's words, or the id of a figure
_OF_TURNING = frozenset({"turning", "facing", "boring", "parting", "forming", "threading"})


def available(context: Context) -> list[SpeedSetting]:
    """The speeds that the spindle has, slowest first."""
    return sorted(context.lathe.spindle.speeds, key=lambda row: row.speed.value)


def holding_bound(context: Context) -> list[Bound]:
    """The limit of what holds the work, where the profile gives it."""
    held = context.holding
    return [(held.largest_speed.value, held.largest_speed)] if held is not None and held.largest_speed is not None else []


def surface_speed(
    desk: Desk, found: CuttingSpeed, operation: str, cuts_with: Value, context: Context, label: str, formula: str, prefix: str = ""
) -> Fraction:
    """Write down the cutting speed, m/min: the owner's own figure where there is one, times what this operation takes of it."""
    material = context.material
    tool = cuts_with.text.lower().replace(" ", "_")
    own = getattr(material.turning_speed, tool, None) if material.turning_speed and operation in _OF_TURNING else None
    speed, words = (own.value * found.factor, own) if own is not None else (found.speed, material.group)
    why = basis(formula, (words, cuts_with), source(found.source, found.status))
    desk.number(f"{prefix}cutting_speed", label, speed, "m/min", fixed(speed, 1), why)
    return speed


def spindle(
    desk: Desk,
    context: Context,
    operation: str,
    cuts_with: Text,
    diameter: Fraction,
    diameter_from: Value | str,
    *,
    wish: Measure | None = None,
    prefix: str = "",
    also_bounded: Sequence[Bound] = (),
) -> SpeedSetting | None:
    """Choose the speed of a cut at ``diameter`` mm (the largest in the cut) and write it down: figures ``cutting_speed``,
    ``spindle_speed`` and, where levers or belts set it, ``speed_setting``; ``prefix`` tells two cuts of a section apart.

    ``operation`` is a row of the table of speeds ('turning', 'facing', 'boring', 'drilling', 'reaming', 'parting', 'knurling' ...).
    None after an error: a speed that is not there, or a material that the table does not cut so.
    """
    found = cutting_speed(context.material.group.value, operation, cuts_with.value)
    if found is None:
        context.faults.error(
            "speed/no-row",
            f"there is no {operation} speed for {context.material.name.value} with {cuts_with.value}",
            context.material.group,
            hint="choose another tool for it, or another group in the material's file",
            related=((cuts_with, "the tool"),),
        )
        return None
    formula = found.rule.formula
    surface = surface_speed(desk, found, operation, cuts_with, context, f"Cutting speed, {operation}", formula, prefix)
    bounds: list[Bound] = [(rpm_for(surface, diameter), f"{prefix}cutting_speed"), *holding_bound(context), *also_bounded]
    limit, reason = min(bounds, key=lambda bound: bound[0])
    speeds = available(context)
    if wish is not None:
        chosen = asked_for(wish, bounds, context)
    else:
        chosen = max((row for row in speeds if row.speed.value <= limit), key=lambda row: row.speed.value, default=speeds[0])
        if chosen.speed.value > limit:
            context.faults.warning(
                "speed/slowest-too-fast",
                f"the slowest speed, {chosen.speed.text}, is above the {fixed(limit, 0)} rpm that this cut stands",
                reason if isinstance(reason, Measure) else chosen.speed,
                hint="turn the spindle by hand, take light cuts with plenty of fluid, or use a smaller tool",
            )
    if chosen is None:
        return None
    write_speed(
        desk,
        chosen,
        "the fastest speed there is within cutting speed (n = 1000 v / (pi d)) and holding",
        (chosen.speed, f"{prefix}cutting_speed", diameter_from, reason),
        prefix,
    )
    return chosen


def write_speed(desk: Desk, chosen: SpeedSetting, formula: str, inputs: tuple[Value | str, ...], prefix: str = "") -> None:
    """Write down the chosen speed and how it is set."""
    setting = ", ".join(f"{name} {position.value}" for name, position in chosen.set.items())
    why = basis(formula, tuple(dict.fromkeys(inputs)), GEOMETRY)
    shown = fixed(chosen.speed.value, 0)
    desk.number(f"{prefix}spindle_speed", "Spindle speed", chosen.speed.value, "rpm", shown, why, also=setting)
    if setting:
        as_set = basis("as the profile says this speed is set", tuple(chosen.set.values()), source("the lathe's profile", "owner"))
        desk.words(f"{prefix}speed_setting", "Set for that speed", setting, as_set)


def asked_for(wish: Measure, bounds: Sequence[Bound], context: Context) -> SpeedSetting | None:
    """The speed that the job insists on, checked; None when the spindle does not have it."""
    speeds = available(context)
    row = next((row for row in speeds if row.speed.value == wish.value), None)
    if row is None:
        context.faults.error(
            "speed/not-available",
            f"{wish.text} is not a speed of the {context.lathe.name.value}",
            wish,
            hint=f"speeds there are: {', '.join(fixed(each.speed.value, 0) for each in speeds)} rpm",
        )
        return None
    for bound, reason in bounds:
        if wish.value > bound and isinstance(reason, Measure) and reason.unit == "turn/min":
            context.faults.error(
                "speed/over-holding",
                f"{wish.text} is above the limit of the {context.held.by.value}",
                wish,
                f"at most {reason.text}",
                related=((reason, "its limit"),),
            )
        elif wish.value > bound and isinstance(reason, str):
            what = "the cutting speed" if reason.endswith("cutting_speed") else "a hole of this depth"
            context.faults.warning(
                "speed/fast",
                f"{wish.text} is above the {fixed(bound, 0)} rpm that {what} allows",
                wish,
                hint="leave `speed` out, and the fastest speed within it is taken",
            )
    return row
