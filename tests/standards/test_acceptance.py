"""Acceptance figures against values whose source stands beside each in the data file, and what tests of a machine show."""

from __future__ import annotations

import json
import re
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards import acceptance as a
from benchleaf.standards.dividing import arc_error
from benchleaf.standards.tables import STATUSES, load

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "acceptance_cases.json").read_text("utf-8"))["cases"]
LENGTHS = st.fractions(min_value=10, max_value=1000, max_denominator=10)
ERRORS = st.fractions(min_value=F(-1, 2), max_value=F(1, 2), max_denominator=1000)


def exact(value: float) -> F:
    return F(str(value))


def of(prefix: str) -> list[dict[str, Any]]:
    return [case for case in CASES if re.match(prefix, case["id"])]


@pytest.mark.parametrize("case", of("l_two_collar"), ids=lambda case: case["id"])
def test_two_collars(case: dict[str, Any]) -> None:
    p = case["given"]
    assert a.collar_test(30 + exact(p["ddia"]), F(30), F(p["L"])).per_300 == exact(case["value"])


@pytest.mark.parametrize("case", of("l_tailset"), ids=lambda case: case["id"])
def test_tailstock_moves(case: dict[str, Any]) -> None:
    p = case["given"]
    assert a.tailstock_move(exact(p["ddia"]), F(p["collar_spacing"]), F(p["bar"])) == exact(case["value"])


@pytest.mark.parametrize("case", of("l_cross_conc"), ids=lambda case: case["id"])
def test_hollow_faces(case: dict[str, Any]) -> None:
    p = case["given"]
    assert abs(a.face_hollow(exact(p["e"]), F(p["D"])) - exact(case["value"])) <= F("0.00001")


@pytest.mark.parametrize("case", of("d_arc"), ids=lambda case: case["id"])
def test_dividing_errors_at_a_radius(case: dict[str, Any]) -> None:
    p = case["given"]
    assert abs(arc_error(F(p["arcsec"]), F(p["r_mm"])) - exact(case["value"])) <= F("0.00001")


@pytest.mark.parametrize("case", of("er_"), ids=lambda case: case["id"])
def test_collets(case: dict[str, Any]) -> None:
    found = a.collet_run_out(exact(case["given"]["bore_mm"][1]), int(case["id"][-1]))
    assert found is not None
    assert found.run_out == exact(case["value"])
    assert f"{found.at} mm from nose" == case["given"]["over"]
    assert found.status == "published"


@pytest.mark.parametrize("case", of("c3f?_"), ids=lambda case: case["id"])
def test_scroll_chucks(case: dict[str, Any]) -> None:
    for size in case["given"]["chuck_mm"]:
        found = a.chuck_run_out(F(size))
        assert (found.face if "c3f" in case["id"] else found.bar) == exact(case["value"])


def test_every_case_is_used() -> None:
    assert all(re.match("l_two_collar|l_tailset|l_cross_conc|d_arc|er_|c3f?_", case["id"]) for case in CASES)


@pytest.mark.parametrize(
    ("name", "value"),
    # A published inspection record of a new centre lathe, the same as ISO 1708:1989 from memory.
    [("l_nose", "0.01"), ("l_bar_near", "0.01"), ("l_bar_300", "0.02"), ("l_par_v", "0.02"), ("l_par_h", "0.015"), ("l_centre", "0.015"), ("l_quill_v", "0.02"), ("l_tstaper_v", "0.03"),
     ("l_height", "0.04"), ("l_cam_rec", "0.015"),
     # ISO 1708:1989, from memory.
     ("l_slip", "0.01"), ("l_cam", "0.02"), ("l_p1_round", "0.01"), ("l_p1_cyl", "0.04"), ("l_p2", "0.025"), ("l_top", "0.04"), ("lp_p1_cyl", "0.02"), ("lp_height", "0.02"),
     # Classic shaper test charts, from memory.
     ("s_ram_str", "0.02"), ("s_jaw_par", "0.03"), ("s_p_flat", "0.03"), ("d_nose", "0.01")],
)  # fmt: skip
def test_limits(name: str, value: str) -> None:
    found = a.acceptance(name)
    assert found.low == found.high == F(value)
    assert found.state == "new"


def test_a_precision_lathe_is_no_worse_than_a_general_one() -> None:
    pairs = [(a.acceptance(each.replace("lp_", "l_")), a.acceptance(each)) for each in a.acceptance_ids() if each.startswith("lp_") and each.replace("lp_", "l_") in a.acceptance_ids()]
    assert len(pairs) >= 12
    for general, precision in pairs:
        assert precision.high <= general.high, precision.id
        assert precision.length == general.length or precision.length is None or general.length is None, precision.id


def test_a_used_lathe_is_worse_than_a_new_one() -> None:
    # Common practice: what passes for good on a used machine is no better than what a new one is accepted at.
    for used, new in (("u_slip", "l_slip"), ("u_bar", "l_bar_300"), ("u_lead", "l_lead_300"), ("su_par", "s_table_ram")):
        assert a.acceptance(used).state == "used"
        assert a.acceptance(used).low >= a.acceptance(new).high
        assert a.acceptance(used).high > a.acceptance(used).low


def test_limits_are_found_by_machine_and_say_where_they_are_from() -> None:
    for machine in ("lathe", "shaper", "dividing head"):
        found = a.acceptance_limits(machine)
        assert found
        assert all((each.machine, each.state) == (machine, "new") for each in found)
        assert all(each.low == each.high for each in found if each.id != "lp_par_v")
    assert {each.machine_class for each in a.acceptance_limits("lathe", machine_class="precision")} == {"precision"}
    assert a.acceptance_limits("lathe", state="used")
    for name in a.acceptance_ids():
        each = a.acceptance(name)
        assert each.about
        assert each.unit
        assert each.source
        assert each.status in STATUSES
        assert each.about.split(",")[0] != "the same"  # each stands alone
        assert "as above" not in each.measure
        if each.length is not None:
            assert each.over_length(2 * each.length) == 2 * each.high
    with pytest.raises(LookupError):
        a.acceptance("none")
    with pytest.raises(ValueError, match="length"):
        a.acceptance("l_nose").over_length(F(10))
    for rows in load("acceptance").values():
        assert all(row.source and row.status in STATUSES for row in rows.rows)


@given(LENGTHS, ERRORS, LENGTHS)
def test_moving_the_tailstock_cures_the_taper(between: F, error: F, length: F) -> None:
    """The bar turns on a line whose far end moves with the tailstock: over the collars' distance the radius changes in proportion."""
    move = a.tailstock_move(error, between, length)
    assert error - 2 * move * between / length == 0
    found = a.collar_test(F(50) - error, F(50), between)
    assert found.difference == -error
    assert found.slope * between * 2 == -error
    assert found.large_at_first == (error < 0)
    assert (found.per_300 > 0) == found.large_at_first


def test_the_collar_limit_goes_with_the_distance() -> None:
    # ISO 1708, from memory: 0.04 mm in 300 on diameter, 0.02 for precision lathes.
    assert (a.collar_limit(F(300)).high, a.collar_limit(F(150)).high, a.collar_limit(F(150), "precision").high) == (F("0.04"), F("0.02"), F("0.01"))
    with pytest.raises(LookupError):
        a.collar_limit(F(150), "toy")
    with pytest.raises(ValueError, match="apart"):
        a.collar_test(F(30), F(30), F(0))


def test_ways_of_holding() -> None:
    # Common practice: between centres repeats best, a worn three-jaw worst.
    assert a.holding_run_out("between centres").high < a.holding_run_out("four-jaw").high < a.holding_run_out("three-jaw").high
    assert a.holding_run_out("three-jaw", worn=True).low == a.holding_run_out("three-jaw").high
    assert set(a.holding_ways()) >= {"three-jaw", "four-jaw", "faceplate", "between centres", "draw-in collet"}
    with pytest.raises(LookupError):
        a.holding_run_out("string")
    assert a.collet_run_out(F(30)) is None
    assert a.collet_run_out(F("0.5")) is None
    remembered = a.collet_run_out(F(5), 2)
    assert remembered is not None
    assert remembered.status == "from memory"
    assert a.chuck_run_out(F(60)) == a.chuck_run_out(F(80))
    assert a.chuck_run_out(F(500)) == a.chuck_run_out(F(400))
