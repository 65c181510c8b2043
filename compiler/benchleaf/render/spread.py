"""Labels along a line, so that none lies on another and no leader crosses one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

__all__ = ["Placed", "spread", "stack"]

GAP = 1.6  # mm between labels
SLOT = 0.6  # room for a leader that passes between two labels
_MOST_ROWS = 4
_ROW_COST = 5.0  # a further row of labels is worth this many mm of slant


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a label went: its middle, its row (0 is nearest to the drawing), and where its leader passes each row from 0 to its own."""

    x: float
    row: int
    way: tuple[float, ...]


def spread(wanted: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[float]:
    """Middles for things of these widths, in order, as near as can be (least squares) to where they are wanted; all within the limits
    where they fit, else from the lower limit on."""
    if not wanted:
        return []
    steps = [(a + b) / 2 + GAP for a, b in pairwise(widths)]
    offsets = [0.0, *accumulate(steps)]
    runs: list[tuple[float, int]] = []  # mean and count of wanted places, less the room that those before them take
    for place, offset in zip(wanted, offsets, strict=True):
        mean, count = place - offset, 1
        while runs and runs[-1][0] > mean:
            before, many = runs.pop()
            mean, count = (mean * count + before * many) / (count + many), count + many
        runs.append((mean, count))
    least, most = low + widths[0] / 2, high - widths[-1] / 2 - offsets[-1]
    free = [mean for mean, count in runs for _ in range(count)]
    return [max(min(place, most), least) + offset for place, offset in zip(free, offsets, strict=True)]


def stack(targets: Sequence[float], widths: Sequence[float], low: float, high: float) -> list[Placed]:
    """Places for labels in as many rows as they need; ``targets`` must ascend.  Leaders keep their order in every row, so none cross."""
    if not targets:
        return []
    tries = [_in_rows(targets, widths, low, high, rows) for rows in range(1, len(targets) + 1)]
    fitting = [(rows, placed) for rows, placed in enumerate(tries, 1) if _fits(widths, high - low, rows)] or [(len(tries), tries[-1])]
    few = [item for item in fitting if item[0] <= max(_MOST_ROWS, fitting[0][0])]
    return min(few, key=lambda item: item[0] * _ROW_COST + max(abs(p.x - x) for p, x in zip(item[1], targets, strict=True)))[1]


def _fits(widths: Sequence[float], room: float, rows: int) -> bool:
    return all(
        sum(width if number % rows == row else SLOT for number, width in enumerate(widths) if number % rows >= row)
        + GAP * (sum(number % rows >= row for number in range(len(widths))) - 1)
        <= room
        for row in range(rows)
    )


def _in_rows(targets: Sequence[float], widths: Sequence[float], low: float, high: float, rows: int) -> list[Placed]:
    """Label ``i`` goes to row ``i % rows``; labels of higher rows leave a slot for their leader in the rows below."""
    ways: list[list[float]] = [[] for _ in targets]
    for row in range(rows):
        here = [number for number in range(len(targets)) if number % rows >= row]
        wanted = [ways[number][-1] if ways[number] else targets[number] for number in here]
        room = [widths[number] if number % rows == row else SLOT for number in here]
        for number, x in zip(here, spread(wanted, room, low, high), strict=True):
            ways[number].append(x)
    return [Placed(way[-1], number % rows, tuple(way)) for number, way in enumerate(ways)]
