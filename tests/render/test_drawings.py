"""Drawings measured: scale, angles, hatching, and what is black."""

from __future__ import annotations

import dataclasses
import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from render.sample import LEVERS, PART, PROFILE, SKETCH, gear_drawing, hostile
from shapely.geometry import Point, Polygon

from benchleaf.render.drawings import draw
from benchleaf.render.svg import Svg
from benchleaf.sheet.drawings import DrawnFlanks, DrawnWheel, GearTrainDrawing
from benchleaf.sheet.model import Drawing

SPACE = "{http://www.w3.org/2000/svg}"


def parsed(drawing: Drawing) -> ElementTree.Element:
    return ElementTree.fromstring(draw(drawing).document(alone=True))


def circles(root: ElementTree.Element) -> list[tuple[float, float, float]]:
    return [(float(c.attrib["cx"]), float(c.attrib["cy"]), float(c.attrib["r"])) for c in root.iter(f"{SPACE}circle")]


def wheels_on_paper(drawing: GearTrainDrawing) -> dict[str, tuple[float, float, float]]:
    """Pitch circles: the chain-dotted ones, in the order in which wheels lie on each other."""
    root = parsed(drawing)
    found = [c for c in root.iter(f"{SPACE}circle") if c.attrib.get("stroke-dasharray") == "3 0.8 0.6 0.8"]
    placed = [(float(c.attrib["cx"]), float(c.attrib["cy"]), float(c.attrib["r"])) for c in found]
    return dict(zip([wheel.name for wheel in sorted(drawing.wheels, key=lambda w: w.layer)], placed, strict=True))


def test_wheels_are_to_scale_and_mesh_on_their_pitch_circles() -> None:
    wheels = wheels_on_paper(gear_drawing())
    scale = wheels["A"][2] / 40
    for name, teeth in (("B", 63), ("C", 50), ("D", 60)):
        assert wheels[name][2] / teeth == pytest.approx(scale, abs=0.001)
    for driver, driven in (("A", "B"), ("C", "D")):
        (x1, y1, r1), (x2, y2, r2) = wheels[driver], wheels[driven]
        assert math.hypot(x1 - x2, y1 - y2) == pytest.approx(r1 + r2, abs=0.03)
    assert wheels["B"][:2] == wheels["C"][:2]
    (xa, ya, _), (xd, yd, _) = wheels["A"], wheels["D"]
    assert math.hypot(xa - xd, ya - yd) / scale / 2 * 1.25 == pytest.approx(128, rel=0.002)  # centre distance, module 1.25


def test_the_scale_bar_is_true() -> None:
    drawing = gear_drawing()
    root = parsed(drawing)
    words = next(t.text for t in root.iter(f"{SPACE}text") if t.text and re.match(r"\d+ mm", t.text))
    bar = next(float(r.attrib["width"]) for r in root.iter(f"{SPACE}rect") if r.attrib["height"] == "1.4")
    per_mm = wheels_on_paper(drawing)["D"][2] / (60 * 1.25 / 2)
    assert bar / per_mm == pytest.approx(float(words.split()[0]), rel=0.005)


def test_what_is_not_to_scale_says_so_and_still_meshes() -> None:
    drawing = dataclasses.replace(gear_drawing(), to_scale=False, slots=(), axes=tuple(dataclasses.replace(a, x=0.0, y=0.0) for a in gear_drawing().axes))
    wheels = wheels_on_paper(drawing)
    (x1, y1, r1), (x2, y2, r2) = wheels["C"], wheels["D"]
    assert math.hypot(x1 - x2, y1 - y2) == pytest.approx(r1 + r2, abs=0.03)
    assert "not where the studs stand" in draw(drawing).document()


def test_an_idler_and_a_hidden_wheel_look_different() -> None:
    drawing = gear_drawing()
    idle = dataclasses.replace(drawing.wheels[1], role="idler")
    over = DrawnWheel(80, "driver", 1, 2, 50.0, 51.25, "E")
    root = parsed(dataclasses.replace(drawing, wheels=(drawing.wheels[0], idle, drawing.wheels[2], drawing.wheels[3], over)))
    dashes = [c.attrib.get("stroke-dasharray", "") for c in root.iter(f"{SPACE}circle")]
    assert dashes.count("2.2 1.2") == 1
    assert dashes.count("0.4 0.8") == 2  # B and C lie behind E


@pytest.mark.parametrize("drawing", [gear_drawing(), LEVERS, PROFILE, PART, SKETCH], ids=["gears", "levers", "profile", "part", "sketch"])
def test_nothing_leaves_the_drawing(drawing: Drawing) -> None:
    svg = draw(drawing)
    root = parsed(drawing)
    for element in root.iter():
        for name, value in element.attrib.items():
            limit = {"x": svg.width, "x1": svg.width, "x2": svg.width, "cx": svg.width, "y": svg.height, "y1": svg.height, "y2": svg.height, "cy": svg.height}.get(name)
            if limit is not None:
                assert -0.5 <= float(value) <= limit + 0.5, (element.tag, name, value)
    assert root.attrib["viewBox"] == f"0 0 {svg.width:g} {round(svg.height, 2):g}"


def test_the_chosen_position_is_the_black_one() -> None:
    root = parsed(LEVERS)
    tags = [(float(r.attrib["x"]), float(r.attrib["y"]), float(r.attrib["width"]), r.attrib["fill"]) for r in root.iter(f"{SPACE}rect")]
    for text in root.iter(f"{SPACE}text"):
        if text.attrib["text-anchor"] != "middle":
            continue
        x, y = float(text.attrib["x"]), float(text.attrib["y"])
        fill = next(fill for left, top, width, fill in tags if left <= x <= left + width and top <= y <= top + 8)
        assert (text.attrib["fill"] == "white") == (fill == "black")
    white = [t.text for t in root.iter(f"{SPACE}text") if t.attrib["fill"] == "white"]
    assert white == [lever.chosen for lever in LEVERS.levers]


def flank_angles(root: ElementTree.Element) -> list[float]:
    """Angles to the normal of the long straight parts of the outline, degrees."""
    outline = next(p.attrib["d"] for p in root.iter(f"{SPACE}path") if "Z" not in p.attrib["d"] and p.attrib["stroke-width"] == "0.9")
    points = [tuple(map(float, pair.split())) for pair in outline[1:].split("L")]
    steps = [(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in pairwise(points)]
    return [abs(math.degrees(math.atan2(dx, dy if dy > 0 else -dy))) for dx, dy in steps if abs(dy) > 4]


@pytest.mark.parametrize("half_angle", [30.0, 27.5, 14.5])
@pytest.mark.parametrize(("flat", "radius"), [(0.0, 0.11), (0.2, 0.0)])
@pytest.mark.parametrize("inside", [True, False])
def test_flanks_stand_at_the_half_angle(half_angle: float, flat: float, radius: float, inside: bool) -> None:
    radii = {} if inside else {"crest_radius": 14.2, "root_radius": 13.3, "major_radius": 14.2, "pitch_radius": 13.8, "minor_radius": 13.4}
    drawing = dataclasses.replace(PROFILE, half_angle=half_angle, tip_flat=flat, tip_radius=radius, inside=inside, **radii)
    angles = flank_angles(parsed(drawing))
    assert len(angles) == 4
    assert angles == pytest.approx([half_angle] * 4, abs=0.3)


def outline(drawing: Drawing) -> list[tuple[float, float]]:
    """The metal's edge over two pitches, on paper; y runs down."""
    drawn = next(p.attrib["d"] for p in parsed(drawing).iter(f"{SPACE}path") if "Z" not in p.attrib["d"] and p.attrib["stroke-width"] == "0.9")
    return [(float(x), float(y)) for x, y in (pair.split() for pair in drawn[1:].split("L"))]


# Angles of load and clearance flank, then depth, addendum and root radius as shares of the pitch.
BUTTRESS = {
    "DIN 513 (from memory)": (3.0, 30.0, 0.867767, 0.375, 0.124271),
    "ASME B1.9": (7.0, 45.0, 0.662714, 0.3, 0.071405),
}


@pytest.mark.parametrize("standard", sorted(BUTTRESS))
@pytest.mark.parametrize("load", ["left", "right"])
@pytest.mark.parametrize("inside", [True, False])
@pytest.mark.parametrize("wider", [0.0, 0.4])
def test_a_buttress_leans_to_one_side_and_its_groove_is_half_a_pitch_wide_at_the_pitch_line(standard: str, load: str, inside: bool, wider: float) -> None:
    """With the design radius at the design depth the flanks must stand half a pitch apart at the pitch line: it is how the forms are defined."""
    steep, slack, depth, addendum, radius = BUTTRESS[standard]
    pitch, outwards = 8.0, -1 if inside else 1
    crest, root, middle = 24.0, 24.0 - outwards * depth * pitch, 24.0 - outwards * addendum * pitch
    flanks = DrawnFlanks(steep, slack, "left") if load == "left" else DrawnFlanks(slack, steep, "right")
    drawing = dataclasses.replace(
        PROFILE, inside=inside, pitch=pitch, half_angle=(steep + slack) / 2, crest_radius=crest, root_radius=root, pitch_radius=middle,
        major_radius=max(crest, root), minor_radius=min(crest, root), tip_radius=radius * pitch, tip_flat=wider, flanks=flanks,
        labels=tuple(label for label in PROFILE.labels if label[0] != "angle"),
    )  # fmt: skip
    edge = outline(drawing)
    scale = (edge[-1][0] - edge[0][0]) / (2 * pitch)
    deepest, surface = max(y for _, y in edge), edge[0][1]
    assert (deepest - surface) / scale == pytest.approx(depth * pitch, abs=0.01)
    long = [((x1, y1), (x2, y2)) for (x1, y1), (x2, y2) in pairwise(edge) if abs(y2 - y1) > 4]
    lean = [math.degrees(math.atan2(abs(x2 - x1), abs(y2 - y1))) for (x1, y1), (x2, y2) in long]
    assert lean == pytest.approx([flanks.left, flanks.right] * 2, abs=0.2)

    line = surface + addendum * pitch * scale
    at = [x1 + (x2 - x1) * (line - y1) / (y2 - y1) for (x1, y1), (x2, y2) in long]
    assert (at[1] - at[0]) / scale == pytest.approx(pitch / 2 + wider, abs=0.02)
    assert (at[2] - at[0]) / scale == pytest.approx(pitch, abs=0.02)
    # Three points of the round corner at the steep flank give its radius.
    first = edge[2:9] if load == "left" else edge[-9:-2]
    assert circle_through(first[0], first[3], first[6]) / scale == pytest.approx(radius * pitch, rel=0.05)

    heads = [p.attrib["d"] for p in parsed(drawing).iter(f"{SPACE}path") if p.attrib["fill"] == "black"]
    tips = [tuple(map(float, head[1:].split("L")[0].split())) for head in heads]
    which = 1 if load == "right" else 0
    (x1, y1), (x2, y2) = long[which]
    on_the_flank = [x for x, y in tips if surface < y < deepest - 1 and abs(x1 + (x2 - x1) * (y - y1) / (y2 - y1) - x) < 0.05]
    assert len(on_the_flank) == 1
    assert "load" in draw(drawing).document()


def circle_through(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """Radius: the product of the sides by four times the area."""
    area = abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])) / 2
    return math.dist(a, b) * math.dist(b, c) * math.dist(c, a) / (4 * area)


def test_hatching_stays_in_the_metal() -> None:
    outline = [(0.0, 5.0), (10.0, 5.0), (14.0, 20.0), (18.0, 5.0), (30.0, 5.0), (30.0, 40.0), (0.0, 40.0)]
    svg = Svg(40, 50, "")
    svg.hatch(outline)
    metal = Polygon(outline).buffer(0.05)
    lines = [tuple(float(v) for v in re.findall(r'[xy][12]="([-0-9.]+)"', part)) for part in svg.parts]
    assert len(lines) > 15
    for x1, y1, x2, y2 in lines:
        assert all(metal.contains(Point(x1 + (x2 - x1) * t, y1 + (y2 - y1) * t)) for t in (0.0, 0.25, 0.5, 0.75, 1.0))


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 1e30])
def test_numbers_that_cannot_be_drawn_are_refused(bad: float) -> None:
    svg = Svg(10, 10, "")
    for call in (lambda: svg.line((0, bad), (1, 1)), lambda: svg.circle((0, 0), bad), lambda: svg.rect((bad, 0), 1, 1), lambda: svg.text((bad, 0), "x", 10)):
        with pytest.raises(ValueError, match="cannot be drawn"):
            call()


def test_words_in_drawings_are_escaped_and_cut_to_their_room() -> None:
    for block in hostile().sections[1].blocks:
        if hasattr(block, "alt"):
            root = ElementTree.fromstring(draw(block).document())
            assert {element.tag.removeprefix(SPACE) for element in root.iter()} <= {"svg", "title", "text", "line", "circle", "path", "rect"}
            assert all(len(t.text or "") < 85 for t in root.iter(f"{SPACE}text"))
