"""Sketches of clocking: the indicator touches what it should, square to it, and every word is on the paper."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from render.boxes import outside_paper, overlaps, words_of

from benchleaf.operations import clocking_sketches as sketches
from benchleaf.render.sketch import draw_sketch
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, SketchDrawing

READS = "at most 0.02 mm all round"
ALL: dict[str, Callable[[], SketchDrawing]] = {
    "run-out": lambda: sketches.run_out("⌀24 h7", READS),
    "face": lambda: sketches.face_run_out("20 mm", READS),
    "lift": lambda: sketches.spindle_lift("lift with a lever", READS),
    "collars": lambda: sketches.two_collars("150 mm", "A", "B", READS),
    "tailstock": lambda: sketches.tailstock_offset("250 mm", READS),
    "top slide": lambda: sketches.top_slide_angle(1.43, "1.43°", "20 mm", READS),
    "top slide the other way": lambda: sketches.top_slide_angle(-30, "30°", "20 mm", READS),
    "taper": lambda: sketches.taper_between_centres("60 mm", READS),
    "jaw along": lambda: sketches.vice_jaw("100 mm", READS),
    "jaw across": lambda: sketches.vice_jaw("100 mm", READS, along=False),
    "tool": lambda: sketches.shoulder_tool("⌀24 h7", "40 mm", "knife tool"),
    "groove": lambda: sketches.shoulder_tool("⌀20", "36 mm", "blade 3 mm", groove=True),
}


@pytest.mark.parametrize("make", ALL.values(), ids=ALL)
def test_words_are_apart_on_the_paper_and_as_large_as_they_should_be(make: Callable[[], SketchDrawing]) -> None:
    drawing = make()
    svg = draw_sketch(drawing)
    boxes = words_of(svg)
    assert overlaps(boxes) == []
    assert outside_paper(svg, boxes) == []
    said = [shape.words for shape in drawing.shapes if isinstance(shape, DrawnLabel)]
    assert sorted(words for *_, words in boxes) == sorted(said)
    assert svg.height <= 65
    assert svg.document().count('font-size="') == len(said)
    assert all(size in ('font-size="3.88"', 'font-size="3.53"') for size in _sizes(svg.document()))  # 11 and 10 pt: nothing had to shrink


def _sizes(text: str) -> list[str]:
    return [f'font-size="{part.split(chr(34))[0]}"' for part in text.split('font-size="')[1:]]


def edges(drawing: SketchDrawing) -> list[tuple[float, float, float, float]]:
    """Sides of closed outlines."""
    found = []
    for shape in drawing.shapes:
        if isinstance(shape, DrawnLine) and shape.closed:
            found += [(*a, *b) for a, b in zip(shape.points, (*shape.points[1:], shape.points[0]), strict=True)]
    return found


def dials(drawing: SketchDrawing) -> list[tuple[DrawnCircle, DrawnCircle]]:
    """Each indicator's ball and dial."""
    circles = [shape for shape in drawing.shapes if isinstance(shape, DrawnCircle)]
    balls = [circle for circle in circles if circle.radius == 0.9]
    faces = [circle for circle in circles if circle.radius >= 5]
    return list(zip(balls, faces, strict=True))


@pytest.mark.parametrize("name", [name for name in ALL if name not in ("collars", "tool", "groove")])
def test_every_indicator_touches_a_surface_squarely(name: str) -> None:
    """A plunger that is not square to the surface reads too much (common practice)."""
    drawing = ALL[name]()
    found = dials(drawing)
    assert found
    for ball, dial in found:
        away = math.hypot(dial.x - ball.x, dial.y - ball.y)
        ux, uy = (dial.x - ball.x) / away, (dial.y - ball.y) / away
        tip = ball.x - 0.9 * ux, ball.y - 0.9 * uy
        touching = [
            abs((x2 - x1) * ux + (y2 - y1) * uy) / math.hypot(x2 - x1, y2 - y1)
            for x1, y1, x2, y2 in edges(drawing)
            if abs((x2 - x1) * (tip[1] - y1) - (y2 - y1) * (tip[0] - x1)) / math.hypot(x2 - x1, y2 - y1) < 0.15
            and min(x1, x2) - 0.1 <= tip[0] <= max(x1, x2) + 0.1
            and min(y1, y2) - 0.1 <= tip[1] <= max(y1, y2) + 0.1
        ]
        assert touching, (name, tip)
        assert min(touching) < 0.01


@given(st.floats(-60, 60).filter(lambda angle: abs(angle) > 0.01))
def test_the_top_slide_leans_the_way_it_is_set_and_travels_along_itself(half_angle: float) -> None:
    drawing = sketches.top_slide_angle(half_angle, f"{half_angle:.2f}°", "20 mm", READS)
    arrow = next(shape for shape in drawing.shapes if isinstance(shape, DrawnArrow))
    drawn = math.degrees(math.atan2(arrow.y2 - arrow.y1, arrow.x2 - arrow.x1))
    assert drawn * half_angle > 0
    if 8 <= abs(half_angle) <= 40:
        assert drawn == pytest.approx(half_angle)
    assert outside_paper(draw_sketch(drawing), words_of(draw_sketch(drawing))) == []


def test_a_slide_along_the_bed_is_drawn_along_it() -> None:
    drawing = sketches.top_slide_angle(0.0, "0°", "60 mm", READS)
    arrow = next(shape for shape in drawing.shapes if isinstance(shape, DrawnArrow))
    assert arrow.y1 == arrow.y2
    assert outside_paper(draw_sketch(drawing), words_of(draw_sketch(drawing))) == []


@pytest.mark.parametrize("direction", [0, 90, 180, -90, 37])
def test_an_indicator_stands_behind_its_point(direction: float) -> None:
    shapes = sketches.indicator(10, 5, direction)
    dial = max((shape for shape in shapes if isinstance(shape, DrawnCircle)), key=lambda circle: circle.radius)
    turn = math.radians(direction)
    along = (dial.x - 10) * math.cos(turn) + (dial.y - 5) * math.sin(turn)
    aside = (dial.x - 10) * math.sin(turn) - (dial.y - 5) * math.cos(turn)
    assert along < -10
    assert aside == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("make", ALL.values(), ids=ALL)
def test_the_drawing_in_words_says_what_is_to_be_read(make: Callable[[], SketchDrawing]) -> None:
    drawing = make()
    if "tool" not in drawing.id:
        assert READS in drawing.alt
    assert drawing.alt.endswith(".") or drawing.alt.endswith(READS)
