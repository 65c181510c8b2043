"""A set-up of a chart or plan as a section: the wheels that stay on above the table of the threads that are cut with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchleaf.kinematics.model import Change
from benchleaf.operations.chart.asked import Asked, Wish
from benchleaf.operations.chart.grouping import Grouping, Target
from benchleaf.operations.chart.rows import Alike, Entry, Part, lead_parts, parts, table_rows, thread_part
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.operations.screwcut.words import train_words
from benchleaf.sheet.model import Basis, FigureGroup, Section, Table, Weight

__all__ = ["change_words", "entries", "set_ups", "threads_table", "why_wheels"]

RULE = "exact before inexact, then the fewest wheel changes down the chart"
_LONGEST = 18  # rows under one statement of the wheels
_SEARCH = source("exhaustive search in exact fractions", "derived")


def set_ups(
    asked: Asked, alike: Alike, grouping: Grouping, entries_of: Sequence[Sequence[Entry]], rule: str = RULE
) -> Iterator[Section]:
    """A section for each set-up, with the wheels above its table; a long one comes in parts, so that the wheels are never out of sight.
    ``rule`` says how the wheels were chosen."""
    for number, (group, entries) in enumerate(zip(grouping.groups, entries_of, strict=True), 1):
        before = f"setup-{number - 1}.wheels" if number > 1 else "chart.mounted"
        parts_of = -(-len(entries) // _LONGEST)
        each = -(-len(entries) // parts_of)
        for part, start_at in enumerate(range(0, len(entries), each), 1):
            desk = Desk(asked.machine.lathe.system.value)
            desk.words("wheels", "Wheels", train_words(group.train), why_wheels(asked, rule))
            if part == 1 and (number > 1 or alike.problem.mounted is not None):
                why = basis("what differs from the wheels before", ("wheels", before), GEOMETRY)
                desk.words("change", "Change", change_words(group.changes), why)
            rows = entries[start_at : start_at + each]
            wishes = [entry.wish for entry in rows]
            columns = [thread_part(desk, wishes), *lead_parts(desk, asked.wishes), *parts(desk, asked, alike, "wheels")]
            blocks = (FigureGroup("", desk.pick("wheels", "change"), Weight.SET), threads_table("threads", columns, rows))
            again = ("", "") if part == 1 else (f"-{part}", ", continued")
            yield Section(f"setup-{number}{again[0]}", "chart", f"Set-up {number}{again[1]}", "", blocks)


def entries(asked: Asked, grouping: Grouping) -> list[list[Entry]]:
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


def why_wheels(asked: Asked, rule: str = RULE) -> Basis:
    """Why these wheels."""
    gears: tuple[Value, ...] = tuple(gears.name for gears in asked.machine.gear_sets)
    banjo = asked.machine.lathe.banjo
    where: tuple[Value, ...] = (banjo.centre_distance,) if banjo is not None else ()
    fits = ", among trains that fit the banjo" if where else ""
    formula = f"{rule}{fits}"
    lathe = asked.machine.lathe
    mounted = ("chart.mounted",) if lathe.mounted is not None and lathe.mounted.train else ()
    return basis(formula, (*gears, *where, "chart.leadscrew", "chart.limit", *mounted), _SEARCH)


def change_words(changes: Sequence[Change]) -> str:
    """What comes off and what goes on."""
    off = ", ".join(str(change.teeth) for change in changes if change.action == "off")
    put = ", ".join(str(change.teeth) for change in changes if change.action == "on")
    return "; ".join(words for words in (f"off {off}" if off else "", f"on {put}" if put else "") if words) or "none"


def threads_table(table_id: str, columns: Sequence[Part], entries: Sequence[Entry]) -> Table:
    """A table with these columns, a row for each thread."""
    return Table(table_id, "", tuple(part.column for part in columns), table_rows(columns, entries))
