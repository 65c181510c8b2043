"""The work as it stands, drawn: stretches, words and lengths from what the steps have told it; any state of it draws."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from render.boxes import outside_paper, overlaps, words_of

from benchleaf.diagnostics import Span
from benchleaf.operations.part_sketches import part_drawing
from benchleaf.operations.work import Work
from benchleaf.render.part import draw_part
from benchleaf.sheet.drawings import PartDrawing
from benchleaf.workshop.job import Blank
from benchleaf.workshop.values import Measure, Origin, Word

HERE = Origin("blank", Span("job.yaml", 1, 1, 1, 2))


def mm(value: str) -> Measure:
    return Measure(F(value), "mm", f"{value} mm", HERE)


def said(words: str) -> Word:
    return Word(words, HERE)


def bar(outside: str | None = "45", length: str | None = "80", bore: str | None = None) -> Work:
    return Work(Blank(HERE, *(None if size is None else mm(size) for size in (outside, bore, length))))


def drawn(work: Work, system: str = "metric") -> PartDrawing:
    drawing = part_drawing(work, system)
    assert drawing is not None
    return drawing


def outside_words(drawing: PartDrawing) -> list[str]:
    return [item.words for item in drawing.outside]


def turned() -> Work:
    """A gland by hand: turned 40 h9 over 50, 28.5 over 30; bored 16 H7 right through."""
    work = bar()
    work.cut("outside", F(0), F(50), F("39.969"), "turned", said("40 mm h9"))
    work.cut("outside", F(0), F(30), F("28.5"), "turned", said("28.5 mm"))
    work.cut("inside", F(0), F(80), F("16.009"), "fit", said("16 mm H7"))
    return work


def test_sizes_are_printed_in_the_words_that_ask_for_them() -> None:
    drawing = drawn(turned())
    assert outside_words(drawing) == ["⌀28.5", "⌀40 h9", "⌀45 blank"]
    assert [item.words for item in drawing.bore] == ["⌀16 H7 through"]
    assert [(place.at, place.words) for place in drawing.places] == [(30, "30"), (50, "50"), (80, "80")]
    assert drawing.note == "mm; lengths from the front face"
    assert (drawing.length, drawing.whole) == (80, True)
    assert all(words in drawing.alt for words in ("⌀28.5", "⌀40 h9", "⌀16 H7 through"))


def test_facing_moves_all_lengths_and_turning_round_counts_from_the_other_end() -> None:
    work = turned()
    work.face_off(F(2))
    assert [place.at for place in drawn(work).places] == [28, 48, 78]
    work.turn_round()
    drawing = drawn(work)
    assert [place.at for place in drawing.places] == [30, 50, 78]
    assert outside_words(drawing) == ["⌀45 blank", "⌀40 h9", "⌀28.5"]


def test_parted_off_it_is_as_long_as_it_was_cut() -> None:
    work = turned()
    work.part_off(F(40), said("40 mm"))
    drawing = drawn(work)
    assert (drawing.length, outside_words(drawing)) == (40, ["⌀28.5", "⌀40 h9"])


@pytest.mark.parametrize(
    ("start", "end", "words"), [(0, 25, "⌀20 H7, 25 deep"), (0, 80, "⌀20 H7 through"), (25, 80, "⌀20 H7 from 25"), (25, 40, "⌀20 H7, 25 to 40")]
)
def test_a_bore_says_how_deep_it_is(start: int, end: int, words: str) -> None:
    work = bar(bore="10")
    work.cut("inside", F(start), F(end), F("20.01"), "bored", said("20 mm H7"))
    assert words in [item.words for item in drawn(work).bore]


def test_a_thread_goes_by_its_designation_and_has_its_root() -> None:
    """M16: root of the outside thread, d3 = 13.546; minor diameter of the inside thread, D1 = 13.835 (ISO 724, ISO 68-1)."""
    work = bar()
    work.cut("outside", F(0), F(20), F(16), "thread", said("M16x2-6g"))
    first = drawn(work).outside[0]
    assert (first.kind, first.words, first.near) == ("thread", "M16x2-6g", 16)
    assert first.thread == pytest.approx(13.546, abs=0.001)
    work = bar()
    work.cut("inside", F(0), F(30), F(16), "thread", said("M16-6H"))
    first = drawn(work).bore[0]
    assert (first.words, first.thread) == ("M16-6H, 30 deep", 16)
    assert first.near == pytest.approx(13.835, abs=0.001)


def test_a_thread_that_cannot_be_read_is_drawn_by_the_convention() -> None:
    work = bar()
    work.cut("outside", F(0), F(20), F(16), "thread", said("like the old one"))
    assert (drawn(work).outside[0].words, drawn(work).outside[0].thread) == ("like the old one", 0)


def test_chamfers_that_are_all_alike_are_said_once() -> None:
    work = turned()
    work.cut("outside", F(0), F(1), F("26.5"), "chamfer", said("1 mm"), far=F("28.5"))
    assert outside_words(drawn(work))[0] == "1 x 45°"
    work.cut("outside", F(30), F(31), F("37.969"), "chamfer", said("1 mm"), far=F("39.969"))
    drawing = drawn(work)
    assert "1 x 45°" not in outside_words(drawing)
    assert drawing.note == "chamfers 1 x 45°; mm; lengths from the front face"
    assert [place.at for place in drawing.places] == [30, 50, 80]  # not where a chamfer meets its own surface


def test_a_length_is_never_taken_for_a_diameter() -> None:
    work = bar()
    work.cut("outside", F(0), F(27), F("27.4"), "knurl", mm("27"))
    work.cut("outside", F(30), F(36), F("6.05"), "groove", mm("6"))
    assert outside_words(drawn(work)) == ["⌀27.4 knurled", "", "⌀6.05, 6 wide", "⌀45 blank"]


def test_a_chamfer_on_a_thread_is_drawn_as_one() -> None:
    work = bar()
    work.cut("outside", F(0), F(20), F(16), "thread", said("M16x2-6g"))
    work.cut("outside", F(0), F("1.5"), F(13), "thread", mm("1.5"), far=F(16))
    drawing = drawn(work)
    assert outside_words(drawing) == ["1.5 x 45°", "M16x2-6g", "⌀45 blank"]
    assert [item.kind for item in drawing.outside] == ["chamfer", "thread", "plain"]


def test_tapers_grooves_and_knurls_say_what_they_are() -> None:
    work = bar()
    work.cut("outside", F(0), F(30), F(20), "taper", said("1:10"), far=F(23))
    work.cut("outside", F(30), F(34), F(18), "groove", mm("18"))
    work.cut("outside", F(40), F(60), F(45), "knurl", said("diamond"))
    assert outside_words(drawn(work)) == ["taper ⌀20 to ⌀23", "⌀18, 4 wide", "", "⌀45 knurled", "⌀45 blank"]


def test_a_blind_hole_ends_in_the_drills_point_but_is_measured_to_its_shoulder() -> None:
    """118 degrees: the point is 0.3004 diameters long (geometry: 1 / (2 tan 59))."""
    work = bar()
    work.cut("inside", F(0), F(40), F(10), "drilled", said("10 mm"))
    hole, point, solid = drawn(work).bore
    assert (hole.words, hole.end, point.words) == ("⌀10, 40 deep", 40, "")
    assert point.end - point.start == pytest.approx(3.004, abs=0.001)
    assert (point.near, point.far) == pytest.approx((10, 0), abs=1e-9)
    assert (solid.start, solid.end, solid.near) == (point.end, 80, 0)


def test_sizes_are_in_the_system_that_the_part_is_written_in() -> None:
    work = bar()
    work.cut("outside", F(0), F(381, 10), F(127, 4), "turned", said("1 1/4 in"))
    drawing = drawn(work, "metric")
    assert outside_words(drawing) == ["⌀1 1/4", "⌀45 mm blank"]
    assert [place.words for place in drawing.places] == ["1.5", "3.15"]
    assert drawing.note == "inches; lengths from the front face"
    assert drawn(turned(), "inch").note.startswith("mm")


def test_work_of_unknown_length_breaks_off_behind_what_is_worked() -> None:
    work = bar(length=None)
    assert part_drawing(work, "metric") is None
    work.cut("outside", F(0), F(30), F(20), "turned", said("20 mm"))
    drawing = drawn(work)
    assert not drawing.whole
    assert 30 < drawing.length < 60
    assert [place.at for place in drawing.places] == [30]


def test_an_outside_that_nobody_measured_is_drawn_as_such_or_not_at_all() -> None:
    work = bar(outside=None)
    assert part_drawing(work, "metric") is None
    work.cut("outside", F(0), F(30), F(20), "turned", said("20 mm"))
    drawing = drawn(work)
    assert [item.known for item in drawing.outside] == [True, False]
    assert outside_words(drawing) == ["⌀20", "⌀ not said"]


def test_centre_holes_are_drawn_until_they_are_bored_away() -> None:
    work = bar()
    work.add("centre", said("BS 3"))
    assert drawn(work).centres == (0,)
    work.cut("inside", F(0), F(20), F(10), "bored", said("10 mm"))
    assert drawn(work).centres == ()


SIZE = st.fractions(min_value=F(1, 10), max_value=300, max_denominator=50)
ENDS = st.tuples(st.fractions(min_value=0, max_value=200, max_denominator=20), st.fractions(min_value=F(1, 20), max_value=120, max_denominator=20))
WORDS = st.sampled_from(["24 mm h7", "1 1/4 in", "M16x2-6g", "M30x1.5-6H", "as it was", "1/0", "12.7"])
CUTS = st.tuples(
    st.just("cut"), st.sampled_from(["outside", "inside"]), ENDS, SIZE, SIZE,
    st.sampled_from(["turned", "bored", "drilled", "reamed", "groove", "chamfer", "thread", "knurl", "taper", "fit"]), WORDS,
)  # fmt: skip
STEPS = st.lists(st.one_of(CUTS, CUTS, CUTS, st.tuples(st.just("face"), ENDS), st.tuples(st.just("round"), ENDS), st.tuples(st.just("part"), ENDS), st.tuples(st.just("centre"), ENDS)), max_size=12)


def worked(work: Work, steps: list) -> Work:
    for step in steps:
        match step:
            case ("cut", side, (start, length), near, far, kind, words):
                work.cut(side, start, start + length, near, kind, said(words), far=far if kind in ("taper", "chamfer") else None)
            case ("face", (_, amount)) if work.length is None or amount < work.length:
                work.face_off(amount)
            case ("round", _) if work.length is not None:
                work.turn_round()
            case ("part", (_, length)) if work.length is None or length <= work.length:
                work.part_off(length, said("here"))
            case ("centre", _):
                work.add("centre", said("BS 3"))
    return work


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(["45", None, "0.5"]), st.sampled_from(["80", None, "1200"]), st.sampled_from([None, "12"]), STEPS, st.sampled_from(["metric", "inch"]))
def test_any_state_of_the_work_draws(outside: str | None, length: str | None, bore: str | None, steps: list, system: str) -> None:
    drawing = part_drawing(worked(bar(outside, length, bore), steps), system)
    if drawing is None:
        return
    for side in (drawing.outside, drawing.bore):
        assert not side or (side[0].start, side[-1].end) == (0, pytest.approx(drawing.length))
        assert all(before.end == after.start for before, after in pairwise(side))
    svg = draw_part(drawing)
    boxes = words_of(svg)
    assert overlaps(boxes) == []
    assert outside_paper(svg, boxes) == []
    assert "nan" not in svg.document()
