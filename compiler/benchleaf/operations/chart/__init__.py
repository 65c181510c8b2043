"""The chart that hangs beside one lathe: every thread of some lists, grouped by the wheels that stay on.

Where many threads share wheels (a gearbox), each set-up has its own table; where nearly every thread wants its own wheels, one table
says them row by row.
"""

from __future__ import annotations

from collections.abc import Sequence

from benchleaf.kinematics.model import Train
from benchleaf.operations.cautions import closing
from benchleaf.operations.chart.asked import Asked, Wish, named_set, own_list, set_named
from benchleaf.operations.chart.grouping import grouped
from benchleaf.operations.chart.heading import about, start
from benchleaf.operations.chart.missing import not_cut
from benchleaf.operations.chart.rows import Alike, Entry, Part, lead_parts, parts, still_levers, thread_part
from benchleaf.operations.chart.set_ups import entries, set_ups, threads_table, why_wheels
from benchleaf.operations.desk import GEOMETRY, Desk, basis
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.sheet.model import Section, Sheet

__all__ = ["Asked", "Wish", "chart", "named_set", "own_list", "set_named"]

_FEW = 2  # threads to a set-up, on the average: with fewer the wheels stand in the rows


def chart(asked: Asked) -> Sheet:
    """The chart of one lathe; threads that it cannot cut stand at the end with the reason.

    Raises ValueError when no thread is asked for.
    """
    if not asked.wishes:
        raise ValueError("a chart without threads")
    lathe = asked.machine.lathe
    problem = problem_of(asked.machine)
    grouping = grouped(problem, [wish.target for wish in asked.wishes], asked.limit)
    rowwise = len(grouping.groups) * _FEW > sum(len(group.trains) for group in grouping.groups)
    of_groups = entries(asked, grouping)
    everything = [entry for of_group in of_groups for entry in of_group]
    alike = Alike(problem, everything)
    desk = Desk(lathe.system.value)
    levers = still_levers(desk, asked, alike)
    sections = [start(rowwise=rowwise, inexact=alike.inexact, levers=levers)]
    if rowwise:
        sections.append(_one_table(asked, alike, everything))
    elif grouping.groups:
        sections += set_ups(asked, alike, grouping, of_groups)
    if grouping.missing:
        sections.append(not_cut(asked, problem, grouping))
    sections.append(about(desk, asked, grouping))
    return Sheet(
        id=asked.name,
        title=f"Threads on the {lathe.name.value}",
        subtitle=", ".join(asked.lists),
        machine=lathe.name.value,
        material=f"{asked.material}, {asked.tool}",
        sections=tuple(sections),
        closing=closing(),
    )


def _one_table(asked: Asked, alike: Alike, entries: Sequence[Entry]) -> Section:
    """All threads in one table, the wheels in each row."""
    desk = Desk(asked.machine.lathe.system.value)
    wheels = Part(desk.column("wheels", "Wheels", "", why_wheels(asked), "text"), lambda entry: (None, _plain_train(entry.train)))
    why = basis("wheels to put on: those that do not stand in the row above (in the first, that are not mounted)", ("wheels",), GEOMETRY)
    change = Part(desk.column("change", "Change", "", why, "text"), lambda entry: (None, entry.change))
    first = thread_part(desk, [entry.wish for entry in entries])
    columns = [first, wheels, change, *lead_parts(desk, asked.wishes), *parts(desk, asked, alike, "wheels")]
    return Section("chart-rows", "chart", "Threads", "", (threads_table("threads", columns, entries),))


def _plain_train(train: Train) -> str:
    """The wheels in the order the motion passes, without letters: rows are read, not followed."""
    return " \u2013 ".join(" / ".join(str(item.wheel.teeth) for item in axis) for axis in train.axes)
