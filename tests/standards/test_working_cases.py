"""Infeed, wires, lead angle, cost of a lead error and bore checks against values whose source stands beside each in the data file."""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path
from typing import Any

import pytest

from benchleaf.standards.infeed import Tip, along_flank, infeed_external, lead_angle
from benchleaf.standards.lead_error import lead_error_cost
from benchleaf.standards.threads import parse_designation
from benchleaf.standards.wires import best_wire, lead_correction, over_wires

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "working_cases.json").read_text("utf-8"))["cases"]


def exact(value: float | str) -> F:
    """A printed decimal as the fraction that was meant (a pitch of 0.0714285... is 1/14)."""
    return F(str(value)).limit_denominator(10**7)


def wires(p: dict[str, Any]) -> dict[str, F]:
    return {"M": over_wires(exact(p["d2"]), exact(p["P"]), exact(p["half"]), exact(p["w"])).reading}


def best(p: dict[str, Any]) -> dict[str, F]:
    return {"w": best_wire(exact(p["P"]), exact(p["half"]))}


def correction(p: dict[str, Any]) -> dict[str, F]:
    return {"c": lead_correction(exact(p["w"]), exact(p["P"]) * p["starts"], exact(p["d2"]), exact(p["half"]))}


def infeed(p: dict[str, Any]) -> dict[str, F]:
    tip = Tip(flat=exact(p.get("tip_flat", 0)), radius=exact(p.get("nose_radius", 0)))
    return {"value": infeed_external(exact(p["d_actual"]), exact(p["d2_target"]), exact(p["P"]), exact(p["half"]), tip).depth}


def compound(p: dict[str, Any]) -> dict[str, F]:
    return {"value": along_flank(exact(p["depth"]), exact(p["compound_angle_deg"]))}


def pitch_error(p: dict[str, Any]) -> dict[str, F]:
    cost = lead_error_cost(F(p["ppm"], 10**6), exact(p["length"]), exact(p["half"]))
    return {"dP": cost.cumulative, "virtual": cost.virtual}


def helix(p: dict[str, Any]) -> dict[str, F]:
    angle = lead_angle(exact(p["P"]) * p["starts"], exact(p["d2"]))
    return {"deg": -angle if p["left_hand"] else angle}


WAYS: dict[str, Callable[[dict[str, Any]], dict[str, F]]] = {
    "over_wires": wires,
    "best_wire": best,
    "lead_correction": correction,
    "infeed_external": infeed,
    "compound_travel": compound,
    "pitch_error": pitch_error,
    "helix_angle": helix,
}


@pytest.mark.parametrize("case", [case for case in CASES if case["quantity"] in WAYS], ids=lambda case: case["id"])
def test_a_figure_of_the_trade(case: dict[str, Any]) -> None:
    found = WAYS[case["quantity"]](case["params"])
    assert found.keys() == case["expect"].keys()
    for name, wanted in case["expect"].items():
        assert abs(found[name] - exact(wanted)) <= F(str(case["tol"]["default"])), (name, float(found[name]), wanted, case["source"])


@pytest.mark.parametrize("case", [case for case in CASES if case["quantity"] == "bore_check"], ids=lambda case: case["id"])
def test_a_bore_against_the_minor_diameter(case: dict[str, Any]) -> None:
    wanted, bore = case["params"]["limits"], exact(case["params"]["bore"])
    size = parse_designation(f"M{wanted['d']}x{wanted['P']}-{wanted['cls']}").limits(True).minor
    assert size.lower is not None
    assert size.upper is not None
    verdict = "low" if bore < size.lower else "high" if bore > size.upper else "ok"
    assert verdict == case["expect"]["verdict"], case["source"]


def test_every_case_is_tried() -> None:
    assert {case["quantity"] for case in CASES} == {*WAYS, "bore_check"}
    assert all(case["source"] and case["status"] for case in CASES)
