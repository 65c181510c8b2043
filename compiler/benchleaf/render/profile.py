"""Two pitches of the thread in axial section, with the tool that cuts it at full depth."""

from __future__ import annotations

import math
from collections.abc import Mapping

from benchleaf.render.svg import POINT, Point, Svg, text_width
from benchleaf.render.words import LABELS
from benchleaf.sheet.drawings import DrawnFlanks, ThreadProfileDrawing

__all__ = ["draw_profile"]

WIDTH = 85.0
FACE = 44.0  # two pitches; beside it the sizes
SURFACE = 19.0  # the crest, on paper
DEEPEST = 30.0
RADII = {"major": "major_radius", "pitch_diameter": "pitch_radius", "minor": "minor_radius"}


def draw_profile(drawing: ThreadProfileDrawing) -> Svg:
    """The whole drawing, 85 mm wide; true in shape, the metal below."""
    labels = dict(drawing.labels)
    depth = max(abs(drawing.root_radius - drawing.crest_radius), 1e-3)
    scale = min((FACE - 4) / max(2 * drawing.pitch, 1e-3), DEEPEST / depth)
    bottom = SURFACE + depth * scale
    height = max(bottom + 8.0, 9.4 * sum(at not in ("pitch", "angle") for at in labels) + 1.0)
    svg = Svg(WIDTH, height, drawing.alt)
    pitch = drawing.pitch * scale
    left = (FACE - 2 * pitch) / 2
    middles = (left + pitch / 2, left + pitch * 1.5)
    groove = _Groove(drawing, scale, bottom)
    top: list[Point] = [(left, SURFACE), *groove.at(middles[0]), *groove.at(middles[1]), (left + 2 * pitch, SURFACE)]
    floor = height - 0.5
    svg.hatch([*top, (left + 2 * pitch, floor), (left, floor)])
    _sizes(svg, drawing, labels, scale)
    if drawing.flanks is not None:
        _load(svg, groove, drawing.flanks, middles[0])
    svg.polygon(top, 0.9, closed=False)
    _tool(svg, groove, middles[1])
    _words_in_the_picture(svg, drawing, (left, pitch, floor))
    _pitch(svg, middles, labels.get("pitch", ""))
    if labels.get("angle"):
        _clear(svg, (middles[0], SURFACE + 4.6), labels["angle"], 11, bold=True, room=groove.width - 2)
    if "infeed" in labels:
        x = left + 1.2
        svg.line((x, SURFACE), (x, bottom), 0.4)
        svg.line((x - 1, bottom), (middles[0], bottom), 0.2)
        svg.arrow((x, bottom), 90)
    return svg


class _Groove:
    """What the tool's tip and flanks leave, on paper."""

    def __init__(self, drawing: ThreadProfileDrawing, scale: float, bottom: float) -> None:
        flanks = drawing.flanks
        angles = (drawing.half_angle, drawing.half_angle) if flanks is None else (flanks.left, flanks.right)
        self.turns = [math.radians(min(max(angle, 0.0), 80.0)) for angle in angles]  # of the left and the right flank
        self.slopes = [math.tan(turn) for turn in self.turns]
        self.radius = max(drawing.tip_radius, 0.0) * scale
        self.flat = max(drawing.tip_flat, 0.0) * scale / 2
        self.bottom = bottom
        self.wide = [  # from the middle of the root out to either crest
            self.flat
            + self.radius * math.cos(turn)
            + max(bottom - SURFACE - self.radius * (1 - math.sin(turn)), 0.0) * slope  # the straight flank begins above the round root
            for turn, slope in zip(self.turns, self.slopes, strict=True)
        ]
        self.width = sum(self.wide)

    def at(self, middle: float) -> list[Point]:
        """From the left crest over the root to the right crest; ``middle`` is half-way between the crests."""
        left, right = middle - self.width / 2, middle + self.width / 2
        root = left + self.wide[0]
        ends = [(root - self.flat, self.bottom), (root + self.flat, self.bottom)]
        if self.radius:
            before, after = self._arc(root - self.flat, self.turns[0], -1), self._arc(root + self.flat, self.turns[1], 1)
            ends = [*before, *(after if self.flat else after[1:])]
        return [(left, SURFACE), *ends, (right, SURFACE)]

    def _arc(self, x: float, turn: float, side: int) -> list[Point]:
        """The round corner from the flank to the bottom at ``x`` (side -1), or from there to the flank (side 1)."""
        arc = [(math.pi / 2 - turn) * step / 6 for step in range(7)]
        points = [(x + side * self.radius * math.sin(a), self.bottom - self.radius * (1 - math.cos(a))) for a in arc]
        return points if side > 0 else points[::-1]

    def flank_at(self, middle: float, y: float, side: str) -> float:
        """Where the straight flank on the 'left' or 'right' is at the height ``y``."""
        which = ("left", "right").index(side)
        inwards = self.width / 2 - (y - SURFACE) * self.slopes[which]
        return middle + (inwards if which else -inwards)


def _tool(svg: Svg, groove: _Groove, middle: float) -> None:
    """The tool at full depth: the outline of the groove carried on into the air."""
    rise = 5.0
    points = groove.at(middle)
    left, right = (groove.width / 2 + rise * slope for slope in groove.slopes)
    svg.polygon([(middle - left, SURFACE - rise), *points, (middle + right, SURFACE - rise)], 0.5, "white", closed=False)
    svg.polygon(points, 0.9, closed=False)
    svg.text((middle, SURFACE + 1.0), "tool", 10, anchor="middle", room=groove.width)


def _load(svg: Svg, groove: _Groove, flanks: DrawnFlanks, middle: float) -> None:
    """The push of the mating thread on the flank that carries it."""
    y = SURFACE + min(5.4, (groove.bottom - SURFACE) * 0.35)  # above the pitch line
    tip = groove.flank_at(middle, y, flanks.load)
    other = groove.flank_at(middle, y, "left" if flanks.load == "right" else "right")
    start = tip + (other - tip) * 0.75
    svg.line((start, y), (tip, y), 0.6)
    svg.arrow((tip, y), 0 if flanks.load == "right" else 180, 2.2)
    _clear(svg, ((other + tip) / 2, y - 1.2), "load", 10, room=abs(other - tip) - 1.8)


def _words_in_the_picture(svg: Svg, drawing: ThreadProfileDrawing, place: tuple[float, float, float]) -> None:
    left, pitch, floor = place
    svg.text((left, SURFACE - 2.0), "bore" if drawing.inside else "outside", 10, room=pitch)
    _clear(svg, (left + pitch, floor - 2.8), "work", 10)


def _clear(svg: Svg, at: Point, words: str, points: float, *, bold: bool = False, room: float = FACE) -> None:
    """Words in the middle of a place, on a white patch: no line runs through them."""
    width = min(text_width(words, points * POINT, bold=bold), room) + 0.8
    svg.rect((at[0] - width / 2, at[1] - points * POINT * 0.86), width, points * POINT * 1.08, 0, "white")
    svg.text(at, words, points, bold=bold, anchor="middle", room=room)


def _pitch(svg: Svg, middles: tuple[float, float], words: str) -> None:
    y = 8.0
    for x in middles:
        svg.line((x, y - 1.2), (x, SURFACE - 5), 0.2)
    svg.line((middles[0], y), (middles[1], y), 0.4)
    svg.arrow((middles[0], y), 180)
    svg.arrow((middles[1], y), 0)
    svg.text((FACE / 2, y - 2.4), f"pitch {words}".rstrip(), 12, bold=True, anchor="middle", room=FACE)


def _sizes(svg: Svg, drawing: ThreadProfileDrawing, labels: Mapping[str, str], scale: float) -> None:
    """Sizes in a column, from the air into the metal; a thin line leads to where each is."""
    away = 1.0 if drawing.inside else -1.0  # radius grows downwards in a bore
    lines = {at: SURFACE + away * (getattr(drawing, name) - drawing.crest_radius) * scale for at, name in RADII.items()}
    led = sorted((at for at in lines if at in labels), key=lambda at: lines[at])
    rows = [*led, *(at for at in labels if at not in lines and at not in ("pitch", "angle"))]
    left = FACE + 4.0
    for number, at in enumerate(rows):
        row = 4.0 + number * 9.4
        svg.text((left, row), LABELS.get(at, at), 10, room=WIDTH - left)
        svg.text((left, row + 4.6), labels[at], 12, bold=True, room=WIDTH - left)
        if at in lines:
            y = min(max(lines[at], 1.0), svg.height - 1.0)
            svg.line((2, y), (FACE - 1, y), 0.2, (2.4, 0.8))
            svg.line((FACE - 1, y), (left - 0.8, row + 2.0), 0.2)
