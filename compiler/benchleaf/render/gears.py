"""The change wheels drawn: to scale as they sit, and edge on, so that two wheels on one stud can be told apart."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from benchleaf.render.svg import POINT, Point, Svg, text_width
from benchleaf.sheet.drawings import DrawnAxis, DrawnSlot, DrawnWheel, GearTrainDrawing

__all__ = ["draw_gears"]

WIDTH = 85.0
FACE = 54.0  # room for the wheels, beside it the column of names
TALL = 64.0
ROLE = {"driver": "drives", "driven": "driven", "idler": "idler"}
CHAIN = (3.0, 0.8, 0.6, 0.8)


def draw_gears(drawing: GearTrainDrawing) -> Svg:
    """The whole drawing, 85 mm wide."""
    axes = drawing.axes if drawing.to_scale else _side_by_side(drawing)
    rows = len(drawing.wheels)
    tall = max(TALL, rows * 12.2)
    layers = max((wheel.layer for wheel in drawing.wheels), default=0) + 1
    foot = 13.0
    if not drawing.wheels:
        return Svg(WIDTH, 10.0, drawing.alt)
    strip = _Strip(axes, drawing.wheels)
    svg = Svg(WIDTH, tall + foot + layers * 7.0 + 4.8 + 3.8 * strip.lines, drawing.alt)
    view = _View(axes, drawing.wheels, tall)
    _slots(svg, drawing.slots if drawing.to_scale else (), view)
    _wheels(svg, axes, drawing.wheels, view)
    _callouts(svg, axes, drawing.wheels, view, tall)
    _foot(svg, drawing, view, tall)
    _edge_on(svg, strip, drawing.wheels, tall + foot, layers)
    return svg


class _View:
    """From mm at the machine to mm on paper."""

    def __init__(self, axes: Sequence[DrawnAxis], wheels: Sequence[DrawnWheel], tall: float) -> None:
        self.left = min(axes[w.axis].x - w.tip_radius for w in wheels)
        self.right = max(axes[w.axis].x + w.tip_radius for w in wheels)
        self.low = min(axes[w.axis].y - w.tip_radius for w in wheels)
        self.high = max(axes[w.axis].y + w.tip_radius for w in wheels)
        self.scale = min((FACE - 2) / max(self.right - self.left, 1e-3), (tall - 2) / max(self.high - self.low, 1e-3))
        self.x0 = 1 + (FACE - 2 - (self.right - self.left) * self.scale) / 2
        self.y0 = 1 + (tall - 2 - (self.high - self.low) * self.scale) / 2

    def at(self, x: float, y: float) -> Point:
        return self.x0 + (x - self.left) * self.scale, self.y0 + (self.high - y) * self.scale


def _gap(first: int, second: int, wheels: Sequence[DrawnWheel]) -> float:
    """Distance between two axes: where wheels of one plane meet, their pitch radii."""
    pairs = [(a, b) for a in wheels if a.axis == first for b in wheels if b.axis == second]
    meshing = [a.pitch_radius + b.pitch_radius for a, b in pairs if a.layer == b.layer]
    return max(meshing or [a.tip_radius + b.tip_radius for a, b in pairs] or [10.0])


def _side_by_side(drawing: GearTrainDrawing) -> tuple[DrawnAxis, ...]:
    """Axes in a zigzag from top to bottom, for a banjo whose geometry is not known: only the meshes are true."""
    placed: list[DrawnAxis] = []
    x = y = 0.0
    for number, axis in enumerate(drawing.axes):
        if number:
            gap, turn = _gap(number - 1, number, drawing.wheels), math.radians(60 if number % 2 else 120)
            x, y = x + gap * math.cos(turn), y - gap * math.sin(turn)
        placed.append(DrawnAxis(axis.name, x, y, axis.bush_radius))
    return tuple(placed)


def _slots(svg: Svg, slots: Sequence[DrawnSlot], view: _View) -> None:
    for slot in slots:
        ux, uy = math.cos(math.radians(slot.direction)), math.sin(math.radians(slot.direction))
        ends = []
        for far in (slot.inner, slot.outer):
            along = far
            while along > 0 and not (
                view.left - 2 <= slot.pivot_x + along * ux <= view.right + 2 and view.low - 2 <= slot.pivot_y + along * uy <= view.high + 2
            ):
                along -= max(far / 100, 0.1)
            ends.append(along)
        if ends[1] - ends[0] < 1:
            continue
        for side in (-6.0, 6.0):
            start, end = ((slot.pivot_x + t * ux - side * uy, slot.pivot_y + t * uy + side * ux) for t in ends)
            svg.line(view.at(*start), view.at(*end), 0.3)
        for t, complete in ((ends[0], True), (ends[1], ends[1] == slot.outer)):
            if complete:
                a, b = ((slot.pivot_x + t * ux - side * uy, slot.pivot_y + t * uy + side * ux) for side in (-6.0, 6.0))
                svg.line(view.at(*a), view.at(*b), 0.3)


def _wheels(svg: Svg, axes: Sequence[DrawnAxis], wheels: Sequence[DrawnWheel], view: _View) -> None:
    for wheel in sorted(wheels, key=lambda w: w.layer):
        centre = view.at(axes[wheel.axis].x, axes[wheel.axis].y)
        weight = 0.9 if wheel.role == "driver" else 0.4
        dash = (2.2, 1.2) if wheel.role == "idler" else ()
        svg.circle(centre, wheel.tip_radius * view.scale, weight, "white", dash)
        svg.circle(centre, wheel.pitch_radius * view.scale, 0.18, "none", CHAIN)
    for wheel in wheels:  # what a wheel in front hides shows through as dots
        hidden = any(w.layer > wheel.layer and w.axis == wheel.axis and w.tip_radius >= wheel.tip_radius for w in wheels)
        if hidden:
            svg.circle(view.at(axes[wheel.axis].x, axes[wheel.axis].y), wheel.tip_radius * view.scale, 0.4, "none", (0.4, 0.8))
    for axis in axes:
        x, y = view.at(axis.x, axis.y)
        svg.circle((x, y), max(axis.bush_radius * view.scale, 1.0), 0.4, "white")
        svg.line((x - 1.4, y), (x + 1.4, y), 0.3)
        svg.line((x, y - 1.4), (x, y + 1.4), 0.3)


def _callouts(svg: Svg, axes: Sequence[DrawnAxis], wheels: Sequence[DrawnWheel], view: _View, tall: float) -> None:
    """Place, teeth, what it does and where, in one column; a thin line leads to a dot on the rim."""
    order = sorted(wheels, key=lambda w: (-axes[w.axis].y, w.layer, w.name))
    pitch = tall / len(order)
    left = FACE + 5.0
    for number, wheel in enumerate(order):
        middle = (number + 0.5) * pitch
        x, y = view.at(axes[wheel.axis].x, axes[wheel.axis].y)
        radius = wheel.tip_radius * view.scale
        turn = math.atan2(middle - 1.5 - y, left - 1 - x)
        rim = (x + radius * math.cos(turn), y + radius * math.sin(turn))
        svg.line(rim, (left - 1, middle - 1.5), 0.3)
        svg.circle(rim, 0.9, 0, "black")
        svg.text((left, middle + 0.8), f"{wheel.name} {wheel.teeth}".strip(), 21, bold=True, room=WIDTH - left)
        svg.text((left, middle + 4.8), ROLE.get(wheel.role, wheel.role), 10, room=WIDTH - left)
        svg.text((left, middle + 8.4), axes[wheel.axis].name, 9, room=WIDTH - left)


def _foot(svg: Svg, drawing: GearTrainDrawing, view: _View, top: float) -> None:
    words = "seen from the headstock end; operator to the right"
    svg.text((0, top + 4.2), words, 9.5, room=WIDTH)
    module = f"   {'module ' if re.fullmatch(r'[0-9.]+', drawing.module) else ''}{drawing.module}"
    if not drawing.to_scale:
        svg.text((0, top + 9), f"meshes only: not where the studs stand{module}".rstrip(), 9.5, room=WIDTH)
        return
    bar = next((length for length in (100, 50, 20, 10, 5) if length * view.scale <= 30), 5)
    end = bar * view.scale
    svg.rect((0.2, top + 7.4), end, 1.4, 0.3, "white")
    svg.rect((0.2, top + 7.4), end / 2, 1.4, 0.3, "black")
    svg.text((end + 2, top + 9.2), f"{bar} mm{module}".rstrip(), 9.5, room=WIDTH - end - 2)


class _Strip:
    """Where shafts stand when the train is unrolled, and where their names fit below: on a second line where two would run together."""

    LEFT = 18.0

    def __init__(self, axes: Sequence[DrawnAxis], wheels: Sequence[DrawnWheel]) -> None:
        places = [0.0]
        for number in range(1, len(axes)):
            places.append(places[-1] + _gap(number - 1, number, wheels))
        first = min(places[w.axis] - w.pitch_radius for w in wheels)
        last = max(places[w.axis] + w.pitch_radius for w in wheels)
        self.scale = (WIDTH - self.LEFT - 1) / max(last - first, 1e-3)
        self.shafts = [self.LEFT + (place - first) * self.scale for place in places]
        self.names: list[tuple[float, int, str, float]] = []  # middle, line, name, room
        ends = [self.LEFT - 4.0, self.LEFT - 4.0]
        for x, axis in zip(self.shafts, axes, strict=True):
            room = min(text_width(axis.name, 9 * POINT) + 0.5, 30.0)
            middle = min(max(x, self.LEFT - 2.0 + room / 2), WIDTH - room / 2)
            line = 0 if middle - room / 2 > ends[0] else 1
            ends[line] = middle + room / 2 + 1.0
            self.names.append((middle, line, axis.name, room))
        self.lines = 1 + max((line for _, line, _, _ in self.names), default=0)


def _edge_on(svg: Svg, strip: _Strip, wheels: Sequence[DrawnWheel], top: float, layers: int) -> None:
    """The train unrolled and seen from the edge: the headstock below, the outside above."""
    base = top + layers * 7.0
    for x in strip.shafts:
        svg.line((x, top - 1), (x, base + 1.5), 0.9)
    for wheel in wheels:
        x, half = strip.shafts[wheel.axis], wheel.pitch_radius * strip.scale
        y = base - (wheel.layer + 1) * 7.0
        weight, dash = (0.9, ()) if wheel.role == "driver" else (0.4, (1.6, 1.0) if wheel.role == "idler" else ())
        svg.rect((x - half + 0.3, y), 2 * half - 0.6, 5.6, weight, "white", dash)
        words = f"{wheel.name} {wheel.teeth}".strip()
        room = 2 * half - 1.4
        if wheel.name and text_width(words, 8.5 * POINT, bold=True) > room:  # the column of names has the teeth
            words = wheel.name
        svg.text((x, y + 4.4), words, 12, bold=True, anchor="middle", room=room)
    svg.line((16, base + 1.5), (WIDTH, base + 1.5), 0.5)
    svg.hatch([(16, base + 1.5), (WIDTH, base + 1.5), (WIDTH, base + 3.5), (16, base + 3.5)], 1.4, 0.2)
    svg.text((0, base + 3.4), "headstock", 9.5)
    svg.text((0, base - layers * 7.0 + 4.2), "outside", 9.5)
    for middle, line, name, room in strip.names:
        svg.text((middle, base + 7.4 + 3.8 * line), name, 9, anchor="middle", room=room)
