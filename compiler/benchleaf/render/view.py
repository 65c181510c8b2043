"""A sheet made ready for the template: text only, every block in the shape that one macro prints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from benchleaf.render.clean import clean
from benchleaf.render.drawings import draw
from benchleaf.render.svg import POINT, Svg, text_width
from benchleaf.render.text import SIGNAL
from benchleaf.sheet.model import Block, Box, Caution, Check, Figure, FigureGroup, Say, Section, Sheet, Steps, Table, Weight
from benchleaf.sheet.words import figures_by_name, shown_with_unit, spoken

__all__ = [
    "BlockView", "BoxView", "CautionView", "ChecksView", "DrawingView", "FigureView", "GroupView", "Piece", "RowView", "SayView",
    "SectionView", "StepsView", "TableView", "block_views", "caution", "pieces", "tile_rows", "tile_width",
]  # fmt: skip

_LINE = 172.0  # mm
_TILE_POINTS = {"huge": 27, "large": 21, "mid": 15, "long": 12}


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a sentence; ``strong`` where it is a figure."""

    words: str
    strong: bool


Sentence = tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class FigureView:
    """A figure as printed.  ``size`` is a class name: long words are set smaller."""

    anchor: str
    label: str
    shown: str
    unit: str
    also: str
    size: str


@dataclass(frozen=True, slots=True)
class GroupView:
    """A group of figures; ``weight`` is 'set', 'work' or 'know'; ``rows`` are the figures in lines that fit a page as tiles."""

    title: str
    weight: str
    figures: tuple[FigureView, ...]
    rows: tuple[tuple[FigureView, ...], ...]
    kind: str = "figures"


@dataclass(frozen=True, slots=True)
class HeadView:
    """Head of a table column; ``kind`` as in the model; ``breaks`` is 'word' where no word is too long to stay whole."""

    label: str
    unit: str
    kind: str
    breaks: str


@dataclass(frozen=True, slots=True)
class CellView:
    """A table cell."""

    kind: str
    shown: str


@dataclass(frozen=True, slots=True)
class RowView:
    """A table row; ``rule`` is a class name: every fifth row has a heavier line below."""

    cells: tuple[CellView, ...]
    note: str
    rule: str


@dataclass(frozen=True, slots=True)
class TableView:
    """A table; ``notes`` when a row has one.  ``dense`` is 'passes' where something is dialled or ticked, else 'plain'."""

    anchor: str
    title: str
    heads: tuple[HeadView, ...]
    rows: tuple[RowView, ...]
    caption: Sentence
    notes: bool
    dense: str
    kind: str = "table"


@dataclass(frozen=True, slots=True)
class CautionView:
    """A caution with its signal word; ``level`` is a class name."""

    level: str
    signal: str
    words: Sentence
    source: str
    kind: str = "caution"


@dataclass(frozen=True, slots=True)
class ChecksView:
    """Checks that follow one another."""

    items: tuple[Sentence, ...]
    kind: str = "checks"


@dataclass(frozen=True, slots=True)
class BoxView:
    """A place to write; ``rooms`` has one entry for every box."""

    label: str
    unit: str
    rule: Sentence
    rooms: tuple[str, ...]
    kind: str = "box"


@dataclass(frozen=True, slots=True)
class StepsView:
    """Numbered steps."""

    title: str
    steps: tuple[Sentence, ...]
    kind: str = "steps"


@dataclass(frozen=True, slots=True)
class SayView:
    """A sentence that stands alone."""

    words: Sentence
    kind: str = "say"


@dataclass(frozen=True, slots=True)
class DrawingView:
    """A drawing; ``key`` is unique on the sheet."""

    key: str
    title: str
    alt: str
    svg: Svg
    kind: str = "drawing"


BlockView = GroupView | TableView | CautionView | ChecksView | BoxView | StepsView | SayView | DrawingView


@dataclass(frozen=True, slots=True)
class SectionView:
    """A section's heading; its blocks are laid out apart."""

    anchor: str
    title: str
    subtitle: str


def pieces(say: Say, names: Mapping[str, Figure], section: str = "") -> Sentence:
    """A sentence in pieces.  Raises UnknownFigureError."""
    return tuple(
        Piece(clean(part), False) if isinstance(part, str) else Piece(clean(shown_with_unit(part)), True)
        for part in spoken(say, names, section)
    )


def block_views(sheet: Sheet, section: Section) -> Iterator[BlockView]:
    """Every block of a section in order; checks that follow one another become one list."""
    names = figures_by_name(sheet)
    checks: list[Sentence] = []
    for block in section.blocks:
        if isinstance(block, Check):
            checks.append(pieces(block.words, names, section.id))
            continue
        if checks:
            yield ChecksView(tuple(checks))
            checks = []
        yield _block(block, names, section.id)
    if checks:
        yield ChecksView(tuple(checks))


def _size(shown: str, unit: str) -> str:
    length = len(shown) + len(unit) / 2
    return "huge" if length <= 9 else "large" if length <= 16 else "mid" if length <= 24 else "long"


def _figure(figure: Figure, section: str) -> FigureView:
    shown, unit = clean(figure.shown), clean(figure.unit)
    return FigureView(f"{section}.{figure.id}", clean(figure.label), shown, unit, clean(figure.also), _size(shown, unit))


def _breaks(label: str) -> str:
    return "word" if all(len(word) <= 12 for word in label.split()) else "anywhere"


def tile_width(figure: FigureView) -> float:
    """Room that a figure takes as a tile, mm, as the stylesheet sets it (estimated a little large)."""
    value = text_width(figure.shown, _TILE_POINTS[figure.size] * POINT, bold=True) + text_width(figure.unit, 15 * POINT)
    return max(value, text_width(figure.label, 10 * POINT), text_width(figure.also, 10 * POINT), 10.0) + 3.8


def tile_rows(figures: tuple[FigureView, ...]) -> Iterator[tuple[FigureView, ...]]:
    """Figures in lines that fit the page width as tiles."""
    row: list[FigureView] = []
    used = 0.0
    for figure in figures:
        width = tile_width(figure)
        if row and used + width > _LINE:
            yield tuple(row)
            row, used = [], 0.0
        row.append(figure)
        used += width
    if row:
        yield tuple(row)


def _table(table: Table, names: Mapping[str, Figure], section: str) -> TableView:
    heads = tuple(HeadView(clean(column.label), clean(column.unit), column.kind, _breaks(column.label)) for column in table.columns)
    rows = tuple(
        RowView(
            tuple(CellView(column.kind, clean(shown)) for column, shown in zip(table.columns, row.shown, strict=True)),
            clean(row.note),
            "fifth" if number % 5 == 0 else "row",
        )
        for number, row in enumerate(table.rows, 1)
    )
    caption = () if table.caption is None else pieces(table.caption, names, section)
    dialled = any(column.kind in ("dial", "tick") for column in table.columns)
    notes = any(row.note for row in table.rows)
    return TableView(f"{section}.{table.id}", clean(table.title), heads, rows, caption, notes, "passes" if dialled else "plain")


def _block(block: Block, names: Mapping[str, Figure], section: str) -> BlockView:
    match block:
        case FigureGroup():
            figures = tuple(_figure(figure, section) for figure in block.figures)
            return GroupView(clean(block.title), Weight(block.weight).value, figures, tuple(tile_rows(figures)))
        case Table():
            return _table(block, names, section)
        case Caution():
            return caution(block, names, section)
        case Check():
            return ChecksView((pieces(block.words, names, section),))
        case Box():
            rooms = tuple(str(number) for number in range(1, max(block.count, 1) + 1))
            return BoxView(clean(block.label), clean(block.unit), pieces(block.rule, names, section), rooms)
        case Steps():
            return StepsView(clean(block.title), tuple(pieces(step, names, section) for step in block.steps))
        case Say():
            return SayView(pieces(block, names, section))
        case _:
            return DrawingView(f"{section}.{block.id}", clean(block.title), clean(block.alt), draw(block))


def caution(block: Caution, names: Mapping[str, Figure], section: str) -> CautionView:
    """A caution with its signal word."""
    level = min(max(block.severity, 1), 3)
    return CautionView(f"level-{level}", SIGNAL[level], pieces(block.words, names, section), clean(str(block.source)))
