"""The stroke drawn: the work, what holds it, the tool at both ends of the stroke, and what is kept clear of."""

from __future__ import annotations

import math
from fractions import Fraction

from benchleaf.operations.clocking_sketches import rectangle
from benchleaf.operations.desk import length_text
from benchleaf.operations.shaping.stroke import Stroke
from benchleaf.operations.shaping.travel import Run
from benchleaf.record import record
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, Shape, SketchDrawing

__all__ = ["Scene", "envelope"]

_WIDE = 56.0  # mm on paper that the stroke takes
_LEAST = 15.0  # mm on paper that approach and overrun take, so that their measures fit between the lines
_LOW, _BASE = -17.0, -30.0  # underside of the work and top of the table


@record
class Scene:
    """What stands beside the cut.  ``held`` names what holds the work; ``jaws`` is 'beside' (along the stroke), 'ends' (square to it) or ''
    for none; ``bar`` the diameter in mm of a round that is seen end on; ``inside``: the tool is on a bar in a bore."""

    held: str
    jaws: str
    bar: Fraction | None = None
    inside: bool = False


def envelope(run: Run, stroke: Stroke, scene: Scene, system: str) -> SketchDrawing:
    """Seen from the operator's side, the column to the left: the tool cuts away from it.  Not to scale; the measures are printed."""
    approach, cut, overrun = _widths(stroke, run)
    start, end = approach, approach + cut
    total = approach + cut + overrun
    shapes: list[Shape] = [
        rectangle(-15.0, _BASE, 3.0, 62.0, "hatch"), DrawnLabel(-10.0, 30.0, "column", "start"),
        DrawnLine(((-12.0, _BASE), (total + 8.0, _BASE)), "thick"),
    ]  # fmt: skip
    shapes += _work(start, cut, scene, float(run.length))
    shapes += _obstacles(run, start, end, approach, overrun)
    edge = -13.5 if scene.inside else 0.0
    shapes += [*_tool(0.0, edge, scene.inside, "hidden"), *_tool(total, edge, scene.inside, "thick")]
    shapes += _measures(start, end, total, stroke, system)
    shapes += [DrawnArrow(total * 0.3, 25.0, total * 0.7, 25.0), DrawnLabel(total / 2, 29.5, "cuts this way")]
    shapes.append(DrawnLabel(-10.0, -22.0, scene.held, "start", point=(start - (1.0 if scene.jaws != "ends" else 5.0), -25.0)))
    ends = "front face towards the column" if stroke.swapped else "front face away from the column"
    whole, before, cut_, past = (
        length_text(part, system, "caliper") for part in (stroke.length, stroke.approach, run.length, stroke.overrun)
    )
    bounded = run.entry.room is not None or run.exit.room is not None
    lies = f"; {ends}" if bounded else ""
    alt = f"Stroke {whole}: the tool starts {before} before the cut of {cut_} and stops {past} past it{lies}; held in {scene.held}."
    return SketchDrawing("envelope", "The stroke", tuple(shapes), alt)


def _widths(stroke: Stroke, run: Run) -> tuple[float, float, float]:
    parts = [float(stroke.approach), float(run.length), float(stroke.overrun)]
    scale = _WIDE / sum(parts)
    drawn = [max(part * scale, least) for part, least in zip(parts, (_LEAST, 16.0, _LEAST), strict=True)]
    return drawn[0], drawn[1], drawn[2]


def _work(start: float, cut: float, scene: Scene, real: float) -> list[Shape]:
    """The work and what it stands in, the jaws drawn last where they are nearer to the operator."""
    end = start + cut
    if scene.bar is not None:
        return _end_on(start, cut, scene, real)
    body: list[Shape] = [rectangle(start, _LOW, cut, -_LOW, "hatch" if scene.inside else "white")]
    if scene.inside:
        body = [rectangle(start, _BASE + 2.0, cut, 2.0 - _BASE - 2.0, "hatch")]
        body += [rectangle(start, -12.0, cut, 8.0, "white"), DrawnLine(((start, -13.5), (end, -13.5)), "hidden")]
    if scene.jaws == "ends":
        return [*body, rectangle(start - 9.0, _BASE, 9.0, 12.0, "white"), rectangle(end, _BASE, 9.0, 12.0, "white")]
    if scene.jaws == "beside":
        return [*body, rectangle(start - 3.0, _BASE, cut + 6.0, 18.0, "white", "thin")]
    feet = [rectangle(x, _BASE, 7.0, _LOW - _BASE, "white", "thin") for x in (start + 1.0, end - 8.0)]
    return [*body, *feet]


def _end_on(start: float, cut: float, scene: Scene, real: float) -> list[Shape]:
    """A round seen along its axis, with the flat on top."""
    middle = start + cut / 2
    radius = min(cut / 2 * float(scene.bar or 0) / real, 15.0)
    half = min(cut / 2, radius * 0.95)
    low = -math.sqrt(radius * radius - half * half)
    turns = [math.pi / 2 + math.asin(half / radius) + step * (2 * math.pi - 2 * math.asin(half / radius)) / 48 for step in range(49)]
    outline = tuple((middle + radius * math.cos(turn), low + radius * math.sin(turn)) for turn in turns)
    foot = low - radius
    bar: list[Shape] = [
        DrawnLine(outline, "thick", True, "white"), DrawnLine(((middle - 3.0, low), (middle + 3.0, low)), "centre"),
        DrawnLine(((middle, low - 3.0), (middle, low + 3.0)), "centre"),
    ]  # fmt: skip
    if scene.jaws == "ends":
        sides = [rectangle(x, _BASE, 9.0, low + 4.0 - _BASE, "white") for x in (middle - radius - 9.0, middle + radius)]
        packing = [rectangle(middle - 3.0, _BASE, 6.0, foot - _BASE, "white", "thin")] if foot > _BASE + 0.5 else []
        return [*packing, *bar, *sides]
    if scene.jaws == "beside":
        return [*bar, rectangle(start - 3.0, _BASE, cut + 6.0, 18.0, "white", "thin")]
    body = ((middle - radius * 0.7, _BASE), (middle - 4.0, low), (middle + 4.0, low), (middle + radius * 0.7, _BASE))
    return [DrawnLine(body, "thin", True, "white"), *bar, DrawnCircle(middle, low, 1.0, "thin", "black")]


def _obstacles(run: Run, start: float, end: float, approach: float, overrun: float) -> list[Shape]:
    """What bounds the stroke at either end."""
    shapes: list[Shape] = []
    for side, at, away, gap in ((run.entry, start, -1.0, approach), (run.exit, end, 1.0, overrun)):
        if side.room is None:
            continue
        edge = at + away * (gap + 3.0)
        shapes.append(rectangle(min(edge, edge + away * 6.0), _LOW, 6.0, -_LOW, "hatch"))
        words = side.what.removeprefix("a ").removeprefix("the ")
        shapes.append(DrawnLabel(edge + away * 6.0, 12.0, words, "start" if away < 0 else "end", point=(edge + away * 3.0, 0.0)))
    return shapes


def _tool(x: float, edge: float, inside: bool, look: str) -> list[Shape]:
    fill = "white" if look == "thick" else "none"
    if inside:
        top = edge + 6.0
        bar = ((x, edge), (x + 2.4, edge + 2.0), (x + 2.4, top), (x - 22.0, top), (x - 22.0, top - 3.4), (x - 1.4, top - 3.4), (x, edge))
        return [DrawnLine(bar, look, True, fill)]
    body = ((x, edge), (x - 0.8, edge + 4.0), (x - 0.8, edge + 20.0), (x - 5.8, edge + 20.0), (x - 5.8, edge + 3.2), (x - 2.2, edge + 2.0))
    return [DrawnLine(body, look, True, fill)]


def _measures(start: float, end: float, total: float, stroke: Stroke, system: str) -> list[Shape]:
    low = _BASE - 5.0
    lines: list[Shape] = []
    for x in (0.0, start, end, total):
        outer = x in (0.0, total)
        lines.append(DrawnLine(((x, -1.0 if outer else _LOW - 1.0), (x, low - 9.5 if outer else low - 1.5)), "thin"))
    cut = stroke.length - stroke.approach - stroke.overrun
    approach, middle, overrun, whole = (length_text(part, system, "rule") for part in (stroke.approach, cut, stroke.overrun, stroke.length))
    return [
        *lines, DrawnArrow(0.0, low, start, low, "both"), DrawnArrow(start, low, end, low, "both"),
        DrawnArrow(end, low, total, low, "both"), DrawnArrow(0.0, low - 8.0, total, low - 8.0, "both"),
        DrawnLabel(start / 2, low, approach), DrawnLabel((start + end) / 2, low, middle), DrawnLabel((end + total) / 2, low, overrun),
        DrawnLabel(total / 2, low - 8.0, f"stroke {whole}", strong=True),
    ]  # fmt: skip
