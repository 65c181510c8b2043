"""Keys and keyways against the standards' tables, the depths that ANSI B17.1 gives for shafts one by one, and plane geometry."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better
from itertools import pairwise
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards.keys import (
    SYSTEMS,
    Key,
    chord_height,
    hub_to_bottom,
    key_for,
    key_length,
    shaft_to_bottom,
    side_depth,
    woodruff_for,
    woodruff_keys,
)
from benchleaf.standards.tables import table

INCH = F(127, 5)


def key(shaft: str | F, system: str = "metric", section: str | None = None) -> Key:
    found = key_for(F(shaft), system, section)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("over", "to", "b", "h", "t1", "t2", "above"),
    # ISO/R 773 = BS 4235-1:1972 = DIN 6885-1; 8 x 7, 20 x 12 and 25 x 14 from memory, the others also in published tables.
    [("8", "10", "3", "3", "1.8", "1.4", "0.1"), ("10", "12", "4", "4", "2.5", "1.8", "0.1"), ("12", "17", "5", "5", "3", "2.3", "0.1"),
     ("17", "22", "6", "6", "3.5", "2.8", "0.1"), ("22", "30", "8", "7", "4", "3.3", "0.2"), ("30", "38", "10", "8", "5", "3.3", "0.2"),
     ("38", "44", "12", "8", "5", "3.3", "0.2"), ("44", "50", "14", "9", "5.5", "3.8", "0.2"), ("50", "58", "16", "10", "6", "4.3", "0.2"),
     ("58", "65", "18", "11", "7", "4.4", "0.2"), ("65", "75", "20", "12", "7.5", "4.9", "0.2"), ("75", "85", "22", "14", "9", "5.4", "0.2"),
     ("85", "95", "25", "14", "9", "5.4", "0.2"), ("95", "110", "28", "16", "10", "6.4", "0.2"), ("130", "150", "36", "20", "12", "8.4", "0.3")],
)  # fmt: skip
def test_metric_keys(over: str, to: str, b: str, h: str, t1: str, t2: str, above: str) -> None:
    for shaft in (F(over) + F(1, 1000), F(to)):
        found = key(shaft)
        assert (found.width, found.height, found.shaft_depth, found.hub_depth) == (F(b), F(h), (F(t1), F(t1) + F(above)), (F(t2), F(t2) + F(above)))
    below = key_for(F(over))
    assert below is None or below.width < F(b)
    assert shaft_to_bottom(F(to), found) == (F(to) - F(t1) - F(above), F(to) - F(t1))
    assert hub_to_bottom(F(to), found) == (F(to) + F(t2), F(to) + F(t2) + F(above))


def test_a_metric_key_leaves_room_over_it_and_the_tables_have_no_gaps() -> None:
    """Both depths together take the key and a little more (h + 0.2 to h + 0.6); every shaft from 6 to 500 mm has one key."""
    rows = table("keys", "metric").rows
    assert (rows[0].number("over"), rows[-1].number("to")) == (6, 500)
    for row in rows:
        assert F("0.2") <= row.number("t1") + row.number("t2") - row.number("h") <= F("0.6")
        assert abs(row.number("t1") / row.number("h") - F("0.62")) < F("0.05")  # how the standard shares the height
    for name in ("metric", "metric_widths", "metric_heights", "bs46_square", "bs46_rectangular", "ansi", "ansi_widths"):
        for one, two in pairwise(table("keys", name).rows):
            assert one.number("to") == two.number("over"), name
            for column in ("b", "w", "square"):
                if one.has(column) and two.has(column):
                    assert one.number(column) < two.number(column), name


@pytest.mark.parametrize(
    ("shaft", "width", "own", "normal_shaft", "normal_hub", "close", "free_shaft", "free_hub"),
    # BS 4235-1:1972, width 3; ISO 286-2 for the others, micrometres.
    [("10", 3, (-25, 0), (-29, -4), (-12.5, 12.5), (-31, -6), (0, 25), (20, 60)), ("20", 6, (-30, 0), (-30, 0), (-15, 15), (-42, -12), (0, 30), (30, 78)),
     ("25", 8, (-36, 0), (-36, 0), (-18, 18), (-51, -15), (0, 36), (40, 98)), ("55", 16, (-43, 0), (-43, 0), (-21.5, 21.5), (-61, -18), (0, 43), (50, 120)),
     ("80", 22, (-52, 0), (-52, 0), (-26, 26), (-74, -22), (0, 52), (65, 149)), ("150", 36, (-62, 0), (-62, 0), (-31, 31), (-88, -26), (0, 62), (80, 180))],
)  # fmt: skip
def test_metric_widths(shaft: str, width: int, own: tuple[int, int], normal_shaft: tuple[int, int], normal_hub: tuple[float, float], close: tuple[int, int], free_shaft: tuple[int, int], free_hub: tuple[int, int]) -> None:
    found = key(shaft)

    def away(limits: tuple[F, F] | None) -> tuple[F, F]:
        assert limits is not None
        return (limits[0] - width) * 1000, (limits[1] - width) * 1000

    assert away(found.key_width) == own
    fits = {fit.name: fit for fit in found.fits}
    assert set(fits) == {"free", "normal", "close"}
    assert (away(fits["normal"].shaft), away(fits["normal"].hub)) == (normal_shaft, normal_hub)
    assert away(fits["close"].shaft) == away(fits["close"].hub) == close
    assert (away(fits["free"].shaft), away(fits["free"].hub)) == (free_shaft, free_hub)
    assert [(fit.shaft_class, fit.hub_class) for fit in found.fits] == [("H9", "D10"), ("N9", "JS9"), ("P9", "P9")]
    assert found.fit("loose") is None


def test_widths_and_heights_follow_the_tolerance_unit() -> None:
    """ISO 286-1: IT9 = 40 i, IT10 = 64 i, IT11 = 100 i with i = 0.45 D^(1/3) + 0.001 D micrometres, D the mean of the range (rounded there).

    The first range (up to 3 mm) has figures of its own.
    """
    for name in ("metric_widths", "metric_heights"):
        for row in table("keys", name).rows[1:]:
            mean = sqrt(row.number("over") * row.number("to"))
            i = 0.45 * mean ** (1 / 3) + 0.001 * mean
            for column, units in (("h9", 40), ("H9", 40), ("JS9", 40), ("N9", 40), ("P9", 40), ("D10", 64), ("h11", 100)):
                if row.has(column):
                    low, high = row.span(column)
                    assert float(high - low) == pytest.approx(units * i, rel=0.03, abs=0.8), (name, column)


def test_a_key_is_made_in_lengths() -> None:
    """Lengths of ISO/R 773, from memory: 8 x 7 from 18 to 90 mm."""
    assert [key_length(key("25"), F(length)) for length in (17, 18, 39, 40, 1000)] == [None, 18, 36, 40, 90]
    assert key_length(key("160"), F(100)) is None
    assert key_length(key("25.4", "inch"), F(100)) is None


@pytest.mark.parametrize(
    ("d", "square_s", "flat_s", "square_t", "flat_t"),
    # ANSI B17.1-1967 (R1989), table of depth control, inches.
    [("1/2", 0.43, 0.445, 0.56, 0.544), ("9/16", 0.493, 0.509, 0.623, 0.607), ("11/16", 0.581, 0.612, 0.773, 0.742), ("13/16", 0.708, 0.739, 0.9, 0.869),
     ("7/8", 0.771, 0.802, 0.964, 0.932), ("15/16", 0.796, 0.827, 1.051, 1.019), ("17/16", 0.923, 0.954, 1.178, 1.146), ("9/8", 0.986, 1.017, 1.241, 1.21),
     ("5/4", 1.112, 1.144, 1.367, 1.336), ("21/16", 1.137, 1.169, 1.455, 1.424), ("11/8", 1.201, 1.232, 1.518, 1.487), ("23/16", 1.225, 1.288, 1.605, 1.543),
     ("3/2", 1.289, 1.351, 1.669, 1.606), ("13/8", 1.416, 1.478, 1.796, 1.733), ("7/4", 1.542, 1.605, 1.922, 1.86), ("15/8", 1.591, 1.654, 2.096, 2.034),
     ("2", 1.718, 1.781, 2.223, 2.161), ("35/16", 1.909, 1.971, 2.414, 2.351), ("9/4", 1.972, 2.034, 2.477, 2.414), ("37/16", 1.957, 2.051, 2.587, 2.493)],
)  # fmt: skip
def test_ansi_depths_shaft_by_shaft(d: str, square_s: float, flat_s: float, square_t: float, flat_t: float) -> None:
    """S and T follow from section and shaft: the sizes of keys that the table has not are proved by it too (3/8 and 1/2 in)."""
    shaft = F(d) * INCH
    for section, s, t in (("square", square_s, square_t), ("rectangular", flat_s, flat_t)):
        found = key(shaft, "inch", section)
        assert float(shaft_to_bottom(shaft, found)[1] / INCH) == pytest.approx(s, abs=0.00101)
        assert float(hub_to_bottom(shaft, found)[0] / INCH) == pytest.approx(t, abs=0.00101)


@pytest.mark.parametrize(
    ("over", "to", "w", "flat"),
    # ANSI B17.1-1967 (R1998); 3/4 and 1 in from memory.
    [("7/16", "9/16", "1/8", "3/32"), ("9/16", "7/8", "3/16", "1/8"), ("7/8", "5/4", "1/4", "3/16"), ("5/4", "11/8", "5/16", "1/4"),
     ("9/4", "11/4", "5/8", "7/16"), ("11/4", "13/4", "3/4", "1/2"), ("13/4", "15/4", "7/8", "5/8"), ("15/4", "9/2", "1", "3/4"),
     ("9/2", "11/2", "5/4", "7/8"), ("11/2", "13/2", "3/2", "1")],
)  # fmt: skip
def test_ansi_sections(over: str, to: str, w: str, flat: str) -> None:
    for shaft in (F(over) + F(1, 1000), F(to)):
        square, low = key(shaft * INCH, "inch"), key(shaft * INCH, "inch", "rectangular")
        assert (square.section, square.width / INCH, square.height / INCH) == ("square", F(w), F(w))
        assert (low.section, low.width / INCH, low.height / INCH) == ("rectangular", F(w), F(flat))
        # The depth at the side is half the height, whatever the shaft.
        assert abs(side_depth(square.shaft_depth[0], shaft * INCH, square.width) / INCH - F(w) / 2) < F(1, 10**30)
    assert key_for(F(3, 8) * INCH, "inch", "rectangular") is None
    assert key(F(7) * INCH, "inch").section == "rectangular"


@pytest.mark.parametrize(
    ("shaft", "w", "shaft_width", "hub_width", "shaft_depth", "hub_depth", "own"),
    # BS 46 part 1:1958, square parallel keys, inches.
    [("1/2", "1/8", ("0.124", "0.125"), ("0.125", "0.126"), ("0.072", "0.078"), ("0.060", "0.066"), ("0.125", "0.127")),
     ("3/4", "3/16", ("0.187", "0.188"), ("0.188", "0.189"), ("0.107", "0.113"), ("0.088", "0.094"), ("0.188", "0.190")),
     ("3/2", "3/8", ("0.374", "0.375"), ("0.375", "0.376"), ("0.213", "0.219"), ("0.169", "0.175"), ("0.375", "0.377")),
     ("2", "1/2", ("0.499", "0.500"), ("0.500", "0.501"), ("0.283", "0.289"), ("0.224", "0.230"), ("0.500", "0.502")),
     ("5", "5/4", ("1.248", "1.250"), ("1.250", "1.252"), ("0.707", "0.713"), ("0.551", "0.557"), ("1.250", "1.253"))],
)  # fmt: skip
def test_bs46_square_keys(shaft: str, w: str, shaft_width: tuple[str, str], hub_width: tuple[str, str], shaft_depth: tuple[str, str], hub_depth: tuple[str, str], own: tuple[str, str]) -> None:
    found = key(F(shaft) * INCH, "BS 46")

    def mm(limits: tuple[str, str]) -> tuple[F, F]:
        return F(limits[0]) * INCH, F(limits[1]) * INCH

    assert (found.width / INCH, found.height / INCH) == (F(w), F(w))
    assert (found.shaft_depth, found.hub_depth, found.key_width) == (mm(shaft_depth), mm(hub_depth), mm(own))
    assert [(fit.shaft, fit.hub) for fit in found.fits] == [(mm(shaft_width), mm(hub_width))]


def test_bs46_depths_all_follow_one_rule() -> None:
    """Shaft depth = height / 2 + chord height of a shaft of its range, hub depth = height / 2 less it, within the standard's rounding."""
    for name in ("bs46_square", "bs46_rectangular"):
        for row in table("keys", name).rows:
            chord = row.span("shaft_depth")[0] - row.number("h") / 2
            assert chord_height(row.number("to"), row.number("w")) - F(3, 1000) < chord < chord_height(row.number("over"), row.number("w"))
            assert abs(row.span("hub_depth")[0] - (row.number("h") / 2 - chord) - F(8, 1000)) <= F(3, 1000), (name, row.number("w"))


def test_rectangular_bs46_keys() -> None:
    """1 1/4 x 7/8 in (BS 46 part 1:1958) for shafts over 4 to 5 in; none is made for a shaft of 1/2 in that is not square."""
    found = key(F(5) * INCH, "BS 46", "rectangular")
    assert (found.width / INCH, found.height / INCH) == (F(5, 4), F(7, 8))
    assert key_for(F(1, 2) * INCH, "BS 46", "rectangular") is None


@pytest.mark.parametrize(
    ("number", "w", "diameter", "height", "shaft", "hub"),
    # ANSI B17.2-1967 (R2013), inches.
    [("202", "1/16", "1/4", "0.109", "0.0728", "0.0372"), ("304", "3/32", "1/2", "0.203", "0.1511", "0.0529"), ("404", "1/8", "1/2", "0.203", "0.1355", "0.0685"),
     ("506", "5/32", "3/4", "0.313", "0.2299", "0.0841"), ("607", "3/16", "7/8", "0.375", "0.2763", "0.0997"), ("808", "1/4", "1", "0.438", "0.3080", "0.1310"),
     ("1010", "5/16", "5/4", "0.547", "0.3858", "0.1622"), ("1212", "3/8", "3/2", "0.641", "0.4485", "0.1935")],
)  # fmt: skip
def test_woodruff_keys_in_inches(number: str, w: str, diameter: str, height: str, shaft: str, hub: str) -> None:
    found = next(item for item in woodruff_keys("inch") if item.name == number)
    assert [size / INCH for size in (found.width, found.diameter, found.height, found.shaft_depth, found.hub_depth)] == [F(w), F(diameter), F(height), F(shaft), F(hub)]
    assert found.from_side


def test_all_woodruff_keys_follow_their_number_and_the_standards_sums() -> None:
    """Width in 32nds and diameter in eighths (the number); depths: height - w/2 - 0.005 in the shaft, w/2 + 0.006 in the hub, at the side."""
    for item in woodruff_keys("inch"):
        assert (item.width / INCH * 32, item.diameter / INCH * 8) == (int(item.name[:-2]), int(item.name[-2:]))
        assert abs(item.shaft_depth / INCH - (item.height / INCH - item.width / INCH / 2 - F(5, 1000))) < F(1, 10000)
        assert abs(item.hub_depth / INCH - (item.width / INCH / 2 + F(6, 1000))) < F(1, 10000)
    # A slice stands a little below its centre line: height = diameter / 2 - offset (rounded to a 64th's thousandths).
    for row in table("keys", "woodruff_inch").rows:
        assert abs(row.number("height") - (row.number("diameter") / 2 - row.number("centre_below"))) < F(3, 1000)


def test_woodruff_keys_of_a_shaft() -> None:
    """Widths 1/16 to 1/4 for shafts by a published design text: 5/32 from 1/2 to 1 5/8 in, both included."""
    assert {"506", "507"} <= {item.name for item in woodruff_for(INCH)}
    assert "202" not in {item.name for item in woodruff_for(INCH)}
    assert "506" in {item.name for item in woodruff_for(F(13, 8) * INCH)}
    assert "506" not in {item.name for item in woodruff_for(F(13, 8) * INCH + 1)}
    assert woodruff_for(F(500)) == ()


@pytest.mark.parametrize(
    ("name", "t1", "t2"),
    # ISO 3912:1977, mm.
    [("1.5 x 2.6 x 7", "2", "0.8"), ("2 x 2.6 x 7", "1.8", "1"), ("3 x 5 x 13", "3.8", "1.4"), ("3 x 6.5 x 16", "5.3", "1.4"), ("4 x 6.5 x 16", "5", "1.8")],
)  # fmt: skip
def test_metric_woodruff_keys(name: str, t1: str, t2: str) -> None:
    found = next(item for item in woodruff_keys() if item.name == name)
    assert (found.shaft_depth, found.hub_depth, found.depth_from_crown(F(20))) == (F(t1), F(t2), F(t1))
    assert found.height < found.shaft_depth + found.hub_depth <= found.height + F("0.4")


def test_depth_of_an_inch_woodruff_keyseat_from_the_crown() -> None:
    number_808 = next(item for item in woodruff_keys("inch") if item.name == "808")
    assert float(number_808.depth_from_crown(INCH) / INCH) == pytest.approx(0.308 + (1 - sqrt(1 - 1 / 16)) / 2, abs=1e-12)


@given(st.fractions(min_value=1, max_value=500, max_denominator=100), st.fractions(min_value=0, max_value=1, max_denominator=1000))
def test_the_chord_by_its_own_circle(diameter: F, share: F) -> None:
    """A point half a width off the centre line, the chord's height below the crown, lies on the circle."""
    half, height = diameter * share / 2, chord_height(diameter, diameter * share)
    assert abs(half**2 + (diameter / 2 - height) ** 2 - diameter**2 / 4) < F(1, 10**30)
    assert 0 <= height <= diameter / 2
    assert side_depth(height, diameter, diameter * share) == 0


def test_what_cannot_be() -> None:
    for shaft in ("6", "500.1"):
        assert key_for(F(shaft)) is None
    assert key_for(F(1), "inch") is None
    assert key_for(F(1), "BS 46") is None
    with pytest.raises(ValueError, match="systems"):
        key_for(F(20), "imperial")
    with pytest.raises(ValueError, match="sections"):
        key_for(F(20), "inch", "round")
    with pytest.raises(ValueError, match="systems"):
        woodruff_keys("BS 46")
    with pytest.raises(ValueError, match="chord"):
        chord_height(F(10), F(11))
    assert all(key_for(F(40), system) is not None for system in SYSTEMS)
