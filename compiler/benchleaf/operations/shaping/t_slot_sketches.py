"""A T-slot seen along the stroke, with an undercutting tool at the end of its way."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.sheet.drawings import DrawnArrow, DrawnLabel, DrawnLine, Shape, SketchDrawing

__all__ = ["Tee", "tee_sketch"]

_BASE = 46.0  # mm on paper across the base
_WALL = 16.0  # mm of block drawn beside and under it


@record
class Tee:
    """A T-slot to be drawn, mm: its sizes; of the tool for the right side the head with the neck, the neck, height; the words at throat,
    base, base's height and depth."""

    throat: Fraction
    base: Fraction
    height: Fraction
    depth: Fraction
    head: Fraction
    neck: Fraction
    blade: Fraction
    tee: bool
    words: tuple[str, str, str, str]


def tee_sketch(tee: Tee) -> SketchDrawing:
    """The base is drawn 46 mm wide, all else in proportion."""
    scale = _BASE / float(tee.base)
    throat, height, depth, head, neck, blade = (
        float(part) * scale for part in (tee.throat, tee.height, tee.depth, tee.head, tee.neck, tee.blade)
    )
    half, wide, roof, side = throat / 2, _BASE / 2, height - depth, _BASE / 2 + _WALL
    outline = (
        (-side, 0.0), (-half, 0.0), (-half, roof), (-wide, roof), (-wide, -depth), (wide, -depth), (wide, roof), (half, roof), (half, 0.0),
        (side, 0.0), (side, -depth - _WALL / 2), (-side, -depth - _WALL / 2),
    )  # fmt: skip
    toe = (head - neck) / 2 if tee.tee else head - neck
    inner = wide - toe  # right side of the neck, when the toe has come to the end of the base
    left = wide - head if tee.tee else inner - neck
    up = 14.0
    tool = (
        (left, -depth), (wide, -depth), (wide, blade - depth), (inner, blade - depth), (inner, up), (inner - neck, up),
        (inner - neck, blade - depth), (left, blade - depth),
    )  # fmt: skip
    words_throat, words_base, words_height, words_depth = tee.words
    shapes: list[Shape] = [
        DrawnLine(outline, "thick", True, "hatch"),
        DrawnLine(tool, "thick", True, "white"),
        DrawnArrow(inner + 2.0, up - 4.0, inner + 11.0, up - 4.0), DrawnLabel(inner + 12.0, up - 4.0, "fed by the table", "start"),
        *(DrawnLine(((x, 0.0), (x, up + 8.0)), "thin") for x in (-half, half)),
        DrawnArrow(-half, up + 6.0, half, up + 6.0, "both"), DrawnLabel(half + 2.0, up + 6.0, words_throat, "start", strong=True),
        *(DrawnLine(((x, -depth), (x, -depth - _WALL / 2 - 8.0)), "thin") for x in (-wide, wide)),
        DrawnArrow(-wide, -depth - _WALL / 2 - 6.0, wide, -depth - _WALL / 2 - 6.0, "both"),
        DrawnLabel(0.0, -depth - _WALL / 2 - 10.0, words_base, strong=True),
        *(DrawnLine(((wide, y), (side + 6.0, y)), "thin") for y in (roof, -depth)),
        DrawnArrow(side + 4.0, roof, side + 4.0, -depth, "both"), DrawnLabel(side + 6.0, (roof - depth) / 2, words_height, "start"),
        *(DrawnLine(((-x, y), (-side - 6.0, y)), "thin") for x, y in ((side, 0.0), (wide, -depth))),
        DrawnArrow(-side - 4.0, 0.0, -side - 4.0, -depth, "both"), DrawnLabel(-side - 6.0, -depth / 2, words_depth, "end"),
    ]  # fmt: skip
    alt = f"A T-slot seen along the stroke: throat {words_throat}, base {words_base} and {words_height}, {words_depth} in all."
    return SketchDrawing("tee", "The T-slot", tuple(shapes), alt)
