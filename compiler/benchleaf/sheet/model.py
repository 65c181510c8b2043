"""Sheet > Section > block: the whole content of a set-up sheet as frozen data.

Two rules are kept here by construction.  A figure (and a table column, which is a figure for every
row) cannot be made without a :class:`Basis`.  And words that carry numbers carry them by figure id
(:class:`Say`), so that no number reaches paper by a side door.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import field
from enum import Enum
from fractions import Fraction

from benchleaf.record import record
from benchleaf.sheet.drawings import GearTrainDrawing, LeverPlateDrawing, PartDrawing, SketchDrawing, ThreadProfileDrawing

__all__ = [
    "Basis", "Box", "Caution", "Check", "Column", "Drawing", "Figure", "FigureGroup", "FigureRef", "Given", "Input",
    "Graduation", "Limits", "Row", "Say", "Section", "Sheet", "Source", "Status", "Steps", "Sum", "SumWords", "Table", "Weight",
]  # fmt: skip

Drawing = GearTrainDrawing | LeverPlateDrawing | PartDrawing | SketchDrawing | ThreadProfileDrawing


class Status(Enum):
    """How far a source can be trusted; printed beside it."""

    STANDARD = "standard"  # a formula or table of a published standard
    PUBLISHED = "published"  # read in a published or open table
    DERIVED = "derived"  # follows by arithmetic or geometry
    PRACTICE = "common practice"  # a fact of the trade
    MEMORY = "from memory"  # not confirmed
    OWNER = "owner"  # the user's own statement in a profile or job


@record
class Source:
    """Where a formula or value comes from: ``title`` names the standard, clause or rule."""

    title: str
    status: Status

    def __str__(self) -> str:
        return f"{self.title} ({self.status.value})"


@record
class Given:
    """An input the user wrote (or left to a stated default): the words, and the line they stand on."""

    path: str  # 'leadscrew.lead'
    words: str  # as written
    file: str
    line: int
    column: int
    default: bool = False  # then file/line point at the schema that states it


@record
class FigureRef:
    """An input that is another figure of the same section (or ``section.figure`` of another)."""

    id: str


Input = Given | FigureRef | Source


@record
class Basis:
    """Why a figure is what it is: the formula in words, its inputs, and the source of the formula."""

    formula: str
    inputs: tuple[Input, ...]
    source: Source

    def __post_init__(self) -> None:
        if not self.formula.strip():
            raise ValueError("a basis needs its formula in words")


@record
class Limits:
    """Smallest and largest that will do; None where that side is open."""

    lower: Fraction | None
    upper: Fraction | None


@record
class Figure:
    """One number (or setting) on the sheet.

    ``value`` is exact in ``unit`` (a Fraction) or words (lever positions, 'never').  ``limits`` stand beside
    it for toleranced sizes; ``value`` is then what to aim at.  ``shown`` is what gets printed, unit not included.
    ``rational`` is False where an irrational constant went in, so that ``value`` is itself a 40-digit approximation.
    ``also`` is the same figure in the other system or another reading, printed small.
    """

    id: str
    label: str
    value: Fraction | str
    unit: str
    shown: str
    basis: Basis
    rational: bool = True
    limits: Limits | None = None
    also: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.basis, Basis):
            raise TypeError(f"figure {self.id}: a figure without a basis cannot be made")
        if not re.fullmatch(r"[a-z][a-z0-9_]*", self.id):
            raise ValueError(f"figure id {self.id!r}: lower case letters, digits and underscores")
        if not isinstance(self.value, (Fraction, str)):
            raise TypeError(f"figure {self.id}: an exact Fraction or words, not {type(self.value).__name__}")


class Weight(Enum):
    """How far away it must be readable: what is set at the machine, what is worked to, what is known."""

    SET = "set"  # wheels, levers, rpm, first dial: 1.5 m
    WORK = "work"  # sizes and limits: arm's length
    KNOW = "know"  # background


@record
class FigureGroup:
    """Figures that belong together under one small heading."""

    title: str
    figures: tuple[Figure, ...]
    weight: Weight = Weight.WORK


@record
class Say:
    """A sentence.  ``{id}`` stands for a figure of the section and is printed as 'shown unit'."""

    words: str

    def ids(self) -> tuple[str, ...]:
        """The figures that the sentence uses."""
        return tuple(re.findall(r"\{([a-z0-9_.]+)\}", self.words))


@record
class Steps:
    """What to do, in order."""

    title: str
    steps: tuple[Say, ...]


@record
class Column:
    """A table column: a figure for every row, hence with one basis.  ``kind`` tells back ends how to set it."""

    id: str
    label: str
    unit: str
    basis: Basis
    kind: str = "number"  # 'number' | 'dial' (what the hand sets: printed largest) | 'text' | 'tick' | 'blank'


@record
class Row:
    """One row: for each column the exact value (None for text and empty cells) and what is shown."""

    values: tuple[Fraction | None, ...]
    shown: tuple[str, ...]
    note: str = ""


@record
class Table:
    """A table such as the passes of a thread."""

    id: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    caption: Say | None = None

    def __post_init__(self) -> None:
        for row in self.rows:
            if not len(row.values) == len(row.shown) == len(self.columns):
                raise ValueError(f"table {self.id}: a row does not have {len(self.columns)} cells")


@record
class Caution:
    """A warning that applies here.  ``severity`` 3 may maim or kill, 2 injury or wrecked machine, 1 spoiled work."""

    severity: int
    words: Say
    source: Source


@record
class Check:
    """Something to verify before going on, with a box to tick."""

    words: Say


@record
class Graduation:
    """The collar that an amount is set by, in the amount's unit.  ``turn`` is one turn of the handwheel; ``counts_down`` where the
    collar's figures fall as the slide goes the way of the cut."""

    division: Fraction
    turn: Fraction
    counts_down: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.division <= self.turn:
            raise ValueError("a collar has divisions, and at least one to a turn")


@record
class SumWords:
    """What is said with the outcome of a sum: before the ``amount`` ('Wind in'); when ``done``; when the reading is too ``fine`` for the
    dial to correct; when it is ``spoilt``; and when it is so ``odd`` that it must be misread."""

    amount: Say
    done: Say
    fine: Say
    spoilt: Say
    odd: Say


@record
class Sum:
    """What a reading calls for, as a rule without code, worked out by :mod:`benchleaf.sheet.reckon`.

    ``left`` = reading - ``target`` (the other way where the cut makes the reading ``grow``), in the unit of the box; the amount is
    left x ``factor`` in ``unit``, shown with ``places`` decimals; in whole divisions where a collar sets it, rounded as ``rounding``
    says ('nearest', 'up', 'down') but never so that the reading would leave its ``limits``.  ``start`` is what it measures before any
    cut: a reading farther off than that is misread.  ``reads`` is how many decimals the reading has.
    """

    target: Fraction
    factor: Fraction
    unit: str
    places: int
    reads: int
    words: SumWords
    grows: bool = False
    rounding: str = "nearest"
    limits: Limits | None = None
    start: Fraction | None = None
    collar: Graduation | None = None

    def __post_init__(self) -> None:
        if self.factor <= 0 or self.rounding not in ("nearest", "up", "down"):
            raise ValueError("a sum has a factor above nothing, and rounds to the nearest, up or down")


@record
class Box:
    """A place to write a measurement, and what to do with it: ``rule`` in words, and as a ``sum`` where it is arithmetic."""

    id: str
    label: str
    unit: str
    rule: Say
    count: int = 1
    sum: Sum | None = None


Block = FigureGroup | Table | Drawing | Caution | Check | Box | Steps | Say


@record
class Section:
    """One operation (or the heading data).  ``id`` is unique on the sheet; ``kind`` names the operation; ``machine`` is what it is done
    on, '' where the sheet's own machine is meant; ``added`` when the compiler put the step in."""

    id: str
    kind: str
    title: str
    subtitle: str
    blocks: tuple[Block, ...]
    machine: str = ""
    added: bool = False

    def figures(self) -> Iterator[Figure]:
        """Every figure of the section, in reading order."""
        for block in self.blocks:
            if isinstance(block, FigureGroup):
                yield from block.figures

    def tables(self) -> Iterator[Table]:
        """Every table of the section."""
        return (block for block in self.blocks if isinstance(block, Table))


@record
class Sheet:
    """A whole set-up sheet.

    ``warnings`` are messages of the compiler that the machinist must see; ``closing`` is the line that defers to
    local rules; ``files`` are all files that were read; ``digest`` identifies the content (first 8 hex digits are printed).
    """

    id: str
    title: str
    subtitle: str
    machine: str
    material: str
    sections: tuple[Section, ...]
    closing: Caution
    warnings: tuple[str, ...] = ()
    glossary: tuple[tuple[str, str], ...] = ()
    files: tuple[str, ...] = ()
    program: str = ""
    digest: str = field(default="")

    def __post_init__(self) -> None:
        ids = [section.id for section in self.sections]
        if len(set(ids)) != len(ids):
            raise ValueError("two sections with one id")
        for section in self.sections:
            known = [figure.id for figure in section.figures()] + [table.id for table in section.tables()]
            if len(set(known)) != len(known):
                raise ValueError(f"section {section.id}: two figures or tables with one id: {sorted(known)}")
