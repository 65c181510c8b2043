"""A turned part, dimensioned: lying with its front face to the right, cut open above the axis where it has a bore.

Conventions: lines and centre lines of ISO 128-2, half section of ISO 128-3 (a solid part is not cut lengthwise), threads of ISO 6410-1
(crest thick, root thin), running lengths from one datum of ISO 129-1, scales of ISO 5455.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from benchleaf.render.partview import FULL_WIDTH, HALF_WIDTH, View, view_of
from benchleaf.render.scale import scale_words
from benchleaf.render.spread import Placed, stack
from benchleaf.render.svg import POINT, Point, Svg, text_width
from benchleaf.sheet.drawings import DrawnStretch, PartDrawing

__all__ = ["draw_part"]

THICK, THIN = 0.55, 0.2
CHAIN = (4.0, 0.9, 0.7, 0.9)
DASH = (1.8, 0.9)
SIZE = 11.0  # pt
ROW = 5.6  # mm a row of labels
BAND = 4.2  # where leaders may slant
ARROW = 1.5
FOOT = 9.5
LONGEST = 64.0  # mm for any words


_CROWDED = 5  # rows of labels: more are spread over the whole width


def draw_part(drawing: PartDrawing) -> Svg:
    """The whole drawing, 85 mm wide, or 174 mm where the part would come out too small."""
    views = [view_of(drawing, width) for width in (HALF_WIDTH, FULL_WIDTH)]
    labels = [_above(drawing, view) for view in views]
    small = math.sqrt(views[0].drawn * views[0].high)
    wide = math.sqrt(views[1].drawn * views[1].high)
    crowded = _rows(labels[0].placed) > _CROWDED
    use = 1 if (small < 24.0 and wide > 1.4 * small) or crowded else 0
    return _Drawer(drawing, views[use], labels[use]).draw()


def _rows(placed: Sequence[Placed]) -> int:
    return max((item.row for item in placed), default=-1) + 1


class _Labels:
    """Words with the places on the work that they belong to, from left to right, and where they went."""

    def __init__(self, items: Sequence[tuple[float, float, str]], width: float) -> None:
        self.items = sorted(items)
        self.room = min(width - 1.0, LONGEST)
        widths = [min(text_width(words, SIZE * POINT, bold=True), self.room) for _, _, words in self.items]
        self.placed = stack([x for x, _, _ in self.items], widths, 0.5, width - 0.5)


def _above(drawing: PartDrawing, view: View) -> _Labels:
    """Diameters: each leads to the middle of its stretch; those of the bore where no other leader comes down."""
    items: list[tuple[float, float, str]] = []
    for side in (drawing.outside, drawing.bore):
        for stretch in side:
            ends = view.seen(stretch)
            if not stretch.words or ends is None:
                continue
            taken = [x for x, _, _ in items]
            share = max(_SHARES, key=lambda part: min([abs(ends[0] + (ends[1] - ends[0]) * part - x) for x in taken] + [1.6]))
            x = ends[0] + (ends[1] - ends[0]) * share
            items.append((x, view.radius(stretch, share, ends), stretch.words))
    return _Labels([(x, -radius, words) for x, radius, words in items], view.width)


_SHARES = (0.5, 0.35, 0.65, 0.25, 0.75, 0.42, 0.58, 0.15, 0.85)


class _Drawer:
    def __init__(self, drawing: PartDrawing, view: View, above: _Labels) -> None:
        self.drawing, self.view, self.above = drawing, view, above
        self.rows = _rows(above.placed)
        self.top = self.rows * ROW + (BAND if self.rows else 0.0)
        self.axis = self.top + view.high / 2 + 1.0
        self.bottom = self.axis + view.high / 2
        places = [(view.x(place.at), 0.0, place.words) for place in drawing.places if view.shows(place.at)]
        self.below = _Labels(places, view.width)
        under = 6.0 + 2.4 + _rows(self.below.placed) * ROW if places else 1.5
        self.foot = self.bottom + under
        self.notes = _lines([f"scale {scale_words(view.scale)}", *drawing.note.split("; ")], view.width)
        self.svg = Svg(view.width, self.foot + 0.8 + 4.2 * len(self.notes), drawing.alt)
        self.cut = any(item.near > 0 or item.far > 0 for item in drawing.bore)

    def draw(self) -> Svg:
        for start, end in self.view.pieces:
            outside = list(_clipped(self.drawing.outside, start, end))
            bore = list(_clipped(self.drawing.bore, start, end))
            if outside:
                self._surfaces(outside, bore)
                self._edges(outside, bore, start, end)
        self._centres()
        left, right = self.view.left - 3.0, self.view.right + 3.0
        self.svg.line((left, self.axis), (right, self.axis), THIN, CHAIN)
        self._diameters()
        self._lengths()
        for number, words in enumerate(self.notes):
            self.svg.text((0.0, self.foot + 3.6 + 4.2 * number), words, FOOT, room=min(self.view.width, LONGEST + 20.0))
        return self.svg

    def _up(self, diameter: float) -> float:
        return self.axis - diameter * self.view.scale / 2

    def _down(self, diameter: float) -> float:
        return self.axis + diameter * self.view.scale / 2

    def _contour(self, stretches: Sequence[DrawnStretch], sign: int) -> list[Point]:
        points = []
        for item in stretches:
            for place, diameter in ((item.start, item.near), (item.end, item.far)):
                points.append((self.view.x(place), self.axis + sign * diameter * self.view.scale / 2))
        return points

    def _surfaces(self, outside: Sequence[DrawnStretch], bore: Sequence[DrawnStretch]) -> None:
        """Hatching first, then the long edges with thread roots and knurls."""
        if self.cut and bore:
            self.svg.hatch([*self._contour(outside, -1), *reversed(self._contour(bore, -1))], 2.0, 0.18)
            for x, radius, _ in self.above.items:  # no hatching behind a leader that goes through metal
                outer = self._outer(x)
                if -radius < outer - 0.4 and self.view.x(outside[-1].end) <= x <= self.view.x(outside[0].start):
                    self.svg.rect((x - 0.6, self.axis - outer), 1.2, outer + radius, 0, "white")
        for item in outside:
            self._skin(item, (-1, 1), inside=False)
            if item.kind == "knurl":
                self._knurl(item)
        for item in bore if self.cut else ():
            if item.near > 0 or item.far > 0:
                self._skin(item, (-1,), inside=True)

    def _skin(self, item: DrawnStretch, signs: Sequence[int], *, inside: bool) -> None:
        x1, x2 = self.view.x(item.start), self.view.x(item.end)
        for sign in signs:
            y1, y2 = (self.axis + sign * d * self.view.scale / 2 for d in (item.near, item.far))
            self.svg.line((x1, y1), (x2, y2), THICK if item.known else 0.3, () if item.known else DASH)
            if item.kind == "thread":
                y3, y4 = (y + sign * self._thread_depth(item, inside) for y in (y1, y2))
                self.svg.line((x1, y3), (x2, y4), THIN)

    def _thread_depth(self, item: DrawnStretch, inside: bool) -> float:
        """From crest to root on paper, outwards positive: never less than 0.7 mm (ISO 6410-1), never near the axis."""
        other = item.thread or item.near * (1.15 if inside else 0.85)  # common drawing practice where the root is not known
        real = max(abs(other - item.near) * self.view.scale / 2, 0.7)
        return real if inside else -min(real, item.near * self.view.scale / 2 * 0.6)

    def _knurl(self, item: DrawnStretch) -> None:
        x1, x2 = self.view.x(item.end), self.view.x(item.start)
        radius = min(item.near, item.far) * self.view.scale / 2
        low = self.axis if self.cut else self.axis - radius
        corners = [(x1, low), (x2, low), (x2, self.axis + radius), (x1, self.axis + radius)]
        self.svg.hatch(corners, 1.1, 0.13)
        self.svg.hatch(corners, 1.1, 0.13, mirrored=True)

    def _edges(self, outside: Sequence[DrawnStretch], bore: Sequence[DrawnStretch], start: float, end: float) -> None:
        """What is seen across: shoulders, both edges of chamfers, ends of threads; the end faces, or where it breaks off."""
        for before, after in pairwise(outside):
            widest = max(before.far, after.near)
            if _edge(before, after):
                x = self.view.x(after.start)
                least = min(before.far, after.near) if self.cut else 0.0
                self._across(x, self._up(widest), self._up(least) if self.cut else self.axis)
                self._across(x, self.axis, self._down(widest))
        for before, after in pairwise(bore if self.cut else ()):
            if _edge(before, after):
                self._across(self.view.x(after.start), self._up(max(before.far, after.near)), self.axis)
        whole_back = self.drawing.whole and end >= self.drawing.length
        for place, item, real in ((start, outside[0], start <= 0), (end, outside[-1], whole_back)):
            diameter = item.near if place == start else item.far
            if real:
                self._across(self.view.x(place), self._up(diameter), self._down(diameter))
            else:
                self._broken(self.view.x(place), diameter * self.view.scale / 2)

    def _across(self, x: float, y1: float, y2: float) -> None:
        if y2 - y1 > 0.01:
            self.svg.line((x, y1), (x, y2), THICK)

    def _broken(self, x: float, radius: float) -> None:
        """A wavy line where the part is broken off."""
        count = max(8, min(int(radius * 4), 60))
        steps = [-1 + 2 * number / count for number in range(count + 1)]
        self.svg.polygon([(x + 0.7 * math.sin(math.pi * t * 2), self.axis + t * radius) for t in steps], 0.25, closed=False)

    def _centres(self) -> None:
        for place in self.drawing.centres:
            if not self.view.shows(place):
                continue
            front = place <= 0
            ends = [item.near if front else item.far for item in (self.drawing.outside[:1] if front else self.drawing.outside[-1:])]
            mouth = min([2.0, *(diameter * self.view.scale / 2 * 0.45 for diameter in ends)])
            x, away = self.view.x(place), -1.0 if front else 1.0
            tip = (x + away * mouth * 1.73, self.axis)
            for sign in (-1, 1):
                self.svg.line((x, self.axis + sign * mouth), tip, 0.3, (0.9, 0.5))

    def _diameters(self) -> None:
        base = self.rows * ROW
        for (x, radius, words), placed in zip(self.above.items, self.above.placed, strict=True):
            y = self.axis + radius  # negative: up
            knee = base + BAND - 0.6
            points = [(placed.x, (self.rows - placed.row) * ROW - 1.2)]
            for row in range(placed.row - 1, -1, -1):
                points += [(placed.way[row], (self.rows - row - 1) * ROW + 0.4), (placed.way[row], (self.rows - row) * ROW - 1.2)]
            points.append((x, knee))
            self.svg.polygon([*points, (x, y)], 0.25, closed=False)
            self.svg.arrow((x, y), 90, ARROW)
            baseline = (self.rows - placed.row) * ROW - 2.2
            self.svg.text((placed.x, baseline), words, SIZE, bold=True, anchor="middle", room=self.above.room)

    def _outer(self, x: float) -> float:
        """Height of the outside above the axis at a place on paper."""
        for item in self.drawing.outside:
            ends = self.view.seen(item)
            if ends is not None and min(ends) - 1e-6 <= x <= max(ends) + 1e-6:
                return max(item.near, item.far) * self.view.scale / 2
        return 0.0

    def _lengths(self) -> None:
        """Running lengths: one line from the front face, an arrow head at each place, its length below it."""
        if not self.below.items:
            return
        line = self.bottom + 4.6
        zero = self.view.x(0.0)
        self.svg.line((zero, self._down(self.drawing.outside[0].near) + 0.8), (zero, line), THIN)
        self.svg.line((self.below.items[0][0], line), (zero, line), 0.25)
        self.svg.circle((zero, line), 0.7, 0.3, "white")
        for (x, _, words), placed in zip(self.below.items, self.below.placed, strict=True):
            self.svg.line((x, self.axis + self._outer(x) + 0.8), (x, line + 1.2), THIN)
            self.svg.arrow((x, line), 180, ARROW)
            points = [(x, line + 1.2)]
            for row in range(placed.row + 1):
                points.append((placed.way[row], line + 3.0 + row * ROW))
                if row < placed.row:
                    points.append((placed.way[row], line + 3.0 + (row + 1) * ROW - 1.0))
            self.svg.polygon(points, THIN, closed=False)
            self.svg.text((placed.x, line + 7.0 + placed.row * ROW), words, SIZE, bold=True, anchor="middle", room=self.below.room)


def _lines(notes: Sequence[str], width: float) -> list[str]:
    """Notes one after another, in as many lines as they need."""
    lines: list[str] = []
    for note in notes:
        longer = f"{lines[-1]}; {note}" if lines else note
        if lines and note and text_width(longer, FOOT * POINT) > width:
            lines.append(note)
        elif note:
            lines[-1:] = [longer]
    return lines


def _edge(before: DrawnStretch, after: DrawnStretch) -> bool:
    """Whether an edge is seen where two stretches meet."""
    return abs(before.far - after.near) > 1e-6 or before.kind != after.kind


def _clipped(stretches: Sequence[DrawnStretch], start: float, end: float) -> Iterator[DrawnStretch]:
    """What lies between two places, with the diameters that it has there."""
    for item in stretches:
        low, high = max(item.start, start), min(item.end, end)
        if high - low <= 1e-9:
            continue
        slope = (item.far - item.near) / (item.end - item.start)
        near, far = (item.near + slope * (place - item.start) for place in (low, high))
        yield DrawnStretch(low, high, near, far, item.kind, item.words, item.thread, item.known)
