"""Wheels as a person names and owns them, and the places they go.  Lengths mm, angles degrees."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from benchleaf.record import record

__all__ = ["LockedPair", "Place", "Wheel", "WheelRef", "matches", "module_of_diametral_pitch"]


class Place(StrEnum):
    """Where a wheel sits: on the headstock's stud, on a stud of the banjo, or on the gearbox input or leadscrew."""

    FIRST = "first"
    STUD_DRIVEN = "stud_driven"
    STUD_DRIVER = "stud_driver"
    IDLER = "idler"
    LAST = "last"


def module_of_diametral_pitch(teeth_per_inch: Fraction) -> Fraction:
    """Module in mm of a diametral pitch (teeth per inch of pitch diameter): 25.4/DP, exactly."""
    return Fraction(127, 5) / teeth_per_inch


@record
class Wheel:
    """Change wheels of one kind.  ``module`` mm, ``pressure_angle`` deg, ``bore`` and ``width`` mm; ``key`` says which row of the box."""

    teeth: int
    module: Fraction
    pressure_angle: Fraction = Fraction(20)
    copies: int = 1
    bore: Fraction | None = None
    width: Fraction | None = None
    key: str = ""

    @property
    def tip_diameter(self) -> Fraction:
        """Diameter over the tips, mm: module times (teeth + 2), ISO 54 / ISO 53 full-depth teeth."""
        return self.module * (self.teeth + 2)


@record
class WheelRef:
    """A wheel as a person names it: by its teeth, and its module (mm) where two sets have the same count."""

    teeth: int
    module: Fraction | None = None


@record
class LockedPair:
    """Two wheels that are one piece: both sit on one stud or neither is used.  Each is counted among the wheels of the box."""

    a: WheelRef
    b: WheelRef


def matches(ref: WheelRef, wheel: Wheel) -> bool:
    """Is this one of the wheels that a person named?"""
    return ref.teeth == wheel.teeth and ref.module in (None, wheel.module)
