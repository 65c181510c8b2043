"""How tall a block will be on paper, mm, with the space below it: near enough to decide what stands beside what.

The sizes are those of ``templates/sheet.css``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from benchleaf.render.svg import POINT, text_width
from benchleaf.render.view import (
    BlockView,
    BoxView,
    CautionView,
    ChecksView,
    DrawingView,
    FigureView,
    GroupView,
    Piece,
    RowView,
    SayView,
    StepsView,
    TableView,
    tile_width,
)

__all__ = ["band_height", "height"]

_WIDE = 150.0  # mm: from here on lists of figures stand in two columns
_BELOW = 2.3
_HEADING = 6.6
_VALUE = {"huge": 9.8, "large": 7.7, "mid": 6.2, "long": 5.0}


def _lines(words: Sequence[Piece], room: float, points: float, leading: float, *, bold: bool = False) -> float:
    """Height of running text.  Real type runs a little narrower than the estimate, and lines end before they are full."""
    wide = sum(text_width(piece.words, points * POINT, bold=bold or piece.strong) for piece in words)
    return max(math.ceil(wide * 0.93 / room), 1) * points * POINT * leading


def band_height(groups: Sequence[BlockView], full: float) -> float:
    """Tiles fill lines from left to right; a group that does not fit goes to the next line."""
    total, line, used = 0.0, 0.0, 0.0
    for group in groups:
        if not isinstance(group, GroupView) or not group.rows:
            continue
        wide = max(sum(tile_width(figure) for figure in row) for row in group.rows) + 2.5
        tall = _HEADING * bool(group.title) + sum(max(_tile(figure) for figure in row) for row in group.rows) + 1.2
        if used and used + wide > full + 2.0:
            total, line, used = total + line, 0.0, 0.0
        line, used = max(line, tall), used + wide
    return total + line + 1.5


def _tile(figure: FigureView) -> float:
    also = math.ceil(text_width(figure.also, 10 * POINT) / 72.0) * 4.1
    return 4.1 + _VALUE[figure.size] + also + 3.2


def _row(figure: FigureView, weight: str, room: float) -> float:
    """A figure in a list: one line where label, value and the other reading fit, else two."""
    know = weight == "know"
    points = 10 if know else 11.5 if figure.size == "long" else 14
    label = text_width(figure.label, (10 if know else 11) * POINT)
    value = text_width(figure.shown, points * POINT, bold=True) + text_width(figure.unit, min(points, 11.5) * POINT)
    also = text_width(figure.also, 10 * POINT)
    first = points * POINT * 1.16 + (0.8 if know else 0.9)
    second = 4.1 if label + value + also + 5.0 > room * 1.06 else 0.0
    return first + second + 4.7 * max(math.ceil((value - 60.0) / 60.0), 0)


def _box(block: BoxView, room: float) -> float:
    if len(block.rooms) == 1:
        return max(12.0, 5.2 + _lines(block.rule, room - 32.0, 11, 1.25)) + _BELOW
    return 5.8 + math.ceil(len(block.rooms) / (room // 25.5)) * 12.0 + _lines(block.rule, room, 11, 1.25) + _BELOW


def height(block: BlockView, room: float) -> float:
    """Height of a block in a column ``room`` mm wide."""
    match block:
        case DrawingView():
            wide = text_width(block.title, 11.5 * POINT, bold=True)
            return block.svg.height + (2.0 + math.ceil(wide / room) * 5.1 if block.title else 0.0) + _BELOW
        case GroupView():
            narrow = room if room < _WIDE else room / 2 - 2.0
            rows = [_row(figure, block.weight, narrow) for figure in block.figures]
            tall = sum(rows) if room < _WIDE else max(sum(rows[0::2]), sum(rows[1::2]))  # two columns where there is room
            return _HEADING * bool(block.title) + tall + _BELOW
        case TableView():
            if block.look == "list":
                return _HEADING * bool(block.title) + sum(_listed(row, room) for row in block.rows) + _BELOW
            tall = 6.68 if block.look.startswith("passes") else 6.4
            caption = _lines(block.caption, room, 11, 1.25) + 1.0 if block.caption else 0.0
            heads = 0.6 + 4.1 * max((_head_lines(head.label, room / len(block.heads)) + bool(head.unit) for head in block.heads), default=1)
            return _HEADING * bool(block.title) + caption + heads + tall * len(block.rows) + _BELOW
        case CautionView():
            points, bold = (12.0, True) if block.level == "level-3" else (11.5, False)
            several = len(block.items) > 1
            narrow = room - (10.0 if several else 8.0)
            lines = sum(_lines(item, narrow, points, 1.25, bold=bold) + 0.2 for item in block.items)
            # The sign and the signal word stand on a line of their own above several, else before the sentence.
            return 3.6 + lines + (5.6 if several else 0.0) + _BELOW
        case ChecksView():
            return sum(max(6.1, 1.0 + _lines(item, room - 7.8, 11, 1.2)) for item in block.items) + _BELOW
        case BoxView():
            return _box(block, room)
        case StepsView():
            steps = sum(0.5 + _lines(step, room - 7.2, 11, 1.2) for step in block.steps)
            return _HEADING * bool(block.title) + steps + _BELOW
        case SayView():
            return _lines(block.words, room, 11.5, 1.25) + _BELOW


def _listed(row: RowView, room: float) -> float:
    """A row of a list: its words, below them its note."""
    words = row.cells[-1].shown
    lines = _lines((Piece(words, True),), room - 16.0, 11.5, 1.15)
    return max(6.2, lines + (_lines((Piece(row.note, False),), room - 16.0, 10, 1.15) if row.note else 0.0) + 1.4)


def _head_lines(label: str, share: float) -> int:
    """Heads break between words where the columns are narrow."""
    return 1 if len(label) <= 8 or share > 20.0 else min(len(label.split()), 3)
