"""Change wheels: what is in the box."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Count, Length, Link, Origin, PositiveAngle, Text, ToothSize

__all__ = ["GearSet", "LockedPair", "WheelPrice", "WheelRow"]


@record
class WheelRow:
    """Wheels of one tooth count.  Tooth size, pressure angle, bore and width are the set's own unless said here."""

    origin: Origin
    teeth: Count
    copies: Count
    name: Text | None
    tooth_size: ToothSize | None
    pressure_angle: PositiveAngle | None
    bore: Length | None
    width: Length | None


@record
class LockedPair:
    """Two wheels that are one piece (such as a 100/127): both sit on one stud or neither does."""

    origin: Origin
    wheels: tuple[Count, ...]


@record
class WheelPrice:
    """What another wheel of so many teeth would cost, in whole units of money or of anything else."""

    origin: Origin
    teeth: Count
    price: Count


@record
class GearSet:
    """A set of change wheels that share a tooth size; ``wheels`` mixes plain tooth counts and rows."""

    origin: Origin
    extends: Link | None
    name: Text
    note: Text | None
    tooth_size: ToothSize
    pressure_angle: PositiveAngle
    bore: Length | None
    width: Length | None
    wheels: tuple[Count | WheelRow, ...]
    locked_pairs: tuple[LockedPair, ...]
    prices: tuple[WheelPrice, ...]
