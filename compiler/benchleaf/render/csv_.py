"""The tables of a sheet as CSV (RFC 4180): one row a table row, one header for all tables."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Sequence

from benchleaf.render.clean import clean
from benchleaf.sheet.model import Block, Column, Figure, FigureGroup, Sheet, Weight

__all__ = ["to_csv"]

_PLACE = ("sheet", "section", "settings", "table", "row")
Head = tuple[str, str, int]
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def to_csv(sheet: Sheet) -> str:
    """Every table of the sheet, as it is printed.

    Columns that have the same label and unit in several tables are one column; what a table does not have stays empty.  ``settings``
    are the figures of the section that are set at the machine.  Numbers have a plain minus sign; words that a spreadsheet would take
    for a formula are led by an apostrophe.
    """
    heads: dict[Head, None] = {}
    records: list[tuple[tuple[str, ...], dict[Head, str], str]] = []
    for section in sheet.sections:
        settings = "; ".join(f"{figure.label} {figure.shown}" for figure in _set(section.blocks))
        for table in section.tables():
            places = _places(table.columns)
            heads.update(dict.fromkeys(places))
            for number, row in enumerate(table.rows, 1):
                shown = (_cell(column, words) for column, words in zip(table.columns, row.shown, strict=True))
                start = tuple(_word(words) for words in (sheet.id, section.title, settings, table.title, str(number)))
                records.append((start, dict(zip(places, shown, strict=True)), _word(row.note)))
    noted = any(note for _, _, note in records)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([*_PLACE, *(_word(f"{label} ({unit})" if unit else label) for label, unit, _ in heads), *(["note"] if noted else [])])
    for start, cells, note in records:
        writer.writerow([*start, *(cells.get(head, "") for head in heads), *([note] if noted else [])])
    return out.getvalue()


def _set(blocks: Sequence[Block]) -> Iterator[Figure]:
    """The figures that are set at the machine."""
    for block in blocks:
        if isinstance(block, FigureGroup) and block.weight is Weight.SET:
            yield from block.figures


def _places(columns: Sequence[Column]) -> list[Head]:
    """Label, unit, and which of its kind: a table may have two columns of one label."""
    seen: Counter[tuple[str, str]] = Counter()
    found = []
    for column in columns:
        name = clean(column.label), clean(column.unit)
        seen[name] += 1
        found.append((*name, seen[name]))
    return found


def _cell(column: Column, shown: str) -> str:
    """A number as a program reads it, words as words."""
    plain = clean(shown)
    if column.kind in ("number", "dial"):
        number = plain.replace("\u2212", "-")
        if re.fullmatch(r"[+-]?\d+(\.\d+)?", number):
            return number
    return _word(plain)


def _word(words: str) -> str:
    plain = clean(words)
    return f"'{plain}" if plain.startswith(_FORMULA) else plain
