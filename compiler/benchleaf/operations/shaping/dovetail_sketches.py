"""A dovetail seen along the stroke, with the rollers in its corners."""

from __future__ import annotations

import math
from fractions import Fraction

from benchleaf.record import record
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, Shape, SketchDrawing

__all__ = ["Tail", "tail_sketch"]

_WIDE = 44.0  # mm on paper across the wide part
_WALL = 14.0  # mm of block drawn beside and under it


@record
class Tail:
    """A dovetail to be drawn, mm and degrees: ``foot`` between the sharp corners, and the words at foot, depth, angle and rollers."""

    inside: bool
    foot: Fraction
    depth: Fraction
    angle: Fraction
    roller: Fraction
    words: tuple[str, str, str, str]


def tail_sketch(tail: Tail) -> SketchDrawing:
    """The wide part is drawn 44 mm across, all else in proportion."""
    angle = math.radians(float(tail.angle))
    lean, sign = float(tail.depth) / math.tan(angle), -1 if tail.inside else 1
    scale = _WIDE / (float(tail.foot) + (0 if tail.inside else 2 * lean))
    foot, depth, lean, radius = float(tail.foot) * scale / 2, float(tail.depth) * scale, lean * scale, float(tail.roller) * scale / 2
    edge, side = foot + sign * lean, _WIDE / 2 + _WALL
    right = ((edge, 0.0), (foot, -depth))
    if tail.inside:
        outline = ((-side, 0.0), (-edge, 0.0), (-foot, -depth), (foot, -depth), *reversed(right), (side, 0.0))
    else:
        outline = ((-side, -depth), (-foot, -depth), (-edge, 0.0), *right, (side, -depth))
    outline = (*outline, (side, -depth - _WALL), (-side, -depth - _WALL))
    out = radius / math.tan(angle / 2)
    middle = foot + (-out if tail.inside else out)
    far = middle + (-radius if tail.inside else radius)
    foot_words, depth_words, angle_words, roller_words = tail.words
    high, low = 12.0, -depth - _WALL - 6.0
    shapes: list[Shape] = [
        DrawnLine(outline, "thick", True, "hatch"),
        *(DrawnCircle(x, radius - depth, radius, "thin", "white") for x in (-middle, middle)),
        *(DrawnLine(((x, radius - depth), (x, high + 2.0)), "thin") for x in (-far, far)),
        DrawnArrow(-far, high, far, high, "both"), DrawnLabel(0.0, high + 6.5, roller_words, strong=True),
        *(DrawnLine(((x, -depth), (x, low - 2.0)), "thin") for x in (-foot, foot)),
        DrawnArrow(-foot, low, foot, low, "both"), DrawnLabel(0.0, low - 6.0, foot_words),
        *(DrawnLine(((-x, y), (-side - 6.0, y)), "thin") for x, y in ((edge, 0.0), (foot, -depth))),
        DrawnArrow(-side - 4.0, 0.0, -side - 4.0, -depth, "both"), DrawnLabel(-side - 6.0, -depth / 2, depth_words, "end"),
        DrawnLabel(side + 3.0, -depth / 2, angle_words, "start", point=((edge + foot) / 2, -depth / 2)),
    ]  # fmt: skip
    kind = "slot" if tail.inside else "tail"
    alt = f"A dovetail {kind} seen along the stroke: {foot_words} between its sharp corners, {depth_words}, {angle_words}; {roller_words}."
    return SketchDrawing("tail", "The dovetail", tuple(shapes), alt)
