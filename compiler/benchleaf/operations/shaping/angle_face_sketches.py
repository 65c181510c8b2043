"""A slanting face drawn along the stroke, as it is seen from the operator's side."""

from __future__ import annotations

import math
from fractions import Fraction

from benchleaf.operations.clocking_sketches import rectangle
from benchleaf.operations.desk import length_text
from benchleaf.operations.shaping.held import Stock
from benchleaf.sheet.drawings import DrawnArrow, DrawnLabel, DrawnLine, SketchDrawing
from benchleaf.workshop.values import Measure

__all__ = ["angle_face_sketch"]


def angle_face_sketch(side: str, angle: Measure, height: Fraction, there: Stock, system: str) -> SketchDrawing:
    """A face ``height`` mm down from the top of a block at ``angle`` to its base: what is cut off, and the way of the slide."""
    wide, high = float(there.width.value), float(there.height.value)
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
        DrawnLabel(0.0, -6.0, f"{angle.text} to the base", "middle", True),
        rectangle(-wide / 2 - 6, -1.0, wide + 12, 0.2),
    )
    alt = f"The block seen along the stroke: the {side} top corner is cut off at {angle.text} to the base, {tall} down."
    return SketchDrawing("face", "The face", shapes, alt)
