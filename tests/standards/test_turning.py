"""Turning: depths, forces, power, tools and support against values whose source stands beside each in the data file."""

from __future__ import annotations

import json
import re
from fractions import Fraction as F  # noqa: N817 - the sums read better
from math import asin, degrees, pi
from pathlib import Path
from typing import Any

import mpmath
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards import turning as t
from benchleaf.standards import workholding as w
from benchleaf.standards.cautions import caution
from benchleaf.standards.speeds import material_group, material_names, rim_limit
from benchleaf.standards.tables import STATUSES, load

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "turning_cases.json").read_text("utf-8"))["cases"]
NAMES = {"mild_steel": "mild steel", "stainless_304": "304", "grey_cast_iron": "grey iron", "aluminium_wrought": "wrought aluminium", "brass_free_cutting": "brass"}
SIZES = st.fractions(min_value=F(1, 10), max_value=200, max_denominator=40)
FEEDS = st.fractions(min_value=F(1, 50), max_value=1, max_denominator=100)


def exact(value: float) -> F:
    return F(str(value))


def of(prefix: str) -> list[dict[str, Any]]:
    return [case for case in CASES if re.match(prefix, case["id"])]


@pytest.mark.parametrize("case", of("power_"), ids=lambda case: case["id"])
def test_force_and_power(case: dict[str, Any]) -> None:
    p, expected, name = case["given"], case["value"], NAMES[case["material"]]
    specific = t.specific_force(name)
    assert (specific.value, specific.exponent) == (exact(p["kc1_1"]), exact(p["mc"]))
    depth, feed, approach, speed = (exact(p[key]) for key in ("ap_mm", "f_mm_rev", "kappa_deg", "vc_m_min"))
    force = t.cutting_force(name, depth, feed, approach=approach)
    assert abs(force / depth / feed - exact(expected["kc"])) <= F(1, 2)
    assert abs(force - exact(expected["Fc_N"])) <= F("0.1")
    assert abs(t.cutting_power(force, speed) - exact(expected["P_kW"])) <= F("0.0001")
    # Turned round: that power drives that depth and no more.
    assert abs(t.largest_depth(t.cutting_power(force, speed), force / depth / feed, feed, speed) - depth) < F(1, 10**30)


@given(st.sampled_from(material_names()), st.fractions(min_value=F(1, 100), max_value=1, max_denominator=200))
def test_specific_force_against_an_arithmetic_library(material: str, chip: F) -> None:
    found = t.specific_force(material)
    with mpmath.workdps(50):
        ours = mpmath.mpf(found.value.numerator) / found.value.denominator * mpmath.power(
            mpmath.mpf(chip.numerator) / chip.denominator, -mpmath.mpf(found.exponent.numerator) / found.exponent.denominator
        )
        got = found.at(chip)
        assert abs(mpmath.mpf(got.numerator) / got.denominator / ours - 1) < mpmath.mpf(10) ** -40
    assert found.at(F(1)) == found.value
    assert found.at(chip) >= found.value  # thin chips take more force for their area


def test_forces_rank_as_in_the_trade() -> None:
    # Published groups of VDI 3323: aluminium and leaded copper alloys least, then iron, mild steel, austenitic stainless, tool steel.
    ranked = [t.specific_force(name).value for name in ("brass", "aluminium", "cast iron", "mild steel", "medium carbon steel", "304", "tool steel")]
    assert ranked == sorted(ranked)
    # A constant for ordinary chips, 1200 in mild steel and 1250 in brass (Mechanical Engineer's Data Handbook): the same order of size.
    assert F(1, 2) < t.specific_force("mild steel").at(F(1)) / 1200 < 2
    assert F(1, 2) < t.specific_force("brass").at(F("0.2")) / 1250 < 2
    # Specific energies of a manufacturing textbook, from memory: iron 1.1 to 5.4, stainless and titanium 2 to 5 J/mm3 (= 1000 N/mm2).
    for name, low, high in (("cast iron", "1.1", "5.4"), ("304", "2", "5"), ("titanium 6Al-4V", "2", "5")):
        assert F(low) * 1000 <= t.specific_force(name).at(F("0.2")) <= F(high) * 1000
    assert t.specific_force("low-alloy steel annealed").value == 1775
    assert t.specific_force("titanium 6Al-4V").note
    with pytest.raises(LookupError):
        t.specific_force("cheese")
    with pytest.raises(ValueError, match="thickness"):
        t.specific_force("brass").at(F(0))
    with pytest.raises(ValueError, match="above nought"):
        t.largest_depth(F(1), F(1000), F(0), F(30))


@pytest.mark.parametrize("case", of("ch_"), ids=lambda case: case["id"])
def test_height_changes_the_rake(case: dict[str, Any]) -> None:
    p = case["given"]
    found = t.rake_change(exact(p["h_mm"]), exact(p["D_mm"]))
    assert abs(found - exact(case["value"])) <= F("0.0005")
    assert float(found) == pytest.approx(degrees(asin(2 * p["h_mm"] / p["D_mm"])))


@pytest.mark.parametrize("case", of("cr_"), ids=lambda case: case["id"])
def test_diameter_off_centre(case: dict[str, Any]) -> None:
    assert abs(t.diameter_off_centre(exact(case["given"]["x_mm"]), exact(case["given"]["h_mm"])) - exact(case["value"])) <= F("0.00001")


@pytest.mark.parametrize("case", of("cd_"), ids=lambda case: case["id"])
def test_dial_off_centre(case: dict[str, Any]) -> None:
    p = case["given"]
    found = t.dial_between(exact(p["h_mm"]), 2 * exact(p["R1"]), 2 * exact(p["R2"]))
    assert abs(found - exact(case["value"])) <= F("0.00001")
    assert found > 2 * (exact(p["R1"]) - exact(p["R2"]))  # the dial removes less than it shows


@pytest.mark.parametrize("case", of("fa_"), ids=lambda case: case["id"])
def test_feed_uses_up_clearance(case: dict[str, Any]) -> None:
    assert abs(t.feed_angle(exact(case["given"]["feed"]), exact(case["given"]["D"])) - exact(case["value"])) <= F("0.0001")


def test_pip_and_roughness() -> None:
    assert [t.diameter_off_centre(F(0), exact(case["given"]["h_mm"])) for case in of("pip")] == [exact(case["value"]) for case in of("pip")]
    # 0.1 mm a turn with a 0.4 mm nose: 3.125 um, geometry.
    assert [t.roughness(F("0.1"), F("0.4")) * 1000] == [exact(case["value"]) for case in of("rth")]
    assert t.feed_for_roughness(F("0.003125"), F("0.4")) == F("0.1")


@pytest.mark.parametrize("case", of("sh_"), ids=lambda case: case["id"])
def test_clearance_of_iron_meets_a_published_table(case: dict[str, Any]) -> None:
    low, high = t.turning_angles("cast iron").side_clearance
    assert low <= exact(case["range"][1])
    assert high >= exact(case["range"][0])


def test_every_case_is_used() -> None:
    assert all(re.match("power_|ch_|cr_|cd_|fa_|pip|rth|sh_", case["id"]) for case in CASES)


def test_tool_angles_of_every_material() -> None:
    for name in material_names():
        found = t.turning_angles(name)
        assert found.status in STATUSES
        assert set(found.remembered) <= {"side_rake", "back_rake", "side_clearance", "front_clearance"}
        # An open early lathe textbook: clearance of 6 degrees and more; it leaves a wedge of 40 degrees at least.
        for clearance in (found.side_clearance, found.front_clearance):
            assert clearance[0] >= 6
            assert found.side_rake[1] + clearance[1] <= 50
    # Common practice: hardly any rake in brass and leaded bronze, most in copper and aluminium.
    assert t.turning_angles("brass").side_rake[1] <= 5 < t.turning_angles("mild steel").side_rake[0] < t.turning_angles("copper").side_rake[0]
    # Cutting angles of an open text as rake: medium steels 10 to 30, cast iron and brass 0 to 5.
    assert t.turning_angles("mild steel").side_rake[0] >= 10
    assert t.turning_angles("brass").back_rake[1] <= 5
    with pytest.raises(LookupError):
        t.turning_angles("cheese")


@pytest.mark.parametrize(
    ("height", "low", "high"), [("90", "0.5", "1.5"), ("100", "0.5", "1.5"), ("160", "1.5", "4"), ("200", "1.5", "4")]
)  # common practice: light bench lathe, medium centre lathe
def test_roughing_depths(height: str, low: str, high: str) -> None:
    found = t.depth_of_cut("roughing", centre_height=F(height))
    assert (found.low, found.high) == (F(low), F(high))


def test_depths_and_feeds() -> None:
    heights = [t.depth_of_cut("roughing", centre_height=F(height)) for height in (90, 120, 170, 250)]
    assert [each.high for each in heights] == sorted(each.high for each in heights)
    assert t.depth_of_cut("finishing", tool="carbide").low == F("0.1")
    assert t.depth_of_cut("finishing").low < t.depth_of_cut("finishing", tool="carbide").low  # an insert must not rub
    assert t.depth_of_cut("roughing", material="304").high < t.depth_of_cut("roughing").high < t.depth_of_cut("roughing", material="brass").high
    assert t.depth_of_cut("roughing", material="304").status == "from memory"
    for wrong in (lambda: t.depth_of_cut("middling"), lambda: t.depth_of_cut("finishing", tool="flint"), lambda: t.depth_of_cut("roughing", material="cheese"), lambda: t.turning_feed("middling")):
        with pytest.raises(LookupError):
            wrong()
    # An open university page: 0.1 to 0.15 mm a turn with HSS on a centre lathe lies between finishing and roughing.
    assert t.turning_feed("finishing").high <= F("0.15") <= t.turning_feed("roughing").high
    # A published laboratory guide (heavier lathes) and small lathes overlap for mild steel.
    published = t.published_feed("mild steel", "roughing")
    assert published is not None
    assert published.low < t.turning_feed("roughing").high < published.high
    nylon = t.published_feed("PA6", "finishing")
    assert nylon is not None
    assert nylon.low == F("0.1")
    assert t.published_feed("gunmetal", "roughing") is None


@given(SIZES, SIZES, SIZES)
def test_cuts_sum_to_the_stock(stock: F, largest: F, finishing: F) -> None:
    found = t.cut_list(stock, largest, finishing)
    assert sum(found.cuts) == stock
    assert all(0 < cut <= largest for cut in found.roughing)
    assert len(set(found.roughing)) <= 1
    assert found.finishing == min(stock, finishing)
    # As few as will do: one cut less would be deeper than the largest.
    if len(found.roughing) > 1:
        assert sum(found.roughing) > largest * (len(found.roughing) - 1)
    with pytest.raises(ValueError, match="nought"):
        t.cut_list(F(0), largest, finishing)


@given(SIZES)
def test_allowances_and_blades_grow_with_the_work(diameter: F) -> None:
    one, two = t.finish_allowance(diameter), t.finish_allowance(2 * diameter)
    assert one.low <= two.low
    assert one.high <= two.high
    blade, next_blade = t.parting_width(diameter), t.parting_width(2 * diameter)
    assert blade.high <= next_blade.high
    reach = t.parting_stick_out(blade.high)
    assert (reach.low, reach.high) == (6 * blade.high, 10 * blade.high)  # common practice: 6 to 10 times the width
    if 10 < diameter <= 50:
        assert reach.high >= diameter / 2 * F(4, 5)  # such a blade about reaches the middle of what it is chosen for


def test_parting_blades() -> None:
    # Common practice: 1.5 mm up to 25 mm, 3 mm up to 50 mm.
    assert t.parting_width(F(25)).low == F("1.5")
    assert t.parting_width(F(50)).high == F(3)
    with pytest.raises(ValueError, match="nought"):
        t.parting_width(F(0))


@given(FEEDS, st.fractions(min_value=F(1, 10), max_value=2, max_denominator=20))
def test_roughness_and_its_feed_agree(feed: F, nose: F) -> None:
    assert t.feed_for_roughness(t.roughness(feed, nose), nose) == feed


@pytest.mark.parametrize(
    ("stick_out", "diameter", "held", "wants", "certain"),
    # Common practice: three diameters in a chuck, about ten with a centre.
    [(60, 20, "chuck", "", False), (61, 20, "chuck", "centre", False), (101, 20, "chuck", "centre", True), (200, 20, "chuck and centre", "", False),
     (201, 20, "chuck and centre", "steady", False), (241, 20, "between centres", "steady", True)],
)  # fmt: skip
def test_support(stick_out: int, diameter: int, held: str, wants: str, certain: bool) -> None:
    found = w.support(F(stick_out), F(diameter), held)
    assert (found.wants, found.certain, found.ratio) == (wants, certain, F(stick_out, diameter))
    assert w.longest_stick_out(F(diameter), held) == found.limit * diameter


def test_support_agrees_with_the_caution() -> None:
    assert caution("bar_len").bounds == (w.support(F(1), F(1)).low, w.support(F(1), F(1)).high)
    for wrong in (lambda: w.support(F(1), F(1), "glue"), lambda: w.work_deflection(F(1), F(1), F(1), "glue"), lambda: w.work_deflection(F(1), F(1), F(1), material="cheese")):
        with pytest.raises(LookupError):
            wrong()
    for wrong_size in (lambda: w.support(F(1), F(0)), lambda: w.work_deflection(F(1), F(1), F(1), bore=F(1))):
        with pytest.raises(ValueError, match="work"):
            wrong_size()


@given(SIZES, SIZES)
def test_work_bends_as_beams_do(length: F, diameter: F) -> None:
    second = pi * float(diameter) ** 4 / 64
    # Beam theory: F L^3 / 3 E I built in at one end, / 48 E I on two supports, 7 / 768 built in and supported.
    for held, share in (("chuck", 1 / 3), ("between centres", 1 / 48), ("chuck and centre", 7 / 768)):
        found = w.work_deflection(F(100), length, diameter, held)
        assert float(found) == pytest.approx(100 * float(length) ** 3 * share / (205000 * second))
    assert w.work_deflection(F(100), length, diameter, material="aluminium") > 2 * w.work_deflection(F(100), length, diameter)
    assert w.work_deflection(F(100), length, diameter, bore=diameter / 2) > w.work_deflection(F(100), length, diameter)


def test_speed_limits_of_holders() -> None:
    cautious, marked = w.holder_speed_limit(F(200)), w.holder_speed_limit(F(200), F(3000))
    assert (cautious.turns, cautious.marked) == (rim_limit(F(200)), False)
    assert (marked.turns, marked.marked) == (F(3000), True)
    assert t.spindle_torque(F(600), F(50)) == 15  # 600 N at 25 mm radius: definition


def test_rules_and_rows_say_where_they_are_from() -> None:
    assert t.turning_rule("efficiency").high == F("0.85")
    with pytest.raises(LookupError):
        t.turning_rule("none")
    for rows in load("turning").values():
        assert all(row.source and row.status in STATUSES for row in rows.rows)
    for name in material_names():
        assert t.specific_force(name).material == name
    families = {group.family for name in material_names() if (group := material_group(name))}
    assert {row.text("family") for row in load("turning")["moduli"].rows} == families == {row.text("family") for row in load("turning")["depth_factors"].rows}
