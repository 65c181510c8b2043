"""What stands above and below all rows of a chart: how to use it, and the figures and the rule by which it was made."""

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

__all__ = ["about", "asked_figures", "machine_figures", "start", "surface_figure"]

_SEARCH = source("exhaustive search in exact fractions", "derived")
_FIGURES = ("leadscrew", "levers", "mounted", "limit", "threads", "set_ups", "changes", "surface", "lists")
_COMMAND = Source("the command line", Status.OWNER)


def start(*, rowwise: bool, inexact: bool, levers: bool) -> Section:
    """The first section.  ``rowwise``: the wheels stand in the rows; ``inexact``: some lead is; ``levers``: some stand alike for all."""
    where = (
        "Wheels stand in the order in which the motion passes; two on one stud are joined by a stroke. Change is against the row above."
        if rowwise
        else "A table needs the wheels named above it. Change is against the table before."
    )
    nuts = (
        "Half-nuts: close anywhere, or only on a mark (T: teeth of the dial wheel): any, every so many, or the same as at the first cut; "
        "never: keep them closed, go back in reverse."
    )
    all_alike = " For all threads: {chart.levers}." if levers else ""
    run = "Overrun: how far the saddle goes at that speed before the spindle has stopped; with less room, go slower."
    cost = " Costs: what the error takes off the pitch diameter over an engagement of one diameter; share: of its tolerance."
    words = f"{where}{all_alike} {nuts} {run}{cost if inexact else ''}"
    return Section("start", "chart", "Before changing wheels", "", (caution("iso_gears"), Say(words)))


def about(desk: Desk, asked: Asked, grouping: Grouping) -> Section:
    """The last section: the machine's figures and the rule by which the chart was made; ``desk`` may hold the figure ``levers``."""
    machine_figures(desk, asked.machine.lathe)
    _counts(desk, asked, grouping)
    surface_figure(desk, asked)
    begin = ", beginning with what is mounted, {mounted}" if "mounted" in desk else ""
    blocks: tuple[Block, ...] = (
        Say(
            "A train that is exact goes before one that is not; of those that are not, any within {limit} will do if it keeps wheels on, "
            f"then the one that errs least. Set-ups are in the order that changes the fewest wheels{begin}."
        ),
        FigureGroup("", desk.pick(*_FIGURES), Weight.KNOW),
    )
    return Section("chart", "chart", "How this chart was made", "", blocks)


def surface_figure(desk: Desk, asked: Asked) -> None:
    """The figure ``surface``: the cutting speed."""
    cutting = threading_speed(asked.material, asked.tool)
    why = basis(f"{cutting.rule.formula} ({asked.material}, {asked.tool})", (_COMMAND,), source(cutting.source, cutting.status))
    desk.number("surface", "Cutting speed", cutting.speed, "m/min", fixed(cutting.speed, 1), why)


def asked_figures(desk: Desk, asked: Asked) -> None:
    """The figures ``lists`` and ``limit``: what was asked for."""
    written: tuple[Value, ...] = tuple(wish.at for wish in asked.wishes if wish.at is not None)
    millionths = asked.limit * 1_000_000
    desk.words("lists", "Lists", ", ".join(asked.lists), basis("the lists asked for", (*written, _COMMAND), OWNER))
    why = basis("as asked for, 200 ppm when not said", (_COMMAND,), OWNER)
    desk.number("limit", "Lead error at most", millionths, "ppm", plain(millionths, 1), why)


def machine_figures(desk: Desk, lathe: Lathe) -> None:
    """The figures ``leadscrew`` and, where wheels are on, ``mounted``."""
    desk.words("leadscrew", "Leadscrew", lathe.leadscrew.lead.text, basis("as the profile says", (lathe.leadscrew.lead,), OWNER))
    if lathe.mounted is None or not lathe.mounted.train:
        return
    axes = [axis if isinstance(axis, tuple) else (axis,) for axis in lathe.mounted.train]
    words = " \u2013 ".join(" / ".join(str(wheel.value) for wheel in axis) for axis in axes)
    desk.words("mounted", "Mounted", words, basis("as the profile says", tuple(wheel for axis in axes for wheel in axis), OWNER))


def _counts(desk: Desk, asked: Asked, grouping: Grouping) -> None:
    asked_figures(desk, asked)
    cut = sum(wish.target not in grouping.missing for wish in asked.wishes)
    why = basis("threads of the lists that are cut within the limit", ("lists", "limit"), _SEARCH)
    desk.number("threads", "Threads on the chart", Fraction(cut), "", str(cut), why, also=f"of {len(asked.wishes)}")
    number = len(grouping.groups)
    why = basis("different sets of wheels for these threads", ("threads",), _SEARCH)
    desk.number("set_ups", "Set-ups", Fraction(number), "", str(number), why)
    proved = "every order of them was gone through" if grouping.proved else "too many to go through every order"
    start = ("mounted",) if "mounted" in desk else ()
    why = basis(f"wheels taken off and wheels put on, from the first set-up to the last; {proved}", ("set_ups", *start), _SEARCH)
    desk.number("changes", "Wheels off and on in all", Fraction(grouping.changes), "", str(grouping.changes), why)
