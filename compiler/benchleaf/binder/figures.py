"""The figures of a sheet as paper shows them, each with the lines that it goes back to."""

from __future__ import annotations

from collections.abc import Sequence

from benchleaf import explain
from benchleaf.record import record
from benchleaf.sheet.model import Column, FigureRef, Given, Sheet

__all__ = ["Origin", "Shown", "shown_figures"]


@record
class Origin:
    """A line that a figure goes back to."""

    file: str
    line: int
    path: str
    words: str


@record
class Shown:
    """A figure (or a column of a table, one entry a row) as it is printed, and everything that was given for it, directly or through other
    figures."""

    id: str
    label: str
    shown: tuple[str, ...]
    unit: str
    origins: tuple[Origin, ...]


def shown_figures(sheet: Sheet) -> tuple[Shown, ...]:
    """Every figure and column of the sheet, in reading order."""
    entries = {entry.name: entry for entry in explain.entries(sheet)}
    found = []
    for entry in entries.values():
        item = entry.item
        if isinstance(item, Column):
            if item.kind in ("tick", "blank") or entry.table is None:
                continue
            place = [column.id for column in entry.table.columns].index(item.id)
            words: Sequence[str] = [row.shown[place] for row in entry.table.rows]
        else:
            words = [item.shown]
        found.append(Shown(entry.name, item.label, tuple(words), item.unit, tuple(_origins(sheet, entry, {}))))
    return tuple(found)


def _origins(sheet: Sheet, entry: explain.Entry, seen: dict[str, None]) -> list[Origin]:
    """What was given, nearest first, each once."""
    seen[entry.name] = None
    found: dict[Origin, None] = {}
    for item in entry.item.basis.inputs:
        if isinstance(item, Given):
            found[Origin(item.file, item.line, item.path, item.words)] = None
    for item in entry.item.basis.inputs:
        if isinstance(item, FigureRef):
            other = explain.find(sheet, item.id, entry.section)
            if isinstance(other, explain.Entry) and other.name not in seen:
                found |= dict.fromkeys(_origins(sheet, other, seen))
    return list(found)
