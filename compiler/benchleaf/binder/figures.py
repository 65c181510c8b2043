"""The figures of a sheet as paper shows them, each with the lines that it goes back to."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from benchleaf import explain
from benchleaf.record import record
from benchleaf.sheet.drawings import PartDrawing
from benchleaf.sheet.model import Column, FigureRef, Given, Section, Sheet, Table
from benchleaf.sheet.words import sayings

__all__ = ["WORDS", "Origin", "Shown", "numbers", "shown_figures"]

WORDS = ".words"
"""What the ids of sizes end in that are no figures but stand in the words or the drawing of a section."""
_FIGURE = re.compile(r"\{[^}]*\}")
_NUMBER = re.compile(r"\d+(?:[ ./]\d+)*")


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
    """Every figure and column of the sheet, in reading order, then the sizes that only its words and drawings give."""
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
    said: dict[str, list[str]] = {section.id: [*_beside_sentences(section)] for section in sheet.sections}
    for name, say in sayings(sheet):
        said.setdefault(name, []).append(_FIGURE.sub("...", say.words))
    for name, texts in said.items():
        if rows := tuple(text for text in texts if numbers((text,))):
            found.append(Shown(f"{name}{WORDS}", "in words", rows, "", ()))
    return tuple(found)


def numbers(texts: Sequence[str]) -> tuple[str, ...]:
    """The numbers in some texts, in order."""
    return tuple(number for text in texts for number in _NUMBER.findall(text))


def _beside_sentences(section: Section) -> Iterator[str]:
    yield section.subtitle
    for block in section.blocks:
        if isinstance(block, PartDrawing):
            yield from (stretch.words for stretch in (*block.outside, *block.bore))
            yield from (place.words for place in block.places)
        elif isinstance(block, Table):
            yield from (row.note for row in block.rows)


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
