"""Drawings of turned parts measured: true to scale, front to the right, lines by the conventions, no words on words."""

from __future__ import annotations

import dataclasses
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from render.boxes import SPACE, lines_of, outside_paper, overlaps, root_of, words_of
from render.sample import PART
from shapely.geometry import Polygon

from benchleaf.render.part import THICK, THIN, draw_part
from benchleaf.render.words import part_lines
from benchleaf.sheet.drawings import DrawnPlace, DrawnStretch, PartDrawing


def part(outside: list[DrawnStretch], bore: list[DrawnStretch] | None = None, **more: object) -> PartDrawing:
    length = outside[-1].end
    places = tuple(DrawnPlace(item.end, f"{item.end:g}") for item in outside)
    return dataclasses.replace(PartDrawing("p", "", tuple(outside), tuple(bore or ()), length, True, places, (), "mm", "x"), **more)


def plain(start: float, end: float, diameter: float, words: str = "", kind: str = "plain", **more: float) -> DrawnStretch:
    return DrawnStretch(start, end, diameter, diameter, kind, words, **more)


def along(svg: object) -> list[tuple[float, float, float]]:
    """Thick lines along the axis: left, right, height."""
    return [(min(x1, x2), max(x1, x2), y1) for x1, y1, x2, y2 in lines_of(svg, f"{THICK:g}") if y1 == y2 and x1 != x2]  # type: ignore[arg-type]


def middle(svg: object) -> float:
    """Height of the centre line, chain dotted (ISO 128-2, line 04.1)."""
    return next(y1 for line in root_of(svg).iter(f"{SPACE}line") if len(line.attrib.get("stroke-dasharray", "").split()) == 4 for y1 in [float(line.attrib["y1"])])  # type: ignore[arg-type]


def test_it_is_true_to_the_scale_it_states_with_its_front_to_the_right() -> None:
    svg = draw_part(part([plain(0, 20, 10, "⌀10"), plain(20, 50, 24, "⌀24")]))
    assert "scale 1:1" in svg.document()
    (thin_left, thin_right, _), (wide_left, wide_right, _) = sorted(along(svg)[::2], key=lambda line: -line[0])
    assert (thin_right - thin_left, wide_right - wide_left) == pytest.approx((20, 30), abs=0.02)
    assert thin_left == pytest.approx(wide_right, abs=0.02)  # the front, thin end lies to the right
    heights = sorted({y for _, _, y in along(svg)})
    assert heights[-1] - heights[0] == pytest.approx(24, abs=0.02)


@pytest.mark.parametrize(("length", "diameter", "words"), [(30, 30, "1:1"), (8, 6, "5:1"), (150, 160, "1:5"), (60, 90, "1:5"), (3, 2, "20:1")])
def test_small_parts_grow_and_large_ones_shrink(length: float, diameter: float, words: str) -> None:
    assert f"scale {words};" in draw_part(part([plain(0, length, diameter)])).document()


def test_a_solid_part_is_not_cut_and_a_bored_one_is_above_the_axis_only() -> None:
    """ISO 128-3: solid shafts are not cut lengthwise; half section."""
    outside = [plain(0, 40, 30)]
    assert not [line for line in lines_of(draw_part(part(outside))) if abs(abs(line[2] - line[0]) - abs(line[3] - line[1])) < 0.02 and line[0] != line[2]]
    bored = part(outside, [plain(0, 15, 18, "⌀18"), plain(15, 40, 8)])
    svg = draw_part(bored)
    y = middle(svg)
    right = max(x for _, x, _ in along(svg))
    metal = Polygon([(right, y - 15), (right - 40, y - 15), (right - 40, y - 4), (right - 15, y - 4), (right - 15, y - 9), (right, y - 9)]).buffer(0.06)
    slanted = lines_of(svg, "0.18")
    assert len(slanted) > 10
    assert all(metal.covers(Polygon([(x1, y1), (x2, y2), (x2 + 0.001, y2)])) for x1, y1, x2, y2 in slanted)


@pytest.mark.parametrize(("inside", "crest", "other"), [(False, 20.0, 16.9), (True, 17.3, 20.0)])
def test_crests_are_thick_and_roots_thin(inside: bool, crest: float, other: float) -> None:
    """ISO 6410-1: crests of a visible thread by a thick line, roots by a thin one (M20 from ISO 724, ISO 68-1: 17.294, 16.933)."""
    thread = plain(0, 25, crest, "M20", "thread", thread=other)
    svg = draw_part(part([plain(0, 40, 32)], [thread, plain(25, 40, 10)]) if inside else part([thread, plain(25, 40, 30)]))
    y = middle(svg)
    thin = [round(abs(y1 - y) * 2, 1) for x1, y1, x2, y2 in lines_of(svg, f"{THIN:g}") if y1 == y2 and abs(x1 - x2) > 24 and abs(x1 - x2) < 26]
    thick = [round(abs(height - y) * 2, 1) for left, right, height in along(svg) if 24 < right - left < 26]
    assert set(thick) == {crest}
    assert set(thin) == {other}
    assert len(thin) == (1 if inside else 2)


def test_a_fine_thread_still_shows_two_lines() -> None:
    """ISO 6410-1: the space between crest and root is not less than 0.7 mm."""
    svg = draw_part(part([plain(0, 25, 20, "M20x0.5", "thread", thread=19.4), plain(25, 60, 24)]))
    y = middle(svg)
    thin = [abs(y1 - y) for x1, y1, x2, y2 in lines_of(svg, f"{THIN:g}") if y1 == y2 and 24 < abs(x1 - x2) < 26]
    assert thin == pytest.approx([10 - 0.7] * 2, abs=0.02)


def test_the_plain_middle_of_a_long_part_is_left_out_and_its_true_length_given() -> None:
    long = part([plain(0, 30, 12, "M12", "thread"), plain(30, 900, 16, "⌀16"), plain(900, 920, 12, "⌀12")])
    svg = draw_part(long)
    whole = dataclasses.replace(long, outside=(DrawnStretch(0.0, 920.0, 16.0, 15.9, "taper", ""),))
    waves = len([path for path in root_of(svg).iter(f"{SPACE}path") if path.attrib["d"].count("L") >= 8 and "Z" not in path.attrib["d"]])
    assert waves == 2
    assert "scale 1:1;" in svg.document()
    assert "scale 1:10;" in draw_part(whole).document()
    assert {"30", "900", "920"} <= {words for *_, words in words_of(svg)}


def test_where_the_length_is_not_known_it_breaks_off() -> None:
    open_end = part([plain(0, 30, 12, "M12", "thread"), plain(30, 45, 16, "⌀16")], whole=False)
    closed = draw_part(dataclasses.replace(open_end, whole=True))
    faces = [len([1 for x1, y1, x2, y2 in lines_of(svg, f"{THICK:g}") if x1 == x2]) for svg in (draw_part(open_end), closed)]
    assert faces == [faces[1] - 1, faces[1]]


def test_lengths_run_from_the_front_face() -> None:
    """ISO 129-1: running dimensions: the datum by a circle, one arrow head at each place, its distance beside it."""
    svg = draw_part(part([plain(0, 20, 10), plain(20, 50, 24)]))
    circles = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root_of(svg).iter(f"{SPACE}circle")]
    right = max(x for _, x, _ in along(svg))
    assert [x for x, _ in circles] == pytest.approx([right], abs=0.02)
    tips = [tuple(map(float, path.attrib["d"][1:].split("L")[0].split())) for path in root_of(svg).iter(f"{SPACE}path") if path.attrib["fill"] == "black"]
    assert sorted(right - x for x, y in tips if abs(y - circles[0][1]) < 0.01) == pytest.approx([20, 50], abs=0.02)


def test_a_knurl_is_hatched_both_ways_and_what_is_not_known_is_dashed() -> None:
    svg = draw_part(part([plain(0, 20, 30, "", "knurl"), dataclasses.replace(plain(20, 40, 34), known=False)]))
    slopes = {round((y2 - y1) / (x2 - x1)) for x1, y1, x2, y2 in lines_of(svg, "0.13")}
    assert slopes == {1, -1}
    assert re.search(r'stroke-width="0.3" stroke-dasharray="1.8 0.9"', svg.document())


def test_every_word_is_in_the_picture_and_in_the_text() -> None:
    shown = [words for *_, words in words_of(draw_part(PART))]
    wanted = [item.words for item in (*PART.outside, *PART.bore)]
    assert set(wanted) | {place.words for place in PART.places} <= set(shown)
    assert set(wanted) <= {words for _, words in part_lines(PART)}


KINDS = st.sampled_from(["plain", "thread", "knurl", "groove", "taper", "chamfer"])
PIECES = st.lists(st.tuples(st.floats(0.01, 300), st.floats(0.1, 400), st.floats(0.1, 400), KINDS, st.text("⌀0123456789.,Hhx ", max_size=24), st.booleans()), min_size=1, max_size=9)


def stretches(pieces: list[tuple[float, float, float, str, str, bool]], length: float = 0.0, most: float = 1.0) -> list[DrawnStretch]:
    total = sum(piece[0] for piece in pieces)
    stretch, out, at = (length / total if length else 1.0), [], 0.0
    for number, (long, near, far, kind, words, known) in enumerate(pieces):
        end = length if length and number == len(pieces) - 1 else at + long * stretch
        if end > at:
            out.append(DrawnStretch(at, end, near * most, (far if kind in ("taper", "chamfer") else near) * most, kind, words, 0.0, known))
        at = end
    return out


@settings(max_examples=150, deadline=None)
@given(PIECES, st.lists(PIECES.map(lambda pieces: pieces[:5]), max_size=1), st.booleans(), st.booleans())
def test_any_part_draws_with_all_words_apart_and_on_the_paper(outer: list, inner: list, whole: bool, centred: bool) -> None:
    outside = stretches(outer)
    length = outside[-1].end
    bore = stretches(inner[0], length, 0.2) if inner else []
    drawing = part(outside, bore, whole=whole, centres=(0.0, length) if centred else ())
    svg = draw_part(drawing)
    boxes = words_of(svg)
    assert overlaps(boxes) == []
    assert outside_paper(svg, boxes) == []
    assert svg.width in (85.0, 174.0)
    assert all(-0.6 <= x <= svg.width + 0.6 and -0.6 <= y <= svg.height + 0.6 for x1, y1, x2, y2 in lines_of(svg) for x, y in ((x1, y1), (x2, y2)))
