"""Limits and basic sizes against published tables, case by case; each case names its standard and how far its figure can be trusted."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from benchleaf.standards.threads import SizeLimits, Thread, parse_designation

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "check_cases.json").read_text(encoding="utf-8"))
UNIT = {"mm": Fraction(1), "in": Fraction(127, 5)}


def _ends(prefix: str, name: str, size: SizeLimits) -> dict[str, Fraction | None]:
    return {f"{prefix}{name}_min": size.lower, f"{prefix}{name}_max": size.upper}


def _limits(thread: Thread, inside: bool, prefix: str = "") -> dict[str, Fraction | None]:
    limits = thread.limits(inside)
    found = _ends(prefix, "major", limits.major) | _ends(prefix, "pd", limits.pitch) | _ends(prefix, "minor", limits.minor)
    return found | {f"{prefix}allowance": limits.allowance}


def _found(case: dict[str, Any], thread: Thread) -> dict[str, Fraction | None]:
    basic: dict[str, Fraction | None] = {
        "major": thread.major,
        "effective": thread.pitch_diameter,
        "minor": thread.minor_diameter,
        "lead": thread.lead,
        "P": thread.pitch,
        "d2": thread.pitch_diameter,
        "D2": thread.pitch_diameter,
        "d1": thread.minor_diameter,
        "D1": thread.minor_diameter,
        "d3": thread.root_diameter,
    }
    if "inside" in case:
        return basic | _limits(thread, case["inside"])
    if case["quantity"] in ("bsp_parallel", "acme_in"):
        one_class = case["quantity"] == "acme_in" or not thread.tolerance_given
        return basic | _limits(thread, False, "ext.") | (_limits(thread, True, "int.") if one_class else {})
    if case["quantity"] == "trapezoidal":
        return basic | {"D4": thread.limits(True).major.lower}
    return basic


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_against_published_figures(case: dict[str, Any]) -> None:
    thread = parse_designation(case["designation"])
    if case["quantity"] == "helix_angle":
        angle = thread.lead_angle * (-1 if thread.hand == "left" else 1)
        assert abs(float(angle) - case["expect"]["deg"]) <= case["tol"]
        return
    found = _found(case, thread)
    tolerances = case["tol"] if isinstance(case["tol"], dict) else {"default": case["tol"]}
    for name, expected in case["expect"].items():
        tolerance = tolerances.get(name, tolerances["default"])
        if name == "tpi":
            assert thread.tpi == expected
            continue
        if name == "minor_max_un":
            value = found["minor_max"]
        elif name == "minor_max_unr":
            value = parse_designation(case["designation"].replace("UN", "UNR")).limits(False).minor.upper
        else:
            value = found[name]
        assert value is not None, f"{name} has no limit ({case['source']})"
        actual = float(value / UNIT[case["unit"]])
        assert abs(actual - expected) <= tolerance + 1e-9, f"{name}: {actual:.4f}, {case['source']} has {expected}"


def test_the_two_ends_of_the_case_list_are_there() -> None:
    """A list that was cut short would pass unnoticed."""
    assert len(CASES) == 146
    assert {case["quantity"] for case in CASES} >= {"metric_limits", "unified_limits_in", "trap_limits", "acme_in", "ba_limits", "bsp_parallel"}
