"""Drawings of the set-up: the train on the banjo, the lever plate, the thread's profile with the real tip in it."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from benchleaf.kinematics.model import Place, Train
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk
from benchleaf.operations.screwcut.cutting import Cutting
from benchleaf.operations.screwcut.gearing import Gearing
from benchleaf.operations.screwcut.thread import Wanted, aim
from benchleaf.operations.screwcut.words import LETTERS, lever_words, train_words
from benchleaf.sheet.drawings import (
    DrawnAxis,
    DrawnFlanks,
    DrawnLever,
    DrawnSlot,
    DrawnWheel,
    GearTrainDrawing,
    LeverPlateDrawing,
    ThreadProfileDrawing,
)
from benchleaf.sheet.numbers import fixed
from benchleaf.units import convert

__all__ = ["lever_plate", "thread_profile", "train_drawing"]

_TURNED = "; mirrored where the mating thread pushes the other way"
_ROLES = {Place.FIRST: "driver", Place.STUD_DRIVER: "driver", Place.STUD_DRIVEN: "driven", Place.LAST: "driven", Place.IDLER: "idler"}


def train_drawing(gearing: Gearing, context: Context) -> GearTrainDrawing:
    """The train as it sits; in a row and not to scale where the profile does not describe the banjo."""
    train, banjo = gearing.train, gearing.problem.banjo
    points = [(x, y) for x, y in train.placement.axes] if train.placement is not None else _in_a_row(train)
    last = "gearbox input" if context.lathe.gearbox else "leadscrew"
    studs = len(points) - 2
    names = ["headstock stud", *(f"banjo stud{f' {number + 1}' if studs > 1 else ''}" for number in range(studs)), last]
    bushes = (
        [float(banjo.bush_first), *[float(banjo.bush_stud)] * studs, float(banjo.bush_last)]
        if banjo
        else [float(train.wheels[0].wheel.module) * 5] * len(points)
    )
    modules = {item.wheel.module for item in train.wheels}
    inch = any(gears.tooth_size.system == "inch" for gears in context.on_lathe.gear_sets)
    size = ""
    if len(modules) == 1:
        module = modules.pop()
        size = f"{convert(1 / module, '1/mm', '1/in')} DP" if inch else f"module {fixed(module, 2).rstrip('0').rstrip('.')}"
    return GearTrainDrawing(
        id="train_drawing",
        title="Wheels, seen from the end of the headstock",
        axes=tuple(DrawnAxis(name, x, y, bush) for name, (x, y), bush in zip(names, points, bushes, strict=True)),
        wheels=tuple(
            DrawnWheel(
                item.wheel.teeth,
                _ROLES[item.place],
                item.axis,
                item.plane,
                float(item.wheel.module) * item.wheel.teeth / 2,
                float(item.wheel.tip_diameter) / 2,
                LETTERS[index],
            )
            for index, item in enumerate(train.wheels)
        ),
        slots=_slots(gearing),
        to_scale=train.placement is not None,
        module=size,
        alt=f"Gear train {train_words(train)}",
    )


def _in_a_row(train: Train) -> list[tuple[float, float]]:
    """Axes on a line, meshing: a picture of what drives what, when nobody has measured the banjo."""
    points, x = [(0.0, 0.0)], 0.0
    axes = train.axes
    for before, after in pairwise(axes):
        driver, driven = before[-1].wheel, after[0].wheel
        x += float(driver.module) * (driver.teeth + driven.teeth) / 2
        points.append((x, 0.0))
    return [(place - x, 0.0) for place, _ in points]


def _slots(gearing: Gearing) -> tuple[DrawnSlot, ...]:
    placement, banjo = gearing.train.placement, gearing.problem.banjo
    if placement is None or banjo is None:
        return ()
    drawn = {}
    for stud in placement.studs:
        arm = banjo.arms[stud.arm]
        slot = arm.slots[stud.slot]
        drawn[(stud.arm, stud.slot, round(stud.swing, 3))] = DrawnSlot(
            float(arm.pivot[0]), float(arm.pivot[1]), stud.swing + float(slot.offset), float(slot.nearest), float(slot.farthest)
        )
    return tuple(drawn.values())


def lever_plate(gearing: Gearing, context: Context) -> LeverPlateDrawing | None:
    """Every lever that decides the lead, with the position to choose; None on a lathe with loose wheels only."""
    chosen = lever_words(gearing.train, gearing.problem)
    if not chosen:
        return None
    problem = gearing.problem
    positions: dict[str, list[str]] = {problem.headstock_lever: [row.position for row in problem.headstock]}
    for lever in problem.gearbox.levers:
        positions[lever.name] = [name for name, _ in lever.positions]
    for row in problem.gearbox.rows:
        for name, at in row.levers:
            places = positions.setdefault(name, [])
            if at not in places:
                places.append(at)
    words = ", ".join(f"{name} at {at}" for name, at in chosen)
    return LeverPlateDrawing(
        "lever_plate", "Levers", tuple(DrawnLever(name, tuple(positions[name]), at) for name, at in chosen), f"Levers: {words}"
    )


def _flanks(wanted: Wanted) -> DrawnFlanks | None:
    """The flanks of a buttress; None where both lean alike.

    Drawn for a screw that pushes with its far end, the tailstock's side to the right (common practice): the left faces of its ridges, which
    are the right flanks of its grooves, take the load, and those of the nut that meet them.
    """
    form = wanted.thread.form
    if form.symmetrical:
        return None
    load, clear = (float(angle) for angle in form.flanks)
    return DrawnFlanks(load, clear, "left") if wanted.inside else DrawnFlanks(clear, load, "right")


def thread_profile(desk: Desk, wanted: Wanted, cutting: Cutting) -> ThreadProfileDrawing:
    """Two pitches of the thread as this tip leaves it, with the figures that are printed beside it."""
    thread, infeed, flanks = wanted.thread, cutting.infeed, _flanks(wanted)
    start = infeed.root + 2 * infeed.depth * (-1 if wanted.inside else 1)
    labels = [("pitch", f"{fixed(thread.pitch, 4).rstrip('0').rstrip('.')} mm")]
    if flanks is None:
        labels.append(("angle", f"{fixed(thread.form.included_angle, 1)}\u00b0"))
    else:
        labels += [(at, f"{fixed(angle, 1)}\u00b0") for at, angle in zip(("load_flank", "clear_flank"), thread.form.flanks, strict=True)]
    for name in ("major_diameter", "pitch_diameter", "minor_diameter", "infeed"):
        if name in desk:
            figure = desk[name]
            labels.append(
                (
                    name.replace("major_diameter", "major").replace("minor_diameter", "minor"),
                    f"{figure.shown} {figure.unit}" if not figure.shown.endswith(figure.unit) else figure.shown,
                )
            )
    tip = cutting.tip
    labels.append(("tip", f"radius {fixed(tip.radius, 2)} mm" if tip.radius else f"flat {fixed(tip.flat, 2)} mm" if tip.flat else "sharp"))
    return ThreadProfileDrawing(
        id="thread_profile",
        title=f"{thread.designation}, {wanted.side}{_TURNED if flanks else ''}",
        inside=wanted.inside,
        pitch=float(thread.pitch),
        half_angle=float(thread.form.half_angle),
        major_radius=float(max(start, infeed.root) / 2),
        pitch_radius=float(aim(wanted.limits.pitch) / 2),
        minor_radius=float(min(start, infeed.root) / 2),
        crest_radius=float(start / 2),
        root_radius=float(infeed.root / 2),
        tip_flat=float((tip.flat if cutting.bottom is None else cutting.bottom) + _widened(desk, flanks)),
        tip_radius=float(tip.radius),
        labels=tuple(labels),
        alt=f"Profile of {thread.designation}, {wanted.side}: pitch {fixed(thread.pitch, 4)} mm, "
        f"included angle {fixed(thread.form.included_angle, 0)} degrees"
        + (f", load flank {fixed(thread.form.flanks[0], 0)} degrees on the {flanks.load}" if flanks else ""),
        flanks=flanks,
    )


def _widened(desk: Desk, flanks: DrawnFlanks | None) -> Fraction:
    """How much wider than the tip the bottom of a buttress groove is made, mm; for other forms the groove's own width says it."""
    if flanks is None or "side_step" not in desk:
        return Fraction(0)
    figure = desk["side_step"]
    return convert(Fraction(figure.value), figure.unit, "mm")
