"""The invented machines of data/gearing.json as problems for the search."""

from __future__ import annotations

import json
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from benchleaf.exact import PI
from benchleaf.kinematics.half_nuts import DialWheel
from benchleaf.kinematics.model import (
    Arm,
    Banjo,
    Gearbox,
    GearboxRow,
    HeadstockChoice,
    Lever,
    Place,
    PlaceLimit,
    Problem,
    Slot,
    Wheel,
)

NAMES = {
    "simple1": "simple",
    "simple2": "simple with two idlers",
    "compound": "compound",
    "compound+idler": "compound with idler",
    "double": "double compound",
}


@cache
def data() -> dict[str, Any]:
    found: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "gearing.json").read_text(encoding="utf-8"))
    return found


def frac(value: object) -> Fraction:
    return Fraction(str(value))


def banjo_of(geometry: dict[str, Any]) -> Banjo:
    bush = geometry["bush_radius"]
    arms = tuple(
        Arm(
            frac(arm["swing_deg"][0]),
            frac(arm["swing_deg"][1]),
            tuple(Slot(frac(s["r"][0]), frac(s["r"][1]), frac(s.get("offset_deg", 0))) for s in arm["slots"]),
            (frac(arm.get("pivot", [0, 0])[0]), frac(arm.get("pivot", [0, 0])[1])),
        )
        for arm in geometry["arms"]
    )
    return Banjo(
        centre_distance=frac(geometry["centre_distance"]),
        direction=frac(geometry["angle_deg"]),
        arms=arms,
        bush_first=frac(bush["first"]),
        bush_last=frac(bush["last"]),
        bush_stud=frac(bush["stud"]),
        mesh_clearance=frac(geometry["mesh_clearance"]),
        air=frac(geometry["air"]),
        largest=frac(geometry["max_tip_diameter"]),
        planes=geometry["planes"],
    )


@cache
def problem(name: str) -> Problem:
    machine = data()["machines"][name]
    screw = machine["leadscrew"]
    lead = frac(screw["lead_mm"]) if "lead_mm" in screw else Fraction(127, 5) / frac(screw["tpi"])
    gearbox = Gearbox(
        tuple(Lever(lv["name"], tuple((at, Fraction(r)) for at, r in lv["positions"].items())) for lv in machine.get("levers", [])),
        tuple(GearboxRow(tuple(row["combo"].items()), Fraction(row["ratio"])) for row in machine.get("lever_table", [])),
        tuple(tuple(entry.items()) for entry in machine.get("forbidden", [])),
    )
    return Problem(
        leadscrew_lead=lead,
        wheels=tuple(Wheel(w["teeth"], frac(w["module"]), copies=w["copies"]) for w in machine["wheels"]),
        arrangements=tuple(NAMES[t] for t in machine["topologies"]),
        tumbler=machine["direction"]["tumbler"],
        even_meshes_cut=machine["direction"].get("even_meshes", "right"),
        headstock=tuple(HeadstockChoice(r, Fraction(r)) for r in machine.get("headstock", [])),
        gearbox=gearbox,
        banjo=banjo_of(machine["geometry"]) if machine["geometry"] else None,
        captives=tuple((Place(place), Wheel(w["teeth"], frac(w["module"]))) for place, w in machine.get("captive", {}).items()),
        limits=tuple(PlaceLimit(Place(place), *span) for place, span in machine.get("limits", {}).items()),
    )


def dial(name: str) -> tuple[DialWheel, ...]:
    found = data()["machines"][name].get("dial")
    return (DialWheel(found["teeth"], found["divisions"]),) if found else ()


def wanted_lead(thread: dict[str, Any]) -> Fraction:
    starts = thread.get("starts", 1)
    kind = thread["kind"]
    if kind == "metric":
        return frac(thread["pitch"]) * starts
    if kind == "tpi":
        return Fraction(127, 5) / frac(thread["tpi"]) * starts
    if kind == "module":
        return PI * frac(thread["module"]) * starts
    return PI * Fraction(127, 5) / frac(thread["dp"]) * starts
