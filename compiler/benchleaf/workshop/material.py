"""What the part is made of."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import CuttingSpeed, Link, Origin, Text

__all__ = ["CuttingSpeeds", "Material"]


@record
class CuttingSpeeds:
    """The owner's own turning speeds, which go before the table's."""

    origin: Origin
    hss: CuttingSpeed | None
    carbide: CuttingSpeed | None
    carbon_steel: CuttingSpeed | None


@record
class Material:
    """A material: ``group`` names a row of the built-in table of cutting speeds."""

    origin: Origin
    extends: Link | None
    name: Text
    note: Text | None
    group: Text
    turning_speed: CuttingSpeeds | None
