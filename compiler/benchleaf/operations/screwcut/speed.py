"""Spindle speed for threading: what the tool stands, what the holding stands, and how fast the hand can stop it."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.speeds import Bound, asked_for, available, holding_bound
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text, source
from benchleaf.operations.screwcut.model import Ending, Screwcut
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.speeds import RUN_ON, fastest_for_room, run_on, threading_speed
from benchleaf.standards.speeds import limit as practice_limit
from benchleaf.standards.speeds import spindle_speed as rpm_for
from benchleaf.workshop.lathe import SpeedSetting
from benchleaf.workshop.tooling import ThreadingTool
from benchleaf.workshop.values import Measure

__all__ = ["runs_to_headstock", "spindle_speed"]

_SPARE = Fraction(4, 5)  # common practice: a fifth of the room to stop in is kept in hand when the speed is chosen


def runs_to_headstock(step: Screwcut, wanted: Wanted) -> bool:
    """Whether the tool travels towards the headstock as it cuts: right-hand forward, or left-hand with the spindle in reverse."""
    return (wanted.thread.hand == "right") is not (step.stop_by.value == "outwards")


def _room(step: Screwcut, tool: ThreadingTool) -> tuple[Fraction, Measure] | None:
    """Room to stop in, mm, and the words that give it; None where the end is free or the spindle is turned by hand."""
    ending = step.ends_in
    if not isinstance(ending, Ending) or step.stop_by.value == "hand":
        return None
    if ending.relief is not None:
        return ending.relief.width.value - tool.beyond_tip.value, ending.relief.width
    return (ending.run_out.length.value, ending.run_out.length) if ending.run_out is not None else None


def spindle_speed(desk: Desk, step: Screwcut, wanted: Wanted, tool: ThreadingTool, lead: Fraction, context: Context) -> SpeedSetting | None:
    """Choose the spindle speed and write it down with what bounds it.

    ``lead`` is the lead really cut, mm.  Returns None after an error (no speed slow enough, or the one asked for is not there).
    """
    material, lathe = context.inputs.material, context.lathe
    speeds = available(context)
    diameter = wanted.thread.major
    cutting = threading_speed(material.group.value, tool.cuts_with.value, inside=wanted.inside)
    own = getattr(material.turning_speed, tool.cuts_with.value.lower().replace(" ", "_"), None) if material.turning_speed else None
    surface, words = (own.value * cutting.factor, own) if own is not None else (cutting.speed, material.group)
    desk.number(
        "cutting_speed",
        "Cutting speed for threading",
        surface,
        "m/min",
        fixed(surface, 1),
        basis(
            f"{cutting.rule.formula}: {fixed(cutting.factor, 2)} of the turning speed",
            (words, tool.cuts_with),
            source(cutting.source, cutting.status),
        ),
    )
    bounds: list[Bound] = [(rpm_for(surface, diameter), "cutting_speed"), *holding_bound(context)]
    if step.stop_by.value == "hand":
        desk.words(
            "spindle_speed",
            "Spindle",
            "by hand",
            basis("as the job says: the spindle is turned by hand, motor isolated", (step.stop_by,), source("the job", "owner")),
        )
        return speeds[0]
    toward = runs_to_headstock(step, wanted)
    room = _room(step, tool) if toward else None
    if room is not None:
        bounds.append((fastest_for_room(_SPARE * room[0], lead, lathe.stop_time.value), room[1]))
    limit, reason = min(bounds, key=lambda bound: bound[0])
    if step.speed is not None:
        chosen = asked_for(step.speed, bounds, context)
    else:
        chosen = max((row for row in speeds if row.speed.value <= limit), key=lambda row: row.speed.value, default=None)
        if chosen is None and room is not None and speeds[0].speed.value <= min(bound for bound, _ in bounds[:-1]):
            chosen = None
        elif chosen is None:
            chosen = speeds[0]  # the slowest there is; slower than the tool likes is no harm, and the stop is checked below
    if chosen is not None and room is not None and not _stops(chosen, room, tool, lead, context):
        return None
    if chosen is None:
        if room is not None:
            _stops(speeds[0], room, tool, lead, context)
        return None
    _write(desk, chosen, lead, reason, room, context)
    return chosen


def _stops(row: SpeedSetting, room: tuple[Fraction, Measure], tool: ThreadingTool, lead: Fraction, context: Context) -> bool:
    time = context.lathe.stop_time
    overrun = run_on(row.speed.value, lead, time.value)
    if overrun <= room[0]:
        return True
    system = context.system
    needed = overrun + (tool.beyond_tip.value if "relief" in room[1].origin.path else 0)
    context.faults.error(
        "relief/narrow" if "relief" in room[1].origin.path else "stop/run-out-short",
        f"the tool runs on by {length_text(overrun, system, 'caliper')} at {row.speed.text} before the hand has stopped it, "
        "more than there is room for",
        room[1],
        f"needs {length_text(needed, system, 'caliper')}",
        hint=f"widen it to {length_text(needed, system, 'caliper')}, or set `stop-by: hand` (turn the spindle by hand) "
        "or `stop-by: outwards` (cut away from the shoulder)",
        note=f"run-on = speed x lead x stop time of {time.text}, plus what the tool stands beyond its tip",
        related=((time, "the stop time"),),
    )
    return False


def _write(
    desk: Desk, chosen: SpeedSetting, lead: Fraction, reason: Value | str, room: tuple[Fraction, Measure] | None, context: Context
) -> None:
    lathe = context.lathe
    setting = ", ".join(f"{name} {position.value}" for name, position in chosen.set.items())
    inputs: tuple[Value | str, ...] = tuple(dict.fromkeys((chosen.speed, "cutting_speed", reason)))
    desk.number(
        "spindle_speed",
        "Spindle speed",
        chosen.speed.value,
        "rpm",
        fixed(chosen.speed.value, 0),
        basis(
            "the fastest speed there is within cutting speed (n = 1000 v / (pi d)), holding, and four fifths of the room to stop in",
            inputs,
            GEOMETRY,
        ),
        also=setting,
    )
    if setting:
        desk.words(
            "speed_setting",
            "Set for that speed",
            setting,
            basis("as the profile says this speed is set", tuple(chosen.set.values()), source("the lathe's profile", "owner")),
        )
    way = run_on(chosen.speed.value, lead, lathe.stop_time.value)
    why = basis(RUN_ON.formula, ("spindle_speed", "lead_actual", lathe.stop_time), source(RUN_ON.source, RUN_ON.status))
    desk.length("run_on", "Saddle runs on before it stops", way, why, read_by="caliper")
    turns = chosen.speed.value * lead / lathe.leadscrew.lead.value
    usual = practice_limit("leadscrew")
    desk.number(
        "leadscrew_speed",
        "Leadscrew speed",
        turns,
        "rpm",
        fixed(turns, 0),
        basis("spindle speed x lead cut / leadscrew lead", ("spindle_speed", "lead_actual", lathe.leadscrew.lead), GEOMETRY),
    )
    if turns > usual.high:
        context.faults.warning(
            "train/leadscrew-fast",
            f"the leadscrew would turn at {fixed(turns, 0)} rpm",
            chosen.speed,
            f"small lathes run theirs up to {fixed(usual.high, 0)} rpm",
            hint="choose a slower spindle speed",
            note=f"{usual.source} ({usual.status})",
        )
    if room is not None:
        desk.length(
            "room_to_stop",
            "Room to stop in",
            room[0],
            basis("width at the end of the thread less what the tool stands beyond its tip", (room[1],), GEOMETRY),
            read_by="caliper",
        )
