"""What stands above all rows of a chart: the machine's figures and the rules by which the chart was made."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.cautions import caution
from benchleaf.operations.chart.asked import Asked
from benchleaf.operations.chart.grouping import Grouping
from benchleaf.operations.desk import OWNER, Desk, Value, basis, source
from benchleaf.operations.screwcut.words import plain
from benchleaf.sheet.model import Block, FigureGroup, Say, Section, Source, Status, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.speeds import threading_speed
from benchleaf.workshop.lathe import Lathe

__all__ = ["heading"]

_SEARCH = source("exhaustive search in exact fractions", "derived")
_COMMAND = Source("the command line", Status.OWNER)


def heading(asked: Asked, grouping: Grouping, *, rowwise: bool) -> Section:
    """The first section; ``rowwise`` says that the wheels stand in the rows."""
    desk = Desk(asked.machine.lathe.system.value)
    _machine(desk, asked.machine.lathe)
    _counts(desk, asked, grouping)
    cutting = threading_speed(asked.material, asked.tool)
    why = basis(f"{cutting.rule.formula} ({asked.material}, {asked.tool})", (_COMMAND,), source(cutting.source, cutting.status))
    desk.number("surface", "Cutting speed", cutting.speed, "m/min", fixed(cutting.speed, 1), why)
    start = ", beginning with what is mounted, {mounted}" if "mounted" in desk else ""
    where = (
        "Wheels stand in each row in the order in which the motion passes; two on one stud are joined by a stroke."
        if rowwise
        else "A table needs the wheels named above it. Change is against the table before."
    )
    blocks: tuple[Block, ...] = (
        caution("iso_gears"),
        FigureGroup("", desk.pick("leadscrew", "mounted", "limit", "threads", "set_ups", "changes", "surface", "lists"), Weight.KNOW),
        Say(
            f"{where} A train that is exact goes before one that is not; of those that are not, any within {{limit}} "
            f"will do if it keeps wheels on, and then "
            f"the one that errs least. Set-ups are in the order that changes the fewest wheels{start}."
        ),
        Say(
            "Half-nuts: close anywhere, or only on the marks said, counted from that of the first cut (T: teeth of the dial wheel); "
            "never means keep them closed and go back in reverse. "
            "Runs on: how far the saddle goes at that speed before the spindle has stopped."
        ),
    )
    return Section("chart", "chart", "How to read this chart", "", blocks)


def _machine(desk: Desk, lathe: Lathe) -> None:
    desk.words("leadscrew", "Leadscrew", lathe.leadscrew.lead.text, basis("as the profile says", (lathe.leadscrew.lead,), OWNER))
    if lathe.mounted is None or not lathe.mounted.train:
        return
    axes = [axis if isinstance(axis, tuple) else (axis,) for axis in lathe.mounted.train]
    words = " \u2013 ".join(" / ".join(str(wheel.value) for wheel in axis) for axis in axes)
    desk.words("mounted", "Mounted", words, basis("as the profile says", tuple(wheel for axis in axes for wheel in axis), OWNER))


def _counts(desk: Desk, asked: Asked, grouping: Grouping) -> None:
    written: tuple[Value, ...] = tuple(wish.at for wish in asked.wishes if wish.at is not None)
    cut = sum(wish.target not in grouping.missing for wish in asked.wishes)
    millionths = asked.limit * 1_000_000
    desk.words("lists", "Lists", ", ".join(asked.lists), basis("the lists asked for", (*written, _COMMAND), OWNER))
    why = basis("as asked for, 200 ppm when not said", (_COMMAND,), OWNER)
    desk.number("limit", "Lead error at most", millionths, "ppm", plain(millionths, 1), why)
    why = basis("threads of the lists that are cut within the limit", ("lists", "limit"), _SEARCH)
    desk.number("threads", "Threads on the chart", Fraction(cut), "", str(cut), why, also=f"of {len(asked.wishes)}")
    number = len(grouping.groups)
    why = basis("different sets of wheels for these threads", ("threads",), _SEARCH)
    desk.number("set_ups", "Set-ups", Fraction(number), "", str(number), why)
    proved = "every order of them was gone through" if grouping.proved else "too many to go through every order"
    start = ("mounted",) if "mounted" in desk else ()
    why = basis(f"wheels taken off and wheels put on, from the first set-up to the last; {proved}", ("set_ups", *start), _SEARCH)
    desk.number("changes", "Wheels off and on in all", Fraction(grouping.changes), "", str(grouping.changes), why)
