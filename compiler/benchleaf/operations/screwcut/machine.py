"""The workshop's lathe and gear sets as the gear-train search wants them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from benchleaf.kinematics.half_nuts import DialWheel
from benchleaf.kinematics.model import (
    Arm,
    Banjo,
    Gearbox,
    GearboxRow,
    HeadstockChoice,
    Lever,
    LockedPair,
    Mounted,
    Place,
    PlaceLimit,
    Problem,
    Setting,
    Slot,
    Wheel,
    WheelRef,
)
from benchleaf.workshop import gearbox
from benchleaf.workshop import lathe as shop
from benchleaf.workshop.gears import GearSet, WheelRow
from benchleaf.workshop.inputs import LatheInputs
from benchleaf.workshop.values import Measure, Number, Word

__all__ = ["dial_wheels", "problem_of", "refs"]

_LEVER = "lead"  # the headstock's lever when the profile does not name it


def problem_of(machine: LatheInputs, without: Sequence[Number] = ()) -> Problem:
    """The search problem of a lathe with all its gear sets, less one copy of each wheel in ``without``."""
    lathe = machine.lathe
    return Problem(
        leadscrew_lead=lathe.leadscrew.lead.value,
        wheels=_wheels(machine.gear_sets, [number.value for number in without]),
        arrangements=tuple(word.value for word in lathe.arrangements),
        tumbler=lathe.headstock.tumbler.value,
        even_meshes_cut=lathe.headstock.even_meshes_cut.value,
        locked_pairs=tuple(
            LockedPair(WheelRef(pair.wheels[0].value, gears.tooth_size.value), WheelRef(pair.wheels[1].value, gears.tooth_size.value))
            for gears in machine.gear_sets
            for pair in gears.locked_pairs
        ),
        headstock=tuple(HeadstockChoice(row.position.value, row.ratio.value) for row in lathe.headstock.ratios),
        headstock_lever=lathe.headstock.lever.value if lathe.headstock.lever else _LEVER,
        gearbox=_gearbox(lathe.gearbox),
        banjo=_banjo(lathe.banjo, lathe.places),
        captives=_captives(lathe.places, machine.gear_sets),
        limits=_limits(lathe.places),
        mounted=Mounted(refs(lathe.mounted.train), _setting(lathe.mounted.levers)) if lathe.mounted else None,
    )


def refs(train: Sequence[Number | tuple[Number, ...]]) -> tuple[tuple[WheelRef, ...], ...]:
    """A train as a profile writes it, as wheel references by axis."""
    return tuple(tuple(WheelRef(wheel.value) for wheel in (axis if isinstance(axis, tuple) else (axis,))) for axis in train)


def dial_wheels(lathe: shop.Lathe) -> tuple[DialWheel, ...]:
    """The thread dial's wheels; none when there are no half-nuts to open."""
    return (
        tuple(DialWheel(row.teeth.value, row.marks.value) for row in lathe.half_nuts.thread_dials) if lathe.half_nuts.fitted.value else ()
    )


def _setting(levers: Mapping[str, Word]) -> Setting:
    return tuple((name, word.value) for name, word in levers.items())


def _wheels(gear_sets: Sequence[GearSet], without: list[int]) -> tuple[Wheel, ...]:
    missing = list(without)
    found: list[Wheel] = []
    for gears in gear_sets:
        for row in gears.wheels:
            plain = not isinstance(row, WheelRow)
            teeth = row.value if plain else row.teeth.value  # type: ignore[union-attr]
            copies = 1 if plain else row.copies.value  # type: ignore[union-attr]
            while copies and teeth in missing:
                missing.remove(teeth)
                copies -= 1
            if copies:
                found.append(
                    Wheel(
                        teeth,
                        _own(row, "tooth_size", gears.tooth_size),
                        _own(row, "pressure_angle", gears.pressure_angle),
                        copies,
                        _maybe(row, "bore", gears.bore),
                        _maybe(row, "width", gears.width),
                        gears.name.value,
                    )
                )
    return tuple(found)


def _own(row: Number | WheelRow, name: str, common: Measure) -> Fraction:
    own: Measure | None = getattr(row, name) if isinstance(row, WheelRow) else None
    return (own or common).value


def _maybe(row: Number | WheelRow, name: str, common: Measure | None) -> Fraction | None:
    own: Measure | None = getattr(row, name) if isinstance(row, WheelRow) else None
    chosen = own or common
    return chosen.value if chosen else None


def _gearbox(box: gearbox.Gearbox | None) -> Gearbox:
    if box is None:
        return Gearbox()
    return Gearbox(
        tuple(Lever(lever.name.value, tuple((name, ratio.value) for name, ratio in lever.positions.items())) for lever in box.levers),
        tuple(GearboxRow(_setting(row.levers), row.ratio.value) for row in box.rows),
        tuple(_setting(entry) for entry in box.forbidden),
    )


_PLACES = (
    ("first", Place.FIRST),
    ("last", Place.LAST),
    ("banjo_driven", Place.STUD_DRIVEN),
    ("banjo_driver", Place.STUD_DRIVER),
    ("idler", Place.IDLER),
)


def _banjo(banjo: shop.Banjo | None, places: shop.Places | None) -> Banjo | None:
    if banjo is None:
        return None
    rooms = []
    for name, place in _PLACES:
        described: shop.Place | None = getattr(places, name) if places else None
        if described is not None and described.largest_wheel is not None:
            rooms.append((place, described.largest_wheel.value))
    return Banjo(
        centre_distance=banjo.centre_distance.value,
        direction=banjo.direction.value,
        arms=tuple(
            Arm(
                arm.swing_from.value,
                arm.swing_to.value,
                tuple(Slot(slot.nearest.value, slot.farthest.value, slot.offset.value) for slot in arm.slots),
                (arm.pivot.across.value, arm.pivot.up.value),
            )
            for arm in banjo.arms
        ),
        bush_first=banjo.bush_radius.first.value,
        bush_last=banjo.bush_radius.last.value,
        bush_stud=banjo.bush_radius.stud.value,
        mesh_clearance=banjo.mesh_clearance.value,
        air=banjo.air.value,
        largest=banjo.largest_wheel.value if banjo.largest_wheel else None,
        largest_at=tuple(rooms),
        planes=banjo.planes.value,
    )


def _captives(places: shop.Places | None, gear_sets: Sequence[GearSet]) -> tuple[tuple[Place, Wheel], ...]:
    """Captive wheels have the tooth size of the first set: they could not mesh with it otherwise."""
    found = []
    for name, place in _PLACES:
        described: shop.Place | None = getattr(places, name) if places else None
        if described is not None and described.captive is not None and gear_sets:
            gears = gear_sets[0]
            found.append((place, Wheel(described.captive.teeth.value, gears.tooth_size.value, gears.pressure_angle.value)))
    return tuple(found)


def _limits(places: shop.Places | None) -> tuple[PlaceLimit, ...]:
    found = []
    for name, place in _PLACES:
        described: shop.Place | None = getattr(places, name) if places else None
        if described is not None and (described.fewest_teeth or described.most_teeth):
            fewest, most = described.fewest_teeth, described.most_teeth
            found.append(PlaceLimit(place, fewest.value if fewest else None, most.value if most else None))
    return tuple(found)
