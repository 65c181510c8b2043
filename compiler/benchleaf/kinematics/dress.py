"""A train in full: from wheels by axis and a setting of the levers to everything that a sheet says about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from benchleaf.kinematics.box import Kind
from benchleaf.kinematics.fit import Fitter, places_of, planes_of
from benchleaf.kinematics.levers import Drive
from benchleaf.kinematics.model import Banjo, PlacedWheel, Problem, Train, Wheel
from benchleaf.kinematics.swap import changes_between

__all__ = ["dressed", "fitter_for", "hand_of", "redressed", "wheel_ratio_of"]


@lru_cache(maxsize=16)
def fitter_for(banjo: Banjo) -> Fitter:
    """The banjo made ready; kept, since a build asks for many threads on one machine."""
    return Fitter(banjo)


def hand_of(problem: Problem, meshes: int) -> str:
    """The hand that a train of so many meshes cuts: each mesh reverses; 'either' with a tumbler."""
    if problem.tumbler:
        return "either"
    if meshes % 2 == 0:
        return problem.even_meshes_cut
    return "left" if problem.even_meshes_cut == "right" else "right"


def wheel_ratio_of(axes: Sequence[Sequence[Wheel]]) -> Fraction:
    """Turns of the last axis for a turn of the first: driver over driven at every mesh, so that a wheel alone on its axis cancels."""
    ratio = Fraction(1)
    for a, b in pairwise(axes):
        ratio *= Fraction(a[-1].teeth, b[0].teeth)
    return ratio


def dressed(problem: Problem, axes: Sequence[Sequence[Wheel]], drive: Drive, arrangement: str, wanted: Fraction) -> Train:
    """The train that these wheels (by axis, from the headstock on) and levers make, against the lead wanted (mm per turn)."""
    planes = planes_of(axes, max(problem.banjo.planes, 1) if problem.banjo else 3)
    places = places_of(axes)
    wheels = tuple(
        PlacedWheel(place, axis, wheel, plane)
        for axis, on_axis in enumerate(axes)
        for wheel, place, plane in zip(on_axis, places[axis], planes[axis], strict=True)
    )
    lead = problem.leadscrew_lead * drive.ratio * wheel_ratio_of(axes)
    placement = None
    if problem.banjo is not None and len(axes) in (3, 4):
        placement = fitter_for(problem.banjo).check([[Kind(0, wheel, 0, 1) for wheel in on_axis] for on_axis in axes]).placement
    return Train(
        arrangement=arrangement,
        wheels=wheels,
        headstock=drive.headstock,
        headstock_ratio=drive.headstock_ratio,
        levers=drive.levers,
        gearbox_ratio=drive.gearbox_ratio,
        lead=lead,
        error=lead / wanted - 1,
        hand=hand_of(problem, len(axes) - 1),
        changes=changes_between(problem.mounted, axes),
        lever_moves=drive.moves,
        placement=placement,
    )


def redressed(train: Train, drive: Drive, wanted: Fraction) -> Train:
    """The same wheels under another setting of the levers, against the lead wanted (mm per turn)."""
    lead = train.lead * drive.ratio / (train.headstock_ratio * train.gearbox_ratio)
    return replace(
        train,
        headstock=drive.headstock,
        headstock_ratio=drive.headstock_ratio,
        levers=drive.levers,
        gearbox_ratio=drive.gearbox_ratio,
        lead=lead,
        error=lead / wanted - 1,
        lever_moves=drive.moves,
    )
