"""The sketch of a top slide that lies along the bed, put together from the parts of the other sketches."""

from __future__ import annotations

from benchleaf.operations.clocking_sketches import axis, chuck, indicator, rectangle
from benchleaf.sheet.drawings import DrawnArrow, DrawnLabel, Shape, SketchDrawing

__all__ = ["slide_along_the_bed"]


def slide_along_the_bed(scale: str, travel: str, reads: str) -> SketchDrawing:
    """A parallel bar in the chuck, the top slide beside it with the indicator against its side, seen from above; mm on paper."""
    shapes: list[Shape] = [
        *chuck(0.0, 14.0, 5.0), rectangle(0.0, -5.0, 60.0, 10.0, "white"), axis(-15.0, 64.0),
        *indicator(46.0, -5.0, 90.0), *indicator(16.0, -5.0, 90.0, later=True), rectangle(8.0, -36.0, 46.0, 9.0, "white"),
        DrawnArrow(38.0, -21.5, 24.0, -21.5), DrawnLabel(31.0, -16.5, travel, strong=True),
        DrawnLabel(57.0, -31.5, scale, "start", strong=True, point=(54.0, -31.5)), DrawnLabel(31.0, -31.5, "top slide"),
        DrawnLabel(52.0, 11.0, "parallel bar", point=(52.0, 5.0)),
        DrawnLabel(-12.0, -42.0, reads, "start", strong=True), DrawnLabel(-12.0, -47.0, "seen from above", "start"),
    ]  # fmt: skip
    alt = f"The top slide, its scale at {scale}, carries the indicator along a parallel bar: {travel} towards the headstock; {reads}."
    return SketchDrawing("slide_along", "Top slide along the bed", tuple(shapes), alt)
