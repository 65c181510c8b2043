"""Tapers by name and by figures, and settings of the lathe, against values whose source stands beside each in the data file."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards import tapers as t
from benchleaf.standards.tables import STATUSES, load, table

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "taper_cases.json").read_text("utf-8"))["cases"]
INCH = F(127, 5)


def exact(value: float | str) -> F:
    return F(str(value))


def taper(name: str) -> t.Taper:
    found = t.parse_taper(name)
    assert found is not None, name
    return found


def half_angle_of(p: dict[str, Any]) -> dict[str, F]:
    angle = taper(p["name"]).half_angle
    return {"half_deg": angle, "half_s": angle * 3600}


def ratio_iso(p: dict[str, Any]) -> dict[str, F]:
    found, row = taper(f"MT{p['k']}"), table("tapers", "morse").where("size", p["k"])[0]
    assert abs(row.number("one_in") - found.one_in) <= F("0.0006")  # ISO 296 rounds the ratio of ASME B5.10
    assert found.large is not None
    return {"n": found.one_in, "D": found.large}


def tpf_from_plug(p: dict[str, Any]) -> dict[str, F]:
    return {"tpf": t.taper_from_ends(exact(p["A"]), exact(p["D"]), exact(p["L"])).per_foot}


def jarno(p: dict[str, Any]) -> dict[str, F]:
    found = taper(f"Jarno {p['n']}")
    assert found.large is not None
    assert found.small is not None
    assert found.length is not None
    return {"large": found.large / INCH, "small": found.small / INCH, "length": found.length / INCH}


WAYS: dict[str, Callable[[dict[str, Any]], dict[str, F]]] = {
    "half_angle_of": half_angle_of,
    "ratio_iso": ratio_iso,
    "tpf_from_plug": tpf_from_plug,
    "jarno": jarno,
    "indicator_slide_travel": lambda p: {"value": t.clock_on_parallel_bar(taper(p["name"]), exact(p["s"]))},
    "indicator_axial_travel": lambda p: {"value": t.clock_by_saddle(taper(p["name"]), exact(p["L"]))},
    "indicator_slide_on_master": lambda p: {"value": t.clock_on_master(taper(p["slide"]), taper(p["master"]), exact(p["s"]))},
    "setover_exact": lambda p: {"value": t.set_over_exact(taper(p["name"]), exact(p["L"]))},
    "setover_usual": lambda p: {"value": t.set_over(taper(p["name"]).rate, exact(p["L"]))},
    "gauge_shift": lambda p: {"value": t.depth_for_diameter(taper(p["name"]), exact(p["dD"]))},
    "small_end": lambda p: {"value": taper(p["name"]).diameter_at(exact(p["D"]), exact(p["L"]))},
    "sine_included": lambda p: {"value": t.sine_bar_height(taper(p["name"]), exact(p["bar"]))},
    "tool_height": lambda p: {"value": t.off_centre_error(exact(p["D"]), exact(p["h"]))},
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_values_with_a_source(case: dict[str, Any]) -> None:
    found = WAYS[case["quantity"]](case["params"])
    for name, expected in case["expect"].items():
        tolerance = exact(case["tol"].get(name, case["tol"]["default"]))
        assert abs(found[name] - exact(expected)) <= tolerance, (name, float(found[name]))


def test_every_case_is_used() -> None:
    assert {case["quantity"] for case in CASES} == set(WAYS)


@pytest.mark.parametrize(
    ("size", "small"),
    # Small end of the plug in inches, rounded to a thousandth: ASME B5.10, from memory.
    [("0", "0.252"), ("1", "0.369"), ("2", "0.572"), ("3", "0.778"), ("4", "1.020"), ("4.5", "1.266"), ("5", "1.475"), ("6", "2.116"), ("7", "2.750")],
)
def test_morse_ends_agree_with_the_rate(size: str, small: str) -> None:
    found = t.standard_taper("morse", size)
    assert found.small is not None
    assert abs(found.small / INCH - F(small)) <= F("0.0006")


@pytest.mark.parametrize(
    ("size", "small"),
    # Small end in inches, from memory of the published table of Jacobs tapers.
    [("0", "0.22844"), ("1", "0.33341"), ("2", "0.48764"), ("2 short", "0.48764"), ("3", "0.74610"), ("4", "1.0372"), ("5", "1.3161"), ("6", "0.6241"), ("33", "0.5605")],
)
def test_jacobs_ends_agree_with_the_rate(size: str, small: str) -> None:
    found = t.standard_taper("jacobs", size)
    assert found.small is not None
    assert abs(found.small / INCH - F(small)) <= F("0.0001")


@pytest.mark.parametrize(
    ("written", "name"),
    [("MT3", "MT3"), ("mt 3", "MT3"), ("Morse 3", "MT3"), ("Morse taper No. 3", "MT3"), ("No. 3 Morse", "MT3"), ("3MT", "MT3"), ("3 Morse taper", "MT3"), ("MT4 1/2", "MT4.5"),
     ("B&S 9", "B&S 9"), ("BS9", "B&S 9"), ("Brown and Sharpe No. 9", "B&S 9"), ("jarno taper 8", "Jarno 8"), ("JT33", "JT33"), ("Jacobs 2 short", "JT2 short"), ("JT2S", "JT2 short"),
     ("7:24 No. 40", "7:24 No. 40"), ("ISO 40", "7:24 No. 40"), ("NT40", "7:24 No. 40"), ("Metric 80", "metric 80"), ("taper pin", "taper pin"), ("Inch taper pin", "inch taper pin")],
)  # fmt: skip
def test_standard_names(written: str, name: str) -> None:
    assert taper(written).name == name
    assert taper(written) == taper(name)


@pytest.mark.parametrize(
    ("one", "other"),
    # 3/4 in per ft is 1:16 (ISO 7-1), 1/4 in per ft 1:48 (inch taper pins); the rest is arithmetic.
    [("1:16", "1 in 16"), ("1:16", "3/4 in per ft"), ("1:48", "0.25 in/ft"), ("1:48", "inch taper pin"), ("1:20", "5 mm per 100 mm"), ("1:20", "0.6 in/ft"), ("1:20", "50 mm per m"),
     ("7:24", "3 1/2 in/ft"), ("1:50", "taper pin"), ("16 deg included", "8 deg half"), ("16° incl", "half angle 8°"), ("8 deg 30 min half", "17 deg included"),
     ("1° 25' 56\" half", "1 deg 25 min 56 sec half"), ("1:16", "Taper 1:16"), ("0.75\" per foot", "pipe thread"), ("1:4", "short taper spindle nose"), ("60 deg included", "lathe centre")],
)  # fmt: skip
def test_two_ways_to_say_a_taper(one: str, other: str) -> None:
    assert (taper(one).rate, taper(one).half_angle) == (taper(other).rate, taper(other).half_angle)


@pytest.mark.parametrize(
    "words",
    ["", "16 deg", "MT9", "Morse", "MT", "0:16", "1:0", "1/0 in/ft", "90 deg half", "180 deg included", "0 deg half", "B&S 99", "Jarno 0", "JT7", "7:24 No. 41", "1/16", "steep", "-1:16", "1:16:2"],
)
def test_what_is_no_taper_or_leaves_open_which(words: str) -> None:
    assert t.parse_taper(words) is None


def test_every_standard_taper_can_be_named_and_says_where_it_is_from() -> None:
    for family in t.taper_families():
        for size in t.taper_sizes(family):
            found = t.standard_taper(family, size)
            assert t.parse_taper(found.name) == found
            assert found.source
            assert {found.status, found.ends_status} <= set(STATUSES)
            if found.length is not None:
                assert found.small is not None
                assert found.large is not None
                assert 0 < found.small < found.large
                assert found.length_between(found.large, found.small) == found.length
    with pytest.raises(LookupError):
        t.taper_sizes("morsel")
    with pytest.raises(LookupError):
        t.standard_taper("morse", "9")
    for rows in load("tapers").values():
        assert all(row.source and row.status in STATUSES for row in rows.rows)
    assert t.taper_rule("morse_rate_tolerance").unit == "in/ft"
    with pytest.raises(LookupError):
        t.taper_rule("none")


LENGTHS = st.fractions(min_value=F(1, 10), max_value=500, max_denominator=200)
RATES = st.fractions(min_value=F(1, 200), max_value=2, max_denominator=400)
ANGLES = st.fractions(min_value=F(1, 20), max_value=80, max_denominator=60)
NEARLY = F(1, 10**30)


@given(LENGTHS, RATES, LENGTHS)
def test_ends_give_the_taper_back(large: F, rate: F, length: F) -> None:
    small = large - rate * length
    if small < 0:
        with pytest.raises(ValueError, match="end"):
            t.taper_from_rate(rate, "", large=large, length=length)
        return
    found = t.taper_from_ends(large, small, length)
    made = t.taper_from_rate(rate, "", large=large, length=length)
    assert (found.rate, found.half_angle, found.small) == (rate, made.half_angle, made.small)
    assert found.diameter_at(large, length) == small
    assert t.depth_for_diameter(found, large - small) == length


@given(ANGLES)
def test_angle_and_rate_give_each_other_back(angle: F) -> None:
    found = t.taper_from_half_angle(angle, "")
    assert found.by_angle
    assert abs(t.half_angle(found.rate) - angle) < NEARLY
    for written in (f"{angle} deg half", f"{2 * angle} deg included"):
        assert taper(written).half_angle == angle


@given(RATES)
def test_a_rate_survives_every_scale(rate: F) -> None:
    found = taper(f"{rate.numerator}:{rate.denominator}")
    assert (found.rate, found.by_angle) == (rate, False)
    readings = {scale: t.attachment_reading(found, scale) for scale in t.SCALES}
    for written in (f"{readings['per foot']} in/ft", f"{readings['per 100 mm']} mm per 100 mm", f"1 in {readings['ratio']}"):
        assert taper(written).rate == rate
    assert readings["included angle"] == 2 * readings["half angle"] == found.included
    assert abs(taper(f"{readings['half angle']} deg half").rate - rate) < NEARLY
    with pytest.raises(LookupError):
        t.attachment_reading(found, "quarter angle")


@given(RATES, st.fractions(min_value=1, max_value=200, max_denominator=20))
def test_the_clock_tells_sine_from_tangent(rate: F, travel: F) -> None:
    found = taper(f"{rate}:1") if rate.denominator == 1 else taper(f"{rate.numerator}:{rate.denominator}")
    slide, saddle = t.clock_on_parallel_bar(found, travel), t.clock_by_saddle(found, travel)
    assert 0 < slide < saddle == travel * rate / 2
    assert abs(t.half_angle_from_clock(slide, travel) - found.half_angle) < NEARLY
    # A slide that travels l / cos over a length l rises by what the saddle's indicator shows over l.
    assert abs(t.clock_on_parallel_bar(found, t.top_slide_travel(found, travel)) - saddle) < NEARLY
    assert abs(t.clock_on_master(found, found, travel)) < NEARLY
    assert abs(t.axial_share(rate) ** 2 + (slide / travel) ** 2 - 1) < NEARLY
    check = t.slide_travel_check(found, travel, travel)
    assert not check.fits
    assert check.longest < travel < check.needed
    assert abs(check.longest * check.needed - travel * travel) < NEARLY * 10**6


def test_what_a_division_is_worth() -> None:
    # One minute of arc is 0.0582 mm on diameter in 100 mm: derived, 2 x 100 x tan(1/60 deg).
    assert abs(t.contact_error(F(1, 60), F(100)) - F("0.05818")) <= F("0.0001")
    mt3 = taper("MT3")
    worth = t.division_worth(mt3, F(1, 2), F(75))
    assert worth.angle == F(1, 2)
    assert abs(worth.diameter - t.contact_error(F(1, 2), F(75), mt3.half_angle)) == 0
    assert worth.diameter > t.contact_error(F(1, 2), F(75))  # a steeper side is more sensitive
    # A hundredth on the clock over 80 mm: asin((s sin a + 0.01) / s) - a is 0.00716 deg, 0.0188 mm on diameter over 75 mm; derived.
    clock = t.indicator_worth(mt3, F(1, 100), F(80), F(75))
    assert abs(clock.angle - F("0.007164")) <= F("0.00001")
    assert abs(clock.diameter - F("0.01877")) <= F("0.00003")
    assert clock.diameter < worth.diameter  # clocking beats the scale
    with pytest.raises(ValueError, match="less than the travel"):
        t.half_angle_from_clock(F(80), F(80))


def test_set_over_has_a_bound() -> None:
    # Half the taper times the whole length between centres: the handbooks' rule.
    check = t.set_over_check(taper("1:20"), F(300), F(10))
    assert (check.needed, check.fits, check.longest) == (F(15, 2), True, F(400))
    assert not t.set_over_check(taper("1:20"), F(401), F(10)).fits
    assert t.set_over_exact(taper("1:20"), F(300)) < check.needed
    assert t.attachment_offset(taper("1:20"), F(300)) == t.set_over_exact(taper("1:20"), F(300))


@pytest.mark.parametrize("ends", [(F(10), F(10), F(5)), (F(9), F(10), F(5)), (F(10), F(9), F(0)), (F(10), F(-1), F(5))])
def test_ends_that_make_no_taper(ends: tuple[F, F, F]) -> None:
    with pytest.raises(ValueError, match="taper"):
        t.taper_from_ends(*ends)


def test_a_rate_or_angle_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="rate"):
        t.taper_from_rate(F(0), "")
    with pytest.raises(ValueError, match="half angle"):
        t.taper_from_half_angle(F(90), "")
