"""Sketches: words apart and on the paper, shapes where they were put, scales stated."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from render.boxes import SPACE, lines_of, outside_paper, overlaps, root_of, words_of
from render.sample import SKETCH

from benchleaf.render.sketch import LONGEST, WIDTH, draw_sketch
from benchleaf.render.words import sketch_lines
from benchleaf.sheet.drawings import DrawnArrow, DrawnCircle, DrawnLabel, DrawnLine, Shape, SketchDrawing


def sketch(*shapes: Shape, to_scale: bool = False) -> SketchDrawing:
    return SketchDrawing("s", "", shapes, "x", to_scale)


def test_what_fits_the_paper_is_drawn_as_large_as_it_is_given() -> None:
    svg = draw_sketch(sketch(DrawnLine(((0, 0), (40, 0))), DrawnLine(((0, 0), (0, 30)), "thin")))
    (x1, y1, x2, y2), (x3, y3, x4, y4) = lines_of(svg)
    assert (x2 - x1, y2 - y1) == pytest.approx((40, 0))
    assert (x4 - x3, y4 - y3) == pytest.approx((0, -30))  # up on paper


def test_what_does_not_fit_is_scaled_down_evenly() -> None:
    (x1, _, x2, _), (_, y3, _, y4) = lines_of(draw_sketch(sketch(DrawnLine(((0, 0), (400, 0))), DrawnLine(((0, 0), (0, 200))))))
    assert 80 < x2 - x1 <= WIDTH
    assert (x2 - x1) / (y3 - y4) == pytest.approx(2, rel=0.001)


def test_a_true_sketch_has_a_standard_scale_and_says_it() -> None:
    svg = draw_sketch(sketch(DrawnLine(((0, 0), (150, 0))), DrawnLabel(75, 5, "150 mm"), to_scale=True))
    (x1, _, x2, _) = lines_of(svg)[0]
    assert x2 - x1 == pytest.approx(75, abs=0.01)
    assert "scale 1:2" in svg.document()


def test_arrows_have_heads_where_they_say() -> None:
    def heads(ends: str) -> list[tuple[float, float]]:
        svg = draw_sketch(sketch(DrawnArrow(0, 0, 50, 0, ends)))
        paths = [path.attrib["d"] for path in root_of(svg).iter(f"{SPACE}path")]
        return sorted(tuple(map(float, d[1:].split("L")[0].split())) for d in paths)  # type: ignore[misc]

    one, both = heads("one"), heads("both")
    assert len(one) == 1
    assert both[1] == one[0]
    assert both[1][0] - both[0][0] == pytest.approx(50, abs=0.01)


def test_two_labels_at_one_place_both_stay_readable_and_the_first_does_not_move() -> None:
    first, second = DrawnLabel(20, 10, "0.02 mm at most", strong=True), DrawnLabel(20, 10, "turned by hand")
    alone = {words: (left, top) for left, top, *_, words in words_of(draw_sketch(sketch(DrawnLine(((0, 0), (40, 0))), first)))}
    boxes = words_of(draw_sketch(sketch(DrawnLine(((0, 0), (40, 0))), first, second)))
    assert overlaps(boxes) == []
    assert {words for *_, words in boxes} == {"0.02 mm at most", "turned by hand"}
    assert next(left for left, *_, words in boxes if words == first.words) == pytest.approx(alone[first.words][0])


def test_a_leader_ends_on_its_point() -> None:
    svg = draw_sketch(sketch(DrawnLine(((0, 0), (40, 0))), DrawnLabel(10, 12, "bar", point=(30, 0))))
    (left, right), dots = lines_of(svg)[0][::2], list(root_of(svg).iter(f"{SPACE}circle"))
    assert len(dots) == 1
    assert (float(dots[0].attrib["cx"]) - left) / (right - left) == pytest.approx(0.75, abs=0.001)


def test_words_of_the_sketch_are_in_the_text_too() -> None:
    assert sketch_lines(SKETCH) == ["0.02 mm at most", "turned by hand", "tube"]


def test_long_words_break_into_lines_of_full_size() -> None:
    words = "the indicator is to move 0.499 mm for 20 mm of the top slide, towards the operator"
    svg = draw_sketch(sketch(DrawnLine(((0, 0), (40, 0))), DrawnLabel(0, -6, words, "start", strong=True)))
    lines = words_of(svg)
    assert len(lines) == 3
    assert " ".join(line for *_, line in sorted(lines, key=lambda box: box[3])) == words
    assert {text.attrib["font-size"] for text in root_of(svg).iter(f"{SPACE}text")} == {"3.88"}


def test_long_words_to_both_sides_of_one_point_stay_on_the_paper() -> None:
    words = "set the top slide to the angle"
    left, right = (DrawnLabel(0, 0, words, anchor, strong=True) for anchor in ("end", "start"))
    svg = draw_sketch(sketch(DrawnLine(((0, 0), (30, 20))), left, right))
    assert outside_paper(svg, words_of(svg)) == []
    assert overlaps(words_of(svg)) == []


def test_nothing_to_draw_is_no_fault() -> None:
    assert draw_sketch(sketch()).width == WIDTH
    assert draw_sketch(sketch(DrawnLine(()))).width == WIDTH


PLACE = st.floats(-300, 300)
LOOKS, FILLS = st.sampled_from(["thick", "thin", "centre", "hidden"]), st.sampled_from(["none", "hatch", "white", "black"])
SHAPES = st.one_of(
    st.builds(DrawnLine, st.lists(st.tuples(PLACE, PLACE), max_size=6).map(tuple), LOOKS, st.booleans(), FILLS),
    st.builds(DrawnCircle, PLACE, PLACE, st.floats(0, 200), LOOKS, FILLS),
    st.builds(DrawnArrow, PLACE, PLACE, PLACE, PLACE, st.sampled_from(["one", "both"])),
    st.builds(DrawnLabel, PLACE, PLACE, st.text("abc 0123.⌀", min_size=1, max_size=60), st.sampled_from(["start", "middle", "end"]), st.booleans(), st.none() | st.tuples(PLACE, PLACE)),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(SHAPES, max_size=12), st.booleans())
def test_any_sketch_draws_with_all_words_apart_and_on_the_paper(shapes: list[Shape], to_scale: bool) -> None:
    svg = draw_sketch(dataclasses.replace(sketch(*shapes), to_scale=to_scale))
    boxes = words_of(svg)
    assert overlaps(boxes) == []
    assert outside_paper(svg, boxes) == []
    assert all(right - left <= LONGEST for left, _, right, _, _ in boxes)
    for x1, y1, x2, y2 in lines_of(svg):
        assert all(-0.1 <= x <= svg.width + 0.1 and -0.1 <= y <= svg.height + 0.1 for x, y in ((x1, y1), (x2, y2)))
