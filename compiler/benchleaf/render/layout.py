"""Which blocks stand side by side.  Reading order is kept: down the left column, then down the right; background comes last.

Heights are estimates in mm; the page breaks themselves are the page engine's affair.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from benchleaf.render.estimate import band_height, height
from benchleaf.render.paper import A4, Paper
from benchleaf.render.view import BlockView, CautionView, DrawingView, GroupView, TableView

__all__ = ["WHOLE", "Row", "lay_out", "split_background"]

_GENEROUS = 2.0  # by how much the estimate of a table's width runs over
WHOLE = 0.64  # of a page: a section up to this tall is kept on one page; a taller one begins a page of its own
LEAST = 55.0  # mm: less room than this at the foot of a page is not worth a pair of columns


@dataclass(frozen=True, slots=True)
class Row:
    """A stretch of the sheet.  ``shape`` is 'band' (tiles, in ``left``), 'full' (one block, in ``left``) or 'pair'."""

    shape: str
    left: tuple[BlockView, ...]
    right: tuple[BlockView, ...] = ()


def lay_out(blocks: Iterable[BlockView], used: float, *, short: bool = False, paper: Paper = A4) -> tuple[list[Row], float]:
    """Rows for the blocks of a section, and how much of the last page they fill; ``used`` mm of the first page are taken.

    In a ``short`` section warnings stand in a column as well, and tiles go without the headings of their groups.
    """
    rows: list[Row] = []
    waiting: list[BlockView] = []

    def flush() -> None:
        nonlocal used
        while waiting:
            row, taken, used = _columns(waiting, used, paper)
            rows.append(row)
            del waiting[:taken]

    ordered = _background_last(blocks)
    for shape, run in _runs(_untitled(ordered) if short else ordered, short, paper):
        if shape == "half":
            waiting += run
            continue
        flush()
        tall = band_height(run, paper.full) if shape == "band" else sum(height(block, paper.full) for block in run)
        used = _after(used, tall, paper)
        rows.append(Row(shape, tuple(run)))
    flush()
    return rows, used


def split_background(blocks: Iterable[BlockView]) -> tuple[list[BlockView], list[GroupView]]:
    """What is used at the machine, and what is only good to know."""
    everything = list(blocks)
    known = [block for block in everything if isinstance(block, GroupView) and block.weight == "know"]
    return [block for block in everything if block not in known], known


def _background_last(blocks: Iterable[BlockView]) -> list[BlockView]:
    """What is only good to know waits until everything that is done at the machine is on paper."""
    used, known = split_background(blocks)
    return [*used, *known]


def _after(used: float, tall: float, paper: Paper) -> float:
    """Where the page is filled to after something ``tall``, which goes to the next page when it does not fit."""
    return used + tall if used + tall <= paper.tall else tall % paper.tall


def _untitled(blocks: Iterable[BlockView]) -> list[BlockView]:
    return [replace(block, title="") if isinstance(block, GroupView) and block.weight == "set" else block for block in blocks]


def _runs(blocks: Iterable[BlockView], short: bool, paper: Paper) -> Iterator[tuple[str, list[BlockView]]]:
    run: list[BlockView] = []
    shape = ""
    for block in blocks:
        now = (
            "band"
            if isinstance(block, GroupView) and block.weight == "set"
            else "half"
            if paper.columns == 2 and _narrow(block, short, paper.half)
            else "full"
        )
        if run and (now != shape or now == "full"):
            yield shape, run
            run = []
        run.append(block)
        shape = now
    if run:
        yield shape, run


def _narrow(block: BlockView, short: bool, half: float) -> bool:
    if isinstance(block, CautionView):
        return short or block.level != "level-3"
    if isinstance(block, DrawingView):
        return block.svg.width <= half
    if not isinstance(block, TableView):
        return True
    return block.room <= half + _GENEROUS and len(block.rows) <= 24


def _columns(blocks: Sequence[BlockView], used: float, paper: Paper) -> tuple[Row, int, float]:
    """As many blocks as fit what is left of the page, split where the columns come out most even."""
    heights = [height(block, paper.full if len(blocks) == 1 else paper.half) for block in blocks]
    for room, start in ((paper.tall - used, used), (paper.tall, 0.0)):
        if room < LEAST:
            continue
        for taken in range(len(blocks), 0, -1):
            split, tall = _split(heights[:taken])
            if tall <= room and (taken > 1 or len(blocks) == 1):
                if taken == 1:
                    return Row("full", tuple(blocks[:1])), 1, start + tall
                return Row("pair", tuple(blocks[:split]), tuple(blocks[split:taken])), taken, start + tall
    return Row("full", tuple(blocks[:1])), 1, _after(used, heights[0], paper)


def _split(heights: Sequence[float]) -> tuple[int, float]:
    """Where to cut so that the taller column is as short as can be, and how tall it is."""
    best = min(range(1, len(heights) + 1), key=lambda cut: max(sum(heights[:cut]), sum(heights[cut:])))
    return best, max(sum(heights[:best]), sum(heights[best:]))
