"""Indexing with worm and plates against worked values whose source stands beside each in the data file, and against exact arithmetic."""

from __future__ import annotations

import json
import re
from fractions import Fraction as F  # noqa: N817 - the sums read better
from math import pi
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards import dividing as d
from benchleaf.standards.tables import STATUSES, load

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "dividing_cases.json").read_text("utf-8"))["cases"]
SETS = {name: tuple(place.circle for place in d.plate_set(name)) for name in d.plate_set_names()}


def move(found: d.Indexing | None) -> dict[str, int | None]:
    assert found is not None
    return {"turns": found.turns, "holes": found.holes, "circle": found.circle}


def of(prefix: str) -> list[dict[str, Any]]:
    return [case for case in CASES if re.match(prefix, case["id"])]


@pytest.mark.parametrize("case", of("s40_"), ids=lambda case: case["id"])
def test_simple_indexing_with_two_sets(case: dict[str, Any]) -> None:
    for name, expected in case["value"].items():
        assert move(d.simple_indexing(case["given"]["N"], SETS[name], case["given"]["ratio"])) == expected


@pytest.mark.parametrize("case", of("ex_"), ids=lambda case: case["id"])
def test_worked_simple_indexing(case: dict[str, Any]) -> None:
    p = case["given"]
    assert move(d.simple_indexing(p["N"], SETS[p["set"]], p["ratio"])) == case["value"]


@pytest.mark.parametrize("case", of("ang_"), ids=lambda case: case["id"])
def test_worked_angular_indexing(case: dict[str, Any]) -> None:
    angle, ratio, expected = F(case["given"]["deg"]), case["given"]["ratio"], case["value"]
    found = d.angular_indexing(angle, SETS["A"], ratio)
    if expected.get("exact") is False:
        assert found is None
        assert angle * ratio / 360 == expected["turns"] + F(expected["fraction"])
        near = d.nearest_angular(angle, SETS["A"], ratio)
        assert near is not None
        assert 0 < abs(near.error) <= F(360, 2 * ratio * max(SETS["A"]))
    else:
        assert move(found) == expected


@pytest.mark.parametrize("case", of("diff_"), ids=lambda case: case["id"])
def test_worked_differential_indexing(case: dict[str, Any]) -> None:
    expected = case["value"]
    found = d.differential_indexing(case["given"]["N"], SETS["A"], d.usual_wheels(), case["given"]["ratio"])[0]
    assert (found.nearby, found.train, found.with_crank) == (expected["N_prime"], F(expected["train"]), expected["plate"] == "with crank")
    assert move(found.move) == expected["crank"]
    assert [list(pair) for pair in found.pairs] == expected["driver_driven"]


@pytest.mark.parametrize("case", of("onehole_"), ids=lambda case: case["id"])
def test_a_slip_of_one_hole(case: dict[str, Any]) -> None:
    assert abs(d.one_hole_slip(case["given"]["circle"], case["given"]["ratio"]) * 60 - F(str(case["value"]))) <= F("0.0001")


@pytest.mark.parametrize("case", of("(none|need)"), ids=lambda case: case["id"])
def test_what_simple_indexing_cannot_make(case: dict[str, Any]) -> None:
    p = case["given"]
    assert list(d.not_simple(p.get("lo", 2), p["hi"], SETS[p["set"]], p["ratio"])) == case["value"]


def test_every_case_is_used() -> None:
    assert all(re.match("s40_|ex_|ang_|diff_|onehole_|none|need", case["id"]) for case in CASES)


def test_sets_and_ratios() -> None:
    assert sorted(SETS["A"]) == sorted(SETS["C"])  # the same circles otherwise grouped: common practice
    assert {place.plate for place in d.plate_set("A")} == {1, 2, 3}
    assert len(SETS["B"]) == 22
    assert {40, 60, 90} <= set(d.worm_ratios())
    with pytest.raises(LookupError):
        d.plate_set("Z")
    for rows in load("dividing").values():
        assert all(row.source and row.status in STATUSES for row in rows.rows)


@given(st.integers(1, 400), st.sampled_from(d.worm_ratios()), st.sampled_from(sorted(SETS)))
def test_simple_indexing_makes_exactly_the_division(divisions: int, ratio: int, name: str) -> None:
    found = d.simple_indexing(divisions, SETS[name], ratio)
    if found is None:
        assert all((F(ratio, divisions) * circle).denominator > 1 for circle in SETS[name])
        return
    assert found.crank / ratio == F(1, divisions)
    if found.circle is None:
        assert (found.holes, found.sector) == (0, None)
    else:
        assert 0 < found.holes < found.circle
        assert found.sector == found.holes + 1  # spaces and the hole of the pin: common practice
        assert found.circle == min(circle for circle in SETS[name] if (F(ratio, divisions) * circle).denominator == 1)


@given(st.integers(51, 400), st.sampled_from((40, 60, 90)))
def test_differential_indexing_makes_exactly_the_division(divisions: int, ratio: int) -> None:
    wheels = d.usual_wheels()
    for found in d.differential_indexing(divisions, SETS["A"], wheels, ratio, within=6):
        train = F(1)
        for driver, driven in found.pairs:
            train *= F(driver, driven)
        assert train == abs(found.train)
        used = [wheel for pair in found.pairs for wheel in pair]
        assert all(used.count(wheel) <= wheels.count(wheel) for wheel in used)
        # The worm turns by the crank's move over the plate and by what the plate itself has turned meanwhile.
        assert found.move.crank + found.train * F(1, divisions) == F(ratio, divisions)


@given(st.fractions(min_value=F(1, 10), max_value=360, max_denominator=60), st.sampled_from((40, 60)))
def test_the_nearest_angle_is_the_nearest(angle: F, ratio: int) -> None:
    near, exact = d.nearest_angular(angle, SETS["A"], ratio), d.angular_indexing(angle, SETS["A"], ratio)
    assert near is not None
    assert near.angle == near.move.crank * 360 / ratio
    assert near.angle - angle == near.error
    assert (near.error == 0) == (exact is not None)
    for circle in SETS["A"]:
        assert abs(near.error) <= abs(F(round(angle * ratio / 360 * circle), circle) * 360 / ratio - angle)


@pytest.mark.parametrize(
    ("divisions", "places", "turns", "expected"), [(6, 24, F(1), 4), (7, 24, F(1), None), (4, 30, F(2), 15), (2, 45, F(1), None), (2, 45, F(2), 45)]
)  # arithmetic: places x turns / divisions
def test_direct_indexing(divisions: int, places: int, turns: F, expected: int | None) -> None:
    assert d.direct_indexing(divisions, places, turns) == expected


def test_arc_error() -> None:
    # r x seconds / 206265: geometry
    assert float(d.arc_error(F(45), F(50))) == pytest.approx(50 * 45 / 206264.806, rel=1e-6)
    assert float(d.arc_error(F(3600 * 360), F(1))) == pytest.approx(2 * pi)


def test_nonsense_is_refused() -> None:
    for wrong in (lambda: d.simple_indexing(0, SETS["A"]), lambda: d.differential_indexing(0, SETS["A"], ()), lambda: d.direct_indexing(0, 24)):
        with pytest.raises(ValueError, match="at least one"):
            wrong()
    for each in (d.angular_indexing, d.nearest_angular):
        with pytest.raises(ValueError, match="above nought"):
            each(F(0), SETS["A"])
    assert d.nearest_angular(F(10), ()) is None
