"""From mm along a part to mm on paper: its scale, and the middle of a long plain part left out."""

from __future__ import annotations

from dataclasses import dataclass

from benchleaf.render.scale import standard_scale
from benchleaf.sheet.drawings import DrawnStretch, PartDrawing

__all__ = ["FULL_WIDTH", "HALF_WIDTH", "View", "plain_run", "view_of"]

HALF_WIDTH, FULL_WIDTH = 85.0, 174.0
_SIDE = 5.0  # mm of paper left and right of the part
_TALLEST = 42.0
_SLENDER = 5.0  # diameters long: from here on a plain middle is left out
_BREAK = 2.6  # mm of paper between the two broken ends


@dataclass(frozen=True, slots=True)
class View:
    """Where places lie on paper.  ``pieces`` are the stretches of the part that are drawn, from front to back."""

    width: float
    scale: float
    right: float
    pieces: tuple[tuple[float, float], ...]
    high: float

    @property
    def drawn(self) -> float:
        """Length of the part on paper, mm."""
        return sum(end - start for start, end in self.pieces) * self.scale + _BREAK * (len(self.pieces) - 1)

    @property
    def left(self) -> float:
        """Where the part ends on paper."""
        return self.right - self.drawn

    def x(self, place: float) -> float:
        """A place on paper; what is left out lies in the gap."""
        x = self.right
        for number, (start, end) in enumerate(self.pieces):
            if place <= end or number == len(self.pieces) - 1:
                return x - max(place - start, 0.0) * self.scale - (_BREAK / 2 if number and place < start else 0.0)
            x -= (end - start) * self.scale + _BREAK
        return x

    def shows(self, place: float) -> bool:
        """Whether a place is drawn."""
        return any(start - 1e-9 <= place <= end + 1e-9 for start, end in self.pieces)

    def seen(self, stretch: DrawnStretch) -> tuple[float, float] | None:
        """Both ends on paper of the longest piece of a stretch that is drawn; None when none of it is."""
        parts = [(max(stretch.start, start), min(stretch.end, end)) for start, end in self.pieces]
        low, high = max(parts, key=lambda part: part[1] - part[0])
        return (self.x(low), self.x(high)) if high > low else None

    def radius(self, stretch: DrawnStretch, share: float, ends: tuple[float, float]) -> float:
        """Height above the axis on paper at a share of what is seen of a stretch."""
        wide = abs(self.x(stretch.end) - self.x(stretch.start))
        along = abs(ends[0] + (ends[1] - ends[0]) * share - self.x(stretch.start)) / wide if wide > 1e-9 else share
        return (stretch.near + (stretch.far - stretch.near) * min(max(along, 0.0), 1.0)) * self.scale / 2


def view_of(drawing: PartDrawing, width: float) -> View:
    """The view of a part on paper of a width."""
    length = max(drawing.length, 1e-3)
    widest = max([1e-3, *(size for item in (*drawing.outside, *drawing.bore) for size in (item.near, item.far, item.thread))])
    pieces: tuple[tuple[float, float], ...] = ((0.0, length),)
    room = width - 2 * _SIDE
    scale = standard_scale(min(room / length, _TALLEST / widest))
    run = plain_run(drawing)
    if run is not None and length > _SLENDER * widest:
        kept = max(0.3 * widest, 0.06 * (run[1] - run[0]))
        if run[1] - run[0] > 4 * kept:
            shorter = ((0.0, run[0] + kept), (run[1] - kept, length))
            drawn = sum(end - start for start, end in shorter)
            closer = standard_scale(min((room - _BREAK) / drawn, _TALLEST / widest))
            if closer > scale:
                scale, pieces = closer, shorter
    drawn = sum(end - start for start, end in pieces) * scale + _BREAK * (len(pieces) - 1)
    return View(width, scale, (width + drawn) / 2, pieces, widest * scale)


def plain_run(drawing: PartDrawing) -> tuple[float, float] | None:
    """The longest run over which outside and bore are plain and do not change; None when there is none."""
    runs = [
        (max(outer.start, inner.start), min(outer.end, inner.end))
        for outer in drawing.outside
        for inner in drawing.bore or (DrawnStretch(0.0, drawing.length, 0.0, 0.0, "plain", ""),)
        if outer.near == outer.far and inner.near == inner.far and outer.kind == inner.kind == "plain"
    ]
    best = max(runs, key=lambda run: run[1] - run[0], default=(0.0, 0.0))
    return best if best[1] > best[0] else None
