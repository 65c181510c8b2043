"""Which drawing is drawn by what."""

from __future__ import annotations

from benchleaf.render.gears import draw_gears
from benchleaf.render.levers import draw_levers
from benchleaf.render.part import draw_part
from benchleaf.render.profile import draw_profile
from benchleaf.render.sketch import draw_sketch
from benchleaf.render.svg import Svg
from benchleaf.sheet.drawings import GearTrainDrawing, LeverPlateDrawing, PartDrawing, SketchDrawing
from benchleaf.sheet.model import Drawing

__all__ = ["draw"]


def draw(drawing: Drawing) -> Svg:
    """The drawing as SVG.  Raises ValueError for numbers that cannot be drawn."""
    match drawing:
        case GearTrainDrawing():
            return draw_gears(drawing)
        case LeverPlateDrawing():
            return draw_levers(drawing)
        case PartDrawing():
            return draw_part(drawing)
        case SketchDrawing():
            return draw_sketch(drawing)
        case _:
            return draw_profile(drawing)
