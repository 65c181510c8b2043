"""The chart that hangs beside one lathe: every thread of some lists, grouped by the wheels that stay on.

Where many threads share wheels (a gearbox), each set-up has its own table; where nearly every thread wants its own wheels, one table
says them row by row.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchleaf.kinematics.model import Change, Problem
from benchleaf.operations.cautions import closing
from benchleaf.operations.chart.asked import Asked, Wish, named_set, own_list, set_named
from benchleaf.operations.chart.grouping import Group, Grouping, grouped
from benchleaf.operations.chart.heading import heading
from benchleaf.operations.chart.missing import not_cut
from benchleaf.operations.chart.rows import Entry, Part, lead_parts, parts, table_rows, thread_part
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.operations.screwcut.words import train_words
from benchleaf.sheet.model import Basis, FigureGroup, Section, Sheet, Table, Weight

__all__ = ["Asked", "Wish", "chart", "named_set", "own_list", "set_named"]

_FEW = 2  # threads to a set-up, on the average: with fewer the wheels stand in the rows
_SEARCH = source("exhaustive search in exact fractions", "derived")


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
    sections = [heading(asked, grouping, rowwise=rowwise)]
    if rowwise:
        sections.append(_one_table(asked, problem, grouping))
    elif grouping.groups:
        sections += _set_ups(asked, problem, grouping)
    if grouping.missing:
        sections.append(not_cut(asked, problem, grouping))
    return Sheet(
        id=asked.name,
        title=f"Threads on the {lathe.name.value}",
        subtitle=", ".join(asked.lists),
        machine=lathe.name.value,
        material=f"{asked.material}, {asked.tool}",
        sections=tuple(sections),
        closing=closing(),
    )


def _set_ups(asked: Asked, problem: Problem, grouping: Grouping) -> Iterator[Section]:
    """A section for each set-up, with the wheels above its table."""
    for number, group in enumerate(grouping.groups, 1):
        desk = Desk(asked.machine.lathe.system.value)
        before = f"setup-{number - 1}.wheels" if number > 1 else "chart.mounted"
        desk.words("wheels", "Wheels", train_words(group.train), _why_wheels(asked))
        if number > 1 or problem.mounted is not None:
            why = basis("what differs from the wheels before", ("wheels", before), GEOMETRY)
            desk.words("change", "Change", _change_words(group.changes), why)
        entries = _entries(asked, group)
        wishes = [entry.wish for entry in entries]
        columns = [thread_part(desk, wishes), *lead_parts(desk, asked.wishes), *parts(desk, asked, problem, entries, "wheels")]
        blocks = (FigureGroup("", desk.pick("wheels", "change"), Weight.SET), _table("threads", columns, entries))
        yield Section(f"setup-{number}", "chart", f"Set-up {number}", "", blocks)


def _one_table(asked: Asked, problem: Problem, grouping: Grouping) -> Section:
    """All threads in one table, the wheels in each row."""
    desk = Desk(asked.machine.lathe.system.value)
    entries = [entry for group in grouping.groups for entry in _entries(asked, group)]
    wheels = Part(desk.column("wheels", "Wheels", "", _why_wheels(asked), "text"), lambda entry: (None, train_words(entry.train)))
    why = basis("wheels of this row that do not stand in the row above (or are not mounted, for the first)", ("wheels",), GEOMETRY)
    change = Part(desk.column("change", "Put on", "", why, "text"), lambda entry: (None, entry.change))
    first = thread_part(desk, [entry.wish for entry in entries])
    columns = [first, *lead_parts(desk, asked.wishes), wheels, change, *parts(desk, asked, problem, entries, "wheels")]
    return Section("chart-rows", "chart", "Threads", "", (_table("threads", columns, entries),))


def _entries(asked: Asked, group: Group) -> list[Entry]:
    """The rows of a group in the order asked for; the first says what to put on (or to take off, where nothing else is done)."""
    on, off = (", ".join(str(change.teeth) for change in group.changes if change.action == action) for action in ("on", "off"))
    put = on or (f"off {off}" if off else "")
    found = [wish for wish in asked.wishes if wish.target in group.trains]
    return [Entry(wish, group.trains[wish.target], "as above" if number else put or "none") for number, wish in enumerate(found)]


def _why_wheels(asked: Asked) -> Basis:
    gears: tuple[Value, ...] = tuple(gears.name for gears in asked.machine.gear_sets)
    banjo = asked.machine.lathe.banjo
    where: tuple[Value, ...] = (banjo.centre_distance,) if banjo is not None else ()
    fits = ", among trains that fit the banjo" if where else ""
    formula = f"exact before inexact, then the fewest wheel changes down the chart{fits}"
    return basis(formula, (*gears, *where, "chart.leadscrew", "chart.limit"), _SEARCH)


def _change_words(changes: Sequence[Change]) -> str:
    off = ", ".join(str(change.teeth) for change in changes if change.action == "off")
    put = ", ".join(str(change.teeth) for change in changes if change.action == "on")
    return "; ".join(words for words in (f"off {off}" if off else "", f"on {put}" if put else "") if words) or "none"


def _table(table_id: str, columns: Sequence[Part], entries: Sequence[Entry]) -> Table:
    return Table(table_id, "", tuple(part.column for part in columns), table_rows(columns, entries))
