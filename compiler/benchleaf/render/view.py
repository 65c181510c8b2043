"""A sheet made ready for the template: text only, every block in the shape that one macro prints."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import count

from benchleaf.render.clean import clean
from benchleaf.render.drawings import draw
from benchleaf.render.paper import A4, Paper
from benchleaf.render.sums import sum_json
from benchleaf.render.svg import POINT, Svg, text_width
from benchleaf.render.templates import block_template
from benchleaf.render.text import SIGNAL
from benchleaf.sheet.model import Block, Box, Caution, Check, Figure, FigureGroup, Say, Section, Sheet, Steps, Table, Weight
from benchleaf.sheet.words import figures_by_name, second_line, shown_with_unit, spoken

__all__ = [
    "BlockView", "BoxView", "CautionView", "ChecksView", "DrawingView", "FigureView", "GroupView", "Piece", "RowView", "SayView",
    "SectionView", "StepsView", "TableView", "block_views", "caution", "pieces", "section_view", "tile_rows", "tile_width",
]  # fmt: skip

_INSET = 2.0  # mm: what a line of tiles leaves free
_SHORT = 9  # characters: longer words without a number are set one size smaller
_TILE_POINTS = {"huge": 27, "large": 21, "mid": 15, "long": 12}


@dataclass(frozen=True, slots=True)
class Piece:
    """Part of a sentence; ``strong`` where it is a figure."""

    words: str
    strong: bool


Sentence = tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class FigureView:
    """A figure as printed.  ``size`` is a class name: as large as its line holds for what is set, else 'short' or 'long';
    ``breaks`` is 'word' where no word of the label is too long to stay whole."""

    anchor: str
    label: str
    shown: str
    unit: str
    also: str
    size: str
    breaks: str


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
    """A table cell; ``breaks`` is 'whole' where what is shown is short enough to stay on one line."""

    kind: str
    shown: str
    breaks: str


@dataclass(frozen=True, slots=True)
class RowView:
    """A table row; ``rule`` is a class name: every fifth row has a heavier line below."""

    cells: tuple[CellView, ...]
    note: str
    rule: str


@dataclass(frozen=True, slots=True)
class TableView:
    """A table; ``notes`` when a row has one.  ``look`` is 'list' where there are only words to tick off, whose notes then stand below them;
    'passes' where something is dialled or ticked; else 'plain'.

    ``room`` is the width it needs, mm (estimated), with notes that may break.
    """

    anchor: str
    title: str
    heads: tuple[HeadView, ...]
    rows: tuple[RowView, ...]
    caption: Sentence
    notes: bool
    look: str
    room: float
    kind: str = "table"


@dataclass(frozen=True, slots=True)
class CautionView:
    """Cautions of one severity that follow one another, with their signal word; ``level`` is a class name."""

    level: str
    signal: str
    items: tuple[Sentence, ...]
    kind: str = "caution"


@dataclass(frozen=True, slots=True)
class ChecksView:
    """Checks that follow one another; ``names`` are theirs, to be ticked under."""

    items: tuple[Sentence, ...]
    names: tuple[str, ...]
    kind: str = "checks"


@dataclass(frozen=True, slots=True)
class BoxView:
    """A place to write; ``rooms`` has one entry for every box.  ``sum`` is its arithmetic as JSON, '' for none; ``dial`` the unit of the
    dial that is then set, '' for none."""

    anchor: str
    label: str
    unit: str
    rule: Sentence
    rooms: tuple[str, ...]
    sum: str = ""
    dial: str = ""
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
    """A section's heading; its blocks are laid out apart.  ``look`` is 'whole' for one that stays on a page, 'long' for one that begins a
    page, else ''.  ``block`` names the template that its operation has of its own, '' for none; ``figures`` are the section's figures by
    id, for that template."""

    anchor: str
    title: str
    subtitle: str
    look: str = ""
    block: str = ""
    figures: Mapping[str, FigureView] = field(default_factory=dict)


def section_view(section: Section, number: str = "", look: str = "") -> SectionView:
    """The heading of a section, numbered where there are many."""
    figures = {item.id: _figure(item, section.id, Weight.WORK, 0.0) for item in section.figures()}
    title = clean(section.title)
    return SectionView(
        section.id, f"{number}. {title}" if number else title, clean(second_line(section)), look, block_template(section.kind), figures
    )


def pieces(say: Say, names: Mapping[str, Figure], section: str = "") -> Sentence:
    """A sentence in pieces.  Raises UnknownFigureError."""
    return tuple(
        Piece(clean(part), False) if isinstance(part, str) else Piece(clean(shown_with_unit(part)), True)
        for part in spoken(say, names, section)
    )


def block_views(sheet: Sheet, section: Section, paper: Paper = A4) -> Iterator[BlockView]:
    """Every block of a section in order, tiles in lines that the paper holds; checks that follow one another become one list."""
    names = figures_by_name(sheet)
    before: BlockView | None = None
    checks = count(1)
    for block in section.blocks:
        view = _block(block, names, section.id, paper.full - _INSET)
        if isinstance(view, ChecksView):
            view = ChecksView(view.items, (f"{section.id}.check.{next(checks)}",))
        match before, view:
            case ChecksView(), ChecksView():
                before = ChecksView(before.items + view.items, before.names + view.names)
            case CautionView(), CautionView() if before.level == view.level:
                before = CautionView(view.level, view.signal, before.items + view.items)
            case _:
                if before is not None:
                    yield before
                before = view
    if before is not None:
        yield before


def _figure(figure: Figure, section: str, weight: Weight, line: float) -> FigureView:
    shown, unit = clean(figure.shown), clean(figure.unit)
    view = FigureView(f"{section}.{figure.id}", clean(figure.label), shown, unit, clean(figure.also), "long", _breaks(figure.label))
    if weight is not Weight.SET:
        return replace(view, size="short" if len(shown) + len(unit) <= 24 else "long")
    plain_words = len(shown) > _SHORT and not any(char.isdigit() for char in shown)
    sizes = (replace(view, size=size) for size in _TILE_POINTS if not (plain_words and size == "huge"))
    return next((sized for sized in sizes if tile_width(sized) <= line), view)


def _breaks(label: str) -> str:
    return "word" if all(len(word) <= 14 for word in label.split()) else "anywhere"


def tile_width(figure: FigureView) -> float:
    """Room that a figure takes as a tile, mm, as the stylesheet sets it (estimated a little large)."""
    value = text_width(figure.shown, _TILE_POINTS[figure.size] * POINT, bold=True) + text_width(figure.unit, 15 * POINT)
    return max(value, text_width(figure.label, 10 * POINT), min(text_width(figure.also, 10 * POINT), 70.0), 10.0) + 3.8


def tile_rows(figures: tuple[FigureView, ...], line: float) -> Iterator[tuple[FigureView, ...]]:
    """Figures in lines that fit the page width as tiles."""
    row: list[FigureView] = []
    used = 0.0
    for figure in figures:
        width = tile_width(figure)
        if row and used + width > line:
            yield tuple(row)
            row, used = [], 0.0
        row.append(figure)
        used += width
    if row:
        yield tuple(row)


def _table(table: Table, names: Mapping[str, Figure], section: str) -> TableView:
    # A column of words in which nothing is said takes no room.
    kept = [place for place, column in enumerate(table.columns) if _says(table, place) or column.kind in ("tick", "blank")]
    columns = [table.columns[place] for place in kept]
    heads = tuple(HeadView(clean(column.label), clean(column.unit), column.kind, _breaks(column.label)) for column in columns)
    rows = tuple(
        RowView(
            tuple(_cell(table.columns[place].kind, clean(row.shown[place])) for place in kept),
            clean(row.note),
            "fifth" if number % 5 == 0 else "row",
        )
        for number, row in enumerate(table.rows, 1)
    )
    caption = () if table.caption is None else pieces(table.caption, names, section)
    kinds = {column.kind for column in columns}
    look = "list" if kinds == {"tick", "text"} else "passes" if kinds & {"dial", "tick"} else "plain"
    notes = any(row.note for row in table.rows)
    room = sum(_column_width(head, [row.cells[place].shown for row in rows], look) for place, head in enumerate(heads))
    if look == "list":
        room = 0.0  # words break wherever they must
    elif notes:
        room += 3.0 + min(max(text_width(row.note, 10 * POINT) for row in rows), 24.0)
    return TableView(f"{section}.{table.id}", clean(table.title), heads, rows, caption, notes, look, room)


def _held(table: TableView, line: float) -> TableView:
    """A table that is wider than the paper is set in smaller type."""
    return replace(table, look=f"{table.look} tight") if table.room > line + _INSET and table.look != "list" else table


def _says(table: Table, place: int) -> bool:
    column = table.columns[place]
    return bool(column.label or column.unit) or any(row.shown[place] for row in table.rows)


def _cell(kind: str, shown: str) -> CellView:
    return CellView(kind, shown, "whole" if len(shown) <= 10 else "anywhere")


def _column_width(head: HeadView, shown: list[str], look: str) -> float:
    points = 18 if head.kind == "dial" else 14 if look == "passes" else 13 if head.kind != "text" else 11.5
    words = [*head.label.split(), head.unit]
    least = {"tick": 7.0, "blank": 20.0}.get(head.kind, 0.0)
    heading = max((text_width(word, 10.5 * POINT, bold=True) for word in words), default=0.0)
    bold = head.kind != "number" or look == "plain"
    cells = max((min(text_width(cell, points * POINT, bold=bold), 42.0) for cell in shown), default=0.0)
    return max(least, heading + 2.0, cells + (4.2 if head.kind in ("number", "dial") else 2.0))


def _block(block: Block, names: Mapping[str, Figure], section: str, line: float) -> BlockView:
    match block:
        case FigureGroup():
            figures = tuple(_figure(figure, section, block.weight, line) for figure in block.figures)
            rows = tuple(tile_rows(figures, line)) if block.weight is Weight.SET else ()
            return GroupView(clean(block.title), block.weight.value, figures, rows)
        case Table():
            return _held(_table(block, names, section), line)
        case Caution():
            return caution(block, names, section)
        case Check():
            return ChecksView((pieces(block.words, names, section),), ("",))
        case Box():
            return _box(block, names, section)
        case Steps():
            return StepsView(clean(block.title), tuple(pieces(step, names, section) for step in block.steps))
        case Say():
            return SayView(pieces(block, names, section))
        case _:
            return DrawingView(f"{section}.{block.id}", clean(block.title), clean(block.alt), draw(block))


def _box(box: Box, names: Mapping[str, Figure], section: str) -> BoxView:
    rooms = tuple(str(number) for number in range(1, max(box.count, 1) + 1))
    view = BoxView(f"{section}.{box.id}", clean(box.label), clean(box.unit), pieces(box.rule, names, section), rooms)
    if box.sum is None:
        return view
    dial = "" if box.sum.collar is None else clean(box.sum.unit)
    return replace(view, sum=sum_json(box, box.sum, names, section), dial=dial)


def caution(block: Caution, names: Mapping[str, Figure], section: str) -> CautionView:
    """A caution with its signal word."""
    level = min(max(block.severity, 1), 3)
    return CautionView(f"level-{level}", SIGNAL[level], (pieces(block.words, names, section),))
