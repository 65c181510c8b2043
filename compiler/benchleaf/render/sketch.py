"""A sketch put together from primitives, scaled to the paper; its words keep their size and do not lie on each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from benchleaf.render.clean import clean
from benchleaf.render.scale import scale_words, standard_scale
from benchleaf.render.svg import POINT, Point, Svg, text_width
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, SketchDrawing

__all__ = ["draw_sketch"]

WIDTH = 85.0
TALLEST = 70.0
EDGE = 0.6  # mm of air around
SIZES = {True: 11.0, False: 10.0}  # pt
WEIGHTS = {"thick": 0.6, "thin": 0.22, "centre": 0.22, "hidden": 0.3}
DASHES: dict[str, tuple[float, ...]] = {"centre": (4.0, 0.9, 0.7, 0.9), "hidden": (1.8, 0.9)}
ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
LONGEST = 74.0  # mm for a line of words
LEADING = 1.22
_LEAST = 0.35  # words may shrink the picture to this share of the width; longer ones go where there is room
_FILLS = ("white", "black")


def draw_sketch(drawing: SketchDrawing) -> Svg:
    """The whole sketch, 85 mm wide."""
    points = list(_points(drawing))
    labels = [shape for shape in drawing.shapes if isinstance(shape, DrawnLabel)]
    if not points and not labels:
        return Svg(WIDTH, 1.0, drawing.alt)
    scale = _largest(points, labels)
    scale = standard_scale(scale) if drawing.to_scale else min(scale, 1.0)
    boxes = _apart(_within(points, [_box(label, scale) for label in labels], scale))
    left, right, low, high = _extent(points, boxes, scale)
    x0, y0 = (WIDTH - (right - left)) / 2 - left, high + EDGE
    foot = 4.6 if drawing.to_scale else 0.0
    svg = Svg(WIDTH, high - low + 2 * EDGE + foot, drawing.alt)

    def at(x: float, y: float) -> Point:
        return x0 + x * scale, y0 - y * scale

    for shape in drawing.shapes:
        match shape:
            case DrawnLine():
                _line(svg, shape, [at(*point) for point in shape.points])
            case DrawnCircle():
                fill = shape.fill if shape.fill in _FILLS else "none"
                svg.circle(at(shape.x, shape.y), shape.radius * scale, WEIGHTS.get(shape.look, 0.6), fill, DASHES.get(shape.look, ()))
            case DrawnArrow():
                _arrow(svg, at(shape.x1, shape.y1), at(shape.x2, shape.y2), both=shape.ends == "both")
            case DrawnLabel():
                pass  # words lie on top of everything
    for label, box in zip(labels, boxes, strict=True):
        if label.point is not None:
            _leader(svg, (x0 + box.x, y0 - box.y - box.height / 2), box, at(*label.point))
    for label, box in zip(labels, boxes, strict=True):
        _words(svg, label, box, (x0 + box.x, y0 - box.y))
    if drawing.to_scale:
        svg.text((0.0, svg.height - 1.2), f"scale {scale_words(scale)}", 9.5)
    return svg


@dataclass(frozen=True, slots=True)
class _Box:
    """Words on paper: left and lower edge (y up), mm, from the sketch's own zero."""

    x: float
    y: float
    width: float
    height: float

    def meets(self, other: _Box) -> bool:
        return (
            self.x < other.x + other.width + 0.8
            and other.x < self.x + self.width + 0.8
            and self.y < other.y + other.height
            and other.y < self.y + self.height
        )


def _points(drawing: SketchDrawing) -> Iterator[Point]:
    for shape in drawing.shapes:
        match shape:
            case DrawnLine():
                yield from shape.points
            case DrawnCircle():
                yield from ((shape.x + i * shape.radius, shape.y + j * shape.radius) for i, j in ((-1, 0), (1, 0), (0, -1), (0, 1)))
            case DrawnArrow():
                yield from ((shape.x1, shape.y1), (shape.x2, shape.y2))
            case DrawnLabel():
                if shape.point is not None:
                    yield shape.point


def _box(label: DrawnLabel, scale: float) -> _Box:
    size = SIZES[label.strong] * POINT
    lines = _lines(label)
    width = min(max(text_width(line, size, bold=label.strong) for line in lines) + 0.2, LONGEST)
    height = size * LEADING * len(lines)
    return _Box(label.x * scale - width * ANCHORS.get(label.anchor, 0.5), label.y * scale - height / 2, width, height)


def _lines(label: DrawnLabel) -> list[str]:
    """The words on one line where they fit, else broken between words."""
    size = SIZES[label.strong] * POINT
    lines = [""]
    for word in clean(label.words).split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size, bold=label.strong) > LONGEST:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _extent(points: Sequence[Point], boxes: Sequence[_Box], scale: float) -> tuple[float, float, float, float]:
    xs = [x * scale for x, _ in points] + [x for box in boxes for x in (box.x - 0.3, box.x + box.width + 0.3)]
    ys = [y * scale for _, y in points] + [y for box in boxes for y in (box.y, box.y + box.height)]
    return min(xs), max(xs), min(ys), max(ys)


def _largest(points: Sequence[Point], labels: Sequence[DrawnLabel]) -> float:
    """The largest scale at which everything fits."""

    def fits(scale: float) -> bool:
        left, right, low, high = _extent(points, [_box(label, scale) for label in labels], scale)
        return right - left <= WIDTH - 2 * EDGE and high - low <= TALLEST

    anchors = [*points, *((label.x, label.y) for label in labels)]
    wide = max(x for x, _ in anchors) - min(x for x, _ in anchors)
    tall = max(y for _, y in anchors) - min(y for _, y in anchors)
    most = min((WIDTH - 2 * EDGE) / max(wide, 1e-3), TALLEST / max(tall, 1e-3), 50.0)
    if fits(most):
        return most
    low, high = most * _LEAST, most
    if not fits(low):
        return low
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _within(points: Sequence[Point], boxes: Sequence[_Box], scale: float) -> list[_Box]:
    """Words that would leave the paper stay inside its edges."""
    left, right, _, _ = _extent(points, boxes, scale)
    room = WIDTH - 2 * EDGE - 0.6
    if right - left <= room + 0.6:
        return list(boxes)
    if points:
        left, right, _, _ = _extent(points, (), scale)
    start = (left + right - room) / 2
    return [replace(box, x=max(min(box.x, start + room - box.width), start)) for box in boxes]


def _apart(boxes: Sequence[_Box]) -> list[_Box]:
    """Words that would lie on each other move up or down, as little as will do; those given first stay."""
    placed: list[_Box] = []
    for box in boxes:
        free = next(moved for moved in _moves(box, len(boxes)) if not any(moved.meets(other) for other in placed))
        placed.append(free)
    return placed


def _moves(box: _Box, count: int) -> Iterator[_Box]:
    """The place itself, then ever farther away; the last is beyond all others."""
    for number in range(8 * count + 8):
        step = (number + 1) // 2 * box.height / 2
        yield replace(box, y=box.y + (step if number % 2 else -step))


def _line(svg: Svg, shape: DrawnLine, points: Sequence[Point]) -> None:
    weight, dash = WEIGHTS.get(shape.look, 0.6), DASHES.get(shape.look, ())
    if not points:
        return
    if shape.closed and shape.fill == "hatch":
        svg.polygon(points, 0, "white")
        svg.hatch(points, 2.0, 0.18)
    if shape.closed and not dash:
        svg.polygon(points, weight, shape.fill if shape.fill in _FILLS else "none")
        return
    corners = [*points, points[0]] if shape.closed else list(points)
    for start, end in pairwise(corners):
        svg.line(start, end, weight, dash)


def _arrow(svg: Svg, start: Point, end: Point, *, both: bool) -> None:
    svg.line(start, end, 0.35)
    svg.arrow_from(start, end)
    if both:
        svg.arrow_from(end, start)


def _words(svg: Svg, label: DrawnLabel, box: _Box, corner: Point) -> None:
    """On a white patch, so that no line runs through them; ``corner`` is the lower left one."""
    x, y = corner
    svg.rect((x - 0.3, y - box.height), box.width + 0.6, box.height, 0, "white")
    lines = _lines(label)
    step = box.height / len(lines)
    share = ANCHORS.get(label.anchor, 0.5)
    at = {0.0: "start", 0.5: "middle", 1.0: "end"}[share]
    for number, line in enumerate(lines):
        baseline = y - box.height + step * (number + 1) - step * 0.24
        svg.text((x + box.width * share, baseline), line, SIZES[label.strong], bold=label.strong, anchor=at, room=box.width)


def _leader(svg: Svg, middle: Point, box: _Box, end: Point) -> None:
    """From the side of the words that is nearer, to a dot."""
    x = middle[0] if end[0] < middle[0] + box.width / 2 else middle[0] + box.width
    if middle[0] <= end[0] <= middle[0] + box.width:
        x = end[0]
    svg.line((x, middle[1]), end, 0.22)
    svg.circle(end, 0.55, 0, "black")
