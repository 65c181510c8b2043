"""Sketches of where a dial indicator stands and which way it, or the work, moves; and the small parts that such sketches are made of.

The parts (:func:`chuck`, :func:`indicator`, :func:`turning`, ...) give shapes for any :class:`SketchDrawing`; operations put them together.
Units are mm on paper: x to the right, y up, the headstock to the left.  In a view from above the operator stands below.  Words come from
the sheet; a sketch says nothing of its own but what things are.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, Shape, SketchDrawing

__all__ = [
    "axis", "centre", "chuck", "face_run_out", "indicator", "rectangle", "run_out", "shoulder_tool", "spindle_lift", "tailstock_offset",
    "taper_between_centres", "tilted", "top_slide_angle", "turning", "two_collars", "vice_jaw",
]  # fmt: skip

Point = tuple[float, float]
FROM_ABOVE = "seen from above"
FROM_FRONT = "seen by the operator"
_LEAST_ANGLE, _MOST_ANGLE = 8.0, 40.0  # degrees: smaller ones are drawn larger, to be seen at all


def rectangle(x: float, y: float, width: float, height: float, fill: str = "none", look: str = "thick") -> DrawnLine:
    """A rectangle from its lower left corner."""
    return DrawnLine(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), look, True, fill)


def tilted(x: float, y: float, width: float, height: float, angle: float, fill: str = "none", look: str = "thick") -> DrawnLine:
    """A rectangle turned about its lower left corner by ``angle`` degrees anticlockwise."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return DrawnLine(tuple((x + u * c - v * s, y + u * s + v * c) for u, v in corners), look, True, fill)


def axis(x1: float, x2: float, y: float = 0.0) -> DrawnLine:
    """A centre line along x."""
    return DrawnLine(((x1, y), (x2, y)), "centre")


def chuck(x: float, radius: float, grip: float, length: float = 12.0) -> list[Shape]:
    """A chuck whose body ends at ``x`` on an axis at y = 0: its jaws reach 7 mm farther and grip at the radius ``grip``."""
    jaw = min(max(radius - grip - 2.0, 3.0), 7.0)
    return [
        rectangle(x - length, -radius, length, 2 * radius, "white"),
        rectangle(x, grip, 7.0, jaw, "white"),
        rectangle(x, -grip - jaw, 7.0, jaw, "white"),
    ]


def centre(tip: float, y: float = 0.0, *, towards: str = "left", length: float = 9.0) -> list[Shape]:
    """A 60 degree centre with its tip at ``tip``, pointing to the 'left' (tailstock) or to the 'right' (headstock)."""
    away = 1.0 if towards == "left" else -1.0
    half, cone = 3.5, 3.5 / math.tan(math.radians(30))
    outline = ((tip, y), (tip + away * cone, y + half), (tip + away * (cone + length), y + half), (tip + away * (cone + length), y - half))
    return [DrawnLine((*outline, (tip + away * cone, y - half)), "thick", True, "white")]


def indicator(x: float, y: float, direction: float, *, radius: float = 6.5, later: bool = False) -> list[Shape]:
    """A dial indicator that touches at (x, y); its plunger points in ``direction`` (degrees anticlockwise from the right).  ``later``:
    where it is to stand afterwards, dashed."""
    ux, uy = math.cos(math.radians(direction)), math.sin(math.radians(direction))

    def at(back: float, aside: float = 0.0) -> Point:
        return x - ux * back - uy * aside, y - uy * back + ux * aside

    dial = at(10.0 + radius)
    if later:
        ball, face = DrawnCircle(*at(0.9), 0.9, "thin", "white"), DrawnCircle(*dial, radius, "hidden", "white")
        return [DrawnLine((at(0.8), at(10.0)), "hidden"), ball, face]
    hand = math.radians(65)
    turns = [math.radians(30 * number) for number in range(12)]
    ticks: list[Shape] = [DrawnLine((_on(dial, radius * 0.8, turn), _on(dial, radius * 0.97, turn)), "thin") for turn in turns]
    return [
        DrawnLine((at(0.8), at(5.0)), "thick"),
        DrawnLine((at(5.0, 1.2), at(10.0, 1.2), at(10.0, -1.2), at(5.0, -1.2)), "thick", True, "white"),
        DrawnCircle(*at(0.9), 0.9, "thin", "black"),
        DrawnCircle(*dial, radius, "thick", "white"),
        *ticks,
        DrawnLine((dial, _on(dial, radius * 0.72, hand)), "thick"),
        DrawnCircle(*dial, 0.7, "thin", "black"),
    ]


def _on(middle: Point, radius: float, turn: float) -> Point:
    return middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn)


def turning(x: float, y: float, *, across: float = 2.2, high: float = 7.0) -> list[Shape]:
    """An arrow round an axis that lies along x, seen from the side: what turns."""
    turns = [math.radians(degrees) for degrees in range(60, 301, 12)]
    points = [(x - across * math.cos(turn), y + high * math.sin(turn)) for turn in turns]
    return [DrawnLine(tuple(points), "thin"), DrawnArrow(*points[-2], *points[-1])]


def _sketch(sketch_id: str, title: str, view: str, reads: str, shapes: Iterable[Shape], alt: str) -> SketchDrawing:
    """The shapes, below them what is to be read, and from where it is seen."""
    drawn = list(shapes)
    low = min(y for shape in drawn for _, y in _spots(shape))
    left = min(x for shape in drawn for x, _ in _spots(shape))
    foot = [DrawnLabel(left, low - 4.0, reads, "start", strong=True)] if reads else []
    return SketchDrawing(sketch_id, title, (*drawn, *foot, DrawnLabel(left, low - (9.0 if reads else 4.0), view, "start")), alt)


def _spots(shape: Shape) -> list[Point]:
    match shape:
        case DrawnLine():
            return list(shape.points)
        case DrawnCircle():
            return [(shape.x - shape.radius, shape.y - shape.radius), (shape.x + shape.radius, shape.y + shape.radius)]
        case DrawnArrow():
            return [(shape.x1, shape.y1), (shape.x2, shape.y2)]
        case DrawnLabel():
            return [(shape.x, shape.y)]


def _measure(x1: float, x2: float, y: float, words: str, at: float, to: float) -> list[Shape]:
    """A distance along x between the heights from which thin lines come down (or up) to the arrow at ``y``."""
    lines: list[Shape] = [DrawnLine(((x, edge), (x, y + math.copysign(1.5, y - edge))), "thin") for x, edge in ((x1, at), (x2, to))]
    return [*lines, DrawnArrow(x1, y, x2, y, "both"), DrawnLabel((x1 + x2) / 2, y, words, strong=True)]


def run_out(size: str, reads: str, *, sketch_id: str = "run_out", title: str = "Clock the run-out") -> SketchDrawing:
    """Work in the chuck, the indicator on its diameter, the spindle turned by hand.  ``size`` names the surface, ``reads`` what is to be
    read."""
    shapes: list[Shape] = [
        *chuck(0.0, 16.0, 8.0), rectangle(0.0, -8.0, 44.0, 16.0, "white"), axis(-15.0, 46.0), *turning(49.0, 0.0, high=9.0),
        *indicator(34.0, 8.0, -90.0), DrawnLabel(47.0, 16.0, size, "start", point=(42.0, 8.0)), DrawnLabel(52.0, 0.0, "by hand", "start"),
    ]  # fmt: skip
    alt = f"The indicator stands on {size} from above; the spindle is turned by hand; {reads}."
    return _sketch(sketch_id, title, FROM_FRONT, reads, shapes, alt)


def face_run_out(radius: str, reads: str, *, sketch_id: str = "face_run_out", title: str = "Clock the face") -> SketchDrawing:
    """The indicator along the axis on the face, ``radius`` out from the middle, the spindle turned by hand."""
    shapes: list[Shape] = [
        *chuck(0.0, 20.0, 14.0), rectangle(0.0, -14.0, 22.0, 28.0, "white"), axis(-15.0, 25.0), *turning(28.0, -2.0, high=6.0),
        *indicator(22.0, 11.0, 180.0), DrawnLine(((25.0, 0.0), (50.0, 0.0)), "thin"), DrawnArrow(48.0, 0.0, 48.0, 11.0, "both"),
        DrawnLine(((45.5, 11.0), (50.0, 11.0)), "thin"), DrawnLabel(51.0, 5.5, radius, "start", strong=True),
        DrawnLabel(32.0, -6.0, "by hand", "start"),
    ]  # fmt: skip
    alt = f"The indicator stands along the axis on the face, {radius} out; the spindle is turned by hand; {reads}."
    return _sketch(sketch_id, title, FROM_FRONT, reads, shapes, alt)


def spindle_lift(lift: str, reads: str, *, sketch_id: str = "spindle_lift", title: str = "Lift of the spindle") -> SketchDrawing:
    """A bar in the chuck is levered up; the indicator stands on the spindle's nose.  ``lift`` says how hard."""
    shapes: list[Shape] = [
        rectangle(-42.0, -20.0, 16.0, 40.0, "white"), rectangle(-26.0, -11.0, 14.0, 22.0, "white"), *chuck(0.0, 16.0, 5.0),
        rectangle(0.0, -5.0, 38.0, 10.0, "white"), axis(-44.0, 42.0), *indicator(-19.0, 11.0, -90.0),
        DrawnArrow(33.0, -20.0, 33.0, -5.5), DrawnLabel(31.0, -17.0, lift, "end"), DrawnLabel(-34.0, 14.0, "head"),
        DrawnLabel(8.0, 22.0, "nose", point=(-14.0, 9.0)),
    ]  # fmt: skip
    alt = f"The indicator stands on the spindle's nose from above; a bar in the chuck is lifted ({lift}); {reads}."
    return _sketch(sketch_id, title, FROM_FRONT, reads, shapes, alt)


def two_collars(
    apart: str, front: str, back: str, reads: str = "", *, sketch_id: str = "two_collars", title: str = "Two collars"
) -> SketchDrawing:
    """A bar with two collars, both turned at one setting of the cross-slide and measured; ``apart`` is the distance between them, ``front``
    and ``back`` name the collars at the free end and at the chuck."""
    shapes: list[Shape] = [
        *chuck(0.0, 15.0, 5.0), rectangle(0.0, -5.0, 14.0, 10.0, "white"), rectangle(14.0, -7.5, 8.0, 15.0, "white"),
        rectangle(22.0, -5.0, 34.0, 10.0, "white"), rectangle(56.0, -7.5, 8.0, 15.0, "white"), axis(-15.0, 68.0),
        *_measure(18.0, 60.0, -13.0, apart, -8.0, -8.0),
        DrawnLabel(24.0, 12.0, back, point=(18.0, 7.5)), DrawnLabel(60.0, 12.0, front, point=(60.0, 7.5)),
    ]  # fmt: skip
    alt = f"A bar in the chuck with two collars {apart} apart: {back} at the chuck, {front} at the free end. {reads}".strip()
    return _sketch(sketch_id, title, FROM_FRONT, reads, shapes, alt)


def tailstock_offset(
    travel: str, reads: str, *, sketch_id: str = "tailstock_offset", title: str = "Tailstock with a test bar"
) -> SketchDrawing:
    """A parallel bar between centres, the indicator on the saddle against its side; the saddle travels from the headstock's end."""
    shapes: list[Shape] = [
        *centre(0.0, towards="right", length=6.0), *centre(58.0, length=6.0), rectangle(0.0, -4.5, 58.0, 9.0, "white"), axis(-14.0, 72.0),
        *indicator(9.0, -4.5, 90.0), *indicator(49.0, -4.5, 90.0, later=True),
        DrawnArrow(18.0, -21.0, 40.0, -21.0), DrawnLabel(29.0, -15.5, travel, strong=True),
        DrawnLabel(-8.0, 9.0, "headstock"), DrawnLabel(64.0, 9.0, "tailstock"),
    ]  # fmt: skip
    alt = f"A test bar between centres, the indicator on the saddle against its side; the saddle travels {travel}; {reads}."
    return _sketch(sketch_id, title, FROM_ABOVE, reads, shapes, alt)


def top_slide_angle(
    half_angle: float, angle: str, travel: str, reads: str, *, sketch_id: str = "top_slide_angle", title: str = "Clock the top slide"
) -> SketchDrawing:
    """A parallel bar in the chuck, the indicator carried by the top slide and square to the bar; the top slide travels.

    ``half_angle`` in degrees from the axis, positive where its end at the tailstock lies nearer to the axis, so that tapers come out
    small at the free end; one that is too small to be seen is drawn larger.  0 is along the bed.
    """
    drawn = math.copysign(min(max(abs(half_angle), _LEAST_ANGLE), _MOST_ANGLE), half_angle) if half_angle else 0.0
    turn = math.radians(drawn)
    length, wide = 38.0, 8.0
    ux, uy = math.cos(turn), math.sin(turn)
    middle = (30.0, -22.0 - wide / 2 * ux)  # of the slide, under the dial
    x0, y0 = middle[0] - length / 2 * ux + wide / 2 * uy, middle[1] - length / 2 * uy - wide / 2 * ux
    pivot = (x0, y0) if drawn >= 0 else (x0 + length * ux, y0 + length * uy)
    along = 1.0 if drawn >= 0 else -1.0
    arc = [(pivot[0] + along * 30.0 * math.cos(turn * n / 8), pivot[1] + along * 30.0 * math.sin(turn * n / 8)) for n in range(9)]
    base = [DrawnLine((pivot, (pivot[0] + along * 42.0, pivot[1])), "centre"), DrawnLine(tuple(arc), "thin")] if drawn else []
    shapes: list[Shape] = [
        *chuck(0.0, 12.0, 4.5), rectangle(0.0, -4.5, 54.0, 9.0, "white"), axis(-15.0, 58.0),
        tilted(x0, y0, length, wide, drawn, "white"), *base, *indicator(30.0, -4.5, 90.0, radius=5.0),
        *_beside((x0 - wide * 1.7 * uy, y0 + wide * 1.7 * ux), length, turn, travel),
        DrawnLabel(pivot[0] + along * 44.0, pivot[1], angle, "start" if drawn >= 0 else "end", strong=True),
        DrawnLabel(46.0, 9.0, "parallel bar", point=(46.0, 4.5)),
    ]  # fmt: skip
    alt = f"The top slide carries the indicator against a parallel bar; set to {angle} it travels {travel}; {reads}."
    return _sketch(sketch_id, title, FROM_ABOVE, reads, shapes, alt)


def _beside(corner: Point, length: float, turn: float, words: str) -> list[Shape]:
    """A travel along the tailstock's end of a slide, on the side of the work."""
    along = math.cos(turn) * length, math.sin(turn) * length
    start, end = ((corner[0] + along[0] * share, corner[1] + along[1] * share) for share in (0.72, 1.05))
    return [DrawnArrow(*start, *end, "both"), DrawnLabel(end[0] + 2.0, end[1], words, "start", strong=True)]


def taper_between_centres(
    travel: str, reads: str, *, sketch_id: str = "taper_held", title: str = "Clock against a taper"
) -> SketchDrawing:
    """A correct taper held true between centres; the indicator, carried by the slide that is set, runs along it and must not move."""
    shapes: list[Shape] = [
        *centre(0.0, towards="right", length=6.0), *centre(56.0, length=6.0), axis(-14.0, 70.0),
        DrawnLine(((0.0, -9.0), (56.0, -4.5), (56.0, 4.5), (0.0, 9.0)), "thick", True, "white"), axis(0.0, 56.0),
        *indicator(10.0, -8.2, 94.6), *indicator(46.0, -5.3, 94.6, later=True),
        DrawnArrow(20.5, -23.5, 38.0, -22.1), DrawnLabel(29.0, -17.5, travel, strong=True),
        DrawnLabel(28.0, 13.0, "taper", point=(28.0, 6.8)),
    ]  # fmt: skip
    alt = f"A taper held between centres; the indicator runs along it {travel}; {reads}."
    return _sketch(sketch_id, title, FROM_ABOVE, reads, shapes, alt)


def vice_jaw(
    travel: str, reads: str, *, along: bool = True, sketch_id: str = "vice_jaw", title: str = "Clock the fixed jaw"
) -> SketchDrawing:
    """The shaper's vice: the indicator in the tool-head against the fixed jaw.  ``along``: the jaw lies along the ram, which travels;
    otherwise it lies across, and the table's cross-feed travels."""
    what = "ram" if along else "table"
    if along:  # the ram moves from right to left
        shapes: list[Shape] = [
            rectangle(0.0, 0.0, 56.0, 8.0, "white"), rectangle(0.0, -33.0, 56.0, 8.0, "white"),
            *indicator(46.0, 0.0, 90.0, radius=5.0), *indicator(10.0, 0.0, 90.0, radius=5.0, later=True),
            DrawnArrow(39.0, -15.0, 17.0, -15.0), DrawnLabel(28.0, -9.5, f"{what} {travel}", strong=True),
            DrawnLabel(28.0, 4.0, "fixed jaw"), DrawnLabel(28.0, -29.0, "moving jaw"),
        ]  # fmt: skip
    else:
        shapes = [
            rectangle(0.0, -20.0, 8.0, 40.0, "white"), rectangle(50.0, -20.0, 8.0, 40.0, "white"),
            *indicator(8.0, 13.0, 180.0, radius=5.0), *indicator(8.0, -13.0, 180.0, radius=5.0, later=True),
            DrawnArrow(13.0, -8.0, 13.0, 8.0, "both"), DrawnLabel(16.0, 0.0, f"{what} {travel}", "start", strong=True),
            DrawnLabel(4.0, 24.0, "fixed jaw"), DrawnLabel(54.0, 24.0, "moving jaw"),
        ]  # fmt: skip
    alt = f"The indicator in the tool-head touches the fixed jaw; the {what} travels {travel}; {reads}."
    return _sketch(sketch_id, title, FROM_ABOVE, reads, shapes, alt)


def shoulder_tool(
    size: str, place: str, tool: str, *, groove: bool = False, sketch_id: str = "tool", title: str = "Tool"
) -> SketchDrawing:
    """A tool at a shoulder or in a groove: ``size`` is the diameter it leaves, ``place`` its distance from the front face."""
    shoulder, end, deep, full = 26.0, 54.0, 7.5, 11.0
    back = shoulder - 6.0 if groove else shoulder
    cut = [rectangle(back, -deep, 6.0, 2 * deep, "white"), rectangle(shoulder, -full, end - shoulder, 2 * full, "white")]
    nose = (back + 6.0, -deep) if groove else (back + 3.5, -deep - 0.5)
    side = back + (6.0 if groove else 9.0)
    outline = ((back, -deep), nose, (side, -deep - (5.0 if groove else 1.2)), (side, -30.0))
    front = full if groove else deep
    shapes: list[Shape] = [
        *chuck(0.0, 17.0, full), rectangle(0.0, -full, back, 2 * full, "white"),
        *(cut if groove else [rectangle(shoulder, -deep, end - shoulder, 2 * deep, "white")]),
        axis(-15.0, 58.0), DrawnLine((*outline, (back, -30.0)), "thick", True, "white"),
        *_measure(shoulder, end, full + 7.0, place, full + 0.8, front + 0.8),
        DrawnLabel(40.0, -26.0, tool, "start", point=(back + 3.0, -24.0)),
        DrawnLabel(57.0, -18.0, size, "end", strong=True, point=(back + 5.5 if groove else 46.0, -deep + (3.0 if groove else 0.0))),
    ]  # fmt: skip
    alt = f"The tool {tool} {'in the groove' if groove else 'at the shoulder'}, {place} from the front face, leaves {size}."
    return _sketch(sketch_id, title, FROM_ABOVE, "", shapes, alt)
