"""The chart that hangs beside one lathe: every thread of some lists, grouped by the wheels that stay on.

Where many threads share wheels (a gearbox), each set-up has its own table; where nearly every thread wants its own wheels, one table
says them row by row.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchleaf.kinematics.model import Change, Train
from benchleaf.operations.cautions import closing
from benchleaf.operations.chart.asked import Asked, Wish, named_set, own_list, set_named
from benchleaf.operations.chart.grouping import Grouping, Target, grouped
from benchleaf.operations.chart.heading import about, start
from benchleaf.operations.chart.missing import not_cut
from benchleaf.operations.chart.rows import Alike, Entry, Part, lead_parts, parts, still_levers, table_rows, thread_part
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.operations.screwcut.words import train_words
from benchleaf.sheet.model import Basis, FigureGroup, Section, Sheet, Table, Weight

__all__ = ["Asked", "Wish", "chart", "named_set", "own_list", "set_named"]

_FEW = 2  # threads to a set-up, on the average: with fewer the wheels stand in the rows
_LONGEST = 18  # rows under one statement of the wheels
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
    entries = _entries(asked, grouping)
    everything = [entry for of_group in entries for entry in of_group]
    alike = Alike(problem, everything)
    desk = Desk(lathe.system.value)
    levers = still_levers(desk, asked, alike)
    sections = [start(rowwise=rowwise, inexact=alike.inexact, levers=levers)]
    if rowwise:
        sections.append(_one_table(asked, alike, everything))
    elif grouping.groups:
        sections += _set_ups(asked, alike, grouping, entries)
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


def _set_ups(asked: Asked, alike: Alike, grouping: Grouping, entries_of: Sequence[Sequence[Entry]]) -> Iterator[Section]:
    """A section for each set-up, with the wheels above its table; a long one comes in parts, so that the wheels are never out of sight."""
    for number, (group, entries) in enumerate(zip(grouping.groups, entries_of, strict=True), 1):
        before = f"setup-{number - 1}.wheels" if number > 1 else "chart.mounted"
        parts_of = -(-len(entries) // _LONGEST)
        each = -(-len(entries) // parts_of)
        for part, start_at in enumerate(range(0, len(entries), each), 1):
            desk = Desk(asked.machine.lathe.system.value)
            desk.words("wheels", "Wheels", train_words(group.train), _why_wheels(asked))
            if part == 1 and (number > 1 or alike.problem.mounted is not None):
                why = basis("what differs from the wheels before", ("wheels", before), GEOMETRY)
                desk.words("change", "Change", _change_words(group.changes), why)
            rows = entries[start_at : start_at + each]
            wishes = [entry.wish for entry in rows]
            columns = [thread_part(desk, wishes), *lead_parts(desk, asked.wishes), *parts(desk, asked, alike, "wheels")]
            blocks = (FigureGroup("", desk.pick("wheels", "change"), Weight.SET), _table("threads", columns, rows))
            again = ("", "") if part == 1 else (f"-{part}", ", continued")
            yield Section(f"setup-{number}{again[0]}", "chart", f"Set-up {number}{again[1]}", "", blocks)


def _one_table(asked: Asked, alike: Alike, entries: Sequence[Entry]) -> Section:
    """All threads in one table, the wheels in each row."""
    desk = Desk(asked.machine.lathe.system.value)
    wheels = Part(desk.column("wheels", "Wheels", "", _why_wheels(asked), "text"), lambda entry: (None, _plain_train(entry.train)))
    why = basis("wheels to put on: those that do not stand in the row above (in the first, that are not mounted)", ("wheels",), GEOMETRY)
    change = Part(desk.column("change", "Change", "", why, "text"), lambda entry: (None, entry.change))
    first = thread_part(desk, [entry.wish for entry in entries])
    columns = [first, wheels, change, *lead_parts(desk, asked.wishes), *parts(desk, asked, alike, "wheels")]
    return Section("chart-rows", "chart", "Threads", "", (_table("threads", columns, entries),))


def _entries(asked: Asked, grouping: Grouping) -> list[list[Entry]]:
    """The rows of every group in the order asked for; the first says what to put on (or to take off, where nothing else is done)."""
    wishes: dict[Target, list[tuple[int, Wish]]] = {}
    for at, wish in enumerate(asked.wishes):
        wishes.setdefault(wish.target, []).append((at, wish))
    mounted = asked.machine.lathe.mounted
    bare = mounted is None or not mounted.train
    found = []
    for group in grouping.groups:
        on, off = (", ".join(str(change.teeth) for change in group.changes if change.action == action) for action in ("on", "off"))
        put = on or (f"off {off}" if off else "") or ("all" if bare else "")
        rows = [(at, wish, train) for target, train in group.trains.items() for at, wish in wishes.get(target, ())]
        rows.sort(key=lambda row: row[0])
        found.append([Entry(wish, train, "same" if number else put or "none") for number, (_, wish, train) in enumerate(rows)])
    return found


def _plain_train(train: Train) -> str:
    """The wheels in the order the motion passes, without letters: rows are read, not followed."""
    return " \u2013 ".join(" / ".join(str(item.wheel.teeth) for item in axis) for axis in train.axes)


def _why_wheels(asked: Asked) -> Basis:
    gears: tuple[Value, ...] = tuple(gears.name for gears in asked.machine.gear_sets)
    banjo = asked.machine.lathe.banjo
    where: tuple[Value, ...] = (banjo.centre_distance,) if banjo is not None else ()
    fits = ", among trains that fit the banjo" if where else ""
    formula = f"exact before inexact, then the fewest wheel changes down the chart{fits}"
    lathe = asked.machine.lathe
    mounted = ("chart.mounted",) if lathe.mounted is not None and lathe.mounted.train else ()
    return basis(formula, (*gears, *where, "chart.leadscrew", "chart.limit", *mounted), _SEARCH)


def _change_words(changes: Sequence[Change]) -> str:
    off = ", ".join(str(change.teeth) for change in changes if change.action == "off")
    put = ", ".join(str(change.teeth) for change in changes if change.action == "on")
    return "; ".join(words for words in (f"off {off}" if off else "", f"on {put}" if put else "") if words) or "none"


def _table(table_id: str, columns: Sequence[Part], entries: Sequence[Entry]) -> Table:
    return Table(table_id, "", tuple(part.column for part in columns), table_rows(columns, entries))
