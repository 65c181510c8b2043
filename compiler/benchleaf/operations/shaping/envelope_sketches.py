"""The stroke drawn: the work, what holds it, the tool at both ends of the stroke, and what is kept clear of."""

from __future__ import annotations

from benchleaf.operations.clocking_sketches import rectangle
from benchleaf.operations.desk import length_text
from benchleaf.operations.shaping.stroke import Stroke
from benchleaf.operations.shaping.travel import Run
from benchleaf.sheet.drawings import DrawnArrow, DrawnLabel, DrawnLine, Shape, SketchDrawing

__all__ = ["envelope"]

_WIDE = 54.0  # mm on paper that the stroke takes
_LEAST = 9.0  # mm on paper that approach and overrun take, so that they are seen


def envelope(
    run: Run, stroke: Stroke, held: str, jaws: bool, system: str, *, inside: bool = False, title: str = "The stroke"
) -> SketchDrawing:
    """Seen from the operator's side, the column to the left: the tool cuts away from it.

    ``held`` names what holds the work, ``jaws`` whether jaws stand beside it below the face; ``inside``: the tool is on a bar in a bore.
    """
    approach, cut, overrun = _widths(stroke, run)
    start, end = approach, approach + cut
    total = approach + cut + overrun
    work_low = -16.0
    shapes: list[Shape] = [DrawnLine(((-14.0, -26.0), (total + 12.0, -26.0)), "thick")]
    shapes += _held(start, end, jaws, work_low)
    shapes.append(rectangle(start, work_low, cut, -work_low, "hatch" if inside else "white"))
    if inside:
        shapes.append(rectangle(start, -10.0, cut, 5.5, "white", "thin"))
    for side, end_at in ((run.entry, start), (run.exit, end)):
        if side.room is not None:
            away = -1.0 if end_at == start else 1.0
            gap = (approach if away < 0 else overrun) + 2.0
            low = end_at + away * gap
            shapes.append(rectangle(min(low, low + away * 7.0), work_low, 7.0, -work_low + 6.0, "hatch"))
            shapes.append(
                DrawnLabel(low + away * 3.5, 9.0, side.what.removeprefix("a ").removeprefix("the "), "end" if away < 0 else "start")
            )
    edge = -7.0 if inside else 0.0
    shapes += [*_tool(0.0, edge, inside, "hidden"), *_tool(total, edge, inside, "thick")]
    shapes += _measures(start, end, total, stroke, system)
    shapes.append(DrawnArrow(total * 0.32, 27.5, total * 0.68, 27.5))
    shapes.append(DrawnLabel(total / 2, 31.5, "cuts this way"))
    shapes.append(DrawnLabel(-14.0, 31.5, "column", "start"))
    shapes.append(DrawnLabel(total + 14.0, -21.5, held, "end"))
    ends = "front face at the start" if stroke.swapped else "front face at the end"
    whole, before, cut_, past = (
        length_text(part, system, "caliper") for part in (stroke.length, stroke.approach, run.length, stroke.overrun)
    )
    alt = f"Stroke {whole}: the tool starts {before} before the cut of {cut_} and stops {past} past it; {ends}; held in {held}."
    return SketchDrawing("envelope", title, tuple(shapes), alt)


def _widths(stroke: Stroke, run: Run) -> tuple[float, float, float]:
    parts = [float(stroke.approach), float(run.length), float(stroke.overrun)]
    scale = _WIDE / sum(parts)
    drawn = [max(part * scale, least) for part, least in zip(parts, (_LEAST, 12.0, _LEAST), strict=True)]
    return drawn[0], drawn[1], drawn[2]


def _held(start: float, end: float, jaws: bool, low: float) -> list[Shape]:
    if jaws:
        return [rectangle(start - 3.0, -26.0, end - start + 6.0, 20.0, "white", "thin")]
    return [rectangle(start + 1.0, -26.0, 8.0, 26.0 + low, "white", "thin"), rectangle(end - 9.0, -26.0, 8.0, 26.0 + low, "white", "thin")]


def _tool(x: float, edge: float, inside: bool, look: str) -> list[Shape]:
    if inside:
        bar = (
            (x, edge - 2.0),
            (x + 2.4, edge + 0.5),
            (x + 2.4, edge + 2.5),
            (x - 20.0, edge + 2.5),
            (x - 20.0, edge),
            (x - 1.6, edge),
            (x, edge - 2.0),
        )
        return [DrawnLine(bar, look, True, "white" if look == "thick" else "none")]
    body = ((x, edge), (x - 0.8, edge + 4.0), (x - 0.8, edge + 20.0), (x - 5.8, edge + 20.0), (x - 5.8, edge + 3.2), (x - 2.2, edge + 2.0))
    return [DrawnLine(body, look, True, "white" if look == "thick" else "none")]


def _measures(start: float, end: float, total: float, stroke: Stroke, system: str) -> list[Shape]:
    low = -31.0
    lines: list[Shape] = [
        DrawnLine(((x, -14.0 if x in (start, end) else -1.0), (x, low - 9.5 if x in (0.0, total) else low - 1.5)), "thin")
        for x in (0.0, start, end, total)
    ]
    approach, cut = (
        length_text(stroke.approach, system, "rule"),
        length_text(stroke.length - stroke.approach - stroke.overrun, system, "rule"),
    )
    overrun, whole = length_text(stroke.overrun, system, "rule"), length_text(stroke.length, system, "rule")
    return [
        *lines, DrawnArrow(0.0, low, start, low, "both"), DrawnArrow(start, low, end, low, "both"),
        DrawnArrow(end, low, total, low, "both"), DrawnArrow(0.0, low - 8.0, total, low - 8.0, "both"),
        DrawnLabel(start / 2, low, approach), DrawnLabel((start + end) / 2, low, cut), DrawnLabel((end + total) / 2, low, overrun),
        DrawnLabel(total / 2, low - 8.0, f"stroke {whole}", strong=True),
    ]  # fmt: skip
