"""Faces that the swung head cuts, drawn."""

from __future__ import annotations

import math
from fractions import Fraction

from benchleaf.operations.clocking_sketches import rectangle
from benchleaf.operations.desk import length_text
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, SketchDrawing
from benchleaf.workshop.values import Measure

__all__ = ["dovetail_sketch", "face_sketch"]


def face_sketch(side: str, angle: Measure, height: Fraction, block: tuple[Fraction, Fraction], system: str) -> SketchDrawing:
    """A slanting face seen along the stroke: what is cut off a block of that width and height, mm, and the way of the slide."""
    wide, high = float(block[0]), float(block[1])
    scale = min(46 / wide, 34 / high)
    wide, high, down = wide * scale, high * scale, float(height) * scale
    flip = 1 if side == "right" else -1
    over = down / math.tan(math.radians(float(angle.value)))
    body = (
        (-flip * wide / 2, 0.0),
        (flip * wide / 2, 0.0),
        (flip * wide / 2, high - down),
        (flip * (wide / 2 - over), high),
        (-flip * wide / 2, high),
    )
    corner = ((flip * (wide / 2 - over), high), (flip * wide / 2, high), (flip * wide / 2, high - down))
    ux, uy = over / math.hypot(over, down), down / math.hypot(over, down)
    foot = (flip * wide / 2, high - down)
    top = (foot[0] - flip * ux * (math.hypot(over, down) + 14), foot[1] + uy * (math.hypot(over, down) + 14))
    tall = length_text(height, system, "caliper")
    shapes = (
        DrawnLine(body, "thick", True, "hatch"),
        DrawnLine(corner, "hidden", True, "white"),
        DrawnArrow(top[0] + flip * 3, top[1] + 2, foot[0] + flip * 3, foot[1] + 2),
        DrawnLabel(top[0], top[1] + 5, "way of the slide", "middle"),
        DrawnArrow(flip * (wide / 2 + 7), high, flip * (wide / 2 + 7), high - down, "both"),
        DrawnLabel(flip * (wide / 2 + 9), high - down / 2, tall, "start" if flip > 0 else "end", True),
        DrawnLabel(0.0, high / 3, f"{angle.text} to the base", "middle", True),
        rectangle(-wide / 2 - 6, -1.0, wide + 12, 0.2),
    )
    alt = f"The block seen along the stroke: the {side} top corner is cut off at {angle.text} to the base, {tall} down."
    return SketchDrawing("face", "The face", shapes, alt)


def dovetail_sketch(
    angle: Measure, depth_: Measure, corners: Fraction, top: Fraction, roller: Measure, measured: Fraction, system: str
) -> SketchDrawing:
    """A dovetail seen along the stroke, with a roller in each corner: ``corners`` wide at the bottom, ``top`` at the top,
    ``measured`` over or between the rollers, mm."""
    inside = top < corners
    wide, depth, ball = float(max(corners, top)), float(depth_.value), float(roller.value)
    scale = min(46 / wide, 22 / depth)
    bottom, mouth, down, radius = float(corners) * scale / 2, float(top) * scale / 2, depth * scale, ball * scale / 2
    half = math.radians(float(angle.value)) / 2
    from_corner = radius / math.tan(half)
    edge = max(bottom, mouth) + 14
    outline: tuple[tuple[float, float], ...]
    if inside:
        outline = ((-edge, down), (-mouth, down), (-bottom, 0), (bottom, 0), (mouth, down), (edge, down), (edge, -10), (-edge, -10))
        at = bottom - from_corner
    else:
        outline = ((-edge, 0), (-bottom, 0), (-mouth, down), (mouth, down), (bottom, 0), (edge, 0), (edge, -10), (-edge, -10))
        at = bottom + from_corner
    edge_at = at - radius if inside else at + radius
    high = down + 9
    words = length_text(measured, system)
    shapes = (
        DrawnLine(outline, "thick", True, "hatch"),
        DrawnCircle(-at, radius, radius, "thin", "white"),
        DrawnCircle(at, radius, radius, "thin", "white"),
        DrawnLine(((-edge_at, radius), (-edge_at, high + 1.5)), "thin"),
        DrawnLine(((edge_at, radius), (edge_at, high + 1.5)), "thin"),
        DrawnArrow(-edge_at, high, edge_at, high, "both"),
        DrawnLabel(0.0, high, words, "middle", True),
        DrawnLabel(0.0, -5.0, f"{angle.text}, {depth_.text} deep", "middle"),
    )
    where = "between" if inside else "over"
    alt = f"The dovetail seen along the stroke, with a roller in each corner: {words} {where} them."
    return SketchDrawing("dovetail", "The dovetail", shapes, alt)
