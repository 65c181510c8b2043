"""Pecks, feeds, stock and boring bars against figures of practice whose source stands beside each in the data file."""

from __future__ import annotations

import json
import re
from fractions import Fraction as F  # noqa: N817 - the sums read better
from itertools import pairwise
from math import pi, radians, tan
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards import holes as h
from benchleaf.standards.reliefs import centre_hole_for_shaft
from benchleaf.standards.speeds import cutting_speed, material_names
from benchleaf.standards.tables import STATUSES, load
from benchleaf.standards.tapping import share_of_thread

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "hole_cases.json").read_text("utf-8"))["cases"]
DIAMETERS = st.fractions(min_value=F(1, 2), max_value=40, max_denominator=20)
DEPTHS = st.fractions(min_value=F(1, 2), max_value=300, max_denominator=20)


def exact(value: float) -> F:
    return F(str(value))


def of(prefix: str) -> list[dict[str, Any]]:
    return [case for case in CASES if re.match(prefix, case["id"])]


def inside(span: list[float | None]) -> F:
    """A diameter within a range of the tables, which are over the first, up to and including the second."""
    return exact(span[1]) if span[1] is not None else exact(span[0] or 0) + 1


@pytest.mark.parametrize("case", of("peck_ex"), ids=lambda case: case["id"])
def test_worked_peck_lists(case: dict[str, Any]) -> None:
    p = {name: exact(value) for name, value in case["given"].items()}
    found = h.peck_list(p["d_mm"], p["depth_mm"], p["first_d"], p["second_d"], p["later_d"])
    assert found == tuple(exact(value) for value in case["value"])


def test_a_steel_hole_is_pecked_as_the_worked_list() -> None:
    # 3 mm, 30 deep: first 2 d, second 1 d, then half a diameter; common practice, the short end of each range.
    assert [list(h.pecks(F(3), F(30), "EN3").pecks)] == [[exact(value) for value in case["value"]] for case in of("peck_ex_3_30")]


@given(DIAMETERS, DEPTHS, st.sampled_from((None, *material_names())))
def test_pecks_sum_to_the_depth(diameter: F, depth: F, material: str | None) -> None:
    found = h.pecks(diameter, depth, material)
    assert sum(found.pecks) == depth == found.depths[-1]
    assert all(peck > 0 for peck in found.pecks)
    assert all(a < b for a, b in pairwise(found.depths))
    assert all(a >= b for a, b in pairwise(found.pecks))  # never a longer peck than the one before
    # No more than the practice of the most forgiving material: 4 diameters.
    assert max(found.pecks) <= 4 * diameter
    if depth <= 2 * diameter and diameter >= 2 and material == "mild steel":
        assert found.pecks == (depth,)  # start pecking after two diameters: a published guide


def test_pecks_suit_the_material() -> None:
    lists = {name: h.pecks(F(6), F(60), name).pecks for name in ("mild steel", "304", "aluminium", "brass", "cast iron", "nylon", "titanium", "phosphor bronze", "copper")}
    # Common practice: shortest in stainless and plastics, longest in brass and iron; bronze and copper make long chips.
    assert lists["304"][0] < lists["aluminium"][0] < lists["brass"][0]
    assert len(lists["304"]) > len(lists["mild steel"]) > len(lists["brass"])
    assert lists["cast iron"] == lists["brass"]
    assert lists["phosphor bronze"] == lists["mild steel"]
    assert lists["copper"][0] < lists["mild steel"][0]
    assert lists["nylon"][0] == F(3)
    assert h.pecks(F(1), F(10), "brass").pecks[0] == F("0.3")  # drills under 2 mm
    with pytest.raises(LookupError):
        h.pecks(F(6), F(60), "cheese")
    with pytest.raises(ValueError, match="nought"):
        h.peck_list(F(3), F(0), F(1), F(1), F(1))


@pytest.mark.parametrize("case", of("deep_(feed|speed)"), ids=lambda case: case["id"])
def test_deep_holes_slow_down(case: dict[str, Any]) -> None:
    found = h.deep_hole(F(10), 10 * F(case["depth_diameters"]))
    factors = found.speed if "speed" in case["id"] else found.feed
    assert found.deep
    assert [100 - 100 * factor for factor in reversed(factors)] == [exact(value) for value in case["range"]]


def test_shallow_holes_do_not() -> None:
    found = h.deep_hole(F(10), F(29))
    assert (found.deep, found.speed, found.feed) == (False, (F(1), F(1)), (F(1), F(1)))
    assert [h.deep_hole(F(10), F(depth)).pilot_depth_passed for depth in (100, 101)] == [False, True]
    # Against another guide: no more than 45 to 50 % off even when deep.
    assert h.deep_hole(F(10), F(200)).speed[0] >= 1 - h.hole_rule("deep_other").high / 100


@pytest.mark.parametrize("case", of("df_mm_"), ids=lambda case: case["id"])
def test_drill_feeds_by_hand(case: dict[str, Any]) -> None:
    found = h.drill_feed(exact(case["diameter_mm"]))
    assert (found.low, found.high) == tuple(exact(value) for value in case["range"])


@pytest.mark.parametrize("case", of("df_factor_"), ids=lambda case: case["id"])
def test_drill_feeds_by_material(case: dict[str, Any]) -> None:
    name = {"plastics": "acetal"}.get(case["material"], case["material"])
    assert h.drill_feed(F(10), name).low == h.drill_feed(F(10)).low * exact(case["value"])


@pytest.mark.parametrize("case", of("df_[ab]_"), ids=lambda case: case["id"])
def test_drill_feeds_meet_the_published_ranges(case: dict[str, Any]) -> None:
    """Hand feed lies low in the published (power feed) ranges, and meets them at the middle of each range of diameters."""
    low, high = (exact(value) for value in case["range"])
    middle = sum(exact(value) for value in case["diameter_mm"]) / 2
    found = h.drill_feed(middle)
    assert found.low <= high
    assert found.high >= low


@pytest.mark.parametrize("case", of("df_(tut|c)_"), ids=lambda case: case["id"])
def test_drill_feeds_do_not_exceed_power_feeds_by_much(case: dict[str, Any]) -> None:
    span = case["diameter_mm"]
    diameter = exact(span) if not isinstance(span, list) else exact(span[0])
    name = case.get("material", "aluminium").replace("_", " ").replace("plastics", "acetal")
    assert h.drill_feed(diameter, name).low <= exact(case["range"][1] if "range" in case else case["value"]) * F("1.1")


@given(DIAMETERS, DIAMETERS)
def test_a_larger_drill_feeds_no_slower(one: F, other: F) -> None:
    small, large = sorted((one, other))
    assert h.drill_feed(small).low <= h.drill_feed(large).low
    assert h.drill_feed(small).low < h.drill_feed(small).high


@pytest.mark.parametrize("case", of("oversize_"), ids=lambda case: case["id"])
def test_drills_cut_over_size(case: dict[str, Any]) -> None:
    found = h.drill_oversize(inside(case["diameter_mm"]))
    assert (found.low, found.high) == tuple(exact(value) for value in case["range"])


@pytest.mark.parametrize("case", of("ream_"), ids=lambda case: case["id"])
def test_stock_for_reaming(case: dict[str, Any]) -> None:
    diameter = inside(case["diameter_mm"])
    for material in ("mild steel", None) if "steel" in case["id"] else ("aluminium", "titanium"):
        found = h.reaming_allowance(diameter, material)
        assert (found.low, found.high) == tuple(exact(value) for value in case["range"])


@pytest.mark.parametrize(("material", "factor"), [("cast iron", "1"), ("304", "1.2"), ("nylon", "1.5"), ("copper", "1.3")])  # common practice
def test_stock_for_reaming_by_material(material: str, factor: str) -> None:
    assert h.reaming_allowance(F(12), material).high == h.reaming_allowance(F(12)).high * F(factor)


@given(DIAMETERS)
def test_stock_grows_with_the_hole(diameter: F) -> None:
    machine, hand, bored = h.reaming_allowance(diameter), h.reaming_allowance(diameter, by_hand=True), h.boring_allowance(diameter)
    assert hand.low < machine.low <= bored.low  # a hand reamer takes least, a boring tool most: common practice
    assert 0 < bored.low < diameter or diameter <= F(1, 2)
    typical = h.hole_rule("reaming_stock")
    if diameter <= 20:
        assert typical.low <= machine.low < machine.high <= typical.high  # an open reaming guide: 0.1 to 0.3
    larger = h.reaming_allowance(diameter * 2)
    assert larger.low >= machine.low


def test_reaming_against_drilling_speed() -> None:
    # A third to a half of drilling speed (TM 1-420, an open textbook) against the speeds that are used.
    share = h.hole_rule("reaming_speed")
    drilling, reaming = cutting_speed("mild steel", "drilling", "HSS"), cutting_speed("mild steel", "reaming", "HSS")
    assert drilling is not None
    assert reaming is not None
    assert share.low <= reaming.speed / drilling.speed <= share.high


@pytest.mark.parametrize(("angle", "each"), [(118, "0.3004"), (130, "0.2332"), (135, "0.2071"), (90, "0.5")])  # geometry: 0.5 / tan(point / 2)
def test_drill_points(angle: int, each: str) -> None:
    assert abs(h.drill_point(F(10), F(angle)) - 10 * F(each)) <= F("0.0005")
    assert float(h.drill_point(F(10), F(angle))) == pytest.approx(5 / tan(radians(angle / 2)))


def test_the_point_case_is_the_same() -> None:
    assert [abs(h.drill_point(F(1), F(case["given"]["point_deg"])) - exact(case["value"])) <= F("0.0001") for case in of("tip_")] == [True]


@pytest.mark.parametrize("case", of("ld_ex_"), ids=lambda case: case["id"])
def test_overhang_of_steel_bars(case: dict[str, Any]) -> None:
    assert h.longest_overhang(exact(case["given"]["bar_mm"])) == exact(case["value"])


def test_overhang_by_shank() -> None:
    # 4:1 published and 3 to 4 on a light lathe; heavy metal, carbide and damped bars each farther: common practice.
    highs = [h.bar_overhang(shank).high for shank in ("steel", "heavy metal", "carbide", "damped")]
    assert highs == sorted(set(highs))
    assert h.bar_overhang("steel catalogue").high == 4
    assert h.longest_overhang(F(12), cautious=True) == 36
    assert set(h.bar_shanks()) >= {"steel", "carbide"}
    with pytest.raises(LookupError):
        h.bar_overhang("wood")


@pytest.mark.parametrize("case", of("minbore_"), ids=lambda case: case["id"])
def test_smallest_bores(case: dict[str, Any]) -> None:
    found = h.smallest_bore(exact(case["bar_mm"]))
    assert (found.low, found.high) == tuple(exact(value) for value in case["range"])


@given(st.fractions(min_value=4, max_value=40, max_denominator=4))
def test_a_bar_fits_the_bore_that_it_is_chosen_for(bar: F) -> None:
    smallest = h.smallest_bore(bar)
    assert bar < smallest.low < smallest.high
    assert h.bar_for_bore(smallest.high).high >= bar * F(84, 100)  # 0.6 to 0.8 of the bore against 1.2 to 1.4 of the bar


@pytest.mark.parametrize("case", of("defl_"), ids=lambda case: case["id"])
def test_bars_bend(case: dict[str, Any]) -> None:
    p = case["given"]
    found = h.bar_deflection(F(p["F_N"]), F(p["L_mm"]), F(p["d_mm"]), p["shank"])
    assert abs(found - exact(case["value"])) <= F("0.00001")
    assert float(found) == pytest.approx(p["F_N"] * p["L_mm"] ** 3 / (3 * p["E_MPa"] * pi * p["d_mm"] ** 4 / 64))


@pytest.mark.parametrize("case", of("tap_T_"), ids=lambda case: case["id"])
def test_tapping_torque(case: dict[str, Any]) -> None:
    name = {3700: "mild steel", 4200: "304", 2300: "brass", 1300: "cast aluminium", 2900: "cast iron"}[case["given"]["kc"]]
    found = h.tapping_torque(exact(case["given"]["D"]), exact(case["given"]["d0"]), name)
    assert abs(found.high - exact(case["value"])) <= F("0.0006")


@pytest.mark.parametrize("case", [*of("tap_kc_"), *of("tap_K_")], ids=lambda case: case["id"])
def test_figures_for_tapping_torque(case: dict[str, Any]) -> None:
    if "material" in case:
        name = {"stainless 18/10": "stainless 304", "tool steel annealed": "tool steel", "brass": "free-cutting brass", "aluminium cast": "cast aluminium"}.get(case["material"], case["material"])
        rows = load("holes")["tapping_forces"].where("material", name)
    else:
        family = next(word for key, word in {"iron": "iron", "brass": "copper alloy", "steel": "steel"}.items() if key in case["tap"])
        kind = re.match(r"hand plug|hand bottoming|spiral point|spiral flute", case["tap"])
        assert kind is not None
        rows = tuple(row for row in load("holes")["taps"].where("tap", kind.group()) if (row.text("family"), row.text("series")) == (family, case["tap"].split()[-1]))
    assert [(row.number("value"), row.status) for row in rows] == [(exact(case["value"]), "published")]


@pytest.mark.parametrize("case", [case for case in of("pct_") if "range" in case], ids=lambda case: case["id"])
def test_share_of_the_thread(case: dict[str, Any]) -> None:
    names = {"medium carbon and alloy steel": "medium carbon steel", "tool steel annealed": "tool steel", "plastics": "nylon", "deep holes over 2 D": None}
    found = h.thread_share(names.get(case["material"], case["material"]), deep=case["material"].startswith("deep"))
    assert [100 * found.low, 100 * found.high] == [exact(value) for value in case["range"]]


@pytest.mark.parametrize("case", of("pctc_"), ids=lambda case: case["id"])
def test_the_three_bases_of_a_share(case: dict[str, Any]) -> None:
    """Shares of 17/24 H and of 3/4 H are 15/17 and 5/6 of that of 5/8 H, which the rest of the package reckons with."""
    p = case["given"]
    depth = F("0.541266") * exact(p["P"])  # 5/8 H of ISO 68-1
    share = share_of_thread(exact(p["D"]), depth, exact(p["d0"])) * {"UK": F(15, 17), "US": F(5, 6), "IS": F(1)}[p["basis"][:2]]
    assert abs(100 * share - exact(case["value"])) <= F("0.01")


@pytest.mark.parametrize("case", of("tap_len_"), ids=lambda case: case["id"])
def test_engagement_that_matches_the_bolt(case: dict[str, Any]) -> None:
    assert h.least_engagement(F(10), case["material"]).low == 10 * exact(case["value"])


def test_tapping_is_harder_in_tough_metal_and_with_a_smaller_hole() -> None:
    # An open tapping guide: from 60 to 72 % of thread the torque of low-carbon steel doubles, which the formula bears out in part (x 1.4).
    at = {share: h.tapping_torque(F(6), F(6) - F("1.2269") * share, "mild steel").low for share in (F("0.6"), F("0.72"))}
    assert F("1.3") < at[F("0.72")] / at[F("0.6")] < h.hole_rule("torque_60_to_72").high
    assert h.tapping_torque(F(6), F(5), "mild steel", tap="spiral point").low < h.tapping_torque(F(6), F(5), "mild steel").low
    assert h.tapping_torque(F(6), F(5), "mild steel", fine=True).low < h.tapping_torque(F(6), F(5), "mild steel").low
    assert h.thread_share("304").high < h.thread_share("mild steel").high
    for material, tap in (("nylon", "hand plug"), ("mild steel", "corkscrew"), ("cheese", "hand plug")):
        with pytest.raises(LookupError):
            h.tapping_torque(F(6), F(5), material, tap=tap)


def test_every_case_is_used() -> None:
    known = r"peck_ex|deep_|df_|oversize_|ream_|tip_|ld_ex_|minbore_|defl_|tap_(kc|K|T|len)_|pctc?_"
    assert all(re.match(known, case["id"]) for case in CASES)


@given(st.fractions(min_value=1, max_value=60, max_denominator=10))
def test_drills_step_up_to_the_size(diameter: F) -> None:
    sizes = h.drill_steps(diameter).sizes
    assert sizes[-1] == diameter
    # Common practice: a pilot from 10 mm on, steps of 3 to 6 mm.
    assert (len(sizes) > 1) == (diameter > 10)
    assert sizes[0] <= 10
    assert all(3 <= b - a <= 6 for a, b in pairwise(sizes))


def test_drills_step_up_through_those_owned() -> None:
    owned = [F(size) for size in (3, 5, 6, 8, 10, 13, 16, 20)]
    assert h.drill_steps(F(20), owned).sizes == (10, 16, 20)
    assert h.drill_steps(F(25), owned).sizes == (10, 16, 20, 25)
    assert h.drill_steps(F(8), owned).sizes == (8,)
    assert h.drill_steps(F(30), [F(6)]).sizes == (6, 30)
    assert h.drill_steps(F(30), [F(32)]).sizes == (30,)


def test_centre_drills_and_counterbores() -> None:
    hole = centre_hole_for_shaft(F(20))
    found = h.centre_drill_depth(hole.pilot, hole.cone)
    assert float(found.high) == pytest.approx(0.75 * float(hole.cone - hole.pilot) / 2 / tan(radians(30)))
    assert 0 < found.low < found.high < hole.depth
    bore = h.counterbore(F(8))
    assert bore is not None
    # A cap screw's head of ISO 4762 is 1.5 d wide and d high: M8 13 mm; the counterbore (DIN 974-1, from memory) clears it.
    assert (bore.diameter, bore.depth) == (F(15), F("8.6"))
    assert h.counterbore(F(7)) is None
    for size in (3, 4, 5, 6, 8, 10, 12, 16, 20, 24):
        bore = h.counterbore(F(size))
        assert bore is not None
        assert bore.diameter > F(3, 2) * size
        assert bore.depth > size


def test_rules_and_rows_say_where_they_are_from() -> None:
    assert h.hole_rule("reamed_grade").low == 7
    with pytest.raises(LookupError):
        h.hole_rule("none")
    for wrong in (h.drill_oversize, h.boring_allowance, h.drill_feed):
        with pytest.raises(ValueError, match="diameter"):
            wrong(F(0))
    with pytest.raises(LookupError):
        h.drill_feed(F(5), "cheese")
    for rows in load("holes").values():
        assert all(row.source and row.status in STATUSES for row in rows.rows)
    assert {row.text("material") for row in load("holes")["feed_factors"].rows} == set(material_names())
