"""A sheet as plain text for a terminal, at most 96 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence

from benchleaf.render.clean import clean, columns
from benchleaf.render.words import lever_line, part_lines, profile_lines, sketch_lines, train_strip
from benchleaf.sheet.digest import sealed
from benchleaf.sheet.drawings import GearTrainDrawing, LeverPlateDrawing, PartDrawing, SketchDrawing, ThreadProfileDrawing
from benchleaf.sheet.model import (
    Block,
    Box,
    Caution,
    Check,
    Column,
    Drawing,
    Figure,
    FigureGroup,
    Say,
    Section,
    Sheet,
    Steps,
    Table,
    Weight,
)
from benchleaf.sheet.words import figures_by_name, second_line, shown_with_unit, spoken_text

__all__ = ["SIGNAL", "to_text"]

WIDTH = 96
SIGNAL = {3: "WARNING", 2: "CAUTION", 1: "NOTICE"}  # signal words of ISO 3864-2: death or serious injury, injury, damage


def to_text(sheet: Sheet) -> str:
    """The whole sheet; same sheet, same text."""
    return "\n".join(line.rstrip() for line in _Writer(sealed(sheet)).lines()) + "\n"


def _wrap(text: str, first: str = "", rest: str | None = None) -> list[str]:
    rest = " " * columns(first) if rest is None else rest
    return textwrap.wrap(clean(text), WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False) or [first.rstrip()]


def _ljust(text: str, width: int) -> str:
    return text + " " * (width - columns(text))


def _rjust(text: str, width: int) -> str:
    return " " * (width - columns(text)) + text


class _Writer:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.names: Mapping[str, Figure] = figures_by_name(sheet)

    def lines(self) -> Iterator[str]:
        sheet = self.sheet
        yield from _wrap(sheet.title)
        for words in (sheet.subtitle, f"{sheet.machine}, {sheet.material}", f"sheet {sheet.id}  {sheet.digest[:8]}"):
            if words:
                yield from _wrap(words)
        yield "=" * WIDTH
        for words in sheet.warnings:
            yield from _wrap(words, "LOOK FIRST: ")
        for section in sheet.sections:
            yield ""
            yield from self._section(section)
        yield ""
        yield "=" * WIDTH
        yield from _wrap(spoken_text(sheet.closing.words, self.names))
        for word, meaning in sheet.glossary:
            yield from _wrap(f"{word}: {meaning}", "  ")

    def _section(self, section: Section) -> Iterator[str]:
        yield from _wrap(section.title)
        if second_line(section):
            yield from _wrap(second_line(section))
        yield "-" * WIDTH
        before: Block | None = None
        for block in section.blocks:
            if not (isinstance(block, Check | Caution) and type(block) is type(before)) and before is not None:
                yield ""
            before = block
            yield from self._block(block, section.id)

    def _block(self, block: Block, section: str) -> Iterator[str]:
        match block:
            case FigureGroup():
                yield from _figures(block)
            case Table():
                yield from _table(block)
                if block.caption is not None:
                    yield from _wrap(self._said(block.caption, section), "  ")
            case Caution():
                yield from _wrap(self._said(block.words, section), _sign(block.severity))
            case Check():
                yield from _wrap(self._said(block.words, section), "[ ] ")
            case Box():
                room = "   ".join(["__________"] * min(block.count, 6)) + (f"  ({block.count} readings)" if block.count > 6 else "")
                yield from _wrap(f"{block.label}:")
                yield from _wrap(f"{room} {block.unit}", "  ")
                yield from _wrap(self._said(block.rule, section), "  ")
            case Steps():
                if block.title:
                    yield from _wrap(block.title)
                for number, step in enumerate(block.steps, 1):
                    yield from _wrap(self._said(step, section), f"{number:>3}. ")
            case Say():
                yield from _wrap(self._said(block, section))
            case _:
                yield from _drawing(block)

    def _said(self, say: Say, section: str) -> str:
        return spoken_text(say, self.names, section)


def _sign(severity: int) -> str:
    level = min(max(severity, 1), 3)
    return f"!{'!' * (level - 1):<2} {SIGNAL[level]:<8} "


def _figures(group: FigureGroup) -> Iterator[str]:
    if group.title:
        yield from _wrap(group.title)
    rows = [(clean(f.label), clean(shown_with_unit(f)), clean(f.also)) for f in group.figures]
    widest = min(34, max((columns(label) for label, _, _ in rows), default=0))
    mark = "> " if group.weight is Weight.SET else "  "
    for label, shown, also in rows:
        lead = f"{mark}{_ljust(label, widest)}  " if columns(label) <= widest else ""
        if not lead:
            yield from _wrap(label, mark)
            lead = " " * (widest + 4)
        yield from _wrap(f"{shown}  ({also})" if also else shown, lead)


def _drawing(drawing: Drawing) -> Iterator[str]:
    if drawing.title:
        yield from _wrap(drawing.title)
    match drawing:
        case GearTrainDrawing():
            yield from _wrap(train_strip(drawing), "  ")
        case LeverPlateDrawing():
            widest = min(24, max((columns(clean(lever.name)) for lever in drawing.levers), default=0))
            for lever in drawing.levers:
                yield from _wrap(lever_line(lever), f"  {_ljust(clean(lever.name)[:60], widest)}  ")
        case ThreadProfileDrawing() | PartDrawing():
            lines = profile_lines(drawing) if isinstance(drawing, ThreadProfileDrawing) else part_lines(drawing)
            widest = max((len(name) for name, _ in lines), default=0)
            for name, words in lines:
                yield from _wrap(words, f"  {name:<{widest}}  ")
        case SketchDrawing():
            for words in sketch_lines(drawing):
                yield from _wrap(words, "  - ")
    if drawing.alt:
        yield from _wrap(drawing.alt, "  ")


def _cell(column: Column, shown: str) -> str:
    if shown:
        return clean(shown)
    return {"tick": "[ ]", "blank": "________"}.get(column.kind, "")


def _heads(column: Column) -> list[str]:
    words = textwrap.wrap(clean(column.label), 12, break_on_hyphens=False) or [""]
    return [*words, f"({clean(column.unit)})"] if column.unit else words


def _table(table: Table) -> Iterator[str]:
    if table.title:
        yield from _wrap(table.title)
    heads = [_heads(column) for column in table.columns]
    cells = [[_cell(column, shown) for column, shown in zip(table.columns, row.shown, strict=True)] for row in table.rows]
    widths = [
        max([columns(word) for word in head] + [min(columns(row[place]), 36) for row in cells]) for place, head in enumerate(heads)
    ]
    deep = max((len(head) for head in heads), default=0)
    for line in range(deep):
        shifted = [head[line - deep + len(head)] if line >= deep - len(head) else "" for head in heads]
        yield _line(table.columns, shifted, widths)
    yield "  " + "  ".join("-" * width for width in widths)
    for row, shown in zip(table.rows, cells, strict=True):
        split = [textwrap.wrap(cell, 36) or [""] for cell in shown]
        for line in range(max((len(parts) for parts in split), default=0)):
            text = _line(table.columns, [parts[line] if line < len(parts) else "" for parts in split], widths)
            note = clean(row.note) if line == 0 else ""
            if note and columns(text) + columns(note) + 2 > WIDTH:
                yield text
                yield from _wrap(note, "      ")
            else:
                yield f"{text}  {note}"


def _line(heads: Sequence[Column], cells: Sequence[str], widths: Sequence[int]) -> str:
    parts = [
        _rjust(cell, width) if column.kind in ("number", "dial") else _ljust(cell, width)
        for column, cell, width in zip(heads, cells, widths, strict=True)
    ]
    return "  " + "  ".join(parts)
