"""Shaping: strokes and times against textbooks' sums, practice against what is commonly done, and sizes against constructions of their own."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better
from math import cos, hypot, pi, radians, sin, sqrt, tan
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon
from shapely.affinity import rotate

import benchleaf.standards
from benchleaf.kinematics.crank import Constant, motion
from benchleaf.standards.shaped import (
    across_corners,
    angular_face,
    between_rollers,
    dovetail_top,
    flat_depth,
    flat_left,
    flat_width,
    from_rollers,
    indexing_for_pitch,
    largest_roller,
    over_first_flat,
    over_rollers,
    rack,
    rack_settings,
    second_side_target,
    smallest_bar,
    smallest_roller,
    turns_and_holes,
)
from benchleaf.standards.shaping import (
    FACES,
    advice,
    clapper_tilt,
    cut_time,
    depth_of_cut,
    fact,
    feed_a_stroke,
    mean_speed,
    rate_not_above,
    stroke_length,
    strokes_a_minute,
    strokes_needed,
    t_slot,
    tool_angles,
    tool_shapes,
)
from benchleaf.standards.speeds import cutting_speed, material_names

DATA = Path(benchleaf.standards.__file__).parent / "data" / "shaping.yaml"


# Strokes


@pytest.mark.parametrize(
    ("speed", "stroke", "m", "rate"),
    # N = 1000 v / (L (1 + m)): an open textbook's rule; 20 m/min over 200 mm with m = 2/3 is 60 strokes.
    [("20", "200", "2/3", 60), ("20", "100", "0.6", 125), ("20", "200", "0.6", 62.5), ("15", "300", "0.667", 29.994), ("25", "150", "0.6", 104.167),
     ("18", "400", "0.7", 26.471), ("20", "60", "0.8", 185.185), ("12", "250", "0.6", 30), ("30", "120", "0.65", 151.515)],
)  # fmt: skip
def test_strokes_a_minute(speed: str, stroke: str, m: str, rate: float) -> None:
    found = strokes_a_minute(F(speed), F(stroke), F(m))
    assert float(found) == pytest.approx(rate, abs=5e-4)
    assert mean_speed(found, F(stroke), F(m)) == F(speed)
    assert motion(Constant(1 / F(m)), F(stroke)).rate(F(speed)) == found


def test_the_textbooks_rule_in_feet_and_inches() -> None:
    """N = 7 V / S (V in ft/min, S in inches, textbooks) is 7.2 V / S for a ratio of 3 to 2, rounded down by 2.8 %."""
    for feet, inches in ((60, 8), (90, 4), (40, 20)):
        exact = strokes_a_minute(F(feet) * F("0.3048"), F(inches) * F("25.4"), F(2, 3))
        assert exact == F("7.2") * feet / inches
        assert float(7 * F(feet, inches) / exact - 1) == pytest.approx(-0.02778, abs=1e-5)


def test_m_upside_down_is_half_as_much_wrong() -> None:
    """With cutting over return time put for return over cutting time: (1 + 1.5) / (1 + 2/3)."""
    assert strokes_a_minute(F(20), F(200), F(2, 3)) / strokes_a_minute(F(20), F(200), F(3, 2)) == F(3, 2)


def test_the_rate_of_the_machine_is_never_above() -> None:
    rates = (F(20), F(36), F(62), F(110))
    assert [rate_not_above(F(wanted), rates) for wanted in (19, 20, 61, 62, 500)] == [None, 20, 36, 62, 110]


def test_a_stroke_is_longer_than_the_work_by_what_practice_asks() -> None:
    """15 to 30 mm in all, 10 to 20 of it before the work (common practice); 12 to 15 before and 6 to 10 after (textbook, from memory)."""
    added = stroke_length(F(150)) - 150
    assert 15 <= added <= 30
    assert 12 <= fact("approach").use <= 15
    assert 6 <= fact("overrun").use <= 10
    assert stroke_length(F(150), F(10), F(40)) == 200
    assert (fact("stroke_added").low, fact("stroke_added").high) == (15, 30)


@pytest.mark.parametrize(("width", "side", "feed", "rate", "minutes"), [(100, 10, "0.3", 60, 6.1111), (200, 10, "0.5", 40, 10.5), (50, 6, "0.2", 90, 3.1111), (300, 10, "0.8", 25, 15.5), (100, 0, "0.25", 60, 6.6667)])
def test_time_of_a_cut(width: int, side: int, feed: str, rate: int, minutes: float) -> None:
    """(width + overrun) / (feed x N), minutes; the last from a textbook."""
    assert float(cut_time(F(width), F(feed), F(rate), F(side)) / 60) == pytest.approx(minutes, abs=5e-5)
    strokes = strokes_needed(F(width), F(feed), F(side))
    assert (strokes - 1) * F(feed) >= width + side > (strokes - 2) * F(feed)


# Practice


def test_facts_are_those_of_practice() -> None:
    """Common practice: ranges as they are usually given."""
    wanted = {
        "approach": (10, 20, "mm"), "ratio_full_stroke": ("1.4", 2, ""), "ratio_short_stroke": ("1.05", "1.2", ""), "speed_against_turning": ("0.5", "0.75", ""),
        "depth_to_feed": (5, 10, ""), "iron_skin": ("1.5", 3, "mm"), "down_feed": ("0.05", "0.25", "mm"), "notch": ("0.05", "0.25", "mm"), "tool_overhang": (25, 50, "mm"),
        "slide_overhang": (0, 40, "mm"), "gooseneck": (0, 6, "mm"), "finishing_edge": ("1.5", 2, ""), "grip": ("0.33", "0.5", ""), "wedge_bevel": (2, 5, "deg"),
    }  # fmt: skip
    for name, (low, high, unit) in wanted.items():
        found = fact(name)
        assert (found.low, found.high, found.unit) == (F(low), F(high), unit), name
    with pytest.raises(LookupError, match="no fact"):
        fact("guess")


def test_every_figure_to_use_lies_in_its_range_and_every_row_says_how_far_it_is_trusted() -> None:
    for name, table in yaml.safe_load(DATA.read_text(encoding="utf-8"))["tables"].items():
        for row in table["rows"]:
            if "use" in row:
                assert row["range"][0] <= row["use"] <= row["range"][1], (name, row)


@pytest.mark.parametrize("material", material_names())
def test_every_material_has_feeds_depths_angles_and_a_speed(material: str) -> None:
    speed = cutting_speed(material, "shaping", "HSS")
    angles = tool_angles(material)
    assert speed is not None
    assert angles is not None
    assert angles.front_relief == (3, 5)
    assert angles.side_relief == (2, 4)
    for heavy in (False, True):
        rough, fine = (feed_a_stroke(material, cut, heavy=heavy) for cut in ("roughing", "finishing"))
        deep, thin = (depth_of_cut(material, cut, heavy=heavy) for cut in ("roughing", "finishing"))
        assert rough is not None and fine is not None and deep is not None and thin is not None  # noqa: PT018
        assert thin.use < deep.use
        assert (fine.low, fine.high) == (F("0.127"), F("0.381"))  # 0.005 to 0.015 in, an open university lecture page
        # Deeper than wide, as roughing is done: 5 to 10 to 1 by common practice, little less for soft stuff on small machines.
        assert F(2) <= deep.use / rough.use <= 10


def test_feeds_and_depths_that_are_known() -> None:
    steel, iron = feed_a_stroke("mild steel", "roughing"), feed_a_stroke("cast iron", "broad finishing")
    light, heavy = depth_of_cut("mild steel", "roughing"), depth_of_cut("mild steel", "roughing", heavy=True)
    assert steel is not None and iron is not None and light is not None and heavy is not None  # noqa: PT018
    assert (steel.low, steel.high) == (F("0.2"), F("0.8"))
    assert (iron.low, iron.high) == (F("1.5"), 6)
    assert (light.low, light.high, heavy.low, heavy.high) == (F("0.5"), 2, 2, 6)
    assert feed_a_stroke("mild steel", "broad finishing") is None
    for ask in (lambda: feed_a_stroke("unobtainium", "roughing"), lambda: tool_angles("unobtainium")):
        with pytest.raises(LookupError, match="unobtainium"):
            ask()


@pytest.mark.parametrize(
    ("material", "rake", "clearance"),
    # Shaper side rake and clearance for flat surfacing, HSS (common practice).
    [("free-cutting mild steel", (12, 20), (2, 5)), ("mild steel", (10, 20), (2, 5)), ("medium carbon steel", (10, 15), (2, 5)), ("tool steel", (6, 12), (2, 5)),
     ("stainless 304", (10, 18), (2, 5)), ("cast iron", (5, 10), (2, 5)), ("free-cutting brass", (0, 3), (2, 5)), ("phosphor bronze", (4, 10), (2, 5)),
     ("gunmetal", (2, 6), (2, 5)), ("copper", (15, 25), (2, 5)), ("aluminium", (20, 35), (3, 6)), ("cast aluminium", (12, 25), (3, 6)), ("nylon", (0, 8), (3, 6))],
)  # fmt: skip
def test_angles_of_tools(material: str, rake: tuple[int, int], clearance: tuple[int, int]) -> None:
    found = tool_angles(material)
    assert found is not None
    assert (found.side_rake, found.clearance) == (rake, clearance)
    if material in ("mild steel", "cast iron"):
        assert found.back_rake == ((2, 8) if material == "mild steel" else (0, 5))


@pytest.mark.parametrize(
    ("material", "low", "high"),
    # Mean speed over the cutting stroke, HSS, m/min (common practice).
    [("free-cutting mild steel", 18, 28), ("mild steel", 15, 25), ("medium carbon steel", 12, 18), ("silver steel", 8, 14), ("tool steel", 7, 12),
     ("stainless 303", 9, 15), ("stainless 316", 6, 9), ("cast iron", 12, 20), ("free-cutting brass", 25, 45), ("phosphor bronze", 12, 20), ("gunmetal", 15, 25),
     ("aluminium", 30, 60), ("titanium 6Al-4V", 4, 7)],
)  # fmt: skip
def test_speeds_for_shaping(material: str, low: int, high: int) -> None:
    found = cutting_speed(material, "shaping", "HSS")
    assert found is not None
    assert low <= found.speed <= high
    slower = cutting_speed(material, "shaping", "carbon steel")
    assert slower is None or slower.speed < found.speed


def test_the_clapper_box() -> None:
    """None to 10 degrees for flats, 10 to 20 for vertical and angular faces with the top away; locked inside (common practice)."""
    tilts = {face: clapper_tilt(face) for face in FACES}
    assert {face: (tilt.low, tilt.high) for face, tilt in tilts.items()} == {
        "flat": (0, 10), "vertical": (10, 20), "angular": (10, 20), "slot": (0, 0), "undercut": (0, 0), "inside keyway": (0, 0),
    }  # fmt: skip
    assert {face for face, tilt in tilts.items() if tilt.locked} == {"undercut", "inside keyway"}
    assert all("away from the face" in tilts[face].words for face in ("vertical", "angular"))
    assert all(any(face in shape.faces for shape in tool_shapes()) for face in FACES)
    assert {shape.name for shape in tool_shapes("vertical")} == {"right-hand side", "left-hand side"}
    assert "return" in advice("feed").words
    for ask in (lambda: clapper_tilt("round"), lambda: advice("luck")):
        with pytest.raises(LookupError, match="no "):
            ask()


def test_t_slots_take_their_bolts() -> None:
    """ISO 299 and DIN 787 from memory: the next throat is larger in all, the head has room, the bolt passes the throat."""
    slots = [t_slot(F(throat)) for throat in (5, 6, 8, 10, 12, 14, 18, 22, 28, 36, 42, 48, 54)]
    assert t_slot(F(11)) is None
    before = None
    for slot in slots:
        assert slot is not None
        assert 0 < slot.side_clearance[0] <= slot.side_clearance[1] < slot.throat / 4
        assert 0 < slot.clearance_over_head[0] <= slot.clearance_over_head[1]
        assert slot.lip[0] > slot.throat / 3
        assert int(slot.bolt[1:]) < slot.throat < slot.head_width < slot.width[0]
        assert before is None or (before.width < slot.width and before.height <= slot.height and before.depth < slot.depth)
        before = slot
    assert before is not None
    found = t_slot(F(14))
    assert found is not None
    assert (found.width, found.bolt, found.side_clearance[0]) == ((23, 25), "M12", F(1, 2))


# Flats


def test_a_square_and_a_hexagon_on_a_bar() -> None:
    """Across corners: square 1.41421 A, hexagon 1.15470 A (handbooks); depth (D - A) / 2."""
    assert float(across_corners(F(10), 4)) == pytest.approx(14.1421356, abs=1e-7)
    assert float(across_corners(F(10), 6)) == pytest.approx(11.5470054, abs=1e-7)
    assert float(across_corners(F(10), 8)) == pytest.approx(10.8239220, abs=1e-7)
    assert flat_depth(F(25), F(19)) == 3
    assert over_first_flat(F(25), F(19)) == 22
    assert smallest_bar(F(19), 6) == across_corners(F(19), 6)
    assert smallest_bar(F(19), 6, F(1)) == across_corners(F(19), 6) - 2
    assert smallest_bar(F(19), 6, F(10)) == 19
    for flats in (3, 5, 2):
        with pytest.raises(ValueError, match="even number"):
            across_corners(F(10), flats)
    with pytest.raises(ValueError, match="at least as large"):
        flat_depth(F(10), F(11))


@pytest.mark.parametrize("flats", [4, 6, 8])
def test_flats_cut_from_a_disc(flats: int) -> None:
    """Cut the flats one by one from a disc and look at what is left (plane geometry by a general-purpose library)."""
    across = 20.0
    bar = float(smallest_bar(F(20), flats))
    left = Point(0, 0).buffer(bar / 2, quad_segs=20000)
    depth = float(flat_depth(F(bar), F(20)))
    for flat in range(flats):
        chips = Polygon([(-50, bar / 2 - depth), (50, bar / 2 - depth), (50, 50), (-50, 50)])
        left = left.difference(rotate(chips, 360 / flats * flat, origin=(0, 0)))
        if flat == 0:
            assert left.bounds[3] - left.bounds[1] == pytest.approx(float(over_first_flat(F(bar), F(20))), abs=1e-6)
    corners = max(hypot(x, y) for x, y in left.exterior.coords) * 2
    assert corners == pytest.approx(bar, abs=1e-6)
    assert left.area == pytest.approx(flats * across**2 / 4 * tan(pi / flats), rel=1e-6)  # a full regular section, no round left


@given(st.fractions(min_value=5, max_value=100, max_denominator=100), st.fractions(min_value=F(1, 2), max_value=1, max_denominator=100), st.fractions(min_value=-1, max_value=1, max_denominator=100))
def test_the_second_side_comes_out_right_by_measuring_the_first(diameter: F, share: F, off: F) -> None:
    """Whatever the nominal diameter, a first side at the target leaves the second the same depth to A, and the flats lie alike."""
    across, measured = diameter * share, diameter + off / 10
    if measured < across:
        return
    target = second_side_target(measured, across)
    depth = measured - target
    assert measured - 2 * depth == across
    assert flat_left(target + F(1, 20), measured, across) == F(1, 20)
    # The axis lies in the middle between the flats.
    assert target - measured / 2 == across / 2
    assert abs(float(flat_width(measured, across)) - sqrt(measured**2 - across**2)) < 1e-9


def test_an_angular_face_by_the_head() -> None:
    """A 60 degree face, counted from the base, needs 30 on the scale of the head (common practice)."""
    assert angular_face(F(10), F(60)).swing == 30
    assert float(angular_face(F(10), F(60)).slide) == pytest.approx(10 / sin(radians(60)))
    assert (angular_face(F(10), F(90)).swing, angular_face(F(10), F(90)).slide) == (0, 10)
    with pytest.raises(ValueError, match="at most 90"):
        angular_face(F(10), F(100))


# Dovetails


def _roller(angle: float, roller: float) -> tuple[float, float]:
    """Centre of a roller that lies on the base and against a tail's flank, the foot at the origin: pushed in until it touches."""
    along = (cos(radians(angle)), sin(radians(angle)))  # the flank leans out over the roller
    low, high = 0.0, 100.0 * roller
    for _ in range(200):
        x = (low + high) / 2
        clear = x * along[1] - roller / 2 * along[0]
        low, high = (x, high) if clear < roller / 2 else (low, x)
    return (low + high) / 2, roller / 2


@pytest.mark.parametrize("angle", ["45", "50", "55", "60"])
@pytest.mark.parametrize("roller", ["4", "6.35", "10"])
def test_dovetails_over_rollers_against_rollers_laid_in(angle: str, roller: str) -> None:
    corners = F(30)
    x, radius = _roller(float(F(angle)), float(F(roller)))
    over = over_rollers(corners, F(roller), F(angle))
    assert float(over) == pytest.approx(30 + 2 * (x + radius), abs=1e-9)
    assert float(between_rollers(corners, F(roller), F(angle))) == pytest.approx(30 - 2 * (x + radius), abs=1e-9)
    assert abs(from_rollers(over, F(roller), F(angle)) - corners) < F(1, 10**30)
    assert abs(from_rollers(between_rollers(corners, F(roller), F(angle)), F(roller), F(angle), inside=True) - corners) < F(1, 10**30)
    # Where it touches: on the flank as long as it is no larger than the largest.
    depth = F(12)
    largest = float(largest_roller(depth, F(angle)))
    x, radius = _roller(float(F(angle)), largest)
    foot = x * cos(radians(float(F(angle)))) + radius * sin(radians(float(F(angle))))  # along the flank
    assert foot * sin(radians(float(F(angle)))) == pytest.approx(12, abs=1e-6)
    x, radius = _roller(float(F(angle)), float(smallest_roller(depth, F(angle))))
    assert x + radius == pytest.approx(12 / tan(radians(float(F(angle)))), abs=1e-6)
    assert smallest_roller(depth, F(angle)) < largest_roller(depth, F(angle))


def test_a_dovetail_of_sixty_degrees() -> None:
    """Over rollers at 60 degrees: width + 2.7321 x roller (handbooks: 1 + cot 30); top and bottom differ by 1.1547 x depth."""
    assert float(over_rollers(F(0), F(1), F(60))) == pytest.approx(2.7320508, abs=1e-7)
    assert float(dovetail_top(F(30), F(10), F(60)) - 30) == pytest.approx(11.5470054, abs=1e-7)
    assert dovetail_top(dovetail_top(F(30), F(10), F(55)), F(-10), F(55)) == 30


# Racks and indexing


def test_a_rack_of_module_one_and_a_half() -> None:
    """ISO 53: pitch 4.7124, depth 3.375; the flank slopes by the pressure angle."""
    found = rack(F(3, 2))
    assert float(found.pitch) == pytest.approx(4.7124, abs=5e-5)
    assert (found.addendum, found.depth) == (F(3, 2), F("3.375"))
    slope = (float(found.space) - float(found.bottom)) / 2 / float(found.depth - found.addendum)
    assert slope == pytest.approx(tan(radians(20)))
    assert rack_settings(found.pitch, 4) == (0, found.pitch, 2 * found.pitch, 3 * found.pitch)
    with pytest.raises(ValueError, match="meet"):
        rack(F(1), F(45))


@pytest.mark.parametrize(
    ("divisions", "ratio", "circles", "found"),
    # Simple indexing: turns = ratio / divisions (common practice; the plates are those commonly sold).
    [(6, 40, (15, 16, 17, 18, 19, 20), [(6, 10, 15), (6, 12, 18)]), (4, 40, (15, 16), [(10, 0, None)]), (7, 40, (21, 49, 18), [(5, 15, 21), (5, 35, 49)]),
     (9, 40, (27, 20), [(4, 12, 27)]), (6, 90, (20,), [(15, 0, None)]), (11, 40, (18, 20), [])],
)  # fmt: skip
def test_simple_indexing(divisions: int, ratio: int, circles: tuple[int, ...], found: list[tuple[int, int, int | None]]) -> None:
    options = turns_and_holes(F(ratio, divisions), circles)
    assert [(option.whole, option.holes, option.circle) for option in options] == found
    assert all(option.turns * divisions == ratio for option in options)


@given(st.fractions(min_value=F(1, 2), max_value=20, max_denominator=50), st.sampled_from([F(3), F(4), F(5), F(127, 25)]), st.sets(st.integers(15, 49), min_size=1, max_size=8))
def test_the_nearest_holes_for_a_pitch_are_nearest(module: F, lead: F, circles: set[int]) -> None:
    pitch = rack(module).pitch
    found = indexing_for_pitch(pitch, lead, circles)
    assert found.turns - pitch / lead == found.error
    assert abs(found.error) <= F(1, 2 * max(circles))
    for circle in circles:
        for holes in (int(pitch / lead * circle), int(pitch / lead * circle) + 1):
            assert abs(found.error) <= abs(F(holes, circle) - pitch / lead)
