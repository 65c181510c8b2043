"""Which blocks stand side by side.  Reading order is kept: down the left column, then down the right.

Heights are estimates in mm for the narrow column; the page breaks themselves are the printer's affair.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from benchleaf.render.view import (
    BlockView,
    BoxView,
    CautionView,
    ChecksView,
    DrawingView,
    GroupView,
    Piece,
    SayView,
    StepsView,
    TableView,
    tile_width,
)

__all__ = ["Row", "lay_out"]

PAGE = 267.0  # what a page holds, mm
LEAST = 55.0  # less room than this at the foot of a page is not worth a pair of columns


@dataclass(frozen=True, slots=True)
class Row:
    """A stretch of the sheet.  ``shape`` is 'band' (tiles, in ``left``), 'full' (one block, in ``left``) or 'pair'."""

    shape: str
    left: tuple[BlockView, ...]
    right: tuple[BlockView, ...] = ()


def lay_out(blocks: Iterable[BlockView], used: float) -> tuple[list[Row], float]:
    """Rows for the blocks of a section, and how much of the last page they fill; ``used`` mm of the first page are taken."""
    rows: list[Row] = []
    waiting: list[BlockView] = []

    def flush() -> None:
        nonlocal used
        while waiting:
            row, taken, used = _columns(waiting, used)
            rows.append(row)
            del waiting[:taken]

    for shape, run in _runs(blocks):
        if shape == "half":
            waiting += run
            continue
        flush()
        tall = _band(run) if shape == "band" else sum(_height(block, 1.0) for block in run)
        used = _after(used, tall)
        rows.append(Row(shape, tuple(run)))
    flush()
    return rows, used


def _after(used: float, tall: float) -> float:
    """Where the page is filled to after something ``tall``, which goes to the next page when it does not fit."""
    return used + tall if used + tall <= PAGE else tall % PAGE


def _runs(blocks: Iterable[BlockView]) -> Iterator[tuple[str, list[BlockView]]]:
    run: list[BlockView] = []
    shape = ""
    for block in blocks:
        now = "band" if isinstance(block, GroupView) and block.weight == "set" else "half" if _narrow(block) else "full"
        if run and (now != shape or now == "full"):
            yield shape, run
            run = []
        run.append(block)
        shape = now
    if run:
        yield shape, run


def _narrow(block: BlockView) -> bool:
    if isinstance(block, CautionView):
        return block.level != "level-3"
    if not isinstance(block, TableView):
        return True
    widths = [max([len(head.label) * 0.8, *(len(row.cells[place].shown) for row in block.rows)]) for place, head in enumerate(block.heads)]
    return block.dense == "plain" and not block.notes and sum(min(width, 20) + 2 for width in widths) <= 44 and len(block.rows) <= 12


def _columns(blocks: Sequence[BlockView], used: float) -> tuple[Row, int, float]:
    """As many blocks as fit what is left of the page, split where the columns come out most even."""
    heights = [_height(block, 1.0 if len(blocks) == 1 else 0.5) for block in blocks]
    for room, start in ((PAGE - used, used), (PAGE, 0.0)):
        if room < LEAST:
            continue
        for taken in range(len(blocks), 0, -1):
            split, tall = _split(heights[:taken])
            if tall <= room and (taken > 1 or len(blocks) == 1):
                if taken == 1:
                    return Row("full", tuple(blocks[:1])), 1, start + tall
                return Row("pair", tuple(blocks[:split]), tuple(blocks[split:taken])), taken, start + tall
    return Row("full", tuple(blocks[:1])), 1, _after(used, heights[0])


def _split(heights: Sequence[float]) -> tuple[int, float]:
    """Where to cut so that the taller column is as short as can be, and how tall it is."""
    best = min(range(1, len(heights) + 1), key=lambda cut: max(sum(heights[:cut]), sum(heights[cut:])))
    return best, max(sum(heights[:best]), sum(heights[best:]))


def _lines(words: Sequence[Piece] | str, width: float, line: float, per_line: float) -> float:
    """Height of running text: ``per_line`` characters fit the full width."""
    length = len(words) if isinstance(words, str) else sum(len(piece.words) for piece in words)
    return math.ceil(max(length, 1) / (per_line * width)) * line


def _band(groups: Sequence[BlockView]) -> float:
    """Tiles fill lines from left to right; a group that does not fit goes to the next line."""
    lines, used = 1, 0.0
    for group in groups:
        if isinstance(group, GroupView):
            wide = min(max(sum(tile_width(figure) for figure in row) for row in group.rows), 172.0) + 2.5 if group.rows else 0.0
            lines, used = (lines + 1, wide) if used and used + wide > 176.0 else (lines, used + wide)
            lines += max(len(group.rows) - 1, 0)
    return lines * 25.0


def _height(block: BlockView, width: float) -> float:
    match block:
        case DrawingView():
            return block.svg.height + (7.0 if block.title else 2.0)
        case GroupView():
            line = 4.6 if block.weight == "know" else 7.0
            also = 0.0 if block.weight == "know" else 4.0
            return 8.0 + sum(line + (also if figure.also else 0.0) for figure in block.figures)
        case TableView():
            tall = 7.0 if block.dense == "passes" else 6.4
            return 18.0 + tall * len(block.rows) + (_lines(block.caption, width, 5.0, 84) if block.caption else 0.0)
        case CautionView():
            return 11.0 + _lines(block.words, width, 5.2, 74)
        case ChecksView():
            return 2.0 + sum(max(7.4, 2.0 + _lines(item, width, 5.0, 78)) for item in block.items)
        case BoxView():
            return 20.0 + math.ceil(len(block.rooms) / 3) * 12.0 * 0.5 + _lines(block.rule, width, 4.8, 86)
        case StepsView():
            return 8.0 + sum(1.4 + _lines(step, width, 5.0, 76) for step in block.steps)
        case SayView():
            return 3.0 + _lines(block.words, width, 5.0, 80)
