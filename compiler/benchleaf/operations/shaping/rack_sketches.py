"""A rack drawn from its end: teeth, pitch line, the tool in a space, the pin in another, and the way that it is fed."""

from __future__ import annotations

import math
from fractions import Fraction

from benchleaf.operations.clocking_sketches import axis
from benchleaf.record import record
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, Shape, SketchDrawing

__all__ = ["Teeth", "rack_sketch"]

_PITCH = 22.0  # mm on paper from tooth to tooth
_UNDER = 9.0  # mm of block drawn under the spaces


@record
class Teeth:
    """A rack to be drawn, mm and degrees: ``tooth`` and the space's ``bottom`` across, ``pin`` in a space (None: none), and the words at
    pitch, depth and tooth."""

    pitch: Fraction
    tooth: Fraction
    addendum: Fraction
    depth: Fraction
    bottom: Fraction
    angle: Fraction
    pin: Fraction | None
    words: tuple[str, str, str]


def rack_sketch(teeth: Teeth) -> SketchDrawing:
    """Seen along the stroke: the pitch is drawn 22 mm long, all else in proportion."""
    scale = _PITCH / float(teeth.pitch)
    tooth, addendum, depth, bottom = (float(part) * scale for part in (teeth.tooth, teeth.addendum, teeth.depth, teeth.bottom))
    slope = math.tan(math.radians(float(teeth.angle)))
    half_top = tooth / 2 - addendum * slope
    floor = -depth
    left = -_PITCH / 2  # the middle of a tooth: its flat shows at the edge too
    outline: list[tuple[float, float]] = [(left, 0.0)]
    middles = [_PITCH * number for number in range(3)]  # of the spaces: the first two are cut, the tool stands in the third
    for middle in middles:
        edge = _PITCH / 2 - half_top
        outline += [(middle - edge, 0.0), (middle - bottom / 2, floor), (middle + bottom / 2, floor), (middle + edge, 0.0)]
    right = middles[-1] + _PITCH / 2 + 4.0
    outline += [(right, 0.0), (right, floor - _UNDER), (left, floor - _UNDER)]
    shapes: list[Shape] = [DrawnLine(tuple(outline), "thick", True, "hatch"), axis(left - 3.0, right + 3.0, -addendum)]
    tall = depth + 16.0
    lean = bottom / 2 + min(depth, tall) * slope
    x = middles[-1]
    tool = (
        (x - bottom / 2, floor),
        (x + bottom / 2, floor),
        (x + lean, 0.0),
        (x + lean, tall - depth),
        (x - lean, tall - depth),
        (x - lean, 0.0),
    )
    shapes.append(DrawnLine(tool, "thick", True, "white"))
    shapes += [DrawnArrow(x, 12.0, x, 4.0)]
    words_pitch, words_depth, words_tooth = teeth.words
    high = 19.0
    shapes += [
        *(DrawnLine(((middle, 0.0), (middle, high + 1.5)), "thin") for middle in middles[:2]),
        DrawnArrow(middles[0], high, middles[1], high, "both"),
        DrawnLabel((middles[0] + middles[1]) / 2, high + 6.0, words_pitch, strong=True),
        DrawnArrow(middles[1] - _PITCH / 2 - tooth / 2, -addendum, middles[1] - _PITCH / 2 + tooth / 2, -addendum, "both"),
        DrawnLabel(_PITCH / 2, floor - _UNDER - 6.0, words_tooth, point=(_PITCH / 2, -addendum)),
        DrawnLine(((left, 0.0), (left - 6.0, 0.0)), "thin"), DrawnLine(((-bottom / 2, floor), (left - 6.0, floor)), "thin"),
        DrawnArrow(left - 4.0, 0.0, left - 4.0, floor, "both"), DrawnLabel(left - 6.0, floor / 2, words_depth, "end"),
    ]  # fmt: skip
    if teeth.pin is not None:
        radius = float(teeth.pin) * scale / 2
        vee = float(teeth.pitch - teeth.tooth) * scale / 2 / slope  # from the pitch line down to where the flanks meet
        centre = -addendum - vee + radius / math.sin(math.radians(float(teeth.angle)))
        shapes += [
            DrawnCircle(middles[1], centre, radius, "thin", "white"),
            DrawnLabel(middles[1] + 9.0, 9.0, "pin", point=(middles[1] + radius * 0.7, centre + radius * 0.7)),
        ]
    shapes.append(DrawnLabel(right + 2.0, -addendum, "pitch line", "start"))
    alt = (
        f"A rack seen along the stroke: pitch {words_pitch}, spaces {words_depth}, {words_tooth} at the pitch line, "
        "which lies one addendum below the tops."
    )
    return SketchDrawing("teeth", "The teeth", tuple(shapes), alt)
